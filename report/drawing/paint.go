package drawing

import (
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
	p := painter{c, k, (w - float64(k*d.Width)) / 2}
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
		pts[i] = pt(p.left+float64(p.scale*q.X), float64(p.scale*q.Y))
	}
	switch s.Kind {
	case Line:
		p.stroke(s, pts)
	case Area:
		p.fillAndStroke(s, pts)
	case Circle:
		p.fillAndStroke(s, circle(pts[0], float64(p.scale*s.Radius), 36))
		p.shape(s.label())
	case Text:
		size := float64(p.scale * s.Size)
		room := float64(p.scale * textWidth(s.Text, s.Size, s.Bold))
		if w := p.c.TextWidth(size, s.Bold, s.Text); w > room && w > 0 {
			size = size * room / w
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
		p.c.Alarm(float64(p.scale*s.LineWidth), float64(p.scale*s.Dash), pts...)
	default:
		p.c.Line(float64(p.scale*s.LineWidth), s.Stroke.grey(), float64(p.scale*s.Dash), pts...)
	}
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
