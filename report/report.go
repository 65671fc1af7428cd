package report

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"text/template"
	"time"

	"github.com/yuin/goldmark/ast"
	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/markup"
	"setline.example/report/pdf"
	"setline.example/report/results"
	"setline.example/templates"
)

// AttachmentName is the name under which the job record travels in the PDF.
const AttachmentName = "job-record.json"

// Options are what a report needs beside the findings.
type Options struct {
	// Date of the report. The PDF is dated with it, so that the same record, date and version give the same bytes.
	Date time.Time
	// Version of the program.
	Version string
	// Paper is pdf.Letter or pdf.A4.
	Paper pdf.Paper
	// Photos are the photographs that the record names; nil where nobody looked for them.
	Photos Photos
	// Letterhead is a firm's own templates and logo; nil uses ours, and no logo.
	Letterhead *Letterhead

	// Covers are the rooms that the report hands over; nil for all of the job.
	Covers *Coverage

	language say.Language // English where it is nil; the only one that there is, but for tests
}

// Report is a document ready to be written: a turnover report, or a layout sheet.
type Report struct {
	ready            bool
	title, subject   string
	project, running string // the running header: left and right
	record           []byte
	results          []byte // as data; nil for a layout sheet
	photos           []pdf.Attachment
	options          Options
	pictures         map[string]pdf.Picture
	instead          map[string][]byte // of some pictures, Markdown that says the same where none travel, or they would be too small
	parts            [][]byte          // Markdown: what goes before the body, the body, and what comes after
	newPages         []int             // parts that begin on a new page
	whole            []int             // parts that stand on one page where they can
	annex            int               // the part with the annex in our words; 0 where there is none
	others           bool              // the body is in others' words
	ending           *ending           // the last part; nil where that says nothing of the medium
}

const (
	turnoverTitle = "Turnover report: " // begins the title of every turnover report
	creator       = "Setline "          // begins the name of what made a file, see [maker]
)

// logoPicture is the name by which Markdown shows the logo.
const logoPicture = "logo"

// Text is what people typed, see [markup.Text].
type Text = markup.Text

// fixed holds the templates that cannot be replaced.
//
//go:embed fixed/*.md
var fixed embed.FS

// New makes the turnover report of found and of the faults of its history. record is the record's text as it
// was read, which travels in the PDF. The error says which template is broken,
// where and how.
func New(found *checks.Findings, faults []checks.Fault, record []byte, o Options) (*Report, error) {
	v, pictures := newView(found, faults, record, o)
	r := &Report{
		ready: v.Ready, pictures: pictures, record: record, options: o,
		title: turnoverTitle + string(v.Project), subject: string(v.Answer),
		project: string(v.Project), running: say.Writer{Language: o.language}.Text(say.That("Turnover report: %[1]s", say.Name(v.Answer))),
	}
	if v.Covers != "" {
		r.title += ": " + r.subject
	}
	data := results.Of(found)
	data.Covers = o.Covers.covered()
	r.results = data.JSON()
	r.photos = o.Photos.attachments(found.Record, o.Covers)
	r.ending = &ending{
		v.Signers, o.Covers.flags(), v.TemplateBy, v.Covers, Text(fmt.Sprintf("%x", sha256.Sum256(record))), AttachmentName, ResultsName,
		Text(o.Date.UTC().Format(time.DateOnly)), Text(o.Paper), Text(o.Version), templateFile, Text(o.Letterhead.sum(templates.Turnover)), PageFormat(), inPDF,
	}
	for _, s := range v.Signers {
		r.pictures[s.Place] = place{s.Place, string(s.Role), say.Writer{Language: o.language}}
	}
	first := []part{{"fixed/answer.md", v}, {punchList, v}}
	for _, room := range v.Rooms {
		if room.Visited {
			first = append(first, part{roomPage, room})
		}
	}
	if v.TemplateBy != "" {
		first = append(first, part{wordsOf, v})
		r.others = true
	} else {
		first = append(first, part{annexPage, nil})
	}
	err := r.assemble(templates.Turnover, v, first, cautions, part{"fixed/sign.md", r.ending})
	return r, err
}

// ending is what a turnover report says of itself: who signs it, and how it can
// be checked, which is another thing in another medium. It stays while the report
// is written, which the rest of the view does not.
type ending struct {
	Signers []SignerView

	Rooms Words // flags of the command that makes it again

	TemplateBy, Covers, SHA256, Attachment, Results, Date, Paper, Version, Template, TemplateSHA256 Text
	Format                                                                                          int
	Medium                                                                                          medium
}

type medium string

const (
	inPDF      medium = "PDF"
	inHTML     medium = "HTML"
	inMarkdown medium = "Markdown"
)

// in returns the parts of the document as they are in m.
func (r *Report) in(m medium) ([][]byte, error) {
	if r.ending == nil || m == r.ending.Medium {
		return r.parts, nil
	}
	there := *r.ending
	there.Medium = m
	source, err := fixed.ReadFile("fixed/sign.md")
	if err != nil {
		return nil, err
	}
	text, err := execute("fixed/sign.md", r.words().Page(string(source)), there)
	last := len(r.parts) - 1
	return append(slices.Clip(r.parts[:last]), text), err
}

// newPages are the fixed templates that begin a new page.
var newPages = []string{roomPage, annexPage, wordsOf, cutPage}

const (
	roomPage  = "fixed/room.md"  // of one room
	annexPage = "fixed/annex.md" // the head of what proves the pages before
)

// punchList stands on one page where it can, so that it can be taken to the work.
const punchList = "fixed/punch.md"

// wordsOf says in whose words follow those of a firm's template. It begins a new
// page: what they say must not stand under the answer as if it were one.
const wordsOf = "fixed/words.md"

// part is a template that cannot be replaced, and what it shows.
type part struct {
	template string
	data     any
}

// cautions are those of [markup.Cautions].
var cautions = part{"cautions", nil}

// assemble makes the parts: the first fixed ones, the body from a template that
// may be replaced unless there is none, and the other fixed ones.
func (r *Report) assemble(body string, data any, first []part, rest ...part) error {
	w := r.words()
	if l := r.options.Letterhead; l != nil && l.logo != nil {
		r.pictures[logoPicture] = l.logo
		r.parts = append(r.parts, fmt.Appendf(nil, "![Logo](%s)\n", logoPicture))
	}
	for i, p := range slices.Concat(first, []part{{}}, rest) {
		if i == len(first) && body == "" {
			continue
		}
		var text []byte
		var err error
		if i == len(first) {
			text, err = r.options.Letterhead.body(w, body, data, len(r.record))
		} else if p.template == cautions.template {
			text = markup.Cautions(w)
			r.whole = append(r.whole, len(r.parts))
		} else if source, readErr := fixed.ReadFile(p.template); readErr == nil {
			if slices.Contains(newPages, p.template) {
				r.newPages = append(r.newPages, len(r.parts))
			}
			if p.template == punchList {
				r.whole = append(r.whole, len(r.parts))
			}
			if p.template == annexPage {
				r.annex = len(r.parts) + 1
			}
			text, err = execute(p.template, w.Page(string(source)), p.data)
		} else {
			err = readErr
		}
		if err != nil {
			return err
		}
		r.add(text)
	}
	return nil
}

// add adds a part. What follows a form feed in it begins a new page; what follows
// a vertical tab does where the page that is begun has no room for all of it.
func (r *Report) add(text []byte) {
	for {
		n := len(r.parts)
		at := bytes.IndexAny(text, "\f\v")
		if at < 0 {
			r.parts = append(r.parts, text)
			return
		}
		r.parts = append(r.parts, text[:at])
		if text[at] == '\f' {
			r.newPages = append(r.newPages, n+1)
		} else {
			r.whole = append(r.whole, n+1)
		}
		text = text[at+1:]
	}
}

// words writes words of ours in the language of the report.
func (r *Report) words() say.Writer { return say.Writer{Language: r.options.language} }

// Ready reports whether the document says that all is ready.
func (r *Report) Ready() bool { return r.ready }

func execute(name, source string, data any) ([]byte, error) {
	t, err := template.New(name).Parse(source)
	if err != nil {
		return nil, fmt.Errorf("template %s: %w", name, err)
	}
	var out bytes.Buffer
	if err := t.Execute(&out, data); err != nil {
		return nil, fmt.Errorf("template %s: %w", name, err)
	}
	return out.Bytes(), nil
}

var errHTML = errors.New("raw HTML in a template; a comment or tag left open could hide the cautions that follow it")

// refuseHTML refuses a body with raw HTML in it. Typed text is escaped, so
// that only a template can have put it there.
func refuseHTML(name string, markdown []byte) error {
	if !mayHoldHTML(markdown) {
		return nil
	}
	return ast.Walk(pdf.ParseMarkdown(markdown), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch n.Kind() {
		case ast.KindHTMLBlock, ast.KindRawHTML:
			return ast.WalkStop, fmt.Errorf("template %s: %w", name, errHTML)
		}
		return ast.WalkContinue, nil
	})
}

// mayHoldHTML reports whether a < stands in the Markdown that no backslash
// before it escapes; without one there is no raw HTML (CommonMark 0.31.2, 4.6
// and 6.6), and nothing has to be parsed to know it.
func mayHoldHTML(markdown []byte) bool {
	for at := 0; ; at++ {
		i := bytes.IndexByte(markdown[at:], '<')
		if i < 0 {
			return false
		}
		at += i
		if before := markdown[:at]; (len(before)-len(bytes.TrimRight(before, `\`)))%2 == 0 {
			return true
		}
	}
}

// pictureAtStart is one of the report's own pictures at the start of a line, with
// the line where it holds nothing else. A bracket that was typed is escaped.
var pictureAtStart = regexp.MustCompile(`(?m)^!\[(?:[^\]\\\n]|\\.)*\]\((?:` + pictureNames + `)\)[\n ]`)

// pictureNames are the names of logo, drawings and photographs.
const pictureNames = `logo|(?:drawing|places|heights|cut|turns|top|setting)-[0-9-]+|photo-[0-9]+`

// Markdown writes the report as Markdown (CommonMark with tables).
func (r *Report) Markdown(w io.Writer) error {
	parts, err := r.in(inMarkdown)
	if err != nil {
		return err
	}
	for _, p := range parts {
		// Pictures do not travel in Markdown.
		text := placeLine.ReplaceAll(pictureAtStart.ReplaceAllFunc(p, r.saidInstead), []byte(paperLine(r.words())+"\n"))
		if _, err := w.Write(append(text, '\n')); err != nil {
			return err
		}
	}
	return nil
}

// pictureName is the name of a picture in its Markdown.
var pictureName = regexp.MustCompile(`\]\((` + pictureNames + `)\)`)

// saidInstead is what stands in place of a picture: nothing of most.
func (r *Report) saidInstead(picture []byte) []byte {
	return r.instead[string(pictureName.FindSubmatch(picture)[1])]
}

// PDF writes the report as PDF with the record attached.
func (r *Report) PDF(w io.Writer) error {
	made := creator + r.options.Version
	var small []int
	if r.annex > 0 {
		small = []int{r.annex}
	}
	files := []pdf.Attachment{{
		Name:        AttachmentName,
		Description: "The job record from which this document was made",
		Content:     r.record,
		Relation:    pdf.Source,
	}}
	if r.results != nil {
		made = maker(r.options.Version, PageFormat())
		files = append(files, pdf.Attachment{Name: ResultsName, Description: "What each rule said of each place, as data", Content: r.results, Relation: pdf.Supplement})
		files = append(files, r.options.Letterhead.attachments()...)
	}
	return pdf.Write(w, pdf.Document{
		Parts:         r.parts,
		NewPages:      r.newPages,
		Whole:         r.whole,
		SmallParts:    small,
		Pictures:      r.pictures,
		Title:         r.title,
		Subject:       r.subject,
		Creator:       made,
		Lang:          "en",
		HeaderLeft:    r.project,
		HeaderRight:   r.running,
		HeaderSection: !r.others, // their headings could be read as ours
		PageOf: func(page, of int) string {
			return r.words().Text(say.That("page %[1]s of %[2]s", page, of))
		},
		FooterLeft:  "Setline " + r.options.Version + ", " + r.options.Date.UTC().Format(time.DateOnly),
		Paper:       r.options.Paper,
		Date:        r.options.Date,
		Attachments: append(files, r.photos...),
	})
}
