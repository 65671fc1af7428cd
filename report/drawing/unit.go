package drawing

import (
	"math"

	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// unit draws one unit with its rows and feet.
func (f *front) unit(u Unit) {
	left, right := f.x(u.X.Inches()), f.x(sum(u.X, u.Width).Inches())
	bottom := f.y(f.height(u))
	if u.Filler {
		f.hatch(left, f.top, right, bottom, 5)
	} else {
		f.rows(u, left, right)
		f.feet(u, left, right)
	}
	// Neighbours' sides lie on each other: that line is the joint.
	f.area(None, Black, 0.7, box(left, f.top, right, bottom)...)
}

// hatch fills a box with lines rising to the right at 45 degrees.
func (f *front) hatch(left, top, right, bottom, step float64) {
	w, h := right-left, bottom-top
	if w <= 0 || h <= 0 || (w+h)/step > 2000 {
		return
	}
	for d := step; d < w+h; d += step {
		a := pt(left+max(0, d-h), top+min(d, h))
		b := pt(left+min(d, w), top+max(0, d-w))
		f.line(0.3, Grey, 0, a, b)
	}
}

// mostAcross is how many doors or drawers of a row are drawn one by one.
const mostAcross = 40

func (f *front) rows(u Unit, left, right float64) {
	var known float64
	open := 0
	for _, r := range u.Rows {
		if r.Height > 0 {
			known += r.Height.Inches()
		} else {
			open++
		}
	}
	height := f.height(u)
	shrink, share := 1.0, 0.0
	switch {
	case known > height || known > 0 && open == 0:
		shrink = height / known
	case open > 0:
		share = (height - known) / float64(open)
	}
	y := f.top
	for i, r := range u.Rows {
		h := float64(shrink * f.s * r.Height.Inches())
		if r.Height <= 0 {
			h = float64(f.s * share)
		}
		if i > 0 && h > 0 {
			f.line(0.35, Grey, 0, pt(left, y), pt(right, y))
		}
		f.row(r, left, y, right, y+h)
		y += h
	}
}

// row draws drawers, doors and panels side by side: a drawer has a pull across
// its middle, a door one down its side, a panel none.
func (f *front) row(r Row, left, top, right, bottom float64) {
	kinds := [...]int{max(r.Drawers, 0), max(r.Doors, 0), max(r.Panels, 0)}
	for i := range kinds {
		kinds[i] = min(kinds[i], mostAcross)
	}
	n := kinds[0] + kinds[1] + kinds[2]
	if n == 0 || bottom-top < 2 || right-left < 2*float64(n) {
		return
	}
	w := (right - left) / float64(n)
	for i := range n {
		a := left + float64(w*float64(i))
		if i > 0 {
			f.line(0.35, Grey, 0, pt(a, top), pt(a, bottom))
		}
		switch {
		case i < kinds[0]:
			y, half := top+min(4, (bottom-top)/3), min(w/5, 9)
			f.line(0.8, Grey, 0, pt(a+w/2-half, y), pt(a+w/2+half, y))
		case i < kinds[0]+kinds[1]:
			x := a + w - min(3, w/4)
			if doors := i - kinds[0]; doors%2 == 1 { // pairs open from their middle
				x = a + min(3, w/4)
			}
			y := top + float64(0.12*(bottom-top))
			f.line(0.8, Grey, 0, pt(x, y), pt(x, y+min(10, float64(0.3*(bottom-top)))))
		}
	}
}

// feet draws the two front levelers, down to where they are screwed.
func (f *front) feet(u Unit, left, right float64) {
	if !u.HasExtension || f.Places {
		return
	}
	in := min(5, (right-left)/5)
	top := f.y(f.height(u))
	for i, x := range []float64{left + in, right - in} {
		end := f.y(f.height(u) + u.Extension[i].Inches())
		f.line(1.4, Dark, 0, pt(x, top), pt(x, end))
		half := min(2.4, (right-left)/6)
		f.line(1.1, Black, 0, pt(x-half, end), pt(x+half, end))
	}
}

// extensions writes the levelers' extensions under them where both fit, and
// those of other cabinets in a note.
func (f *front) extensions(y float64) float64 {
	if f.Places {
		return y
	}
	const size = 7.5
	wrote := 0
	var left []say.Text
	for _, u := range f.part.units {
		if u.Filler || !u.HasExtension {
			continue
		}
		a, b := f.length(u.Extension[0]), f.length(u.Extension[1])
		l, r := f.x(u.X.Inches()), f.x(sum(u.X, u.Width).Inches())
		if textWidth(a, size, false)+textWidth(b, size, false)+5 > r-l || l < f.clear {
			left = append(left, say.That("%[1]s %[2]s and %[3]s", brief(u.Tag), say.Name(a), say.Name(b)))
			continue
		}
		f.text(l+1.2, y+size, pdf.Left, size, false, a)
		f.text(r-1.2, y+size, pdf.Right, size, false, b)
		f.clear = r
		wrote++
	}
	missing := 0
	for _, u := range f.part.units {
		if !u.Filler && !u.HasExtension {
			missing++
		}
	}
	if missing > 0 {
		f.note(say.Count(missing, "Leveler extensions are not known for %[1]s cabinet.", "Leveler extensions are not known for %[1]s cabinets."))
	}
	if len(left) > 0 {
		f.note(say.That("Leveler extensions, left and right, where there is no room to write them: %[1]s.", say.Semicolons(left...)))
	}
	if wrote == 0 {
		return y
	}
	return y + size + 2
}

// length writes a length. A sketch stands beside the figures that are compared and
// does not say again where one is rounded.
func (f *front) length(l length.Length) string {
	if f.Sketch {
		return l.Near(f.sys)
	}
	return l.In(f.sys)
}

// tags writes the units' tags over their fronts.
func (f *front) tags() {
	var tags []*tag
	end := 0.0
	for _, u := range f.part.units {
		t := &tag{text: u.Tag, left: f.x(u.X.Inches()), right: f.x(sum(u.X, u.Width).Inches())}
		// Units drawn over each other, by mistake, share what room there is.
		t.left = max(t.left, end)
		t.right = max(t.right, t.left)
		end = t.right
		tags = append(tags, t)
	}
	sizes := tagSizes{leastTag, max(greatestTag, f.tagSize)}
	if f.hand {
		sizes.least = handWords
	}
	out, cut := fitTags(tags, sizes, 2, f.w-2)
	h := float64(f.s * f.body)
	mid := f.top + float64(0.45*h)
	for _, t := range tags {
		y := mid
		if t.level == 1 {
			y += sizes.greatest + 3
		}
		f.text((t.left+t.right)/2, y, pdf.Center, t.size, false, t.shown)
	}
	if cut > 0 {
		f.note(say.That("A tag that ends in … is cut to fit."))
	}
	if out > 0 {
		f.note(say.Count(out, "No room for the tags of %[1]s unit.", "No room for the tags of %[1]s units."))
	}
}

// ends draws what the part ends at.
func (f *front) ends() {
	top, bottom := f.top-8, f.low
	for _, e := range []struct {
		what      string
		x, beyond float64
		last      bool
	}{
		{f.Left, f.left(), f.left() - 9, f.i == 0},
		{f.Right, f.right(), f.right() + 9, f.i == len(f.parts)-1},
	} {
		switch {
		case !e.last:
			f.line(0.5, Dark, 2, pt(e.x, top), pt(e.x, bottom))
		case e.what == "wall":
			f.hatch(min(e.x, e.beyond), top, max(e.x, e.beyond), bottom, 4)
			f.line(0.8, Black, 0, pt(e.x, top), pt(e.x, bottom))
		case e.what == "abutting":
			f.line(0.5, Dark, 0, pt(e.beyond, f.top), pt(e.x, f.top), pt(e.x, f.y(f.body)), pt(e.beyond, f.y(f.body)))
		}
	}
}

func (f *front) endWords(right bool) say.Text {
	side, is, last, next := say.Words("left end"), f.Left, f.i == 0, f.i
	if right {
		side, is, last, next = "right end", f.Right, f.i == len(f.parts)-1, f.i+2
	}
	what := say.Name(is).Text()
	if own, known := endWords[is]; known {
		what = own.Text()
	}
	switch {
	case !last:
		return say.That("continues in part %[1]s", next)
	case is == "":
		what = say.That("not given")
	}
	return say.That("%[1]s: %[2]s", side, what)
}

// dimension draws the width from end to end, and writes it and the ends.
func (f *front) dimension(y float64) float64 {
	const size = handWords
	l, r := f.left(), f.right()
	y += 3
	f.line(0.4, Black, 0, pt(l, y), pt(r, y))
	for _, x := range []float64{l, r} {
		f.line(0.4, Black, 0, pt(x, y-3), pt(x, y+3))
		f.line(0.7, Black, 0, pt(x-2, y+2), pt(x+2, y-2))
	}
	text := say.That("overall %[1]s", widthOf(f.part))
	if n := len(f.parts); n > 1 {
		whole := part{from: f.parts[0].from, to: f.parts[n-1].to}
		text = say.That("this part %[1]s, overall %[2]s", widthOf(f.part), widthOf(whole))
	}
	y += 4
	var ls []*label
	for i, said := range []say.Text{f.endWords(false), text, f.endWords(true)} {
		t := fit(f.say.Text(said), size, false, f.w-8)
		at := []float64{0, (l + r) / 2, f.w}[i]
		ls = append(ls, &label{at: at, width: textWidth(t, size, false), draw: func(left, baseline float64) {
			f.text(left, baseline, pdf.Left, size, false, t)
		}})
	}
	rows := pack(ls, 4, f.w-4, 4)
	for _, lab := range ls {
		lab.draw(lab.left, y+size+float64((size+3)*float64(lab.row)))
	}
	return y + float64((size+3)*float64(rows))
}

// widthOf is the width of a part, or the greatest length there is.
func widthOf(p part) length.Length {
	if p.from < 0 && p.to > math.MaxInt64+p.from {
		return math.MaxInt64
	}
	return p.to - p.from
}

// bar draws a length to scale, which holds however the drawing is printed.
func (f *front) bar(y float64) float64 {
	long := barLength(f.sys, 100/f.s)
	w := float64(f.s * long.Inches())
	f.area(Black, Black, 0.4, box(4, y+1, 4+w/2, y+3.5)...)
	f.area(None, Black, 0.4, box(4+w/2, y+1, 4+w, y+3.5)...)
	f.text(8+w, y+5.5, pdf.Left, handWords, false, fit(f.say.Text(say.That("%[1]s to scale", long)), handWords, false, f.w-w-12))
	return y + 9
}

// barLength is the greatest round length of at most that many inches.
func barLength(sys length.System, inches float64) length.Length {
	lengths := []length.Length{1, 2, 6, 12, 24, 36, 60, 120, 240, 600, 1200, 2400, 6000}
	unit := length.Inch
	if sys == length.Metric {
		lengths = []length.Length{10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000, 50000, 100000}
		unit = length.Millimetre
	}
	long := lengths[0]
	for _, l := range lengths {
		if (l * unit).Inches() <= inches {
			long = l
		}
	}
	return long * unit
}
