package paper

import (
	"unicode/utf8"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/report/pdf"
)

const (
	titleLine = 20.0
	againLine = 9.0
	jointName = 50.0 // the name of a joint stands beside its boxes
	longName  = 12   // characters, from which on it stands above them
)

// group is what is asked of one subject, as it is laid out.
type group fieldsheet.Group

// sorted are the asks of a group by where they stand in its block.
type sorted struct {
	label, remark  *checks.Ask
	fastened, rest []*checks.Ask
}

func (g *group) sort() sorted {
	var s sorted
	for _, a := range g.Asks {
		switch a.Thing.Stands {
		case checks.InTitle:
			s.label = a
		case checks.AsRemark:
			s.remark = a
		case checks.OnOwnLine:
			s.fastened = append(s.fastened, a)
		case checks.InRow:
			s.rest = append(s.rest, a)
		}
	}
	return s
}

// blockOf lays a group out.
func (s *sheet) blockOf(g *group) block {
	switch {
	case g.Subject.Kind == checks.SubjectElevation:
		return s.elevationBlock(g)
	case g.Subject.Kind == checks.SubjectJoint:
		return s.jointBlock(g)
	}
	own, fronts := g.sort(), g.fronts()
	plan := g.planHeight()
	side, room := 0.0, sheetWidth
	if plan > 0 {
		side, room = planWidth+8, sheetWidth-planWidth-8
	}
	// What does not stand in the plan or among the fronts stands beside the
	// plan where there are no fronts, else below.
	var beside, below [][]cell
	if plan > 0 && len(fronts) == 0 {
		beside = s.flow(own.rest, own.remark, room)
	} else {
		below = s.flow(own.rest, own.remark, sheetWidth)
	}
	band := max(plan, frontsHeight(len(fronts)), heightOf(beside))
	height := titleLine + float64(againLine*float64(len(g.Again))) + band + heightOf(below) + s.fastenedHeight(own.fastened)
	return block{height - trim, func(p *pen) {
		y := p.title(g, own.label)
		p.plan(0, y, g)
		p.fronts(side, y, fronts)
		p.cells(side, y, beside)
		y = p.cells(0, y+band, below)
		for _, a := range own.fastened {
			y = p.fastening(y, a)
		}
	}}
}

// jointBlock lays out a joint: its name beside what is measured.
func (s *sheet) jointBlock(g *group) block {
	own := g.sort()
	again := float64(againLine * float64(len(g.Again)))
	side, head := jointName, 4.0
	if utf8.RuneCountInString(g.Title) > longName {
		side, head = 0, titleLine // it stands above
	}
	rows := s.flow(own.rest, own.remark, sheetWidth-side)
	height := head + again + heightOf(rows) + s.fastenedHeight(own.fastened)
	return block{height - trim, func(p *pen) {
		p.rule(0.4, 0.4)
		y := p.lookAgain(head, g)
		if side > 0 {
			p.heading(0, y+labelLine+boxHeight/2+3, side-4, g.Title)
		} else {
			p.heading(0, 13, sheetWidth, g.Title)
		}
		y = p.cells(side, y, rows)
		for _, a := range own.fastened {
			y = p.fastening(y, a)
		}
	}}
}

// title draws a rule, the name of what is looked at, and its label's boxes
// beside it; below, what is to be looked at again. It returns the y below.
func (p *pen) title(g *group, label *checks.Ask) float64 {
	p.rule(0.4, 0.8)
	const base, labelAt = 13.0, 165.0
	room := sheetWidth
	if label != nil {
		room = labelAt - 5
	}
	// What it is in words takes what its name leaves.
	name := min(p.TextWidth(titleSize, true, g.Title), float64(0.65*room))
	p.heading(0, base, name+0.5, g.Title)
	p.text(name+6, base, room-name-6, labelSize+0.5, false, g.About)
	if label != nil {
		p.text(labelAt, base-0.6, 22, labelSize, true, p.sheet.Say.Words("Label"))
		p.blanks(labelAt+24, base-3, sheetWidth-labelAt-24, label)
	}
	return p.lookAgain(titleLine, g)
}

// lookAgain writes what did not hold from the top y, and returns the y below.
func (p *pen) lookAgain(y float64, g *group) float64 {
	for _, line := range g.Again {
		p.text(0, y+againLine-3, sheetWidth, labelSize, true, line)
		y += againLine
	}
	return y
}

// fastenedLabel is the room of what stands before the boxes of a fastening.
const fastenedLabel = 40.0

func (s *sheet) fastenedHeight(asks []*checks.Ask) (h float64) {
	for _, a := range asks {
		h += float64(inlineLine * float64(len(s.rowsOf(a, sheetWidth-fastenedLabel))))
	}
	return h
}

// fastening draws how a joint or a filler is fastened, on one line where that
// has room for it, and returns the y below.
func (p *pen) fastening(y float64, a *checks.Ask) float64 {
	const label = fastenedLabel
	mid := y + inlineLine/2
	p.text(0, mid-0.6, label-3, labelSize, true, p.sheet.Words(a.Short))
	p.text(0, mid+6, label-3, leastSize, false, p.sheet.Say.Words("screws"))
	for _, parts := range p.sheet.rowsOf(a, sheetWidth-label) {
		p.parts(label, y+inlineLine/2, sheetWidth-label, parts)
		y += inlineLine
	}
	return y
}

// elevationBlock lays out what is asked of an elevation: the mark, the opening,
// and the two lines of the floor.
func (s *sheet) elevationBlock(g *group) block {
	var rest, lines []*checks.Ask
	for _, a := range g.Asks {
		if a.Thing.Stands == checks.AsLine {
			lines = append(lines, a)
		} else {
			rest = append(rest, a)
		}
	}
	rows := s.flow(rest, nil, sheetWidth)
	height := 4 + heightOf(rows) + float64(againLine*float64(len(g.Again)))
	for _, a := range lines {
		height += s.floorHeight(a)
	}
	return block{height - trim, func(p *pen) {
		p.rule(0.4, 0.8)
		y := p.cells(0, p.lookAgain(4, g), rows)
		for _, a := range lines {
			y = p.floor(y, a)
		}
	}}
}

// How many places of a floor line stand beside each other: those printed, and
// those left open.
const (
	acrossPrinted = 6
	acrossOpen    = 4
)

// pairsOf are the places of a line: those printed, and those left open.
func pairsOf(a *checks.Ask) (printed, open int) {
	for i := 0; i+1 < len(a.Blanks); i += 2 {
		if a.Blanks[i].Printed {
			printed++
		} else {
			open++
		}
	}
	return printed, open
}

func rowsFor(n, across int) int { return (n + across - 1) / across }

func (s *sheet) floorHeight(a *checks.Ask) float64 {
	printed, open := pairsOf(a)
	rows := rowsFor(printed, acrossPrinted) + rowsFor(open, acrossOpen)
	return float64(labelLine*float64(len(s.floorLabel(a)))) + 3 + float64(inlineLine*float64(rows))
}

// floorLabel says what is read along a line of the floor, and how far apart: on
// two lines where one has no room for it.
func (s *sheet) floorLabel(a *checks.Ask) []string {
	what := say.That("%[1]s: where from the left end, and how far down from the reference line, in %[2]s", a.Words, fieldsheet.UnitWord(s.Say.Lengths))
	whole := s.Words(say.Semicolons(what, a.Limit))
	if pdf.TextWidth(leastSize, false, whole) <= sheetWidth {
		return []string{whole}
	}
	return []string{s.Words(what), s.Words(a.Limit)}
}

// floor draws the places of a line of the floor: where, and how far down. Their
// unit stands once, above.
func (p *pen) floor(y float64, a *checks.Ask) float64 {
	below := y + p.sheet.floorHeight(a)
	for _, line := range p.sheet.floorLabel(a) {
		p.text(0, y+labelLine-1, sheetWidth, labelSize, false, line)
		y += labelLine
	}
	printed, _ := pairsOf(a)
	at := func(n, across int) (x, mid float64) {
		return float64(sheetWidth / float64(across) * float64(n%across)), y + 1 + float64(inlineLine*float64(n/across)) + inlineLine/2
	}
	fields := fieldsheet.FieldsOf(a)
	for i := range printed {
		x, mid := at(i, acrossPrinted)
		const words = sheetWidth/acrossPrinted - readingBox - 5
		p.text(x, mid+2.4, words, labelSize, false, p.sheet.Words(fields[i].Blank.Words))
		p.bare(x+words+1, mid, readingBox, fields[i])
	}
	y += float64(inlineLine * float64(rowsFor(printed, acrossPrinted)))
	for i, pairs := 0, fields[printed:]; i+1 < len(pairs); i += 2 {
		x, mid := at(i/2, acrossOpen)
		where := p.sheet.Say.Words("at")
		p.Text(pdf.Point{X: x, Y: mid + 2.4}, pdf.Left, labelSize, false, where)
		x += p.TextWidth(labelSize, false, where) + 2
		p.bare(x, mid, readingBox, pairs[i])
		p.Text(pdf.Point{X: x + readingBox + 4, Y: mid + 2.4}, pdf.Left, labelSize, false, "↓")
		p.bare(x+readingBox+12, mid, readingBox, pairs[i+1])
	}
	return below
}
