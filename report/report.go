package report

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"text/template"
	"time"

	"github.com/yuin/goldmark/ast"
	"setline.example/checks"
	"setline.example/report/pdf"
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
	// Templates replaces the templates of package templates; nil uses those.
	Templates fs.FS
}

// Report is a turnover report ready to be written.
type Report struct {
	view    View
	record  []byte
	options Options
	parts   [][]byte // Markdown: the answer, the body, the cautions and signatures
}

// fixed holds the templates that cannot be replaced.
//
//go:embed fixed/*.md
var fixed embed.FS

// New makes the report of found. record is the record's text as it was read,
// which travels in the PDF. The error says which template is broken, where
// and how.
func New(found *checks.Findings, record []byte, o Options) (*Report, error) {
	r := &Report{view: newView(found, o), record: record, options: o}
	body := o.Templates
	if body == nil {
		body = templates.FS
	}
	answer, err := execute(fixed, "fixed/answer.md", r.view)
	if err != nil {
		return nil, err
	}
	text, err := execute(body, templates.Turnover, r.view)
	if err != nil {
		return nil, err
	}
	if err := refuseHTML(templates.Turnover, text); err != nil {
		return nil, err
	}
	cautions, err := execute(fixed, "fixed/cautions.md", struct {
		View
		SHA256, Attachment, Date, Paper, Version Text
	}{
		r.view,
		Text(fmt.Sprintf("%x", sha256.Sum256(record))), AttachmentName,
		Text(o.Date.UTC().Format(time.DateOnly)), Text(o.Paper), Text(o.Version),
	})
	if err != nil {
		return nil, err
	}
	r.parts = [][]byte{answer, text, cautions}
	return r, nil
}

// Ready reports whether the report says that every room is ready.
func (r *Report) Ready() bool { return r.view.Ready }

func execute(files fs.FS, name string, data any) ([]byte, error) {
	t, err := template.ParseFS(files, name)
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
	return ast.Walk(pdf.ParseMarkdown(markdown), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch n.Kind() {
		case ast.KindHTMLBlock, ast.KindRawHTML:
			return ast.WalkStop, fmt.Errorf("template %s: %w", name, errHTML)
		}
		return ast.WalkContinue, nil
	})
}

// Markdown writes the report as Markdown (CommonMark with tables).
func (r *Report) Markdown(w io.Writer) error {
	_, err := w.Write(bytes.Join(r.parts, []byte("\n")))
	return err
}

// PDF writes the report as PDF with the record attached.
func (r *Report) PDF(w io.Writer) error {
	title := "Turnover report: " + string(r.view.Project)
	return pdf.Write(w, pdf.Document{
		Parts:       r.parts,
		Title:       title,
		Subject:     string(r.view.Answer),
		Creator:     "Setline " + r.options.Version,
		Lang:        "en",
		HeaderLeft:  string(r.view.Project),
		HeaderRight: "Turnover report: " + string(r.view.Answer),
		FooterLeft:  "Setline " + r.options.Version + ", " + r.options.Date.UTC().Format(time.DateOnly),
		Paper:       r.options.Paper,
		Date:        r.options.Date,
		Attachments: []pdf.Attachment{{
			Name:        AttachmentName,
			Description: "The job record from which this report was made",
			Content:     r.record,
		}},
	})
}
