package pdf

import "math"

// Align says how text stands to the point it is given.
type Align int

// Text starts at, is centred on, or ends at its point.
const (
	Left Align = iota
	Center
	Right
)

// Point is a place on a [Canvas], in points (1/72 in) from its top left corner.
type Point struct{ X, Y float64 }

// Canvas is the box that an extension draws. Lengths are in points, x to the
// right and y down from the top left corner of the box. What would stand
// outside the box is cut off.
type Canvas struct {
	p          *painter
	x, y, w, h float64
	in         tag  // the element that is drawn
	opaque     bool // it is one whole, which is not read
	heading    role // of what stands below the last heading before it
}

// Size returns the width and height of the box.
func (c *Canvas) Size() (w, h float64) { return c.w, c.h }

// Part returns the canvas of a box within the box.
func (c *Canvas) Part(x, y, w, h float64) *Canvas {
	return &Canvas{p: c.p, x: c.x + x, y: c.y + y, w: w, h: h, in: c.in, opaque: c.opaque, heading: c.heading}
}

// Figure returns the canvas of a box within the box for what cannot be read:
// alt says in words what is seen there. It is to be drawn before anything else.
func (c *Canvas) Figure(x, y, w, h float64, alt string) *Canvas {
	f := c.Part(x, y, w, h)
	if !c.opaque {
		f.in, f.opaque = c.p.tags.addSeen(roleFigure, c.in, alt), true
		f.begin()
	}
	return f
}

// begin gives what is drawn to the figure, if it is one.
func (c *Canvas) begin() {
	if c.opaque {
		c.p.within(nil)
		c.p.belongs(c.in)
		c.p.tags.seen(c.in, len(c.p.pages), c.x, c.y, c.x+c.w, c.y+c.h)
	}
}

// decorates says that what is drawn next is not read.
func (c *Canvas) decorates() {
	c.clipped()
	if c.opaque {
		c.p.belongs(c.in)
	} else {
		c.p.decorates()
	}
}

// Line draws an open line through the points, width points thick, in a grey
// from 0 (black) to 1 (white). With a dash above 0, strokes and gaps are that long.
func (c *Canvas) Line(width, grey, dash float64, pts ...Point) {
	c.line(width, greyTone(grey), dash, pts)
}

func (c *Canvas) line(width float64, t tone, dash float64, pts []Point) {
	c.decorates()
	c.p.stroke(width, t, max(dash, 0))
	c.path(pts, "S")
}

// outline draws the outline of a field as one operator: a sheet has thousands.
func (c *Canvas) outline(x, y, w, h float64) {
	c.clipped()
	const wide, half = 0.7, 0.35
	c.p.stroke(wide, greyTone(0.25), 0)
	c.p.box(c.x+x+half, c.y+y+half, w-wide, h-wide, " re S\n")
}

// Alarm draws a line as [Canvas.Line] does, in a dark red. It is for what a word beside it says too.
func (c *Canvas) Alarm(width, dash float64, pts ...Point) {
	c.line(width, alarm, dash, pts)
}

// Fill fills the polygon with a grey from 0 (black) to 1 (white).
func (c *Canvas) Fill(grey float64, pts ...Point) {
	c.decorates()
	c.p.fill(greyTone(grey))
	c.path(pts, "f")
}

// Text writes s on one line, its baseline through at, size points high. It is
// read as a paragraph.
func (c *Canvas) Text(at Point, align Align, size float64, bold bool, s string) {
	c.write(roleP, at, align, size, bold, s)
}

// Heading writes s as [Canvas.Text] does, and is read as a heading one level
// below the last one before the box.
func (c *Canvas) Heading(at Point, align Align, size float64, bold bool, s string) {
	c.write(c.heading, at, align, size, bold, s)
}

func (c *Canvas) write(as role, at Point, align Align, size float64, bold bool, s string) {
	if !finite(at.X, at.Y, size) {
		c.p.fail("a drawing has text of size %v at %v, %v; numbers must be finite", size, at.X, at.Y)
		return
	}
	line := c.glyphs(onOneLine(s), bold)
	w := float64(line.width) * size / 1000
	x := c.x + at.X
	switch align {
	case Center:
		x -= w / 2
	case Right:
		x -= w
	}
	if len(line.glyphs) == 0 {
		return
	}
	c.clipped()
	if c.opaque {
		c.p.belongs(c.in)
	} else {
		c.p.belongs(c.p.tags.add(as, c.in))
	}
	c.p.text(x, c.y+at.Y, line.glyphs, size, black)
}

// TextWidth returns the width of s on one line, in points.
func (c *Canvas) TextWidth(size float64, bold bool, s string) float64 {
	return float64(c.glyphs(s, bold).width) * size / 1000
}

// glyphs lays s out on one line, which is valid until the next one.
func (c *Canvas) glyphs(s string, bold bool) line {
	c.p.line = c.p.fonts.glyphs(c.p.line[:0], s, style{bold: bold})
	return newLine(c.p.line)
}

// clipped draws within the box only, from now on.
func (c *Canvas) clipped() { c.p.within(&clip{c.x, c.y, c.w, c.h}) }

func (c *Canvas) path(pts []Point, op string) {
	if len(pts) < 2 {
		return
	}
	for _, q := range pts {
		if !finite(q.X, q.Y) {
			c.p.fail("a drawing has a point at %v, %v; numbers must be finite", q.X, q.Y)
			return
		}
	}
	to := " m\n"
	for _, q := range pts {
		c.p.point(c.x+q.X, c.y+q.Y, to)
		to = " l\n"
	}
	c.p.buf = append(append(c.p.buf, op...), '\n')
}

func finite(v ...float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
