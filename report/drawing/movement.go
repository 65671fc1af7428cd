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

// Change is how far one top corner has moved between two visits.
type Change struct {
	Tag, Key string        // "A3", "FL"
	Corner   string        // what Key stands for: "front-left"
	X        length.Length // along the elevation
	Up       length.Length // above 0 where the corner has risen
	U        length.Length // expanded uncertainty of the difference
}

// What a drawing of movement keeps to, in points.
const (
	leastSlot    = 14  // for a bar
	panelHeight  = 64  // the bars of one row
	cornerLetter = 7.5 // size
)

// Movement draws a bar for every change, up for a corner that has risen, over
// a shaded band of its uncertainty: a bar that stays within its band cannot be
// told from no change. Corners stand in order along the elevation, in as many
// rows as they need, all to one scale. ok is false where there is no change to
// draw.
func Movement(e Elevation, changes []Change, sys length.System, width float64) (d Drawing, ok bool) {
	if len(changes) == 0 {
		return Drawing{}, false
	}
	m := movement{Elevation: e, sys: sys, changes: slices.Clone(changes)}
	slices.SortStableFunc(m.changes, func(a, b Change) int { return cmp.Compare(a.X, b.X) })
	m.gather()
	m.w, m.say = usableWidth(width), e.writer(sys)
	return m.draw(), true
}

type movement struct {
	Elevation
	sheet
	sys     length.System
	changes []Change
	greatest,
	v float64 // inches; points to an inch
}

// gather brings the corners of one unit together, at the first of them.
func (m *movement) gather() {
	first := map[string]int{}
	for i, c := range m.changes {
		if _, ok := first[c.Tag]; !ok {
			first[c.Tag] = i
		}
	}
	slices.SortStableFunc(m.changes, func(a, b Change) int { return cmp.Compare(first[a.Tag], first[b.Tag]) })
}

func (m *movement) draw() Drawing {
	for i, c := range m.changes {
		m.changes[i].U = max(c.U, 0)
		m.greatest = max(m.greatest, math.Abs(c.Up.Inches()), c.U.Inches())
	}
	title, y := m.title("movement of the tops"), 1.0
	if !m.Sketch {
		m.text(4, 10, pdf.Left, 9, true, m.heading(m.say, "movement of the tops", m.w-8))
		y = 14
	}
	says := say.That("bars: change since the earlier visit, up is risen; not to the scale of the elevation")
	m.v = 1
	if m.greatest > 0 {
		m.v = panelHeight / 2 / m.greatest
	} else {
		says = say.That("%[1]s; no corner has changed", says)
	}
	y = m.paragraph(4, y, m.w-8, handWords, m.say.Text(says))
	y = m.key(y + 2)
	for _, row := range m.rows() {
		y = m.panel(row, y)
	}
	if s := m.letters(); s != "" {
		y = m.paragraph(4, y+2, m.w-8, axisText, s)
	}
	alt := m.say.Text(say.That("%[1]s. %[2]s.", title, says))
	for _, c := range m.changes {
		alt += " " + m.say.Text(say.That("%[1]s %[2]s: %[3]s ± %[4]s, %[5]s.", say.Name(c.Tag), say.Name(c.Corner), c.Up, say.Decimal(c.U), within[!c.beyond()]))
	}
	return m.drawing(y+3, m.say.Text(title), alt)
}

func (c Change) beyond() bool { return c.Up > c.U || c.Up < -c.U }

var within = map[bool]say.Words{true: "within it", false: "beyond it"}

func (m *movement) key(y float64) float64 {
	lo, hi := m.changes[0].U, m.changes[0].U
	for _, c := range m.changes {
		lo, hi = min(lo, c.U), max(hi, c.U)
	}
	u, most := say.That("± %[1]s", say.Decimal(lo)), say.That("± %[1]s", say.Decimal(hi))
	if m.say.Text(u) != m.say.Text(most) {
		u = say.That("%[1]s to %[2]s", u, most)
	}
	for _, k := range []struct {
		text say.Text
		draw func(x, y float64)
	}{
		{say.That("shaded: uncertainty U of the difference, %[1]s", u), func(x, y float64) { m.area(Pale, None, 0, box(x, y-5, x+14, y)...) }},
		{say.That("black bar: beyond U"), func(x, y float64) { m.area(Black, Black, 0.5, box(x+5, y-5, x+9, y)...) }},
		{say.That("open bar: within U, cannot be told from no change"), func(x, y float64) { m.area(White, Black, 0.5, box(x+5, y-5, x+9, y)...) }},
	} {
		k.draw(4, y+axisText)
		y = m.paragraph(22, y, m.w-26, axisText, m.say.Text(k.text))
	}
	return y
}

// rows divides the changes into rows, between units where that can be.
func (m *movement) rows() [][]Change {
	n := max(int((m.w-axisRoom-8)/leastSlot), 1)
	var rows [][]Change
	for rest := m.changes; len(rest) > 0; {
		k := min(n, len(rest))
		for k < len(rest) && k > 1 && rest[k].Tag == rest[k-1].Tag {
			k--
		}
		if k == 1 && len(rest) > 1 && rest[0].Tag == rest[1].Tag {
			k = min(n, len(rest))
		}
		rows, rest = append(rows, rest[:k]), rest[k:]
	}
	return rows
}

func (m *movement) panel(row []Change, y float64) float64 {
	left, right := float64(axisRoom), m.w-8
	slot := min((right-left)/float64(len(row)), 30)
	right = left + float64(slot*float64(len(row)))
	top := y + 8
	zero := top + panelHeight/2
	// Neighbours with one uncertainty share one box: seams between boxes show.
	for i := 0; i < len(row); {
		j := i
		for j < len(row) && row[j].U == row[i].U {
			j++
		}
		if h := float64(m.v * row[i].U.Inches()); h > 0 {
			m.area(Pale, None, 0, box(left+float64(slot*float64(i)), zero-h, left+float64(slot*float64(j)), zero+h)...)
		}
		i = j
	}
	m.axis(left, right, zero)
	var tags []*tag
	for i, c := range row {
		x := left + float64(slot*(float64(i)+0.5))
		fill := White
		if c.beyond() {
			fill = Black
		}
		m.area(fill, Black, 0.5, box(x-2, zero-float64(m.v*c.Up.Inches()), x+2, zero)...)
		if c.Up == 0 {
			m.line(1.6, Black, 0, pt(x-2, zero), pt(x+2, zero))
		}
		m.text(x, zero+panelHeight/2+9, pdf.Center, cornerLetter, false, fit(c.Key, cornerLetter, false, slot-1))
		if n := len(tags); n > 0 && row[i-1].Tag == c.Tag {
			tags[n-1].right = x + slot/2
		} else {
			tags = append(tags, &tag{text: c.Tag, left: x - slot/2, right: x + slot/2})
		}
	}
	end := zero + panelHeight/2 + 12
	fitTags(tags, tagSizes{leastTag, greatestTag}, 2, m.w-2)
	bottom := end + 9
	for i, t := range tags {
		ty := end + 7
		if t.level == 1 {
			ty += greatestTag + 1
			bottom = end + 18
		}
		m.text((t.left+t.right)/2, ty, pdf.Center, t.size, false, t.shown)
		if i > 0 {
			m.line(0.3, Grey, 0, pt(t.left, top), pt(t.left, end))
		}
	}
	return bottom
}

// axis draws the line of no change and labels the greatest either way.
func (m *movement) axis(left, right, zero float64) {
	m.line(0.5, Black, 0, pt(left, zero), pt(right, zero))
	m.text(left-3, zero+2, pdf.Right, axisText, false, fit(m.say.Words("no change"), axisText, false, axisRoom-6))
	if m.greatest <= 0 {
		return
	}
	step, ok := stepFor(m.sys, m.greatest/2, true)
	if !ok || step > m.greatest {
		step = m.greatest
	}
	for _, d := range []float64{step, -step} {
		text := say.That("up %[1]s", nearest(step))
		if d < 0 {
			text = say.That("down %[1]s", nearest(step))
		}
		y := zero - float64(m.v*d)
		m.line(0.3, Grey, 1.5, pt(left, y), pt(right, y))
		m.text(left-3, y+2, pdf.Right, axisText, false, fit(m.say.Text(text), axisText, false, axisRoom-6))
	}
}

// letters says what the keys of corners mean.
func (m *movement) letters() string {
	var parts []string
	for _, c := range m.changes {
		if p := c.Key + " " + clean(c.Corner); c.Corner != "" && !slices.Contains(parts, p) && len(parts) < 8 {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ", ")
}
