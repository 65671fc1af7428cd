package main

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/spf13/cobra"
	"golang.org/x/term"
	"setline.example/checks"
	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/merge"
	"setline.example/schema/plaintext"
)

// mergeFlags are what merge is told.
type mergeFlags struct {
	base     string
	take     []string
	decision correctsFlags
	decided  map[string]merge.Answer
}

func newMerge() *cobra.Command {
	f := mergeFlags{decided: map[string]merge.Answer{}}
	var backup bool
	c := &cobra.Command{
		Use:   "merge FILE OTHER",
		Short: "Merge another copy of a record that went a way of its own",
		Long: `Merge brings into FILE what OTHER, a copy of the same record, has and FILE has
not: visits, counts, photographs, corrections, what was taken back, what was
agreed, changes of the plan. With --base, the copy that both began as, it also
sees what one of them left out. What was observed of what the merged plan has
otherwise is kept as history.

Where the two contradict each other the place is named and nothing is written.
Each is decided by itself: at a terminal it is asked, elsewhere --take says
which counts, "PLACE=first" (FILE) or "PLACE=second" (OTHER), for two counts of a
delivery "PLACE=both". --by, --date and --reason say who decided; what was not
taken stays in the record as what was corrected, and is known by it when the same
copies are merged again: nothing is asked twice.

Entries that both have keep their place in the order of entry, and so do those of
FILE: no fault that FILE numbered gets another number. What only OTHER has
comes behind them in its own order, and a fault that has another number there is
told. Merge the copy second whose numbers fewer people have been told.

Exit codes: 0 FILE has both now, 1 contradictions are left and FILE is as it was,
2 a record or the call is wrong; 4 FILE was changed, and telling so failed.`,
		Example: `  setline merge job.json tablet.json
  setline merge job.json tablet.json --base monday.json --take "agreed/sign_off/inspector=second" --by "Marek Łuczak" --date 2026-10-12 --reason "asked both"`,
		ValidArgsFunction: files("json"),
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 2 {
				return usage(c, fmt.Errorf("found %s, expected two copies of a record", plaintext.Count(len(args), "file")))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			return inPlace(c, args[0], backup, func(e *edit) error { return f.run(c, e, args[1]) })
		},
	}
	c.Flags().StringVar(&f.base, "base", "", "the copy that both began as")
	c.Flags().StringArrayVar(&f.take, "take", nil, `which counts, "PLACE=first", "PLACE=second" or "PLACE=both"; may be given more than once`)
	c.Flags().BoolVar(&backup, "backup", false, "keep what is replaced as FILE.bak")
	f.decision.add(c, "reason")
	return c
}

func (f *mergeFlags) run(c *cobra.Command, e *edit, path string) error {
	if err := f.answers(c); err != nil {
		return err
	}
	second, err := f.copy(c, path)
	if err != nil {
		return err
	}
	var base *merge.Copy
	if f.base != "" {
		if base, err = f.copy(c, f.base); err != nil {
			return err
		}
	}
	a, b := e.rec.Planned.Project, second.Record.Planned.Project
	if a.Name != b.Name && a.Number != b.Number {
		return hinted{fmt.Errorf("%s: found a record of another job (%s), expected a copy of %s", path, b.Name, e.path), "name a copy of the same record"}
	}
	first := merge.Copy{Name: e.path, Text: e.text, Record: e.rec}
	out, err := f.merged(c, first, *second, base)
	if err != nil {
		return err
	}
	e.text = out.Text
	if err := e.retire(); err != nil {
		return err
	}
	if err := e.photosOf(c, path); err != nil {
		return err
	}
	return e.sayMerged(path, second, out)
}

func (f *mergeFlags) copy(c *cobra.Command, path string) (*merge.Copy, error) {
	rec, src, err := read(path, c.InOrStdin())
	if err != nil {
		return nil, err
	}
	return &merge.Copy{Name: path, Text: src.Data, Record: rec}, nil
}

var mergeAnswers = map[string]merge.Answer{"first": merge.First, "second": merge.Second, "both": merge.Both}

// answers reads what --take says.
func (f *mergeFlags) answers(c *cobra.Command) error {
	for _, take := range f.take {
		i := strings.LastIndexByte(take, '=')
		if i < 0 || mergeAnswers[take[i+1:]] == 0 {
			return usage(c, fmt.Errorf("found --take %q, expected a place and which counts: PLACE=first, PLACE=second or PLACE=both", take))
		}
		f.decided[take[:i]] = mergeAnswers[take[i+1:]]
	}
	return nil
}

// merged merges, and asks at a terminal until nothing is open.
func (f *mergeFlags) merged(c *cobra.Command, first, second merge.Copy, base *merge.Copy) (*merge.Outcome, error) {
	stdin := c.InOrStdin()
	file, ok := stdin.(*os.File)
	atTerminal := ok && term.IsTerminal(int(file.Fd()))
	in := bufio.NewReader(stdin)
	for {
		by, err := f.decision.correction(c)
		if len(f.decided) > 0 {
			by, err = f.decision.needed(c)
		}
		if err != nil {
			return nil, err
		}
		var who merge.Decision
		if by != nil {
			who = merge.Decision{By: by.By, Date: by.Date, Reason: by.Reason}
		}
		out, err := merge.Copies(first, second, base, f.decided, who)
		if err != nil {
			return nil, err
		}
		if err := f.unknown(out); err != nil {
			return nil, err
		}
		if len(out.Open) == 0 {
			return out, nil
		}
		if !atTerminal {
			say(c.ErrOrStderr(), contradictions(first.Name, second.Name, out.Open))
			return nil, errNotReady
		}
		if err := f.askAll(in, c.ErrOrStderr(), first.Name, second.Name, out.Open); err != nil {
			return nil, err
		}
	}
}

// unknown refuses a decision of what is no contradiction.
func (f *mergeFlags) unknown(out *merge.Outcome) error {
	var places []string
	both := map[string]bool{}
	for _, x := range out.All {
		places = append(places, x.Place)
		both[x.Place] = x.Both
	}
	for _, take := range f.take {
		place := take[:strings.LastIndexByte(take, '=')]
		switch {
		case slices.Contains(places, place) && f.decided[place] == merge.Both && !both[place]:
			return hinted{fmt.Errorf("--take: found both for %s, expected first or second, since it can have one value", place), "say which counts"}
		case !slices.Contains(places, place):
			mend := "leave it out"
			if near := schema.Nearest(place, places); near != "" {
				mend = fmt.Sprintf("write %q if that is meant", near)
			}
			return hinted{fmt.Errorf("--take: found %q, expected a place of which the copies say different things", place), mend}
		}
	}
	return nil
}

// contradictions says what is to be decided.
func contradictions(first, second string, open []merge.Contradiction) error {
	var all []error
	for _, x := range open {
		asks := ""
		if x.Asks != "" {
			asks = " (" + x.Asks + ")"
		}
		all = append(all, hinted{fmt.Errorf("%s: found %s in %s and %s in %s%s%s, expected one of them", x.Place,
			orWord(plainly(x.First), "nothing"), first, orWord(plainly(x.Second), "nothing"), second, before(", was ", plainly(x.Base)), asks), takes(x)})
	}
	all = append(all, hinted{fmt.Errorf("%s: nothing was written; %s to decide", first, plaintext.Count(len(open), "contradiction")), "say who decides with --by, --date and --reason"})
	return errors.Join(all...)
}

// plainly writes a value of a record for who decides about it: what is in it by its
// name, and what is in that in parentheses.
func plainly(text string) string {
	if text == "" {
		return ""
	}
	return plainNext(jsontext.NewDecoder(strings.NewReader(text)))
}

func plainNext(dec *jsontext.Decoder) string {
	kind := dec.PeekKind()
	if kind != '{' && kind != '[' {
		value, _ := dec.ReadValue() // merging wrote it
		return string(value)
	}
	var parts []string
	dec.ReadToken()
	for goesOn(dec) {
		name := ""
		if kind == '{' {
			token, _ := dec.ReadToken()
			name = strings.ReplaceAll(token.String(), "_", " ") + " "
		}
		form := "%s"
		if next := dec.PeekKind(); next == '{' || next == '[' {
			form = "(%s)"
		}
		parts = append(parts, name+fmt.Sprintf(form, plainNext(dec)))
	}
	dec.ReadToken()
	return strings.Join(parts, ", ")
}

// goesOn reports whether there is more in the object or list that is read.
func goesOn(dec *jsontext.Decoder) bool {
	kind := dec.PeekKind()
	return kind != '}' && kind != ']' && kind != jsontext.KindInvalid
}

func takes(x merge.Contradiction) string {
	words := fmt.Sprintf("--take %q or %q", x.Place+"=first", x.Place+"=second")
	if x.Both {
		words += fmt.Sprintf(", or %q", x.Place+"=both")
	}
	return words
}

// askAll asks for the contradictions one by one.
func (f *mergeFlags) askAll(in *bufio.Reader, w io.Writer, first, second string, open []merge.Contradiction) error {
	for _, x := range open {
		fmt.Fprintf(w, "%s%s\n", oneLine(x.Place), before(": ", x.Asks))
		fmt.Fprintf(w, "    first:  %s, %s\n    second: %s, %s\n", oneLine(orWord(plainly(x.First), "nothing")), oneLine(first), oneLine(orWord(plainly(x.Second), "nothing")), oneLine(second))
		words, answer := []string{"first", "second"}, ""
		if x.Both {
			words = append(words, "both")
		}
		if err := (question{"which counts (" + strings.Join(words, ", ") + ")", &answer, true, oneOfWords(words...)}).ask(in, w); err != nil {
			return err
		}
		f.decided[x.Place] = mergeAnswers[strings.ToLower(answer)]
	}
	for _, q := range []question{
		{`who decided, "NAME, ROLE, FIRM"`, &f.decision.by, true, nil},
		{"on what day, YYYY-MM-DD", &f.decision.date, true, func(s string) error { _, err := dated("the day", s); return err }},
		{"why", &f.decision.why, true, nil},
	} {
		if err := q.ask(in, w); err != nil {
			return err
		}
	}
	return nil
}

// sayMerged tells what came in, and which faults have other numbers.
func (e *edit) sayMerged(path string, second *merge.Copy, out *merge.Outcome) error {
	for _, what := range out.Added {
		e.say("from %s: %s", path, what)
	}
	for _, x := range out.All {
		e.say("%s: decided", x.Place)
	}
	for _, of := range out.Former {
		e.say("%s: what was observed or conceded under the other plan is history now", of)
	}
	now, src, err := schema.Read(e.path, e.text)
	if err != nil {
		return nil // told by the check of what is written
	}
	for _, c := range []struct {
		rec  *schema.Record
		name string
		of   map[int]int
	}{{e.rec, e.path, nil}, {second.Record, path, out.Visits}} {
		then, err := checks.History(c.rec, nil)
		if err != nil {
			continue // it was not held before either
		}
		faults, err := checks.History(now, src)
		if err != nil {
			return nil
		}
		e.sayNumbers(c.name, then, faults, c.of)
	}
	return nil
}

// sayNumbers tells which faults of a copy have other numbers now. of says which
// visit of the merged record a visit of the copy is.
func (e *edit) sayNumbers(name string, then, now []checks.Fault, of map[int]int) {
	for _, was := range then {
		found := was.FoundOn
		if to, ok := of[found]; ok {
			found = to
		}
		alike := func(f checks.Fault) bool { return f.Rule == was.Rule && f.Subject.String() == was.Subject.String() }
		if slices.ContainsFunc(now, func(f checks.Fault) bool { return alike(f) && f.Number == was.Number }) {
			continue
		}
		i := slices.IndexFunc(now, func(f checks.Fault) bool { return alike(f) && f.FoundOn == found })
		switch {
		case i < 0:
			e.say("fault %d of %s (%s, %s): not found anew with what both know", was.Number, name, was.Rule.Name, was.Subject)
		default:
			e.say("fault %d of %s (%s, %s) is number %d here", was.Number, name, was.Rule.Name, was.Subject, now[i].Number)
		}
	}
}

// photosOf brings the photographs that the other copy has beside this record. One
// whose name another picture has gets a name of its own.
func (e *edit) photosOf(c *cobra.Command, path string) error {
	rec, _, err := schema.Read(e.path, e.text)
	if err != nil {
		return nil // told by the check of what is written
	}
	for i := range rec.Measured.Visits {
		rooms := rec.Measured.Visits[i].Rooms
		for _, room := range slices.Sorted(maps.Keys(rooms)) {
			for k, p := range rooms[room].Photos {
				at := schema.Pointer("/measured/visits", i, "rooms", room, "photos", k, "file")
				if err := e.photoOf(c, filepath.Dir(path), at, p); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

func (e *edit) photoOf(c *cobra.Command, from, at string, p schema.Photo) error {
	there, file := filepath.Join(from, filepath.FromSlash(p.File)), p.File
	to := filepath.Dir(e.path)
	if sameFile(from, to) || holdsPhoto(filepath.Join(to, filepath.FromSlash(file)), p) || !holdsPhoto(there, p) {
		return nil // what is missing is told by the report
	}
	ext := filepath.Ext(file)
	for n := 2; here(filepath.Join(to, filepath.FromSlash(file))) || e.brings[file] != "" && e.brings[file] != p.SHA256; n++ {
		file = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(p.File, ext), n, ext)
	}
	if file != p.File {
		text, err := amend.Replace(e.text, at, quoted(file))
		if err != nil {
			return fmt.Errorf("%s: %w", e.path, err)
		}
		e.text = text
		e.say("%s of the other copy is %s here, since another picture has that name", p.File, file)
	}
	if e.brings[file] != "" {
		return nil // another visit has it too
	}
	if e.brings == nil {
		e.brings = map[string]string{}
	}
	e.brings[file] = p.SHA256
	data, err := readFile(there, pictureFile)
	if err != nil {
		return err
	}
	beside := filepath.Join(to, filepath.FromSlash(file))
	e.first = append(e.first, func() error {
		if err := os.MkdirAll(filepath.Dir(beside), 0o755); err != nil {
			return err
		}
		return writeFresh(c.ErrOrStderr(), beside, 0o644, data)
	})
	return nil
}

// holdsPhoto reports whether a file is a photograph that a record names.
func holdsPhoto(path string, p schema.Photo) bool {
	data, err := readFile(path, pictureFile)
	sum := sha256.Sum256(data)
	return err == nil && strings.EqualFold(hex.EncodeToString(sum[:]), p.SHA256)
}

// quoted writes a text in JSON.
func quoted(s string) []byte {
	text, _ := json.Marshal(s) // text, which can always be written
	return text
}
