package report

import (
	"errors"
	"fmt"
	"setline.example/templates"
	"slices"
	"strings"
	"time"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/report/results"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// Rebuilt is a turnover report made again from the record inside a PDF.
type Rebuilt struct {
	Record  []byte         // as it travels in the PDF
	Judged  *schema.Record // the same, read
	Version string         // of the Setline that made the PDF
	Date    time.Time      // of the report, as the PDF says; zero for none
	Ready   bool           // what the rules say now of the rooms that it hands over
	Covers  *Coverage      // the rooms that it hands over; nil for all of the job
	Format  int            // of its pages, as the PDF says
	// TemplateBy says in the words of whose template the body is, by the record,
	// and TemplateSHA256 which template that is; both are "" where it is Setline's
	// own. Of a report that is not compared they say what travels in it.
	TemplateBy, TemplateSHA256 string
	// Compared says whether the report was made again: only pages of this
	// program's [PageFormat] can be.
	Compared bool
	// Differs says where the PDF differs first from the report made again, which
	// is the same only byte for byte; it is "" where nothing differs.
	Differs string
	// FirstPage is the answer that the first page states, of a report that could
	// not be made again: whether it says ready, nil where there is none to read.
	FirstPage *bool
	// Was are the results that travel in such a report, nil where there are none
	// to read, and Otherwise what the rules now judge otherwise.
	Was       *results.Results
	Otherwise []results.Difference
	// PhotosUnread says why the photographs of such a report cannot be read, "" where they can.
	PhotosUnread string
	// Unknown are attachments of such a report that this program has no use for.
	Unknown []string

	job    bool // the whole of it is ready
	photos Photos
	shown  []schema.Photo
}

// ErrRebuild is wrapped by the errors of [Rebuild].
var ErrRebuild = errors.New("the report cannot be made again")

// Reason is what a report is signed for, which follows from its answer, and from
// the rooms of which it is one.
func (r *Rebuilt) Reason() string {
	if r.Ready {
		return "accepted: " + r.Answer()
	}
	return "inspection report: " + r.Answer()
}

// Answer is what the rules say now of the rooms that the report hands over.
func (r *Rebuilt) Answer() string { return r.Covers.Answer(r.Ready) }

// Rebuild takes the record out of a PDF as Setline wrote it, without any
// signature, runs the rules on it again, and makes the report again to compare
// the two.
func Rebuild(file []byte) (*Rebuilt, error) {
	back, err := pdf.ReadBack(file)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	if !strings.HasPrefix(back.Title, turnoverTitle) {
		return nil, fmt.Errorf("%w: found %q, expected a turnover report", ErrRebuild, plaintext.Visible(back.Title))
	}
	r := &Rebuilt{Date: back.Date}
	var ok bool
	if r.Version, r.Format, ok = readMaker(back.Creator); !ok {
		return nil, fmt.Errorf("%w: found %q as what made it, expected a version of Setline and its page format", ErrRebuild, plaintext.Visible(plaintext.Cut(back.Creator, 80)))
	}
	if r.Record, err = back.Attachment(AttachmentName, schema.MaxBytes); err != nil {
		return nil, fmt.Errorf("%w: %w, expected the job record", ErrRebuild, err)
	}
	rec, src, err := schema.Read(AttachmentName, r.Record)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	if err := r.results(back, rec); err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	r.Ready, r.Judged, r.job = r.Covers.ready(found), rec, found.Ready()
	if r.Format != PageFormat() {
		return r, r.another(back, found)
	}
	r.Compared = true
	faults, err := checks.History(rec, src)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	photos, err := photosIn(rec, r.Covers, back)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	r.photos, r.shown = photos, photos.shownIn(rec, r.Covers)
	l, err := letterheadIn(back)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	r.TemplateBy, r.TemplateSHA256 = say.Writer{}.Text(templateBy(rec, l, templates.Turnover)), l.sum(templates.Turnover)
	again, err := New(found, faults, r.Record, Options{
		Date: back.Date, Version: r.Version, Paper: back.Paper, Letterhead: l, Photos: photos, Covers: r.Covers,
	})
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	compared := pdf.CompareWith(file)
	if err := again.PDF(compared); err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	r.Differs = compared.Difference()
	return r, nil
}

// ResultsName is the name under which the results travel in the PDF.
const ResultsName = "results.json"

// another looks at a report whose pages this program cannot draw.
func (r *Rebuilt) another(back *pdf.Back, found *checks.Findings) error {
	shown, err := back.FirstPage()
	if err != nil {
		return fmt.Errorf("%w: its first page: %w", ErrRebuild, err)
	}
	r.FirstPage = r.answerIn(shown)
	r.Unknown = unknownIn(back, r.Judged, r.Covers)
	if r.photos, err = photosIn(r.Judged, r.Covers, back); err != nil {
		r.PhotosUnread = err.Error() // of a later form
	}
	r.shown = r.photos.shownIn(r.Judged, r.Covers)
	if l, err := letterheadIn(back); err == nil {
		r.TemplateBy, r.TemplateSHA256 = say.Writer{}.Text(templateBy(r.Judged, l, templates.Turnover)), l.sum(templates.Turnover)
	}
	if r.Was != nil {
		r.Otherwise = results.Compare(r.Was, results.Of(found))
	}
	return nil
}

// results reads the results that travel in a report, and which rooms it hands
// over by them; none where they are of a later form. That it is drawn so is for
// the comparison of its pages to say.
func (r *Rebuilt) results(back *pdf.Back, rec *schema.Record) error {
	if !back.Has(ResultsName) {
		return nil
	}
	data, err := back.Attachment(ResultsName, results.MaxBytes)
	if err != nil {
		return err
	}
	was, err := results.Read(data)
	if err != nil {
		return nil // of a later form
	}
	r.Was = was
	r.Covers, err = Cover(rec, was.Covers)
	return err
}

// unknownIn lists the attachments that no report of this program has of a record.
func unknownIn(back *pdf.Back, rec *schema.Record, c *Coverage) []string {
	known := map[string]bool{AttachmentName: true, ResultsName: true, templateFile: true, logoFile: true}
	for _, p := range photosNamed(rec, c) {
		known[photoName(p)+photoShown], known[photoName(p)+photoProblem] = true, true
	}
	return slices.DeleteFunc(slices.Clone(back.Names()), func(name string) bool { return known[name] })
}

// Contradiction says which answer in a report that could not be made again is
// not that of the rules, "" where none is.
func (r *Rebuilt) Contradiction() string {
	whole := (*Coverage)(nil)
	switch {
	case r.FirstPage != nil && *r.FirstPage != r.Ready:
		return fmt.Sprintf("its first page says %s, and the rules say %s of its record", r.Covers.Answer(*r.FirstPage), r.Answer())
	case !r.SameAnswer():
		return fmt.Sprintf("its results say %s, and the rules say %s of its record", whole.Answer(r.Was.Ready), whole.Answer(r.job))
	}
	return ""
}

// SameAnswer reports whether the results that travel in it come to what the rules
// say now of the whole job, of which they are.
func (r *Rebuilt) SameAnswer() bool { return r.Was == nil || r.Was.Ready == r.job }

// answerIn finds the answer among the texts of a first page, the one place where
// it is read back by its words: those of a page that an earlier version drew are
// all there is of it. It stands larger than anything typed that could be the same
// words, such as a job's name. One that hands over some rooms says how many in
// the same line.
func (r *Rebuilt) answerIn(shown []pdf.Shown) (says *bool) {
	size := 0.0
	for _, s := range shown {
		for _, ready := range []bool{true, false} {
			if s.Text == r.Covers.Answer(ready) && s.Size > size {
				says, size = &ready, s.Size
			}
		}
	}
	return says
}
