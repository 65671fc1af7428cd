package drawing

import (
	"math"

	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// What a profile keeps to, in points.
const (
	profileHeight = 110
	sketchProfile = 64  // of a sketch
	axisRoom      = 52  // left of the plot, for its labels
	axisText      = 7.5 // of other drawings
)

// FloorProfile draws the front and back floor lines of an elevation, with
// every reading as a dot. Readings are down from the reference line and are
// drawn downward. The vertical scale is exaggerated and the drawing says by how
// much. ok is false where there is no reading.
func FloorProfile(e Elevation, sys length.System, width float64) (d Drawing, ok bool) {
	if len(e.Front)+len(e.Back) == 0 {
		return Drawing{}, false
	}
	p := profile{Elevation: e, sys: sys}
	p.Front, p.Back = sorted(e.Front), sorted(e.Back)
	p.w, p.say = usableWidth(width), e.writer(sys)
	return p.draw(), true
}

type profile struct {
	Elevation
	sheet
	sys                    length.System
	from, to, least, most  float64 // inches
	left, right, top, base float64 // of the plot, in points
	s, v                   float64 // points to an inch, along and down
}

func (p *profile) x(inches float64) float64 { return p.left + float64(p.s*(inches-p.from)) }
func (p *profile) y(down float64) float64   { return p.top + float64(p.v*(down-p.least)) }

func (p *profile) draw() Drawing {
	p.to = max(p.Width.Inches(), 0)
	p.least, p.most = math.Inf(1), math.Inf(-1)
	for _, line := range [][]Reading{p.Front, p.Back} {
		for _, r := range line {
			p.from, p.to = min(p.from, r.At.Inches()), max(p.to, r.At.Inches())
			p.least, p.most = min(p.least, r.Down.Inches()), max(p.most, r.Down.Inches())
		}
	}
	if p.to <= p.from {
		p.to = p.from + 1
	}
	p.left, p.right = axisRoom, p.w-8
	p.s = (p.right - p.left) / (p.to - p.from)
	k := 1.0
	if fall := p.most - p.least; fall > 0 {
		high := float64(profileHeight)
		if p.Sketch {
			high = sketchProfile
		}
		k = factorFor(high / (p.s * fall))
	}
	p.v = float64(p.s * k)

	title, y := p.title("floor profile"), 1.0
	if !p.Sketch {
		p.text(4, 10, pdf.Left, 9, true, p.heading(p.say, "floor profile", p.w-8))
		y = 14
	}
	says := say.That("vertical scale %[1]s; readings down from the reference line, larger is lower", times(k))
	if p.most == p.least {
		says = say.That("%[1]s; all readings are the same", says)
	}
	y = p.paragraph(4, y, p.w-8, handWords, p.say.Text(says))
	y = p.key(y + 2)
	p.top = y + 22
	p.base = p.y(p.most) + 8
	p.axes()
	high := p.high(y)
	y = p.lines()

	var lines []say.Text
	for _, l := range p.both() {
		var readings []say.Text
		for _, r := range l.rs {
			readings = append(readings, say.That("%[1]s at %[2]s", r.Down, r.At))
		}
		if readings != nil {
			lines = append(lines, say.That("%[1]s: %[2]s", lineWords(l.name), say.Semicolons(readings...)))
		}
	}
	alt := say.That("%[1]s. %[2]s. %[3]s. %[4]s", title, says, say.Semicolons(lines...), high)
	return p.drawing(y, p.say.Text(title), p.say.Text(alt))
}

type floorLine struct {
	name string
	rs   []Reading
	dash float64
	fill Tone
}

func (p *profile) both() []floorLine {
	return []floorLine{{"front", p.Front, 0, Black}, {"back", p.Back, 3, White}}
}

// key explains the lines that are there.
func (p *profile) key(y float64) float64 {
	var ls []*label
	for i, l := range p.both() {
		said := lineWords(l.name).Text()
		if len(l.rs) == 0 {
			said = say.That("%[1]s not surveyed", said)
		}
		text := p.say.Text(said)
		ls = append(ls, &label{at: float64(i) * p.w / 3, width: 30 + textWidth(text, handWords, false), draw: func(left, y float64) {
			p.text(left+26, y, pdf.Left, handWords, false, text)
			if len(l.rs) > 0 {
				p.line(0.9, Black, l.dash, pt(left, y-2), pt(left+22, y-2))
				p.dot(left+11, y-2, 1.8, l.fill, Black)
			}
		}})
	}
	rows := pack(ls, 4, p.w-4, 4)
	for _, l := range ls {
		l.draw(l.left, y+handWords+float64(10*float64(l.row)))
	}
	return y + float64(10*float64(rows))
}

func (p *profile) lines() float64 {
	for _, l := range p.both() {
		pts := make([]pdf.Point, len(l.rs))
		for i, r := range l.rs {
			pts[i] = pt(p.x(r.At.Inches()), p.y(r.Down.Inches()))
		}
		p.line(0.9, Black, l.dash, pts...)
		for _, q := range pts {
			p.dot(q.X, q.Y, 1.8, l.fill, Black)
		}
	}
	// Below the plot: labels of the axis, and what they are.
	y := p.base + 3 + handWords
	p.text(p.left, y+11, pdf.Left, handWords, false, fit(p.say.Words("along the elevation, from its left end"), handWords, false, p.right-p.left))
	return y + 14
}

// axes draws a light line at round readings and places, and labels those that
// have room.
func (p *profile) axes() {
	p.line(0.4, Dark, 0, pt(p.left, p.top-8), pt(p.left, p.base), pt(p.right, p.base))
	size := float64(handWords)
	if step, ok := stepFor(p.sys, 11/p.v, true); ok {
		for d := ceilTo(p.least, step); d <= p.most+1e-9; d += step {
			p.line(0.3, Pale, 0, pt(p.left, p.y(d)), pt(p.right, p.y(d)))
			p.text(p.left-3, p.y(d)+2.7, pdf.Right, size, false, fit(p.write(d), size, false, axisRoom-6))
		}
	}
	if p.most == p.least {
		p.line(0.3, Pale, 0, pt(p.left, p.y(p.least)), pt(p.right, p.y(p.least)))
		p.text(p.left-3, p.y(p.least)+2.7, pdf.Right, size, false, fit(p.write(p.least), size, false, axisRoom-6))
	}
	wide := max(textWidth(p.write(p.from), size, false), textWidth(p.write(p.to), size, false), 24)
	if step, ok := stepFor(p.sys, (wide+10)/p.s, false); ok {
		end := 0.0
		for x := ceilTo(p.from, step); x <= p.to+1e-9; x += step {
			text := p.write(x)
			w := textWidth(text, size, false)
			at := min(max(p.x(x), 2+w/2), p.w-2-w/2)
			p.line(0.4, Dark, 0, pt(p.x(x), p.base), pt(p.x(x), p.base+2))
			if at-w/2 < end {
				continue
			}
			p.text(at, p.base+3+size, pdf.Center, size, false, text)
			end = at + w/2 + 3
		}
	}
}

func (p *profile) write(inches float64) string {
	return nearest(inches).In(p.sys)
}

// nearest is the length that a round place on an axis stands for; the steps of
// an axis are whole micrometres or 64ths of an inch, the float is not.
func nearest(inches float64) length.Length {
	n := float64(inches * float64(length.Inch))
	if math.Abs(n) >= math.MaxInt64 {
		return length.Length(math.Copysign(math.MaxInt64/2, n))
	}
	return length.Length(math.Round(n))
}

func ceilTo(v, step float64) float64 { return float64(math.Ceil(v/step-1e-9) * step) }

// stepFor is the least round step of at least so many inches; ok is false
// where there is none. Fine steps are for readings.
func stepFor(sys length.System, least float64, fine bool) (float64, bool) {
	steps := []float64{12, 24, 36, 48, 60, 120, 240, 600, 1200, 2400, 6000, 12000, 24000, 60000, 120000}
	if fine {
		steps = append([]float64{1. / 64, 1. / 32, 1. / 16, 1. / 8, 1. / 4, 1. / 2, 1, 2, 3, 6}, steps...)
	} else {
		steps = append([]float64{1, 2, 3, 6}, steps...)
	}
	unit := 1.0
	if sys == length.Metric {
		unit = 1 / 25.4
		steps = nil
		first := 10.0
		if fine {
			first = 0.1
		}
		for p := first; p < 1e8; p = float64(p * 10) {
			steps = append(steps, p, 2*p, float64(5*p))
		}
	}
	for _, s := range steps {
		if s*unit >= least {
			return float64(s * unit), true
		}
	}
	return 0, false
}

// high marks the high point, with its words over the plot, and says it.
func (p *profile) high(y float64) say.Text {
	if !p.HasHigh {
		return say.Text{}
	}
	line := p.Front
	if p.HighLine == "back" {
		line = p.Back
	}
	at := p.HighAt.Inches()
	down, ok := downAt(line, at)
	if !ok {
		return say.Text{}
	}
	text := say.That("high point: reading %[1]s, %[2]s at %[3]s", nearest(down), lineWords(p.HighLine), p.HighAt)
	shown := fit(p.say.Text(text), handWords, true, p.w-8)
	w := textWidth(shown, handWords, true)
	x, top := p.x(at), p.y(down)
	mid := min(max(x, 4+w/2), p.w-4-w/2)
	p.line(0.4, Dark, 0, pt(min(max(x, mid-w/2), mid+w/2), y+9), pt(x, top))
	p.area(None, Black, 0.8, pt(x, top-1), pt(x-4, top-7), pt(x+4, top-7))
	p.text(mid, y+8, pdf.Center, handWords, true, shown)
	return say.That("%[1]s.", text)
}
