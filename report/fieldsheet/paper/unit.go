package paper

import (
	"slices"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/report/pdf"
)

// pick takes the ask out of a group that stands somewhere, is of a kind and has
// a key; nil where it is not asked.
func (g *group) pick(stands checks.Stand, kind checks.Kind, key string) *checks.Ask {
	for _, a := range g.Asks {
		if a.Thing.Stands == stands && a.Blanks[0].Kind == kind && a.Key == key {
			return a
		}
	}
	return nil
}

// Measures of the plan of a cabinet, in points.
const (
	planEdge = 10.0 // for the words at the wall and in front
	planSide = 3.0
	planKey  = 12.0 // of "BL"
)

// planWidth is how wide the plan of a cabinet is: two corners with their boxes.
func (s *sheet) planWidth() float64 {
	return 2 * (s.planTicks() + s.ticksWide("bears", "not") + planSide)
}

// planTicks is where in a corner the ticks stand, from its left.
func (s *sheet) planTicks() float64 { return planSide + planKey + leastBox + s.unitRoom() + planSide }

// corners are the four corners as they lie in plan, the wall above.
var corners = [...]struct {
	key    string
	column float64
	front  bool
}{{"BL", 0, false}, {"BR", 1, false}, {"FL", 0, true}, {"FR", 1, true}}

// planRows says what is asked at the corners: a row of tops and bearing, and
// one of extensions.
func (g *group) planRows() (first, second bool) {
	for _, a := range g.Asks {
		first = first || a.Thing.Stands == checks.AtCorner
		second = second || a.Thing.Stands == checks.UnderCorner
	}
	return first, second
}

// planHeight is the height of the plan of a group, 0 where it has none.
func (g *group) planHeight() float64 {
	first, second := g.planRows()
	h := 0.0
	for _, row := range []bool{first, second} {
		if row {
			h += 2 * inlineLine
		}
	}
	if h == 0 {
		return 0
	}
	return h + 2*planEdge + 5
}

// plan draws a cabinet from above, with boxes where its corners are.
func (p *pen) plan(x, y float64, g *group) {
	h, planWidth := g.planHeight()-3, p.sheet.planWidth()
	if h < 0 {
		return
	}
	corner := func(a, b float64) pdf.Point { return pdf.Point{X: x + a, Y: y + b} }
	p.Line(0.8, 0, 0, corner(0, 0), corner(planWidth, 0), corner(planWidth, h), corner(0, h), corner(0, 0))
	note := say.That("back")
	if a := g.pick(checks.AtCorner, checks.LengthKind, "FL"); a != nil && !a.Limit.Empty() {
		note = say.That("back. Tops %[1]s", a.Limit)
	}
	p.Text(corner(planWidth/2, planEdge-2), pdf.Center, labelSize, false, p.sheet.Words(note))
	p.Text(corner(planWidth/2, h-2), pdf.Center, labelSize, true, p.sheet.Say.Words("FRONT"))
	first, second := g.planRows()
	for _, c := range corners {
		mid := y + planEdge + 1 + inlineLine/2
		if c.front {
			mid += (h - 2*planEdge - 2) / 2
		}
		left := x + c.column*planWidth/2
		box, ticks := left+planSide+planKey, left+p.sheet.planTicks()
		p.text(left+planSide, mid+textDown, planKey, labelSize, true, c.key)
		if first {
			if a := g.pick(checks.AtCorner, checks.LengthKind, c.key); a != nil {
				p.box(box, mid, ticks-planSide-box, fieldsheet.FieldsOf(a)[0])
			}
			if a := g.pick(checks.AtCorner, checks.YesNo, c.key); a != nil {
				p.ticks(ticks, mid, fieldsheet.FieldsOf(a), "bears", "not")
			}
			mid += inlineLine
		}
		if a := g.pick(checks.UnderCorner, checks.LengthKind, c.key); a != nil && second {
			p.box(box, mid, ticks-planSide-box, fieldsheet.FieldsOf(a)[0])
			p.text(ticks, mid+textDown, left+planWidth/2-ticks, labelSize, false, p.sheet.Say.Words("extension"))
		}
	}
}

// frontRow is what is asked of one door or drawer.
type frontRow struct {
	name                  say.Text
	aligned, works, drawn *checks.Ask
}

// fronts gathers doors and drawers, in the order in which they are asked.
func (g *group) fronts() []*frontRow {
	var rows []*frontRow
	row := func(name say.Text) *frontRow {
		for _, r := range rows {
			if r.name.Equal(name) {
				return r
			}
		}
		rows = append(rows, &frontRow{name: name})
		return rows[len(rows)-1]
	}
	for _, a := range g.Asks {
		if a.Thing.Stands != checks.AmongFronts {
			continue
		}
		switch r := row(a.Short); a.Blanks[0].Kind {
		case checks.LengthKind:
			r.aligned = a
		case checks.YesNo:
			r.works = a
		case checks.Drawer:
			r.drawn = a
		}
	}
	return rows
}

// Measures of the table of fronts, in points.
const (
	frontName = 42.0
	frontLine = 17.0 // from one door or drawer to the next
)

// frontColumns are where, from its left, the columns of the table begin: how far
// off line, whether it works, and which drawer is in it.
func (s *sheet) frontColumns() (off, works, drawer float64) {
	works = frontName + leastBox + s.unitRoom() + pieceGap
	return frontName, works, works + s.ticksWide("works", "not") + pieceGap
}

func (s *sheet) frontsHeight(rows []*frontRow) float64 {
	if len(rows) == 0 {
		return 0
	}
	off, _ := s.frontHeads(rows)
	return float64(labelLine*float64(max(1, len(off)))) + float64(float64(len(rows))*frontLine) + 1
}

// frontHeads are what stands over the columns of the table: how far off line, in
// lines that reach over the column of ticks, which has none, and which drawer.
func (s *sheet) frontHeads(rows []*frontRow) (off []string, drawer string) {
	from, _, end := s.frontColumns()
	to := end + leastBox
	if slices.ContainsFunc(rows, func(r *frontRow) bool { return r.drawn != nil }) {
		drawer = s.Say.Words("drawer in it")
		to -= wide(drawer)
	}
	if i := slices.IndexFunc(rows, func(r *frontRow) bool { return r.aligned != nil }); i >= 0 {
		off = wrap(s.Words(say.That("off line, %[1]s", rows[i].aligned.Limit)), to-from-pieceGap)
	}
	return off, drawer
}

// fronts draws a table of doors and drawers.
func (p *pen) fronts(x, y float64, rows []*frontRow) {
	if len(rows) == 0 {
		return
	}
	off, works, drawer := p.sheet.frontColumns()
	heads, last := p.sheet.frontHeads(rows)
	p.lines(x+off, y, false, heads)
	y += float64(labelLine * float64(max(1, len(heads))))
	p.Text(pdf.Point{X: x + drawer + leastBox, Y: y - 2}, pdf.Right, labelSize, false, last)
	off, works, drawer = x+off, x+works, x+drawer
	for _, r := range rows {
		mid := y + frontLine/2
		p.text(x, mid+textDown, frontName-2, labelSize, true, p.sheet.Words(r.name))
		if r.aligned != nil {
			p.box(off, mid, works-pieceGap-off, fieldsheet.FieldsOf(r.aligned)[0])
		}
		if r.works != nil {
			p.ticks(works, mid, fieldsheet.FieldsOf(r.works), "works", "not")
		}
		if r.drawn != nil {
			p.box(drawer, mid, leastBox, fieldsheet.FieldsOf(r.drawn)[0])
		}
		y += frontLine
	}
}
