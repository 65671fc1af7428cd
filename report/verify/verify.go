package verify

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"

	"setline.example/report"
	"setline.example/report/sign"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// Options are what the reader asks and knows.
type Options struct {
	// Trust says whom the reader trusts; nil checks no trust.
	Trust *sign.Trust
	// Expect are roles in which somebody must have signed.
	Expect []sign.Role
	// Rooms are those that must be handed over; a report of some rooms of a job is
	// remarked on where none is named.
	Rooms []string
	// Strict lets nothing hold of which there is a remark.
	Strict bool
	// At is when is today: certificates expire by it, and what is after it is in
	// the future. Nothing else depends on it.
	At time.Time
	// Photos is the folder of the files of photographs; nil holds none against them.
	Photos fs.FS
	// Version of this program.
	Version string
	// Ways are how whoever reads the verification adds what was not said.
	Ways Ways
}

// Ways say how to add what a verification was not told, and to have the part that
// holds. Those that say nothing are the flags of "setline verify".
type Ways struct {
	Trust, Photos, Rooms, Part string
}

// Found is a verification, and what goes with it.
type Found struct {
	Verification
	// Record is the one that travels in the report; nil where there is none.
	Record []byte
	// Part is the report up to the last revision up to which it holds: all of it,
	// or what is before that which other software added; nil where nothing does.
	Part []byte
}

// verifier makes a verification.
type verifier struct {
	Found
	o      Options
	signed []sign.Signature
	partly bool // only a part of the file is looked at as a report
	again  again
}

// again is a report as it was made, and what making it again gave.
type again struct {
	first []byte
	*report.Rebuilt
	err error
}

// rebuild makes a report again, once.
func (v *verifier) rebuild(first []byte) *again {
	if v.again.first == nil || !bytes.Equal(v.again.first, first) {
		r, err := report.Rebuild(first)
		v.again = again{first, r, err}
	}
	return &v.again
}

// made reports whether a report as it was made is what Setline makes of its
// record, byte for byte.
func (v *verifier) made(first []byte) bool {
	r := v.rebuild(first)
	return r.err == nil && r.Compared && r.Differs == ""
}

// Report verifies a report. The error, which wraps [sign.ErrFile], says that
// data is no PDF at all; all else is a verdict.
func Report(data []byte, o Options) (*Found, error) {
	v := &verifier{o: o}
	v.Form, v.Program = Form, o.Version
	v.Signatures, v.Checks = []Signature{}, []Check{}
	found, err := sign.VerifyMade(data, o.Trust, v.made)
	if err != nil && (!errors.Is(err, sign.ErrFile) || !bytes.HasPrefix(data, []byte("%PDF-"))) {
		return nil, err
	}
	v.Part = data
	if err != nil || !found.Sound() {
		v.Part = sign.SoundPart(data)
	}
	if len(v.Part) < len(data) && v.Part != nil {
		// The part that holds is looked at like any report, and then what follows.
		whole := found
		if found, err = sign.VerifyMade(v.Part, o.Trust, v.made); err != nil {
			return nil, err
		}
		v.partly = true
		if !v.others(data, v.Part, len(found.Signatures)+1) {
			found.Problems = append(found.Problems, whole.Problems...)
		}
	}
	if err != nil {
		// A PDF, and broken, or changed where nothing may be: that is an answer.
		v.add(FileWhole, 0, Bad, "the file is whole", err.Error())
	} else {
		v.signed = found.Signatures
		v.file(found)
		v.who()
		v.report(found.FirstRevision)
	}
	v.settle()
	return &v.Found, nil
}

func (v *verifier) add(code Code, signature int, r Result, what, found string) {
	v.Checks = append(v.Checks, Check{code, signature, r, what, found})
}

// holds adds a check that holds or does not.
func (v *verifier) holds(code Code, signature int, ok bool, what, found string) {
	r := Good
	if !ok {
		r = Bad
	}
	v.add(code, signature, r, what, found)
}

// file says of each signature whether it is intact, and what else was changed.
func (v *verifier) file(found sign.Verification) {
	for i := range v.signed {
		s := &v.signed[i]
		v.Signatures = append(v.Signatures, signatureOf(i+1, s))
		said := fmt.Sprintf("%s as %s, %s, for %q", person(s.Name, s.Firm), s.Role, timeOf(s), s.Reason)
		if s.WithPicture {
			said += "; the page shows a picture beside it, which proves nothing"
		}
		if s.Problem != "" {
			said += "; " + s.Problem
		}
		v.holds(Intact, i+1, s.Sound(), fmt.Sprintf("signature %d is intact", i+1), said)
		if s.Seen && !s.Compared {
			v.add(BlockDrawn, i+1, Open, fmt.Sprintf("the block of signature %d shows what the signature says", i+1),
				fmt.Sprintf("it was drawn in way %d by another version of Setline, which this one cannot draw", s.Drawing))
		}
	}
	if len(found.Problems) == 0 {
		whole := "the whole file"
		if v.partly {
			whole = "all that is before the additions of other software"
		}
		v.add(NothingElse, 0, Good, "nothing else was changed", "every revision adds only what its signature needs, and the last covers "+whole)
	}
	for _, p := range found.Problems {
		v.add(NothingElse, 0, Bad, "nothing else was changed", p)
	}
}

// settle draws the verdict from the checks.
func (v *verifier) settle() {
	has := func(r Result) bool {
		return slices.ContainsFunc(v.Checks, func(c Check) bool { return c.Result == r })
	}
	// What is wrong with record or pages is wrong in every revision.
	if slices.ContainsFunc(v.Checks, func(c Check) bool {
		return c.Result == Bad && slices.Contains([]Code{RecordIsOne, AnswerStated, ResultsSame, PagesOfRecord}, c.Code)
	}) {
		v.Part = nil
	}
	if v.Part != nil {
		v.HoldsTo = len(v.signed) + 1
	}
	switch {
	case has(Bad), v.o.Strict && has(Remark):
		v.Verdict, v.Mend = DoesNotHold, v.mend()
	case has(Open):
		v.Verdict = Indeterminate
	default:
		v.Verdict, v.Holds, v.Answer = Holds, true, v.RulesSay
	}
}

// report holds record and pages together. first is the report as it was made.
func (v *verifier) report(first []byte) {
	made := v.rebuild(first)
	r := made.Rebuilt
	if r != nil {
		v.Record = r.Record
	}
	if made.err != nil {
		v.add(RecordIsOne, 0, Bad, "the record is one, and gives this report", made.err.Error())
		return
	}
	v.Made = &Made{Version: r.Version, PageFormat: r.Format, Date: r.Date.Format(time.DateOnly)}
	v.RulesSay = answer(r)
	v.words(r)
	v.rooms(r)
	v.photographs(r)
	v.reasons(r)
	v.named(r.Judged.Agreed.SignOff)
	v.times(r)
	v.add(RecordIsOne, 0, Good, "the record is one", "it fits the schema, and the rules run again say "+r.Answer())
	const what = "the pages are what the record gives"
	switch {
	case !r.Compared:
		v.another(r)
	case r.Differs == "":
		v.add(PagesOfRecord, 0, Good, what, "made again, the report is the same byte for byte")
	default:
		v.add(PagesOfRecord, 0, Bad, what, r.Differs)
	}
}

// words says in whose words the body is.
func (v *verifier) words(r *report.Rebuilt) {
	if r.TemplateSHA256 == "" {
		return
	}
	v.Template = &Template{r.TemplateBy, r.TemplateSHA256}
	const what = "whose words the body is in"
	found := fmt.Sprintf("those of %s template, which travels in the report (SHA-256 %s)", plaintext.Whose(r.TemplateBy), r.TemplateSHA256)
	if r.Compared {
		v.add(WordsOf, 0, Good, what, found+"; answer, punch list, cautions and the note on codes are Setline's")
		return
	}
	v.add(WordsOf, 0, Open, what, found+"; that the pages are made with it was not compared")
}

// another says what can be told of a report whose pages this program cannot
// draw. Anybody can claim another format, so that nothing here proves a page.
func (v *verifier) another(r *report.Rebuilt) {
	what := "the first page states that answer"
	switch {
	case r.FirstPage == nil:
		v.add(AnswerStated, 0, Open, what, "found no answer that can be read as words")
	case *r.FirstPage == r.Ready:
		v.add(AnswerStated, 0, Good, what, "in words; what is seen there was not compared")
	default:
		v.add(AnswerStated, 0, Bad, what, "it says "+r.Covers.Answer(*r.FirstPage))
	}
	if n := len(r.Unknown); n > 0 {
		v.add(OnlyKnown, 0, Open, "nothing else travels in it",
			fmt.Sprintf("%s that this version knows nothing of and did not open: %s", plaintext.Count(n, "attachment"), plaintext.Cut(strings.Join(r.Unknown, ", "), 200)))
	}
	what = "each result is judged here as in the report"
	switch {
	case r.Was == nil:
		v.add(ResultsSame, 0, Open, what, "found no results in the report that this version can read")
	case !r.SameAnswer():
		v.add(ResultsSame, 0, Bad, what, "the results in the report come to another answer for the job")
	case len(r.Otherwise) == 0:
		v.add(ResultsSame, 0, Good, what, fmt.Sprintf("all %d of them", len(r.Was.Results)))
	}
	for _, d := range r.Otherwise {
		v.add(ResultsSame, 0, Remark, "a result that is judged otherwise here", d.String())
	}
	v.add(PagesOfRecord, 0, Open, "the pages are what the record gives",
		fmt.Sprintf("not compared: they are said to be of format %d by Setline %q, and this Setline, %s, draws format %d; verify with that version",
			r.Format, r.Version, v.o.Version, report.PageFormat()))
}

// photographs holds what the report shows against the files that were recorded.
func (v *verifier) photographs(r *report.Rebuilt) {
	const what = "the photographs are those recorded"
	switch n := r.Shown(); {
	case r.PhotosUnread != "":
		v.add(PhotosHeld, 0, Open, what, "not held against their SHA-256: they cannot be read here: "+r.PhotosUnread)
		return
	case n == 0:
		return
	case v.o.Photos == nil:
		v.add(PhotosHeld, 0, Remark, what, plaintext.Count(n, "photograph")+" not held against the recorded SHA-256: copies made smaller travel in the report; "+cmp.Or(v.o.Ways.Photos, "name the folder of the files with --photos"))
		return
	}
	held := r.Shown()
	for _, h := range r.HoldPhotos(v.o.Photos) {
		switch {
		case h.Problem == "":
			continue
		case h.Other && !r.Compared: // another version may make its copies otherwise
			v.add(PhotosHeld, 0, Open, what, h.File+": the file is the one that was recorded, and this version makes another copy of it than the report shows")
		default:
			v.add(PhotosHeld, 0, Bad, what, h.File+": "+h.Problem)
		}
		held--
	}
	if held == r.Shown() {
		v.add(PhotosHeld, 0, Good, what, fmt.Sprintf("%d of %d: each file has the SHA-256 that was recorded, and shows what the report shows", held, held))
	}
}

// reasons holds that every signature is for what the report answers: its words
// stand on the page, and are the signer's own otherwise.
func (v *verifier) reasons(r *report.Rebuilt) {
	for i, s := range v.signed {
		if want := r.Reason(); s.Reason != want {
			v.add(ReasonOfIt, i+1, Bad, fmt.Sprintf("signature %d is for what the report answers", i+1),
				fmt.Sprintf("found %q, expected %q", s.Reason, want))
		}
	}
}

// The answers of a report that hands over some rooms of a job are words of their
// own, so that no script takes them for those of the job.
const (
	ready         = "READY"
	notReady      = "NOT READY"
	roomsReady    = "ROOMS READY"
	roomsNotReady = "ROOMS NOT READY"
)

func answer(r *report.Rebuilt) string {
	switch {
	case r.Covers == nil && r.Ready:
		return ready
	case r.Covers == nil:
		return notReady
	case r.Ready:
		return roomsReady
	}
	return roomsNotReady
}

// rooms says which rooms the report hands over, where these are not all of the
// job, and holds them against those that the reader asked for.
func (v *verifier) rooms(r *report.Rebuilt) {
	const what = "which rooms it hands over"
	if c := r.Covers; c != nil {
		v.Covers = &Covers{c.Rooms, c.Others}
	}
	covers := func(room string) bool { return v.Covers == nil || slices.Contains(v.Covers.Rooms, room) }
	var missing []string
	for _, room := range v.o.Rooms {
		planned := slices.ContainsFunc(r.Judged.Planned.Rooms, func(p schema.Room) bool { return p.Name == room })
		if !planned || !covers(room) {
			missing = append(missing, room)
		}
	}
	if v.Covers == nil && len(v.o.Rooms) == 0 {
		return
	}
	found := "all of the job"
	if c := v.Covers; c != nil {
		found = fmt.Sprintf("%d of %d rooms only: %s; of %s it says nothing", len(c.Rooms), len(c.Rooms)+len(c.Others),
			strings.Join(c.Rooms, ", "), strings.Join(c.Others, ", "))
	}
	switch {
	case len(missing) > 0:
		v.add(RoomsCovered, 0, Bad, what, found+"; expected "+strings.Join(missing, ", "))
	case len(v.o.Rooms) > 0:
		v.add(RoomsCovered, 0, Good, what, found)
	default:
		v.add(RoomsCovered, 0, Remark, what, found+"; "+cmp.Or(v.o.Ways.Rooms, "say which you expect with --room"))
	}
}
