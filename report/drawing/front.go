package drawing

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// What a drawing of a front keeps to, in points.
const (
	endRoom       = 14  // beside the units, for a wall
	leastCabinet  = 22  // the narrowest cabinet, where splitting can give it that
	greatestInch  = 4.5 // an inch on the paper, so that a single filler is not a poster
	greatestBody  = 300 // the cabinets' height
	greatestGap   = 34  // the height of what is under the cabinets
	sketchGap     = 17  // of a sketch
	greatestAbove = 44  // from the reference line to the tops
	handWords     = 8
	nominalBody   = 30 * length.Inch
)

// Front draws an elevation from the front, to scale, width points wide. A long
// one is split between units into drawings at one scale in which the narrowest
// cabinet is 22 pt wide or more, where the width allows; each says which part
// it is. Every drawing says its scale, which holds at the width asked for, and
// has a scale bar, which holds at any; a sketch has none. What is under the cabinets is drawn
// higher than to scale, and the drawing says by how much.
func Front(e Elevation, sys length.System, width float64) []Drawing {
	var all []Drawing
	for _, draw := range Fronts(e, sys, width) {
		all = append(all, draw())
	}
	return all
}

// Fronts makes the drawings of [Front] ready, to be drawn one by one and as
// often as they are shown: an elevation of a thousand parts is divided once, and
// none of them has to be drawn for the sake of another.
func Fronts(e Elevation, sys length.System, width float64) []func() Drawing {
	width = usableWidth(width)
	nothing := func(why say.Text) []func() Drawing {
		return []func() Drawing{func() Drawing { return empty(e.writer(sys), width, e.title("front"), why) }}
	}
	e.Front, e.Back = sorted(e.Front), sorted(e.Back)
	units := slices.SortedStableFunc(slices.Values(e.Units), func(a, b Unit) int { return cmp.Compare(a.X, b.X) })
	if len(units) == 0 {
		return nothing(say.That("No units are drawn in this elevation."))
	}
	from, to := units[0].X, units[0].X
	for i, u := range units {
		units[i].Width = max(u.Width, 0)
		to = max(to, sum(u.X, units[i].Width))
	}
	if e.Width > 0 {
		from, to = min(from, 0), max(to, e.Width)
	}
	if to <= from {
		return nothing(say.That("The units of this elevation have no width."))
	}
	parts, scale := split(units, from, to, bodyOf(e), width-2*endRoom)
	all := make([]func() Drawing, len(parts))
	for i := range parts {
		all[i] = func() Drawing {
			f := front{Elevation: e, sys: sys, parts: parts, i: i, part: parts[i], denominator: scale, s: pointsPerInch / scale, hand: e.Places}
			f.w, f.say = width, e.writer(sys)
			return f.draw()
		}
	}
	return all
}

// sum adds two lengths and stops at the greatest there is.
func sum(a, b length.Length) length.Length {
	if b > 0 && a > math.MaxInt64-b {
		return math.MaxInt64
	}
	return a + b
}

func bodyOf(e Elevation) length.Length {
	b := e.BodyHeight
	for _, u := range e.Units {
		b = max(b, u.Height)
	}
	if b <= 0 {
		return nominalBody
	}
	return b
}

// part is a stretch of an elevation that one drawing shows.
type part struct {
	units    []Unit
	from, to length.Length
}

func (p part) inches() float64 { return p.to.Inches() - p.from.Inches() }

// split divides an elevation between units, as evenly as they allow, and
// returns the denominator of the scale of all parts.
func split(units []Unit, from, to, body length.Length, room float64) ([]part, float64) {
	most := min(greatestInch, greatestBody/body.Inches())
	narrow, widest := math.Inf(1), 0.0
	for _, u := range units {
		if w := u.Width.Inches(); !u.Filler && w > 0 {
			narrow = min(narrow, w)
		}
		widest = max(widest, u.Width.Inches())
	}
	all := part{units, from, to}
	if d := scaleFor(min(most, room/all.inches())); math.IsInf(narrow, 1) || narrow*pointsPerInch/d >= leastCabinet {
		return []part{all}, d
	}
	// Neither the widest unit nor the height may outgrow the paper.
	wanted := pointsPerInch / max(scaleWith(leastCabinet/narrow), scaleFor(min(most, room/widest)))
	n := len(cut(units, from, to, room/wanted))
	low, high := 0.0, room/wanted
	for range 50 {
		if mid := (low + high) / 2; len(cut(units, from, to, mid)) <= n {
			high = mid
		} else {
			low = mid
		}
	}
	parts := cut(units, from, to, high)
	longest := 0.0
	for _, p := range parts {
		longest = max(longest, p.inches())
	}
	return parts, scaleFor(min(most, room/longest))
}

// cut divides units into parts of at most that many inches, as many units to
// each as it holds and at least one.
func cut(units []Unit, from, to length.Length, inches float64) []part {
	var parts []part
	start, first := from, 0
	for i := 1; i < len(units); i++ {
		end := sum(units[i].X, units[i].Width)
		if i == len(units)-1 {
			end = max(end, to)
		}
		if end.Inches()-start.Inches() <= inches || units[i].X <= start {
			continue
		}
		parts = append(parts, part{units[first:i], start, units[i].X})
		start, first = units[i].X, i
	}
	return append(parts, part{units[first:], start, to})
}

// front draws one part of an elevation.
type front struct {
	Elevation // its floor from left to right
	sheet
	sys         length.System
	parts       []part
	i           int
	part        part
	denominator float64

	s     float64  // points to an inch
	k     float64  // how much higher what is under the cabinets is drawn
	body  float64  // inches, of the tallest
	top   float64  // y of the cabinet tops
	low   float64  // y below everything under the cabinets
	clear float64  // x up to which extensions are written
	notes []string // sentences
	hand  bool     // it is read in the hand

	tagSize float64 // the largest of tags; 0 for the usual one
}

func (f *front) x(inches float64) float64 {
	return (f.w-float64(f.s*f.part.inches()))/2 + float64(f.s*(inches-f.part.from.Inches()))
}

// y is where a depth below the cabinet tops, in inches, is drawn.
func (f *front) y(depth float64) float64 {
	depth = max(depth, 0)
	return f.top + float64(f.s*min(depth, f.body)) + float64(f.s*f.k*max(depth-f.body, 0))
}

func (f *front) left() float64  { return f.x(f.part.from.Inches()) }
func (f *front) right() float64 { return f.x(f.part.to.Inches()) }

func (f *front) note(t say.Text) { f.notes = append(f.notes, f.say.Text(t)) }

func (f *front) draw() Drawing {
	f.body = bodyOf(f.Elevation).Inches()
	deepest := f.deepest()
	f.k = 1
	if f.Places {
		deepest = 0
	}
	if deepest > 0 {
		gap := float64(greatestGap)
		if f.Sketch {
			gap = sketchGap
		}
		f.k = factorFor(min(gap, max(float64(0.5*f.s*f.body), 8)) / (f.s * deepest))
	}

	title := f.title("front")
	y := 1.0
	if !f.Sketch && !f.Places {
		f.text(4, 10, pdf.Left, 9, true, f.heading(f.say, "front", f.w-8))
		y = 14
	}
	y = f.paragraph(4, y, f.w-8, handWords, f.say.Text(f.says(deepest > 0))) + 3

	above, foot := f.faults()
	rows := pack(above, 4, f.w-4, 5)
	for _, l := range above {
		l.draw(l.left, y+float64(faultRow*(float64(l.row)+0.5)))
	}
	if rows > 0 {
		y += float64(faultRow*float64(rows)) + 6
	}

	f.above(y)
	f.low = f.y(f.body) + max(float64(f.s*f.k*deepest), f.leastUnder())
	f.ends()
	f.slab()
	f.floor()
	for _, u := range f.part.units {
		f.unit(u)
	}
	f.tags()
	f.doubts()
	f.leaders(above)

	y = f.extensions(f.low + 3)
	if l := f.high(); l != nil && !f.Places {
		foot = append(foot, l)
	}
	rows = pack(foot, 4, f.w-4, 5)
	for _, l := range foot {
		l.draw(l.left, y+3+float64(faultRow*(float64(l.row)+0.5)))
	}
	f.leaders(foot)
	if rows > 0 {
		y += 3 + float64(faultRow*float64(rows))
	}
	y = f.dimension(y + 4)
	if !f.Sketch && !f.Places {
		y = f.bar(y + 4)
	}
	y = f.paragraph(4, y, f.w-8, handWords, strings.Join(f.notes, " "))

	if len(f.parts) > 1 {
		title = say.That("%[1]s, part %[2]s of %[3]s", title, f.i+1, len(f.parts))
	}
	d := f.drawing(y+3, f.say.Text(title), f.alt(title))
	d.Units = f.standing()
	return d
}

// standing says where the units of the part stand.
func (f *front) standing() []Standing {
	all := make([]Standing, len(f.part.units))
	for i, u := range f.part.units {
		all[i] = Standing{u.Tag, u.Filler, f.x(u.X.Inches()), f.top, f.x(sum(u.X, u.Width).Inches()), f.y(f.height(u))}
	}
	return all
}

// leastUnder is how much room there is below the units, in points.
func (f *front) leastUnder() float64 {
	if f.Places {
		return 3
	}
	return 12
}

// doubts says what of the record cannot be as it was drawn.
func (f *front) doubts() {
	for i, u := range f.part.units[1:] {
		if last := f.part.units[i]; sum(last.X, last.Width) > u.X {
			f.note(say.That("Some units stand over each other, as planned."))
			break
		}
	}
	var beyond []say.Text
	for _, x := range f.Faults {
		if f.shows(x) && (x.X < f.part.from || x.X > f.part.to) {
			beyond = append(beyond, say.That("%[1]s", x.Number))
		}
	}
	if len(beyond) > 0 {
		f.note(say.That("Beyond the ends, and drawn at them: %[1]s.", say.Commas(beyond...)))
	}
}

// deepest is the greatest depth under the tallest cabinet that is drawn, in inches.
func (f *front) deepest() float64 {
	deep := 0.0
	for _, u := range f.part.units {
		if u.HasExtension {
			for _, x := range u.Extension {
				deep = max(deep, f.height(u)+x.Inches()-f.body)
			}
		}
	}
	if f.HasSet {
		for _, line := range [][]Reading{f.Front, f.Back} {
			_, downs := between(line, f.part.from.Inches(), f.part.to.Inches())
			for _, d := range downs {
				deep = max(deep, d-f.SetTop.Inches()-f.body)
			}
		}
	}
	return deep
}

func (f *front) height(u Unit) float64 {
	if u.Height > 0 {
		return u.Height.Inches()
	}
	return f.body
}

// says is the line under the title: which part, and to what scale.
func (f *front) says(under bool) say.Text {
	var all []say.Text
	if n := len(f.parts); n > 1 {
		us := f.part.units
		all = append(all, say.That("part %[1]s of %[2]s, from %[3]s to %[4]s", f.i+1, n, brief(us[0].Tag), brief(us[len(us)-1].Tag)))
	}
	all = append(all, say.That("scale 1:%[1]s", say.Name(plain(f.denominator))))
	if under && f.k != 1 {
		larger := say.That("heights under the cabinets %[1]s times larger", say.Name(plain(f.k)))
		if !f.Sketch {
			larger = say.That("%[1]s, so that the floor can be seen", larger)
		}
		all = append(all, larger)
	}
	return say.Semicolons(all...)
}

// brief cuts a tag for use in a sentence.
func brief(tag string) say.Text {
	if tag == "" {
		return say.That("a unit without a tag")
	}
	return say.Name(fit(tag, 7, false, 120)).Text()
}

// above draws the reference line and set height between y and the tops.
func (f *front) above(y float64) {
	slab := float64(f.s * max(f.TopThickness.Inches(), 0))
	slab = min(slab, greatestAbove)
	f.top = y + slab + 12
	if f.Places {
		return
	}
	if !f.HasSet {
		f.note(say.That("The set height is not known."))
		return
	}
	up := float64(f.s * f.SetTop.Inches())
	if up >= slab+12 && up <= greatestAbove {
		f.text(f.left()+3, y+7, pdf.Left, handWords, false, fit(f.say.Words("reference line (reading 0)"), handWords, false, f.w-f.left()-7))
		y += 9.5
		f.top = y + up
		f.line(0.4, Dark, 6, pt(f.left()-endRoom, y), pt(f.right()+endRoom, y))
	} else {
		f.note(say.That("The reference line is %[1]s above the cabinet tops, not drawn.", say.Name(f.length(f.SetTop))))
	}
	f.text(f.left()+3, f.top-slab-2.5, pdf.Left, handWords, false,
		fit(f.say.Text(say.That("set height: cabinet tops at reading %[1]s", say.Name(f.length(f.SetTop)))), handWords, false, f.w-f.left()-7))
	f.line(0.8, Black, 0, pt(f.left()-endRoom+2, f.top), pt(f.right()+endRoom-2, f.top))
}

func (f *front) slab() {
	if f.TopThickness <= 0 {
		return
	}
	h := min(float64(f.s*f.TopThickness.Inches()), greatestAbove)
	f.area(None, Grey, 0.4, box(f.left(), f.top-h, f.right(), f.top)...)
	f.note(say.That("Over the cabinets, in thin lines: the top, %[1]s thick.", f.TopThickness))
}

// floor draws the two floor lines under the units.
func (f *front) floor() {
	front, back := f.Front, f.Back
	switch {
	case f.Places:
		return
	case len(front)+len(back) == 0:
		f.note(say.That("The floor has not been surveyed."))
		return
	case !f.HasSet:
		f.note(say.That("The floor is not drawn, since the set height is not known."))
		return
	}
	var drawn []say.Text
	for _, l := range []struct {
		words say.Words
		rs    []Reading
		dash  float64
	}{{"front line solid", front, 0}, {"back line dashed", back, 2.5}} {
		xs, downs := between(l.rs, f.part.from.Inches(), f.part.to.Inches())
		pts := make([]pdf.Point, len(xs))
		for i := range xs {
			pts[i] = pt(f.x(xs[i]), f.y(downs[i]-f.SetTop.Inches()))
		}
		if len(pts) > 1 {
			f.line(0.8, Black, l.dash, pts...)
			drawn = append(drawn, l.words.Text())
		}
	}
	if len(drawn) == 0 {
		f.note(say.That("No floor readings reach under these units."))
		return
	}
	f.note(say.That("Floor: %[1]s.", say.Commas(drawn...)))
}

func (f *front) high() *label {
	at := f.HighAt.Inches()
	line := f.Front
	if f.HighLine == "back" {
		line = f.Back
	}
	down, ok := downAt(line, at)
	if !f.HasHigh || !f.HasSet || !ok || at < f.part.from.Inches() || at > f.part.to.Inches() || f.i > 0 && at == f.part.from.Inches() {
		return nil
	}
	x, y := f.x(at), f.y(down-f.SetTop.Inches())
	text := fit(f.say.Text(say.That("high point, %[1]s", lineWords(f.HighLine))), handWords, false, f.w-8)
	w := textWidth(text, handWords, false)
	return &label{at: x, width: w, draw: func(left, mid float64) {
		f.text(left, mid+2.9, pdf.Left, handWords, false, text)
		f.line(0.3, Dark, 0, pt(x, y), pt(min(max(x, left+2), left+w-2), mid-3.5))
		f.area(Black, None, 0, pt(x, y), pt(x-2.5, y+4), pt(x+2.5, y+4))
	}}
}

// alt is the drawing in words.
func (f *front) alt(title say.Text) string {
	var units []say.Text
	for _, u := range f.part.units {
		kind := say.Words("cabinet")
		if u.Filler {
			kind = "filler"
		}
		units = append(units, say.That("%[1]s (%[2]s, %[3]s)", say.Name(u.Tag), kind, u.Width))
	}
	all := []say.Text{
		say.That("%[1]s. %[2]s. Units from left to right: %[3]s.", title, f.says(true), say.Commas(units...)),
		say.That("At the %[1]s, at the %[2]s.", f.endWords(false), f.endWords(true)),
	}
	if f.HasSet && !f.Places {
		all = append(all, say.That("Set height: cabinet tops at reading %[1]s.", say.Name(f.length(f.SetTop))))
	}
	for _, x := range f.Faults {
		if f.shows(x) {
			all = append(all, say.That("Number %[1]s: %[2]s at %[3]s, %[4]s.", x.Number, say.Name(x.Word), x.X, placeWords[x.Y]))
		}
	}
	sentences := make([]string, len(all))
	for i, t := range all {
		sentences[i] = f.say.Text(t)
	}
	return strings.Join(append(sentences, f.notes...), " ")
}
