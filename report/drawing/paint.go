package drawing

import (
	"math"

	"setline.example/report/pdf"
)

// Paint draws the drawing on a PDF canvas. It fills the canvas's width, or is
// smaller, in the middle, where the canvas is not high enough for that.
func (d Drawing) Paint(c *pdf.Canvas) {
	w, h := c.Size()
	if d.Width <= 0 || d.Height <= 0 {
		return
	}
	k := min(w/d.Width, h/d.Height)
	p := painter{c, k, (w - k*d.Width) / 2}
	for _, s := range d.Shapes {
		if len(s.Points) > 0 {
			p.shape(s)
		}
	}
}

type painter struct {
	c     *pdf.Canvas
	scale float64
	left  float64
}

func (p painter) shape(s Shape) {
	pts := make([]pdf.Point, len(s.Points))
	for i, q := range s.Points {
		pts[i] = pt(p.left+p.scale*q.X, p.scale*q.Y)
	}
	switch s.Kind {
	case Line:
		p.stroke(s, pts)
	case Area:
		p.fillAndStroke(s, pts)
	case Circle:
		p.fillAndStroke(s, around(pts[0], p.scale*s.Radius))
		p.shape(s.label())
	case Text:
		size := p.scale * s.Size
		room := p.scale * textWidth(s.Text, s.Size, s.Bold)
		if w := p.c.TextWidth(size, s.Bold, s.Text); w > room && w > 0 {
			size *= room / w
		}
		p.c.Text(pts[0], s.Align, size, s.Bold, s.Text)
	}
}

func (p painter) fillAndStroke(s Shape, pts []pdf.Point) {
	if s.Fill != None {
		p.c.Fill(s.Fill.grey(), pts...)
	}
	p.stroke(s, append(pts, pts[0]))
}

func (p painter) stroke(s Shape, pts []pdf.Point) {
	switch {
	case s.Stroke == None || s.LineWidth <= 0:
	case s.Stroke == Accent:
		p.c.Alarm(p.scale*s.LineWidth, p.scale*s.Dash, pts...)
	default:
		p.c.Line(p.scale*s.LineWidth, s.Stroke.grey(), p.scale*s.Dash, pts...)
	}
}

func around(c pdf.Point, r float64) []pdf.Point {
	pts := make([]pdf.Point, 36)
	for i := range pts {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(pts)))
		pts[i] = pt(c.X+r*cos, c.Y+r*sin)
	}
	return pts
}

func (t Tone) grey() float64 {
	switch t {
	case Dark:
		return 0.35
	case Grey:
		return 0.6
	case Pale:
		return 0.88
	case White:
		return 1
	}
	return 0
}
