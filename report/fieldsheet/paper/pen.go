package paper

import (
	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/report/pdf"
	"setline.example/schema/plaintext"
)

// Measures in points.
const (
	sheetWidth = 493.0 // every paper is as wide
	boxHeight  = 16.0  // of a text box
	readingBox = 46.0  // of "127 1/2", as it is typed
	narrowBox  = 40.0  // what is typed into a narrower box is set smaller
	tickSize   = 14.0  // a thumb finds it
	labelSize  = 7.0
	leastSize  = 5.0 // text is set no smaller, and cut where that is too wide
	titleSize  = 9.5
	cellGap    = 6.0
	labelLine  = 8.0              // above a box
	cellHeight = 8.0 + 16.0 + 3.0 // a label, a box and the space below
	inlineLine = 18.0             // a box with its label beside it, and the space below
	trim       = 0.5              // of that space, at the end of a block, where the gap to the next begins
)

// block is a piece of a sheet that no page break cuts.
type block struct {
	height float64
	paint  func(*pen)
}

// picture shows a block through Markdown.
type picture struct {
	block
	sheet *sheet
}

func (p picture) Size() (w, h float64) { return sheetWidth, p.height }

// Reads implements [pdf.Reading].
func (picture) Reads() {}

func (p picture) Paint(c *pdf.Canvas) { p.paint(&pen{c, p.sheet}) }

// pen draws a block.
type pen struct {
	*pdf.Canvas
	sheet *sheet
}

// text writes s at x on a baseline within width w: smaller where it is too
// wide, and cut with an ellipsis where that is not enough.
func (p *pen) text(x, base, w, size float64, bold bool, s string) {
	size, s = p.fit(w, size, bold, s)
	p.Text(pdf.Point{X: x, Y: base}, pdf.Left, size, bold, s)
}

// heading writes s as text does, as what the boxes below it are of.
func (p *pen) heading(x, base, w float64, s string) {
	size, s := p.fit(w, titleSize, true, s)
	p.Heading(pdf.Point{X: x, Y: base}, pdf.Left, size, true, s)
}

func (p *pen) fit(w, size float64, bold bool, s string) (float64, string) {
	one := p.TextWidth(1, bold, s)
	for size > leastSize && one*size > w {
		size -= 0.25
	}
	if one*size > w {
		s = plaintext.Fit(s, func(s string) bool { return p.TextWidth(size, bold, s) <= w })
	}
	return size, s
}

func (p *pen) rule(y, width float64) {
	p.Line(width, 0, 0, pdf.Point{X: 0, Y: y}, pdf.Point{X: sheetWidth, Y: y})
}

// tick draws the tick box of a field with a word behind it, which takes w at
// most, and returns the x behind that. The middle of the box is at y.
func (p *pen) tick(x, y, w float64, f fieldsheet.Field, word string) float64 {
	p.Field(x, y-tickSize/2, tickSize, tickSize, pdf.Field{Kind: pdf.TickField, Name: f.Name, Tooltip: p.sheet.Words(say.That("%[1]s: %[2]s", fieldsheet.Tooltip(f, p.sheet.Say.Lengths), checks.AnswerWords(f.Answer)))})
	x += tickSize + 2
	p.text(x, y+2.4, w, labelSize, false, word)
	return x + w + 4
}

// ticks draws tick boxes in a row, with words in place of their answers.
func (p *pen) ticks(x, y float64, fields []fieldsheet.Field, own ...say.Words) float64 {
	for i, f := range fields {
		words := p.sheet.Say.Words(own[i])
		x = p.tick(x, y, p.TextWidth(labelSize, false, words)+0.5, f, words)
	}
	return x
}

// box draws the text box of a field, w wide with its unit behind it.
func (p *pen) box(x, y, w float64, f fieldsheet.Field) {
	if f.Blank.Kind == checks.LengthKind {
		unit := p.sheet.unit()
		w -= p.TextWidth(labelSize, false, unit) + 2
		p.Text(pdf.Point{X: x + w + 2, Y: y + 2.4}, pdf.Left, labelSize, false, unit)
	}
	p.bare(x, y, w, f)
}

// bare draws the text box of a field alone.
func (p *pen) bare(x, y, w float64, f fieldsheet.Field) {
	size := 9.0
	if w < narrowBox {
		size = 8
	}
	p.Field(x, y-boxHeight/2, w, boxHeight, pdf.Field{
		Name: f.Name, Tooltip: p.sheet.Words(fieldsheet.Tooltip(f, p.sheet.Say.Lengths)), Size: size,
		Value: fieldsheet.UsualText(f.Blank, p.sheet.Say.Lengths),
	})
}

// unit is what a length without one is taken to be in.
func (s *sheet) unit() string { return string(s.Say.Lengths) }
