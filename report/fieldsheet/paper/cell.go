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
	ask *checks.Ask
	w   float64
}

// widthOf is how wide the cell of an ask is: no less than its label takes when
// it is set small, since what is cut there is the limit.
func (s *sheet) widthOf(a *checks.Ask) float64 {
	return max(usualWidth(a), pdf.TextWidth(leastSize, false, s.label(a)))
}

// label is what stands above the boxes of a cell.
func (s *sheet) label(a *checks.Ask) string {
	if limit := fieldsheet.LimitShown(a); !limit.Empty() {
		return s.Words(say.That("%[1]s: %[2]s", a.Words, limit))
	}
	return s.Words(a.Words)
}

// usualWidth is how wide the cell of an ask wants to be.
func usualWidth(a *checks.Ask) float64 {
	b := a.Blanks[0]
	switch n := len(a.Blanks); {
	case n > 2: // a person, a two-peg test, a fastening
		return sheetWidth
	case b.Kind == checks.Used:
		return (sheetWidth - cellGap) / 2
	case n == 2:
		return 104
	case b.Kind == checks.CountKind:
		return 74
	case b.Kind == checks.Several:
		return 220
	case b.Kind == checks.Words:
		return (sheetWidth - cellGap) / 2
	case b.Kind == checks.LengthKind, b.Kind == checks.DateKind:
		return 96
	}
	return 112
}

// flow puts cells into rows of a width, in order. A remark, where there is
// one, takes what is left of the last row, or a row of its own.
func (s *sheet) flow(asks []*checks.Ask, remark *checks.Ask, width float64) (rows [][]cell) {
	room := 0.0
	add := func(a *checks.Ask, w float64) {
		if len(rows) == 0 || w > room {
			rows = append(rows, nil)
			room = width
		}
		last := len(rows) - 1
		rows[last] = append(rows[last], cell{a, w})
		room -= w + cellGap
	}
	for _, a := range asks {
		add(a, min(s.widthOf(a), width))
	}
	if remark != nil {
		const least = 130
		if room < least {
			room = 0
			add(remark, width)
		} else {
			add(remark, room)
		}
	}
	return rows
}

func heightOf(rows [][]cell) float64 { return float64(cellHeight * float64(len(rows))) }

// cells draws rows of cells from the top y, and returns the y below.
func (p *pen) cells(x, y float64, rows [][]cell) float64 {
	for _, row := range rows {
		at := x
		for _, c := range row {
			p.cell(at, y, c)
			at += c.w + cellGap
		}
		y += cellHeight
	}
	return y
}

func (p *pen) cell(x, y float64, c cell) {
	p.text(x, y+labelLine-2, c.w, labelSize, false, p.sheet.label(c.ask))
	p.blanks(x, y+labelLine+boxHeight/2, c.w, c.ask)
}

// part is one blank of an ask in a row: the words before its boxes, and behind
// each tick.
type part struct {
	blank  *checks.Blank
	fields []fieldsheet.Field
	before string
	behind []string
}

func (s *sheet) partsOf(a *checks.Ask) []part {
	fields := fieldsheet.FieldsOf(a)
	parts := make([]part, len(a.Blanks))
	for i := range a.Blanks {
		b := &a.Blanks[i]
		own := slices.DeleteFunc(slices.Clone(fields), func(f fieldsheet.Field) bool { return f.Blank != b })
		parts[i] = part{blank: b, fields: own}
		if b.Printed {
			parts[i].before = s.Words(say.That("%[1]s %[2]s", b.Words, fieldsheet.PrintedLength(b)))
			continue
		}
		if i+1 < len(a.Blanks) && a.Blanks[i+1].Printed {
			continue // its label stands above
		}
		if len(a.Blanks) > 1 && b.Kind != checks.Used && !(i == 0 && a.Thing.Stands == checks.OnOwnLine) {
			parts[i].before = s.Words(b.Words)
		}
		for _, f := range own {
			if f.Tick && b.Kind == checks.Used {
				parts[i].behind = append(parts[i].behind, s.Words(b.Words))
			} else if f.Tick {
				parts[i].behind = append(parts[i].behind, s.Words(checks.AnswerWords(f.Answer)))
			}
		}
	}
	return parts
}

// leastBox is the narrowest text box.
const leastBox = 24.0

// blanks draws the boxes of an ask in a row that is w wide; y is its middle.
// Text boxes share what ticks and words leave; where that is too little, words
// are set smaller.
func (p *pen) blanks(x, y, w float64, a *checks.Ask) { p.parts(x, y, w, p.sheet.partsOf(a)) }

// needs is what a row of parts takes: words as they are set usually, what is
// fixed beside them, and boxes as narrow as they may be, which share the free
// width by their weights.
func needs(parts ...part) (words, fixed, boxes, weights float64) {
	for _, q := range parts {
		for _, word := range append([]string{q.before}, q.behind...) {
			words += pdf.TextWidth(labelSize, false, word) + 0.5
		}
		fixed += float64((tickSize + 6) * float64(len(q.behind)))
		if q.before != "" {
			fixed += 3
		}
		if len(q.fields) > 0 && len(q.behind) == 0 {
			fixed += 3
			boxes += leastBox
			weights += weight(q.blank)
		}
	}
	return words, fixed, boxes, weights
}

// rowsOf puts the parts of an ask into as many rows of a width as they need for
// no word to be cut.
func (s *sheet) rowsOf(a *checks.Ask, w float64) (rows [][]part) {
	for _, q := range s.partsOf(a) {
		n := len(rows) - 1
		if n >= 0 {
			words, fixed, boxes, _ := needs(append(rows[n][:len(rows[n]):len(rows[n])], q)...)
			if float64(words*leastSize/labelSize)+fixed+boxes <= w {
				rows[n] = append(rows[n], q)
				continue
			}
		}
		rows = append(rows, []part{q})
	}
	return rows
}

// parts draws parts in a row.
func (p *pen) parts(x, y, w float64, parts []part) {
	words, fixed, boxes, weights := needs(parts...)
	shrink := 1.0
	if words > 0 {
		shrink = min(1, max(0.3, (w-fixed-boxes)/words))
	}
	room := max(w-fixed-float64(words*shrink), boxes)
	word := func(s string) float64 { return float64((p.TextWidth(labelSize, false, s) + 0.5) * shrink) }
	for _, q := range parts {
		if q.before != "" {
			p.text(x, y+2.4, word(q.before), labelSize, false, q.before)
			x += word(q.before) + 3
		}
		for i, f := range q.fields {
			if f.Tick {
				x = p.tick(x, y, word(q.behind[i]), f, q.behind[i])
				continue
			}
			box := room * weight(q.blank) / weights
			p.box(x, y, box, f)
			x += box + 3
		}
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
