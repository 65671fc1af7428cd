package drawing

import (
	"cmp"
	"slices"
	"strings"

	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// Setting is how the cabinets of an elevation are to be set.
type Setting struct {
	Stop   say.Text // what stops the work; empty where nothing does
	Height say.Text // the set height, in large letters
	How    say.Text // what it rests on
	Stands []Stand  // from left to right
	Legend say.Text
}

// Stand is a cabinet and its levelers: back-left, back-right, front-left,
// front-right. Without figures, where no floor was read, it is not drawn in plan.
type Stand struct {
	Tag  string
	Feet [4]Foot
}

// Foot is a leveler as it is to be set.
type Foot struct {
	Figure say.Text // how far it is turned out, in large letters: "3 1/4", or a length
	Left   say.Text // how far it can still come down
	Low    bool     // that is less than it should be
	Wrong  say.Text // why it cannot be set so; Figure then says so in a word
	Says   say.Text // all of it
}

// What a drawing of a setting keeps to, in points.
const (
	sideRoom     = 30 // beside the cabinets in plan, for "back" and "front"
	leastStand   = 86 // of a cabinet in plan
	mostStand    = 136
	standGap     = 3
	standTag     = 12 // size
	standHead    = 17
	footHeight   = 49
	footFigure   = 27 // the largest size
	leastFigure  = 18 // one that wants a smaller size is alone with it
	footPart     = 0.6
	footText     = 9
	footSide     = 6
	settingFront = 98 // the cabinets' height, where all stand in one row
	settingRows  = 84 // in two rows
	settingMany  = 46 // in more
	settingGap   = 22 // what is under them
	stopText     = 13
	heightText   = 15
)

// Settings draws an elevation from the front and under it its cabinets in plan,
// back above front as they stand, each leveler with its turns in large figures.
// Where there are more cabinets than have room beside each other they stand in
// rows, each a drawing of its own, all to one scale. There is none where there
// is no cabinet.
func Settings(e Elevation, s Setting, sys length.System, width float64) []Drawing {
	width = usableWidth(width)
	e.Front, e.Back = sorted(e.Front), sorted(e.Back)
	units := slices.SortedStableFunc(slices.Values(e.Units), func(a, b Unit) int { return cmp.Compare(a.X, b.X) })
	if len(s.Stands) == 0 || len(units) == 0 {
		return nil
	}
	across := max(int((width-sideRoom+standGap)/(leastStand+standGap)), 1)
	rows := (len(s.Stands) + across - 1) / across
	parts := inRows(units, len(s.Stands), rows)
	longest := 0.0
	for _, p := range parts {
		longest = max(longest, p.inches())
	}
	high := []float64{settingFront, settingRows, settingMany}[min(len(parts), 3)-1]
	if s.bare() {
		high = min(high, settingRows)
	}
	scale := scaleFor(min(greatestInch, high/bodyOf(e).Inches(), (width-2*endRoom)/max(longest, 1)))
	most := (len(s.Stands) + len(parts) - 1) / len(parts)
	wide := min(float64(mostStand), (width-sideRoom+standGap)/float64(most)-standGap)
	size := s.figureSize(e.writer(sys), wide/2-footSide)
	var all []Drawing
	next := 0
	for i := range parts {
		f := front{Elevation: e, sys: sys, parts: parts, i: i, part: parts[i], denominator: scale, s: pointsPerInch / scale, hand: true}
		f.w, f.say = width, e.writer(sys)
		n := 0
		for _, u := range parts[i].units {
			if !u.Filler {
				n++
			}
		}
		n = min(n, len(s.Stands)-next)
		p := setting{front: f, Setting: s, size: size}
		p.Stands, p.wide = s.Stands[next:next+n], wide
		if p.bare() {
			p.tagSize = standTag
		}
		all = append(all, p.draw())
		next += n
	}
	return all
}

// inRows divides units into so many rows of as many cabinets as each other.
func inRows(units []Unit, cabinets, rows int) (parts []part) {
	from, first, n := units[0].X, 0, 0
	for i, u := range units {
		if u.Filler {
			continue
		}
		if k := len(parts) + 1; k < rows && n >= (k*cabinets+rows-1)/rows {
			parts = append(parts, part{units[first:i], from, u.X})
			from, first = u.X, i
		}
		n++
	}
	last := from
	for _, u := range units[first:] {
		last = max(last, sum(u.X, max(u.Width, 0)))
	}
	return append(parts, part{units[first:], from, last})
}

// setting draws one row of an elevation that is to be set.
type setting struct {
	front
	Setting
	wide float64 // of a cabinet in plan
	size float64 // of figures
}

// figureSize is the size at which all figures have room, as far as that is large.
func (s *Setting) figureSize(w say.Writer, room float64) float64 {
	size := float64(footFigure)
	for _, stand := range s.Stands {
		for _, f := range stand.Feet {
			if f.Wrong.Empty() {
				text := w.Text(f.Figure)
				whole, part, _ := splitFigure(text)
				size = min(size, max(leastFigure, room/figureWidth(whole, part)))
			}
		}
	}
	return size
}

// splitFigure parts "3 1/4" into what is written large and what smaller; ok is
// false for what is written in one size.
func splitFigure(text string) (whole, part string, ok bool) {
	whole, part, ok = strings.Cut(text, " ")
	if !ok || strings.ContainsFunc(part, func(r rune) bool { return r != '/' && (r < '0' || r > '9') }) {
		return text, "", false
	}
	return whole, part, true
}

// figureGap is between whole turns and their fraction, in their size.
const figureGap = 0.14

// figureWidth is how wide a figure is at size 1.
func figureWidth(whole, part string) float64 {
	w := textWidth(whole, 1, true)
	if part != "" {
		w += figureGap + textWidth(part, footPart, true)
	}
	return max(w, 0.01)
}

func (p *setting) draw() Drawing {
	p.body = bodyOf(p.Elevation).Inches()
	deepest := p.deepest()
	p.k = 1
	if deepest > 0 {
		p.k = factorFor(settingGap / (p.s * deepest))
	}
	y := p.head()
	p.top = y + min(float64(p.s*max(p.TopThickness.Inches(), 0)), settingGap) + 2
	p.line(1.4, Black, 0, pt(p.left()-endRoom+2, p.top), pt(p.right()+endRoom-2, p.top))
	p.slab()
	p.low = p.y(p.body) + max(float64(p.s*p.k*deepest), 10)
	p.ends()
	p.floor()
	for _, u := range p.part.units {
		p.unit(u)
	}
	p.tags()
	y = p.low + 4
	if !p.bare() {
		y = p.stands(p.low + 14)
	}
	if p.i == len(p.parts)-1 && !p.bare() {
		y = p.words(y+4, footText, false, p.Legend)
	}
	title := p.title("how to set it")
	if len(p.parts) > 1 {
		title = say.That("%[1]s, row %[2]s of %[3]s", title, p.i+1, len(p.parts))
	}
	return p.drawing(y+3, p.say.Text(title), p.alt(title))
}

// words writes wrapped lines of a size and returns the y below them.
func (p *setting) words(y, size float64, bold bool, t say.Text) float64 {
	if t.Empty() {
		return y
	}
	for _, l := range wrap(p.say.Text(t), size, bold, p.w-16) {
		p.text(8, y+size, pdf.Left, size, bold, l)
		y += float64(1.25 * size)
	}
	return y
}

// bare reports whether cabinets have no figures.
func (s *Setting) bare() bool {
	return !slices.ContainsFunc(s.Stands, func(s Stand) bool { return !s.Feet[0].Figure.Empty() })
}

// head writes what stops the work, framed, and the set height; of a row that is
// not the first one which it is.
func (p *setting) head() float64 {
	y := 4.0
	if p.i > 0 {
		us := p.part.units
		row := say.That("Row %[1]s of %[2]s, %[3]s to %[4]s", p.i+1, len(p.parts), brief(us[0].Tag), brief(us[len(us)-1].Tag))
		return p.words(y, standTag, true, row) + 4
	}
	if !p.Stop.Empty() {
		bottom := p.words(y+3, stopText, true, p.Stop) + 4
		p.area(None, Accent, 2.4, box(2, y, p.w-2, bottom)...)
		y = bottom + 6
	}
	y = p.words(y, heightText, true, p.Height)
	return p.words(y, standTag-1.5, false, p.How) + 5
}

// stands draws the cabinets in plan below y, near what they are the plan of.
func (p *setting) stands(y float64) float64 {
	wide := p.wide
	var ls []*label
	i := 0
	for _, u := range p.part.units {
		if u.Filler || i == len(p.Stands) {
			continue
		}
		stand, left, right := p.Stands[i], p.x(u.X.Inches()), p.x(sum(u.X, u.Width).Inches())
		ls = append(ls, &label{at: (left + right) / 2, width: wide, draw: func(x, y float64) {
			bottom := p.y(p.height(u))
			for k, from := range []float64{left, right} {
				to := x + float64(float64(k)*wide)
				p.line(0.5, Grey, 0, pt(from, bottom), pt(from, p.low+3), pt(to, y))
				p.crosses(stand, k, from, bottom)
			}
			p.stand(stand, x, y, wide)
		}})
		i++
	}
	pack(ls, sideRoom, p.w, standGap)
	for _, l := range ls {
		l.draw(l.left, y)
	}
	// Beside the first of them, not at the edge of the paper.
	x := sideRoom - 4.0
	if len(ls) > 0 {
		x = ls[0].left - 4
	}
	p.text(x, y+standHead+footHeight/2+3, pdf.Right, footText, false, fit(p.say.Words("back"), footText, false, sideRoom-4))
	p.text(x, y+standHead+1.5*footHeight+3, pdf.Right, footText, false, fit(p.say.Words("front"), footText, false, sideRoom-4))
	return y + standHead + 2*footHeight
}

// crosses marks on the front the side of a cabinet at which a leveler cannot be
// set: its own plan says which and why.
func (p *setting) crosses(s Stand, side int, x, y float64) {
	if s.Feet[side].Wrong.Empty() && s.Feet[2+side].Wrong.Empty() {
		return
	}
	const half = 5
	in := half + 1.0
	if side == 1 {
		in = -in
	}
	for _, way := range []float64{1, -1} {
		p.line(2.2, Accent, 0, pt(x+in-half, y-float64(way*half)), pt(x+in+half, y+float64(way*half)))
	}
}

// stand draws one cabinet in plan.
func (p *setting) stand(s Stand, x, y, wide float64) {
	top, bottom := y+standHead, y+standHead+2*footHeight
	p.text(x+wide/2, top-4, pdf.Center, standTag, true, fit(s.Tag, standTag, true, wide-4))
	for i, f := range s.Feet {
		left, up := x+float64(float64(i%2)*wide/2), top+float64(float64(i/2)*footHeight)
		p.foot(f, left, up, wide/2)
	}
	p.line(0.5, Dark, 0, pt(x+wide/2, top), pt(x+wide/2, bottom))
	p.line(0.5, Dark, 0, pt(x, top+footHeight), pt(x+wide, top+footHeight))
	p.area(None, Black, 0.9, box(x, top, x+wide, bottom)...)
	p.line(2.4, Black, 0, pt(x, bottom), pt(x+wide, bottom)) // its front
	for i, f := range s.Feet {
		left, up := x+float64(float64(i%2)*wide/2), top+float64(float64(i/2)*footHeight)
		if !f.Wrong.Empty() { // over the thin lines
			p.area(None, Accent, 2.4, box(left+1.2, up+1.2, left+wide/2-1.2, up+footHeight-1.2)...)
		}
	}
}

// foot writes one leveler into its quarter.
func (p *setting) foot(f Foot, left, top, wide float64) {
	mid, room := left+wide/2, wide-footSide
	figure := p.say.Text(f.Figure)
	if !f.Wrong.Empty() {
		size := shrink(figure, 12, true, room)
		p.text(mid, top+14, pdf.Center, size, true, fit(figure, size, true, room))
		lines := wrap(p.say.Text(f.Wrong), handWords, false, room)
		for i, l := range lines[:min(len(lines), 3)] {
			if i == 2 && len(lines) > 3 {
				l = fit(l+" …", handWords, false, room)
			}
			p.text(mid, top+23+float64(9*float64(i)), pdf.Center, handWords, false, l)
		}
		return
	}
	p.figure(figure, mid, top+27, room)
	text := p.say.Text(f.Left)
	size := shrink(text, footText, f.Low, room)
	p.text(mid, top+42, pdf.Center, size, f.Low, fit(text, size, f.Low, room))
}

// shrink is the size at which a text has room, at most the one given.
func shrink(text string, size float64, bold bool, room float64) float64 {
	return max(leastTag, min(size, size*room/max(textWidth(text, size, bold), 0.01)))
}

// figure writes whole turns large and their fraction beside them smaller, as a
// person reads "3 1/4".
func (p *setting) figure(text string, mid, y, room float64) {
	whole, part, both := splitFigure(text)
	size := max(leastTag, min(p.size, room/figureWidth(whole, part)))
	if !both {
		p.text(mid, y, pdf.Center, size, true, fit(text, size, true, room))
		return
	}
	left := mid - float64(size*figureWidth(whole, part))/2
	p.text(left, y, pdf.Left, size, true, whole)
	p.text(left+textWidth(whole, size, true)+float64(figureGap*size), y, pdf.Left, float64(size*footPart), true, part)
}

// alt is the drawing in words.
func (p *setting) alt(title say.Text) string {
	all := []string{p.front.alt(title)}
	if p.i == 0 {
		for _, t := range []say.Text{p.Stop, p.Height, p.How} {
			if !t.Empty() {
				all = append(all, p.say.Text(say.That("%[1]s.", t)))
			}
		}
	}
	for _, s := range p.Stands {
		for _, f := range s.Feet {
			if !f.Says.Empty() {
				all = append(all, p.say.Text(say.That("%[1]s.", f.Says)))
			}
		}
	}
	return strings.Join(all, " ")
}
