package report

import (
	"regexp"
	"strings"

	"setline.example/checks/say"
	"setline.example/report/pdf"
)

// place is where someone signs a report: a box on the page with room for a
// pen, over which a digital signature shows what it says.
type place struct {
	name string // of the field; "" where a pen alone signs
	role string
	say  say.Writer
}

// Size implements [pdf.Picture].
func (place) Size() (w, h float64) { return drawingWidth, 60 }

// Reads implements [pdf.Reading].
func (place) Reads() {}

// Paint implements [pdf.Picture].
func (p place) Paint(c *pdf.Canvas) {
	w, h := c.Size()
	const pad, date, foot = 8, 130, 16
	c.Line(0.5, 0.78, 0, pdf.Point{X: 0.25, Y: 0.25}, pdf.Point{X: w - 0.25, Y: 0.25}, pdf.Point{X: w - 0.25, Y: h - 0.25}, pdf.Point{X: 0.25, Y: h - 0.25}, pdf.Point{X: 0.25, Y: 0.25})
	c.Line(0.7, 0, 0, pdf.Point{X: pad, Y: h - foot}, pdf.Point{X: w - date - 2*pad, Y: h - foot})
	c.Line(0.7, 0, 0, pdf.Point{X: w - date - pad, Y: h - foot}, pdf.Point{X: w - pad, Y: h - foot})
	c.Text(pdf.Point{X: pad, Y: h - 6}, pdf.Left, 7.5, false, p.say.Words("Signature"))
	c.Text(pdf.Point{X: w - date - pad, Y: h - 6}, pdf.Left, 7.5, false, p.say.Words("Date"))
	if p.name == "" {
		return
	}
	c.Field(0, 0, w, h, pdf.Field{Kind: pdf.SignatureField, Name: p.name, Tooltip: p.say.Text(say.That("Signature of the %[1]s", say.Name(strings.ToLower(p.role))))})
}

// placeLine is a line of Markdown that holds a place and nothing else.
var placeLine = regexp.MustCompile(`(?m)^!\[[^\n]*\]\(signature-[a-z]+\)\n`)

// paperLine is where one signs in Markdown and HTML, which hold no signatures.
func paperLine(w say.Writer) string {
	return w.Words("Signature") + " " + strings.Repeat(`\_`, 36) + " " + w.Words("Date") + " " + strings.Repeat(`\_`, 16)
}
