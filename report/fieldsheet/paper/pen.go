package paper

import (
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/report/pdf"
	"setline.example/schema/plaintext"
)

// Measures in points. Text is set no smaller than labelSize, at which it is read
// in the hand.
const (
	sheetWidth = 493.0 // every paper is as wide
	boxHeight  = 16.0  // of a text box
	typedSize  = 9.0   // of what is typed
	leastBox   = 34.5  // "127 1/2" as it is typed, and what programs leave beside it
	readingBox = 44.0  // of a reading
	tickSize   = 14.0  // a thumb finds it
	labelSize  = 8.0
	titleSize  = 9.5
	labelLine  = 9.5  // of a label above a box
	inlineLine = 18.0 // a box with its label beside it, and the space below
	cellSpace  = 1.0  // below the boxes of a row
	cellGap    = 6.0
	pieceGap   = 4.0 // from a box and its words to the next
	wordGap    = 3.0 // between words and the box that they belong to
	tickGap    = 2.0 // likewise for a tick
	textDown   = 2.8 // from the middle of a box to the baseline of words beside it
	trim       = 0.5 // of the space at the end of a block, where the gap to the next begins
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

// text writes s at x on a baseline within width w, cut with an ellipsis where it
// is too wide.
func (p *pen) text(x, base, w, size float64, bold bool, s string) {
	p.Text(pdf.Point{X: x, Y: base}, pdf.Left, size, bold, fit(w, size, bold, s))
}

// heading writes s as text does, as what the boxes below it are of.
func (p *pen) heading(x, base, w float64, s string) {
	p.Heading(pdf.Point{X: x, Y: base}, pdf.Left, titleSize, true, fit(w, titleSize, true, s))
}

func fit(w, size float64, bold bool, s string) string {
	fits := func(s string) bool { return pdf.TextWidth(size, bold, s) <= w }
	if fits(s) {
		return s
	}
	return plaintext.Fit(s, fits)
}

// wrap breaks a label at spaces into lines of a width. A word that is wider alone
// is cut.
func wrap(s string, w float64) (lines []string) {
	const space = 0.278 // of the size, in the font of labels
	room := 0.0
	for _, word := range strings.Fields(s) {
		long := pdf.TextWidth(labelSize, false, word)
		if n := len(lines); n > 0 && labelSize*space+long <= room {
			lines[n-1] += " " + word
			room -= labelSize*space + long
			continue
		}
		lines, room = append(lines, fit(w, labelSize, false, word)), w-long
	}
	return lines
}

// lines writes lines of a label from the top y, and returns the y below.
func (p *pen) lines(x, y float64, bold bool, lines []string) float64 {
	for _, line := range lines {
		p.Text(pdf.Point{X: x, Y: y + labelLine - 2}, pdf.Left, labelSize, bold, line)
		y += labelLine
	}
	return y
}

func (p *pen) rule(y, width float64) {
	p.Line(width, 0, 0, pdf.Point{X: 0, Y: y}, pdf.Point{X: sheetWidth, Y: y})
}

// tick draws the tick box of a field with a word behind it, which takes w at
// most, and returns the x behind that. The middle of the box is at y.
func (p *pen) tick(x, y, w float64, f fieldsheet.Field, word string) float64 {
	p.Field(x, y-tickSize/2, tickSize, tickSize, pdf.Field{Kind: pdf.TickField, Name: f.Name, Tooltip: p.sheet.Words(say.That("%[1]s: %[2]s", fieldsheet.Tooltip(f, p.sheet.Say.Lengths), checks.AnswerWords(f.Answer)))})
	x += tickSize + tickGap
	p.text(x, y+textDown, w, labelSize, false, word)
	return x + w + pieceGap
}

// ticks draws tick boxes in a row, with words in place of their answers.
func (p *pen) ticks(x, y float64, fields []fieldsheet.Field, own ...say.Words) float64 {
	for i, f := range fields {
		words := p.sheet.Say.Words(own[i])
		x = p.tick(x, y, wide(words), f, words)
	}
	return x
}

// ticksWide is how wide such a row is.
func (s *sheet) ticksWide(own ...say.Words) (w float64) {
	for _, words := range own {
		w += tickSize + tickGap + wide(s.Say.Words(words)) + pieceGap
	}
	return w - pieceGap
}

// box draws the text box of a field, w wide with its unit behind it.
func (p *pen) box(x, y, w float64, f fieldsheet.Field) {
	if f.Blank.Kind == checks.LengthKind {
		w -= p.sheet.unitRoom()
		p.Text(pdf.Point{X: x + w + tickGap, Y: y + textDown}, pdf.Left, labelSize, false, p.sheet.unit())
	}
	p.bare(x, y, w, f)
}

// bare draws the text box of a field alone.
func (p *pen) bare(x, y, w float64, f fieldsheet.Field) {
	p.Field(x, y-boxHeight/2, w, boxHeight, pdf.Field{
		Name: f.Name, Tooltip: p.sheet.Words(fieldsheet.Tooltip(f, p.sheet.Say.Lengths)), Size: typedSize,
		Value: fieldsheet.UsualText(f.Blank, p.sheet.Say.Lengths),
	})
}

// unit is what a length without one is taken to be in.
func (s *sheet) unit() string { return string(s.Say.Lengths) }

// unitRoom is what the unit behind a box takes.
func (s *sheet) unitRoom() float64 { return tickGap + pdf.TextWidth(labelSize, false, s.unit()) }
