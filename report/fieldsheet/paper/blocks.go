package paper

import (
	"slices"
	"unicode/utf8"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report"
	"setline.example/report/fieldsheet"
	"setline.example/report/pdf"
)

const (
	titleLine = 20.0
	titleBase = 13.0  // of the name in it
	jointName = 50.0  // the name of a joint stands beside its boxes
	longName  = 12    // characters, from which on it stands above them
	labelAt   = 165.0 // where the boxes of a label begin, beside a name
	labelWord = 24.0  // what stands before them
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
	side := 0.0
	if plan > 0 {
		side = s.planWidth() + 8
	}
	// What does not stand in the plan or among the fronts stands beside the
	// plan where there are no fronts and it is not higher so, else below.
	beside, below := [][]cell(nil), s.flow(own.rest, own.remark, sheetWidth)
	if plan > 0 && len(fronts) == 0 {
		if rows := s.flow(own.rest, own.remark, sheetWidth-side); max(plan, heightOf(rows)) <= plan+heightOf(below) {
			beside, below = rows, nil
		}
	}
	band := max(plan, s.frontsHeight(fronts), heightOf(beside))
	height := s.titleHeight(g, own.label) + band + heightOf(below) + s.fastenedHeight(own.fastened)
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
	side, head := jointName, 4.0
	if utf8.RuneCountInString(g.Title) > longName {
		side, head = 0, titleLine // it stands above
	}
	rows := s.flow(own.rest, own.remark, sheetWidth-side)
	height := head + againHeight(g) + heightOf(rows) + s.fastenedHeight(own.fastened)
	return block{height - trim, func(p *pen) {
		p.rule(0.4, 0.4)
		y := p.lookAgain(head, g)
		if side > 0 {
			p.heading(0, y+p.sheet.nameDown(rows), side-4, g.Title)
		} else {
			p.heading(0, titleBase, sheetWidth, g.Title)
		}
		y = p.cells(side, y, rows)
		for _, a := range own.fastened {
			y = p.fastening(y, a)
		}
	}}
}

// nameDown is how far below the top of rows of cells a name beside their first
// boxes stands.
func (s *sheet) nameDown(rows [][]cell) float64 {
	labels := 0.0
	if len(rows) > 0 {
		labels, _ = above(rows[0])
	}
	return labels + boxHeight/2 + textDown
}

// beneath reports whether the boxes of a label have no room beside the name of
// what it is of, and stand below.
func (s *sheet) beneath(g *group, label *checks.Ask) bool {
	name := pdf.TextWidth(titleSize, true, g.Title) + 6 + pdf.TextWidth(labelSize, false, g.About)
	return name > labelAt-5 || len(s.rowsOf(label, sheetWidth-labelAt-labelWord)) > 1
}

// titleHeight is the height of what [pen.title] draws.
func (s *sheet) titleHeight(g *group, label *checks.Ask) float64 {
	h := titleLine + againHeight(g)
	if label != nil && s.beneath(g, label) {
		h += float64(inlineLine * float64(len(s.rowsOf(label, sheetWidth-labelWord))))
	}
	return h
}

// title draws a rule, the name of what is looked at, and its label's boxes
// beside it; below, what is to be looked at again. It returns the y below.
func (p *pen) title(g *group, label *checks.Ask) float64 {
	p.rule(0.4, 0.8)
	room, y := sheetWidth, titleLine
	if label != nil {
		x, top := 0.0, titleLine
		if p.sheet.beneath(g, label) {
			y += float64(inlineLine * float64(len(p.sheet.rowsOf(label, sheetWidth-labelWord))))
		} else {
			x, top, room = labelAt, titleBase-3-boxHeight/2, labelAt-5
		}
		p.text(x, top+boxHeight/2+textDown, labelWord-2, labelSize, true, p.sheet.Say.Words("Label"))
		p.rows(x+labelWord, top, sheetWidth-x-labelWord, p.sheet.rowsOf(label, sheetWidth-x-labelWord))
	}
	// What it is in words takes what its name leaves.
	name := min(p.TextWidth(titleSize, true, g.Title), float64(0.65*room))
	p.heading(0, titleBase, name+0.5, g.Title)
	p.text(name+6, titleBase, room-name-6, labelSize, false, g.About)
	return p.lookAgain(y, g)
}

// againLines are the lines that say what did not hold.
func againLines(g *group) (lines []string) {
	const boldWider = 1.1 // than what is measured
	for _, said := range g.Again {
		lines = append(lines, wrap(said, sheetWidth/boldWider)...)
	}
	return lines
}

func againHeight(g *group) float64 { return float64(labelLine * float64(len(againLines(g)))) }

// lookAgain writes what did not hold from the top y, and returns the y below.
func (p *pen) lookAgain(y float64, g *group) float64 { return p.lines(0, y, true, againLines(g)) }

func (s *sheet) fastenedHeight(asks []*checks.Ask) (h float64) {
	for _, a := range asks {
		h += float64(labelLine*float64(len(wrap(s.label(a), sheetWidth)))) + float64(inlineLine*float64(len(s.rowsOf(a, sheetWidth))))
	}
	return h
}

// fastening draws how a joint or a filler is to be fastened, and the boxes for how
// it is. It returns the y below.
func (p *pen) fastening(y float64, a *checks.Ask) float64 {
	y = p.lines(0, y, false, wrap(p.sheet.label(a), sheetWidth))
	return p.rows(0, y, sheetWidth, p.sheet.rowsOf(a, sheetWidth))
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
	screws := s.screws(g)
	height := 4 + heightOf(rows) + float64(labelLine*float64(len(screws))) + againHeight(g)
	for _, a := range lines {
		height += s.floorHeight(a)
	}
	return block{height - trim, func(p *pen) {
		p.rule(0.4, 0.8)
		y := p.lines(0, p.cells(0, p.lookAgain(4, g), rows), false, screws)
		for _, a := range lines {
			y = p.floor(y, a)
		}
	}}
}

// screws are the lines that say how joints and fillers of an elevation are to be
// screwed, where a box says of all of them that they are.
func (s *sheet) screws(g *group) (lines []string) {
	const ofAll = "fastened" // what is said of all, as the record calls it
	if !slices.ContainsFunc(g.Asks, func(a *checks.Ask) bool { return a.Covers > 0 && a.Key == ofAll }) {
		return nil
	}
	i := slices.IndexFunc(s.Pages, func(e fieldsheet.Elevation) bool {
		return e.Room == g.Subject.Room && e.Name == g.Subject.Elevation
	})
	for _, said := range report.ScrewsPlanned(s.Pages[i].Layout, s.Say) {
		lines = append(lines, wrap(said, sheetWidth)...)
	}
	return lines
}

// acrossOpen is how many places of a floor line that are left open stand beside
// each other.
const acrossOpen = 4

// acrossPrinted is how many of those that are printed do, and how wide the words
// before their boxes are.
func (s *sheet) acrossPrinted(a *checks.Ask) (across int, words float64) {
	const most = 6
	printed, _ := pairsOf(a)
	for _, f := range fieldsheet.FieldsOf(a)[:printed] {
		words = max(words, wide(s.Words(f.Blank.Words)))
	}
	across = max(1, min(most, int(sheetWidth/(words+wordGap+readingBox+pieceGap))))
	return across, min(words, sheetWidth-wordGap-readingBox)
}

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
	across, _ := s.acrossPrinted(a)
	rows := rowsFor(printed, across) + rowsFor(open, acrossOpen)
	return float64(labelLine*float64(len(s.floorLabel(a)))) + 3 + float64(inlineLine*float64(rows))
}

// floorLabel says what is read along a line of the floor, and how far apart.
func (s *sheet) floorLabel(a *checks.Ask) []string {
	what := say.That("%[1]s: from the left end, and down from the reference line, in %[2]s", a.Words, fieldsheet.UnitWord(s.Say.Lengths))
	return wrap(s.Words(say.Semicolons(what, a.Limit)), sheetWidth)
}

// floor draws the places of a line of the floor: where, and how far down. Their
// unit stands once, above.
func (p *pen) floor(y float64, a *checks.Ask) float64 {
	below := y + p.sheet.floorHeight(a)
	y = p.lines(0, y, false, p.sheet.floorLabel(a)) + 1
	printed, _ := pairsOf(a)
	at := func(n, across int) (x, mid float64) {
		return float64(sheetWidth / float64(across) * float64(n%across)), y + float64(inlineLine*float64(n/across)) + inlineLine/2
	}
	fields := fieldsheet.FieldsOf(a)
	across, words := p.sheet.acrossPrinted(a)
	for i, f := range fields[:printed] {
		x, mid := at(i, across)
		p.text(x, mid+textDown, words, labelSize, false, p.sheet.Words(f.Blank.Words))
		p.bare(x+words+wordGap, mid, readingBox, f)
	}
	y += float64(inlineLine * float64(rowsFor(printed, across)))
	for i, pairs := 0, fields[printed:]; i+1 < len(pairs); i += 2 {
		x, mid := at(i/2, acrossOpen)
		where := p.sheet.Say.Words("at")
		p.Text(pdf.Point{X: x, Y: mid + textDown}, pdf.Left, labelSize, false, where)
		x += wide(where) + wordGap
		p.bare(x, mid, readingBox, pairs[i])
		p.Text(pdf.Point{X: x + readingBox + wordGap, Y: mid + textDown}, pdf.Left, labelSize, false, "↓")
		p.bare(x+readingBox+12, mid, readingBox, pairs[i+1])
	}
	return below
}
