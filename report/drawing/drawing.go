package drawing

import (
	"math"

	"setline.example/checks/say"
	"setline.example/report/pdf"
)

// Drawing is a picture in points (1/72 in), x to the right and y down from its
// top left corner.
type Drawing struct {
	Width, Height float64
	Title         string  // one line, for lists of drawings and for SVG readers
	Alt           string  // the picture in words, for who cannot see it
	Shapes        []Shape // in paint order
	// Units are where the units stand that a front shows, from left to right; none
	// on other drawings.
	Units []Standing
}

// Standing is where a unit stands on a drawing, in points.
type Standing struct {
	Tag                      string
	Filler                   bool
	Left, Top, Right, Bottom float64
}

// Kind says what a [Shape] is.
type Kind int

// The kinds of shape.
const (
	Line   Kind = iota // an open line through Points
	Area               // a polygon through Points, filled, stroked or both
	Circle             // around Points[0], Radius wide, with Text in its middle
	Text               // one line of text, its baseline through Points[0]
)

// Tone is what a shape is drawn with.
type Tone int

// The tones. Accent is a dark red for lines; it is used only where a word says
// the same, and is dark on a grey printer too.
const (
	None Tone = iota
	Black
	Dark
	Grey
	Pale
	White
	Accent
)

// Shape is one thing drawn. Lengths are in points.
type Shape struct {
	Kind         Kind
	Points       []pdf.Point
	Radius       float64 // of a circle
	Fill, Stroke Tone    // None leaves it out
	LineWidth    float64
	Dash         float64 // length of strokes and gaps, 0 for a whole line
	Text         string
	Size         float64 // of the text
	Align        pdf.Align
	Bold         bool
}

// Box returns the box that a text or circle takes, wide enough for the text in
// the fonts of the PDF; ok is false for other shapes.
func (s Shape) Box() (left, top, right, bottom float64, ok bool) {
	if len(s.Points) == 0 {
		return 0, 0, 0, 0, false
	}
	p := s.Points[0]
	switch s.Kind {
	case Circle:
		return p.X - s.Radius, p.Y - s.Radius, p.X + s.Radius, p.Y + s.Radius, true
	case Text:
		w := textWidth(s.Text, s.Size, s.Bold)
		x := p.X
		switch s.Align {
		case pdf.Center:
			x -= w / 2
		case pdf.Right:
			x -= w
		}
		return x, p.Y - float64(ascent*s.Size), x + w, p.Y + float64(descent*s.Size), true
	}
	return 0, 0, 0, 0, false
}

// Heights of capitals and brackets above, and of tails below, the baseline, in em.
const (
	ascent  = 0.74
	descent = 0.22
)

// sheet collects shapes in two layers: lines, and over them text and circles.
type sheet struct {
	say         say.Writer
	w           float64
	lines, over []Shape
}

func pt(x, y float64) pdf.Point { return pdf.Point{X: x, Y: y} }

func box(left, top, right, bottom float64) []pdf.Point {
	return []pdf.Point{pt(left, top), pt(right, top), pt(right, bottom), pt(left, bottom)}
}

func (s *sheet) line(width float64, tone Tone, dash float64, pts ...pdf.Point) {
	if len(pts) > 1 {
		s.lines = append(s.lines, Shape{Kind: Line, Points: pts, Stroke: tone, LineWidth: width, Dash: dash})
	}
}

func (s *sheet) area(fill, stroke Tone, width float64, pts ...pdf.Point) {
	s.lines = append(s.lines, Shape{Kind: Area, Points: pts, Fill: fill, Stroke: stroke, LineWidth: width})
}

// dot is a mark on a line, not a circle with a number: it may lie under text.
func (s *sheet) dot(x, y, r float64, fill, stroke Tone) {
	s.area(fill, stroke, 0.5, circle(pt(x, y), r, 12)...)
}

// text writes over lines; a backing keeps them from running through it.
func (s *sheet) text(x, y float64, align pdf.Align, size float64, bold bool, text string) {
	if text == "" {
		return
	}
	t := Shape{Kind: Text, Points: []pdf.Point{pt(x, y)}, Fill: Black, Text: text, Size: size, Align: align, Bold: bold}
	l, top, r, b, _ := t.Box()
	s.over = append(s.over, Shape{Kind: Area, Points: box(l-0.6, top, r+0.6, b), Fill: White}, t)
}

// paragraph writes wrapped lines from the top y and returns the y below them.
func (s *sheet) paragraph(x, y, width, size float64, text string) float64 {
	for _, l := range wrap(text, size, false, width) {
		s.text(x, y+size, pdf.Left, size, false, l)
		y += float64(1.35 * size)
	}
	return y
}

func (s *sheet) drawing(height float64, title, alt string) Drawing {
	return Drawing{Width: s.w, Height: height, Title: clean(title), Alt: clean(alt), Shapes: append(s.lines, s.over...)}
}

// Widths of a drawing that there is room to label.
const (
	usualWidth = 468
	leastWidth = 144
	mostWidth  = 14400
)

func usableWidth(w float64) float64 {
	if math.IsNaN(w) || w <= 0 {
		return usualWidth
	}
	return min(max(w, leastWidth), mostWidth)
}

// empty is a small drawing that says why there is none.
func empty(w say.Writer, width float64, title, why say.Text) Drawing {
	s := &sheet{say: w, w: width}
	s.text(4, 14, pdf.Left, 9, true, fit(w.Text(title), 9, true, width-8))
	y := s.paragraph(4, 20, width-8, handWords, w.Text(why))
	return s.drawing(y+4, w.Text(title), w.Text(say.That("%[1]s: %[2]s", title, why)))
}
