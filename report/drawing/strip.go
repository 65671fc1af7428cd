package drawing

import (
	"math"

	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// Heights are the set heights that serve the elevations of a room, as readings
// of the tops down from one reference line.
type Heights struct {
	Room, Reference string
	Rows            []Height
	Highest, Lowest length.Length // that serve all; Highest is the smaller reading
	Serves          bool          // there are any
}

// Height is what serves one elevation. Where nothing does Highest is the larger
// reading.
type Height struct {
	Name            string
	Highest, Lowest length.Length
	Drawn           length.Length
	HasDrawn        bool
}

func (h Height) serves() bool { return h.Highest <= h.Lowest }

// What a drawing of heights keeps to, in points.
const (
	leastColumn = 64 // for an elevation
	mostColumn  = 96
	barWidth    = 24
	stripHeight = 120 // from the highest to the lowest
)

// OneHeight draws a bar for each elevation, all on one scale, with the height
// drawn as a line across it, and the heights that serve all of them as a band.
// ok is false where there is no elevation.
func OneHeight(h Heights, w say.Writer, width float64) (d Drawing, ok bool) {
	if len(h.Rows) == 0 {
		return Drawing{}, false
	}
	p := heights{Heights: h}
	p.w, p.say = usableWidth(width), w
	return p.draw(), true
}

type heights struct {
	Heights
	sheet
	least  float64 // inches
	v, top float64 // points to an inch; of the panel being drawn
}

func (p *heights) y(l length.Length) float64 { return p.top + float64(p.v*(l.Inches()-p.least)) }

func (p *heights) draw() Drawing {
	p.scale()
	title := say.That("Heights that serve, elevations of %[1]s", say.Name(clean(p.Room)))
	p.text(4, 10, pdf.Left, 9, true, fit(p.say.Text(title), 9, true, p.w-8))
	says := say.That("readings of the tops down from reference line %[1]s, larger is lower; all bars to one scale", say.Name(clean(p.Reference)))
	y := p.paragraph(4, 14, p.w-8, handWords, p.say.Text(says))
	common := say.That("no height serves all; thick line: the height drawn")
	if p.Serves {
		common = say.That("shaded: the heights that serve all, %[1]s to %[2]s; thick line: the height drawn", p.Highest, p.Lowest)
	}
	y = p.paragraph(4, y, p.w-8, handWords, p.say.Text(common))
	columns := max(int((p.w-axisRoom-8)/leastColumn), 1)
	for rest := p.Rows; len(rest) > 0; {
		n := min(columns, len(rest))
		y = p.panel(rest[:n], y)
		rest = rest[n:]
	}
	alt := p.say.Text(say.That("%[1]s. %[2]s. %[3]s.", title, says, common))
	for _, r := range p.Rows {
		alt += " " + p.say.Text(r.words())
	}
	return p.drawing(y+3, p.say.Text(title), alt)
}

// scale makes room for everything that is drawn.
func (p *heights) scale() {
	most := math.Inf(-1)
	p.least = math.Inf(1)
	for _, r := range p.Rows {
		all := []length.Length{r.Highest, r.Lowest}
		if r.HasDrawn {
			all = append(all, r.Drawn)
		}
		for _, l := range all {
			p.least, most = min(p.least, l.Inches()), max(most, l.Inches())
		}
	}
	p.v = 1
	if most > p.least {
		p.v = stripHeight / (most - p.least)
	}
}

func (h Height) words() say.Text {
	name := say.Name(clean(h.Name))
	text := say.That("%[1]s: %[2]s to %[3]s", name, h.Highest, h.Lowest)
	if !h.serves() {
		text = say.That("%[1]s: none, no higher than %[2]s and no lower than %[3]s", name, h.Highest, h.Lowest)
	}
	if h.HasDrawn {
		return say.That("%[1]s, drawn %[2]s.", text, h.Drawn)
	}
	return say.That("%[1]s.", text)
}

// size is a length alone.
func size(l length.Length) say.Text { return say.That("%[1]s", l) }

// small writes a text in small letters, cut to its room.
func (s *sheet) small(x, y float64, align pdf.Align, bold bool, t say.Text, room float64) {
	s.text(x, y, align, axisText, bold, fit(s.say.Text(t), axisText, bold, room))
}

// panel draws elevations side by side, and returns the y below them.
func (p *heights) panel(rows []Height, y float64) float64 {
	p.top = y + 14
	column := min((p.w-axisRoom-8)/float64(len(rows)), mostColumn)
	right := axisRoom + float64(column*float64(len(rows)))
	base := p.top + stripHeight
	if p.Serves {
		p.band(right)
	}
	for i, r := range rows {
		x := axisRoom + float64(column*(float64(i)+0.5))
		if r.serves() {
			p.bar(r, x, column-4)
		} else {
			p.gap(r, x, column-4)
		}
		if r.HasDrawn {
			p.line(2, Black, 0, pt(x-barWidth/2-5, p.y(r.Drawn)), pt(x+barWidth/2+5, p.y(r.Drawn)))
		}
		p.text(x, base+29, pdf.Center, 8, true, fit(r.Name, 8, true, column-4))
		if r.HasDrawn {
			p.small(x, base+39, pdf.Center, false, say.That("drawn %[1]s", r.Drawn), column-4)
		}
	}
	return base + 44
}

// band is the strip that all have in common.
func (p *heights) band(right float64) {
	from, to := p.y(p.Highest), p.y(p.Lowest)
	p.area(Pale, None, 0, box(axisRoom, from, right, to)...)
	for _, y := range []float64{from, to} {
		p.line(0.5, Dark, 3, pt(axisRoom, y), pt(right, y))
	}
	p.small(axisRoom-3, from-1, pdf.Right, true, size(p.Highest), axisRoom-6)
	p.small(axisRoom-3, to+axisText, pdf.Right, true, size(p.Lowest), axisRoom-6)
}

// bar is the heights that serve one elevation, darker where they serve all.
func (p *heights) bar(r Height, x, room float64) {
	from, to := p.y(r.Highest), p.y(r.Lowest)
	p.area(White, Black, 0.8, box(x-barWidth/2, from, x+barWidth/2, to)...)
	if p.Serves {
		p.area(Grey, Black, 0.8, box(x-barWidth/2, p.y(p.Highest), x+barWidth/2, p.y(p.Lowest))...)
	}
	p.small(x, from-3, pdf.Center, false, size(r.Highest), room)
	p.small(x, to+axisText+2, pdf.Center, false, size(r.Lowest), room)
}

// gap is two limits that leave no height: the upper one lies below.
func (p *heights) gap(r Height, x, room float64) {
	lower, upper := p.y(r.Lowest), p.y(r.Highest)
	p.line(0.8, Black, 2, pt(x, lower), pt(x, upper))
	for _, y := range []float64{lower, upper} {
		p.line(0.8, Black, 0, pt(x-barWidth/2, y), pt(x+barWidth/2, y))
	}
	p.small(x, lower-3, pdf.Center, false, say.That("no lower %[1]s", r.Lowest), room)
	p.small(x, upper+axisText+2, pdf.Center, false, say.That("no higher %[1]s", r.Highest), room)
	p.small(x, p.top+stripHeight+19, pdf.Center, true, say.That("none"), room)
}
