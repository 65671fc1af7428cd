package paper

import (
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

// Measures of the plan of a cabinet.
const (
	planWidth = 272.0
	planEdge  = 9.0 // for the words at the wall and in front
)

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
	h := g.planHeight() - 3
	if h < 0 {
		return
	}
	corner := func(a, b float64) pdf.Point { return pdf.Point{X: x + a, Y: y + b} }
	p.Line(0.8, 0, 0, corner(0, 0), corner(planWidth, 0), corner(planWidth, h), corner(0, h), corner(0, 0))
	note := say.That("back")
	if a := g.pick(checks.AtCorner, checks.LengthKind, "FL"); a != nil && !a.Limit.Empty() {
		note = say.That("back. Tops %[1]s", a.Limit)
	}
	p.Text(corner(planWidth/2, planEdge-2), pdf.Center, labelSize-0.5, false, p.sheet.Words(note))
	p.Text(corner(planWidth/2, h-2), pdf.Center, labelSize-0.5, true, p.sheet.Say.Words("FRONT"))
	first, second := g.planRows()
	for _, c := range corners {
		mid := y + planEdge + 1 + inlineLine/2
		if c.front {
			mid += (h - 2*planEdge - 2) / 2
		}
		left := x + c.column*planWidth/2 + 3
		p.text(left, mid+2.4, 12, labelSize, true, c.key)
		if first {
			if a := g.pick(checks.AtCorner, checks.LengthKind, c.key); a != nil {
				p.box(left+13, mid, 48, fieldsheet.FieldsOf(a)[0])
			}
			if a := g.pick(checks.AtCorner, checks.YesNo, c.key); a != nil {
				p.ticks(left+64, mid, fieldsheet.FieldsOf(a), "bears", "not")
			}
			mid += inlineLine
		}
		if a := g.pick(checks.UnderCorner, checks.LengthKind, c.key); a != nil && second {
			p.box(left+13, mid, 48, fieldsheet.FieldsOf(a)[0])
			p.text(left+64, mid+2.4, 62, labelSize, false, p.sheet.Say.Words("extension"))
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

// Columns of the table of fronts.
const (
	frontName   = 36.0
	frontOff    = 62.0
	frontWorks  = 74.0
	frontDrawer = 34.0
	frontLine   = 17.0 // from one door or drawer to the next
)

func frontsHeight(rows int) float64 {
	if rows == 0 {
		return 0
	}
	return labelLine + float64(float64(rows)*frontLine) + 1
}

// fronts draws a table of doors and drawers.
func (p *pen) fronts(x, y float64, rows []*frontRow) {
	if len(rows) == 0 {
		return
	}
	for _, r := range rows {
		if r.aligned != nil {
			text, room := p.sheet.Words(say.That("off line, %[1]s", r.aligned.Limit)), frontOff-2
			if pdf.TextWidth(leastSize, false, text) > room {
				room += frontWorks // above which nothing stands
			}
			p.text(x+frontName, y+labelLine-2, room, labelSize, false, text)
			break
		}
	}
	for _, r := range rows {
		if r.drawn != nil {
			p.text(x+frontName+frontOff+frontWorks, y+labelLine-2, sheetWidth-x-frontName-frontOff-frontWorks, labelSize, false, p.sheet.Say.Words("drawer in it"))
			break
		}
	}
	y += labelLine
	for _, r := range rows {
		mid := y + frontLine/2
		p.text(x, mid+2.4, frontName-2, labelSize, true, p.sheet.Words(r.name))
		if r.aligned != nil {
			p.box(x+frontName, mid, frontOff-4, fieldsheet.FieldsOf(r.aligned)[0])
		}
		if r.works != nil {
			at := x + frontName + frontOff
			p.ticks(at, mid, fieldsheet.FieldsOf(r.works), "works", "not")
		}
		if r.drawn != nil {
			p.box(x+frontName+frontOff+frontWorks, mid, frontDrawer, fieldsheet.FieldsOf(r.drawn)[0])
		}
		y += frontLine
	}
}
