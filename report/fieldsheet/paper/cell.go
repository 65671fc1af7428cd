package paper

import (
	"slices"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/report/pdf"
)

// cell is one ask in a row: its label above, its boxes below.
type cell struct {
	ask   *checks.Ask
	w     float64
	label []string  // lines
	rows  [][]piece // of boxes
}

// label is what stands above the boxes of a cell.
func (s *sheet) label(a *checks.Ask) string {
	if limit := fieldsheet.LimitShown(a); !limit.Empty() {
		return s.Words(say.That("%[1]s: %[2]s", a.Words, limit))
	}
	return s.Words(a.Words)
}

// cellOf is the cell of an ask in a row of a width, its label on so many lines
// where that can be: no narrower than its boxes need.
func (s *sheet) cellOf(a *checks.Ask, lines int, width float64) cell {
	const step = 6
	boxes := 0.0
	for _, q := range s.pieces(a) {
		boxes += s.needs(q)
	}
	c := cell{ask: a, w: min(max(usualWidth(a), boxes), width)}
	for c.label = wrap(s.label(a), c.w); len(c.label) > lines && c.w < width; c.label = wrap(s.label(a), c.w) {
		c.w = min(c.w+step, width)
	}
	c.rows = s.rowsOf(a, c.w)
	return c
}

// usualWidth is how wide the cell of an ask wants to be.
func usualWidth(a *checks.Ask) float64 {
	b := a.Blanks[0]
	switch n := len(a.Blanks); {
	case n > 2: // a person, a two-peg test, a fastening
		return sheetWidth
	case b.Kind == checks.Used, b.Kind == checks.Words:
		return (sheetWidth - cellGap) / 2
	case n == 2:
		return 104
	case b.Kind == checks.CountKind:
		return 74
	case b.Kind == checks.Several:
		return 220
	case b.Kind == checks.LengthKind, b.Kind == checks.DateKind:
		return 96
	}
	return 112
}

// flow puts cells into rows of a width, in order. A remark, where there is
// one, takes what is left of the last row, or a row of its own. Labels have so
// many lines that all of it is least high.
func (s *sheet) flow(asks []*checks.Ask, remark *checks.Ask, width float64) (rows [][]cell) {
	const mostLines = 3
	for lines := 1; lines <= mostLines; lines++ {
		if r := s.flowOf(asks, remark, lines, width); lines == 1 || heightOf(r) < heightOf(rows) {
			rows = r
		}
	}
	return rows
}

func (s *sheet) flowOf(asks []*checks.Ask, remark *checks.Ask, lines int, width float64) (rows [][]cell) {
	room := 0.0
	add := func(c cell) {
		if len(rows) == 0 || c.w > room {
			rows = append(rows, nil)
			room = width
		}
		last := len(rows) - 1
		rows[last] = append(rows[last], c)
		room -= c.w + cellGap
	}
	for _, a := range asks {
		add(s.cellOf(a, lines, width))
	}
	for i := range rows {
		rows[i] = s.flatter(rows[i], lines, width)
		room = width
		for _, c := range rows[i] {
			room -= c.w + cellGap
		}
	}
	if remark != nil {
		const least = 130
		if room < least {
			room = width
			rows = append(rows, nil)
		}
		add(cell{remark, room, wrap(s.label(remark), room), s.rowsOf(remark, room)})
	}
	return rows
}

// flatter is a row of cells with as few lines of labels as it has room for.
func (s *sheet) flatter(row []cell, lines int, width float64) []cell {
	for n := 1; n < lines; n++ {
		flat, w := make([]cell, len(row)), -cellGap
		for i, c := range row {
			flat[i] = s.cellOf(c.ask, n, width)
			w += flat[i].w + cellGap
		}
		if labels, _ := above(flat); w <= width && labels <= float64(labelLine*float64(n)) {
			return flat
		}
	}
	return row
}

// above is the height of the labels of a row of cells, boxes that of what is below.
func above(row []cell) (labels, boxes float64) {
	for _, c := range row {
		labels = max(labels, float64(labelLine*float64(len(c.label))))
		boxes = max(boxes, float64(inlineLine*float64(len(c.rows))))
	}
	return labels, boxes
}

func heightOf(rows [][]cell) (h float64) {
	for _, row := range rows {
		labels, boxes := above(row)
		h += labels + boxes + cellSpace
	}
	return h
}

// cells draws rows of cells from the top y, and returns the y below.
func (p *pen) cells(x, y float64, rows [][]cell) float64 {
	for _, row := range rows {
		at := x
		labels, boxes := above(row)
		for _, c := range row {
			p.lines(at, y+labels-float64(labelLine*float64(len(c.label))), false, c.label)
			p.rows(at, y+labels, c.w, c.rows)
			at += c.w + cellGap
		}
		y += labels + boxes + cellSpace
	}
	return y
}

// piece is one box of an ask with the words before and behind it, which stay
// together.
type piece struct {
	fieldsheet.Field
	before, behind string
}

// pieces are the boxes of an ask, and what stands beside them.
func (s *sheet) pieces(a *checks.Ask) (all []piece) {
	fields := fieldsheet.FieldsOf(a)
	for i := range a.Blanks {
		b := &a.Blanks[i]
		if b.Printed && len(all) > 0 { // it goes with the box before
			all[len(all)-1].behind = s.Words(say.That("%[1]s %[2]s", b.Words, fieldsheet.PrintedLength(b)))
		}
		own := slices.DeleteFunc(slices.Clone(fields), func(f fieldsheet.Field) bool { return f.Blank != b })
		for k, f := range own {
			q := piece{Field: f}
			if k == 0 && named(a, f) {
				q.before = s.Words(b.Words)
			}
			switch {
			case f.Tick && b.Kind == checks.Used:
				q.behind = s.Words(b.Words)
			case f.Tick:
				q.behind = s.Words(checks.AnswerWords(f.Answer))
			}
			all = append(all, q)
		}
	}
	return all
}

// named reports whether a blank of an ask, which begins with a field, has its
// name before it. The first value has it above, in the label; which screw and
// which place are to be ticked stands there too.
func named(a *checks.Ask, f fieldsheet.Field) bool {
	b, first := f.Blank, f.Blank == &a.Blanks[0]
	switch {
	case len(a.Blanks) == 1 || b.Kind == checks.Used:
		return false
	case a.Thing.Stands == checks.OnOwnLine:
		return !first && !(f.Tick && b.Kind == checks.Choice)
	}
	return !(first && b.Kind == checks.LengthKind && len(a.Blanks) == 2)
}

// needs is the least width of a piece, with the space behind it.
func (s *sheet) needs(q piece) (w float64) {
	if q.before != "" {
		w += wide(q.before) + wordGap
	}
	if q.Tick {
		return w + tickSize + tickGap + wide(q.behind) + pieceGap
	}
	w += s.leastBox(q.Blank) + pieceGap
	if q.behind != "" {
		w += wide(q.behind) + wordGap
	}
	return w
}

func wide(words string) float64 { return pdf.TextWidth(labelSize, false, words) + 0.5 }

// leastBox is the narrowest text box of a blank, with its unit.
func (s *sheet) leastBox(b *checks.Blank) float64 {
	if b.Kind == checks.LengthKind {
		return leastBox + s.unitRoom()
	}
	return leastBox
}

// rowsOf puts the boxes of an ask into as many rows of a width as they need.
func (s *sheet) rowsOf(a *checks.Ask, w float64) (rows [][]piece) {
	room := 0.0
	for _, q := range s.pieces(a) {
		if len(rows) == 0 || s.needs(q)-pieceGap > room {
			rows, room = append(rows, nil), w
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], q)
		room -= s.needs(q)
	}
	return rows
}

// rows draws rows of boxes from the top y, and returns the y below.
func (p *pen) rows(x, y, w float64, rows [][]piece) float64 {
	for _, row := range rows {
		p.row(x, y+boxHeight/2, w, row)
		y += inlineLine
	}
	return y
}

// row draws boxes in a row that is w wide; y is its middle. Text boxes share
// what ticks and words leave; words are cut where one of them alone is wider.
func (p *pen) row(x, y, w float64, row []piece) {
	room, weights := w+pieceGap, 0.0
	for _, q := range row {
		room -= p.sheet.needs(q)
		if !q.Tick {
			weights += weight(q.Blank)
		}
	}
	short := min(room, 0)
	for _, q := range row {
		if q.before != "" {
			words := wide(q.before)
			if !q.Tick {
				words += short
			}
			p.text(x, y+textDown, words, labelSize, false, q.before)
			x += words + wordGap
		}
		if q.Tick {
			x = p.tick(x, y, wide(q.behind)+short, q.Field, q.behind)
			continue
		}
		box := p.sheet.leastBox(q.Blank) + float64(max(room, 0)*weight(q.Blank)/weights)
		p.box(x, y, box, q.Field)
		x += box
		if q.behind != "" {
			p.text(x+wordGap, y+textDown, wide(q.behind), labelSize, false, q.behind)
			x += wordGap + wide(q.behind)
		}
		x += pieceGap
	}
}

// weight is how much of the free width a text box takes beside others.
func weight(b *checks.Blank) float64 {
	switch {
	case b.Kind == checks.CountKind:
		return 0.5
	case b.Short:
		return 0.6
	}
	return 1
}
