package drawing

import (
	"slices"
	"strconv"

	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// Top is pieces of top that meet, and what is under them, as seen from above.
type Top struct {
	Elevation // of which the units are drawn
	Pieces    []Piece
	Marks     []Mark
	X, Y      length.Length // of the centre of gravity of all pieces
}

// Piece is one piece of top: along the elevation, and its edges out from the back
// of the deepest cabinet.
type Piece struct{ From, To, Back, Out length.Length }

// Mark is a place that can carry the top.
type Mark struct {
	X, Y    length.Length // along the elevation, and out as of a piece
	Tag     string        // of the cabinet that it is of
	Number  int           // in the table beside the drawing
	Carries bool          // the top rests on it
	Put     length.Length // the shim that goes there, 0 for none
	Raise   length.Length // by how much it is to come up instead, 0 for nothing
	Words   string        // which it is: "A1 front-left"
}

// What a drawing of tops keeps to, in points.
const (
	topHeight  = 150 // at most
	markRadius = 5.5
	markInset  = 9 // into the cabinet, so that those of two neighbours stand apart
)

// Tops draws pieces of top on their cabinets from above, the back at the top of
// the drawing: where the centre of gravity of all lies, which places carry them,
// and what to do at the others. ok is false where there is no piece.
func Tops(t Top, sys length.System, width float64) (d Drawing, ok bool) {
	if len(t.Pieces) == 0 {
		return Drawing{}, false
	}
	p := topPlan{Top: t}
	p.w, p.say = usableWidth(width), t.writer(sys)
	return p.draw(), true
}

type topPlan struct {
	Top
	sheet
	left, back  float64 // inches, of what lies there farthest
	k           float64 // points to an inch
	top, bottom float64 // the y of the back, and of what lies furthest out
}

func (p *topPlan) x(l length.Length) float64 { return 8 + float64(p.k*(l.Inches()-p.left)) }
func (p *topPlan) y(l length.Length) float64 { return p.top + float64(p.k*(l.Inches()-p.back)) }

func (p *topPlan) draw() Drawing {
	title := p.title("the top from above")
	p.text(4, 10, pdf.Left, 9, true, p.heading(p.say, "the top from above", p.w-8))
	says := say.That("the back at the top; numbers as in the table; a thick ring carries the top; beside a thin one stands what to shim there, or by how much it has to come up; the cross is the centre of gravity")
	p.top = p.paragraph(4, 14, p.w-8, handWords, p.say.Text(says)) + 6
	p.scale()
	for _, u := range p.Units {
		p.unit(u)
	}
	for _, t := range p.Pieces {
		p.area(None, Black, 1.4, box(p.x(t.From), p.y(t.Back), p.x(t.To), p.y(t.Out))...)
	}
	for _, u := range p.Units {
		p.tag(u)
	}
	x, y := p.x(p.X), p.y(p.Y)
	p.line(1.2, Black, 0, pt(x-5, y), pt(x+5, y))
	p.line(1.2, Black, 0, pt(x, y-5), pt(x, y+5))
	alt := p.say.Text(say.That("%[1]s. %[2]s.", title, says))
	for _, m := range p.Marks {
		p.mark(m)
		alt += " " + p.say.Text(m.says())
	}
	return p.drawing(p.bottom+6, p.say.Text(title), alt)
}

// says is a mark in words.
func (m Mark) says() say.Text {
	words := say.Name(m.Words)
	switch {
	case m.Carries:
		return say.That("%[1]s: %[2]s carries it.", m.Number, words)
	case m.todo().Empty():
		return say.That("%[1]s: %[2]s bears.", m.Number, words)
	}
	return say.That("%[1]s: %[2]s, %[3]s.", m.Number, words, m.todo())
}

// todo says what to do at a mark, nothing where nothing is to be done.
func (m Mark) todo() say.Text {
	switch {
	case m.Put > 0:
		return say.That("shim %[1]s", m.Put)
	case m.Raise > 0:
		return say.That("up %[1]s", m.Raise)
	}
	return say.Text{}
}

// scale makes all of it fit.
func (p *topPlan) scale() {
	first := p.Pieces[0]
	left, right, back, out := first.From.Inches(), first.To.Inches(), first.Back.Inches(), 0.0
	for _, t := range p.Pieces {
		left, right, out = min(left, t.From.Inches()), max(right, t.To.Inches()), max(out, t.Out.Inches())
		back = min(back, t.Back.Inches())
	}
	for _, u := range p.Units {
		left, right, out = min(left, u.X.Inches()), max(right, (u.X+u.Width).Inches()), max(out, (u.Behind+u.Depth).Inches())
		back = min(back, u.Behind.Inches())
	}
	p.left, p.back, p.k = left, back, (p.w-16)/max(right-left, 1)
	p.k = min(p.k, topHeight/max(out-back, 1))
	p.bottom = p.top + float64(p.k*(out-back))
}

func (p *topPlan) unit(u Unit) {
	p.area(None, Grey, 0.6, box(p.x(u.X), p.y(u.Behind), p.x(u.X+u.Width), p.y(u.Behind+u.Depth))...)
}

// tag writes the tag of a unit in its middle, where there is room for it.
func (p *topPlan) tag(u Unit) {
	x, y := (p.x(u.X)+p.x(u.X+u.Width))/2, (p.y(u.Behind)+p.y(u.Behind+u.Depth))/2
	tag := Shape{Kind: Text, Points: []pdf.Point{pt(x, y+3)}, Fill: Black, Size: 8, Align: pdf.Center,
		Text: fit(u.Tag, 8, false, p.x(u.X+u.Width)-p.x(u.X)-2)}
	if l, t, r, b, _ := tag.Box(); p.place(tag) { // over a joint of the top, where there is one
		p.lines = append(p.lines, Shape{Kind: Area, Points: box(l-1, t, r+1, b), Fill: White})
	}
}

// mark draws a place within the cabinet that it is of, and beside it what to do.
// What has no room stands in the table alone.
func (p *topPlan) mark(m Mark) {
	x, y := p.x(m.X), p.y(m.Y)
	down := 1.0 // towards the middle
	if slices.ContainsFunc(p.Units, func(u Unit) bool { return u.Tag == m.Tag && m.Y > u.Behind }) {
		down = -1
	}
	y += float64(down * markInset)
	align, edge := pdf.Center, 0.0
	for _, u := range p.Units {
		if u.Tag != m.Tag || p.x(u.X+u.Width)-p.x(u.X) < 4*markInset {
			continue
		}
		switch m.X {
		case u.X:
			x, align, edge = x+markInset, pdf.Left, -markRadius
		case u.X + u.Width:
			x, align, edge = x-markInset, pdf.Right, markRadius
		}
	}
	ring := Shape{Kind: Circle, Points: []pdf.Point{pt(x, y)}, Radius: markRadius, Fill: White, Stroke: Black,
		LineWidth: 0.5, Text: strconv.Itoa(m.Number), Size: 6.5, Bold: m.Carries}
	if m.Carries {
		ring.LineWidth = 1.8
	}
	if p.place(ring) {
		beside := y + float64(down*(markRadius+6))
		p.place(Shape{Kind: Text, Points: []pdf.Point{pt(x+edge, beside+2.5)}, Fill: Black, Size: axisText, Align: align,
			Text: clean(p.say.Text(m.todo()))})
	}
}

// place adds text or a circle, unless there is no room.
func (p *topPlan) place(s Shape) bool {
	l, t, r, b, _ := s.Box()
	if s.Text == "" || l < 0 || r > p.w || t < p.top-2 || b > p.bottom+2 {
		return false
	}
	for _, o := range p.over {
		if ol, ot, or, ob, ok := o.Box(); ok && l < or && ol < r && t < ob && ot < b {
			return false
		}
	}
	p.over = append(p.over, s)
	return true
}
