package pdf

import (
	"math"
	"slices"

	east "github.com/yuin/goldmark/extension/ast"
)

// measured is how wide the text of a table is, in points, by column.
type measured struct {
	align []east.Alignment
	word  []float64   // what no line can break
	whole []float64   // the longest cell on one line
	label float64     // a column no wider than this holds short labels
	cells [][]float64 // by column and row: a cell on one line
}

// newGrid sets the column widths: what the text needs where that fits, else at
// least the widest word, the rest shared out by need.
func (l *Layout) newGrid(t *table) *grid {
	n := len(t.align)
	g := &grid{x: l.area.x, pad: 4.5, padTop: 2.6, size: tableSize, lead: tableLeading, align: t.align}
	switch {
	case slices.Contains(l.small, l.part):
		g.pad, g.padTop, g.size, g.lead = 2.5, 1.1, 7.5, 1.22
	case n > 8:
		g.pad, g.padTop, g.size = 2.5, 1.9, 7.5
	}
	const label = 6.5 // in sizes of the font: room for "not observed"
	m := &measured{t.align, make([]float64, n), make([]float64, n), float64(label * g.size), make([][]float64, n)}
	for c := range n {
		m.cells[c] = make([]float64, len(t.rows))
	}
	const slack = 0.5 // widths are rounded down when lines are broken
	for r, row := range t.rows {
		if r > 0 && spans(row) {
			continue // it takes whatever the others make
		}
		for c, cell := range row {
			if c < n {
				a, b := wordWidth(cell)
				word, whole := float64(a)*g.size/1000+slack, float64(b)*g.size/1000+slack
				m.word[c], m.whole[c] = max(m.word[c], word), max(m.whole[c], whole)
				m.cells[c][r] = whole
			}
		}
	}
	room := l.area.w - float64(2*g.pad*float64(n))
	g.cols = share(room, m)
	if slices.ContainsFunc(t.rows[1:], spans) {
		// What spans it is as wide as the column of text, not as what it stands over.
		rest := max(0, room-sum(g.cols))
		for c := range g.cols {
			g.cols[c] += rest / float64(n)
		}
	}
	for c := range g.cols {
		g.cols[c] += 2 * g.pad
		g.width += g.cols[c]
	}
	return g
}

// share divides room among the columns.
func share(room float64, t *measured) []float64 {
	cols := make([]float64, len(t.word))
	sumWord, sumWhole := sum(t.word), sum(t.whole)
	switch {
	case sumWhole <= room:
		copy(cols, t.whole)
		// A table that nearly fills the column fills it.
		if sumWhole > 0.6*room {
			for c := range cols {
				cols[c] += (room - sumWhole) / float64(len(cols))
			}
		}
	case sumWord <= room:
		shareByNeed(cols, room, t)
	default:
		// Some words must break: level the widest columns until all fit.
		limit := levelTo(room, t.word)
		for c := range cols {
			cols[c] = min(t.word[c], limit)
		}
	}
	return cols
}

// shareByNeed gives every column its widest word. Columns of numbers, which
// stand at the right, get the width of their longest, so that a number stays on
// one line with its unit, and so do columns of short labels. The rest goes, bit by bit, to the column that needs
// it most, and at last moves between columns where that saves lines.
func shareByNeed(cols []float64, room float64, t *measured) {
	copy(cols, t.word)
	for c := range cols {
		if (t.align[c] == east.AlignRight || t.whole[c] <= t.label) && room-sum(cols) >= t.whole[c]-t.word[c] {
			cols[c] = t.whole[c]
			t.word[c] = t.whole[c]
		}
	}
	const steps = 64
	step := (room - sum(cols)) / steps
	gain := make([]float64, len(cols))
	for c := range cols {
		gain[c] = height(t.cells[c], cols[c]) - height(t.cells[c], cols[c]+step)
	}
	for range steps {
		c := 0
		for i := range gain {
			if gain[i] > gain[c] {
				c = i
			}
		}
		cols[c] += step
		gain[c] = height(t.cells[c], cols[c]) - height(t.cells[c], cols[c]+step)
	}
	saveLines(cols, step, t)
}

// saveLines moves up to a few steps of width from one column to another as
// long as the table gets shorter.
func saveLines(cols []float64, step float64, t *measured) {
	const most = 6
	lines := t.lines(cols)
	for better := step > 0; better; {
		better = false
		for from := range cols {
			for to := range cols {
				for n := 1; n <= most && from != to; n++ {
					by := float64(float64(n) * step)
					if cols[from]-by < t.word[from] || cols[to] >= t.whole[to] {
						break
					}
					cols[from], cols[to] = cols[from]-by, cols[to]+by
					if now := t.lines(cols); now < lines {
						lines, better = now, true
						break
					}
					cols[from], cols[to] = cols[from]+by, cols[to]-by
				}
			}
		}
	}
}

// lines is about how many lines high the table is with such columns.
func (t *measured) lines(cols []float64) (n int) {
	for r := range t.cells[0] {
		most := 1
		for c, cells := range t.cells {
			if w := cols[c]; cells[r] > w*float64(most) {
				most = int(math.Ceil(cells[r] / w))
			}
		}
		n += most
	}
	return n
}

// height tells how high cells of such widths are in a column of width w. High
// cells count for more: the highest of a row makes it as high.
func height(cells []float64, w float64) (h float64) {
	for _, x := range cells {
		if x > w {
			h += x*x/(w*w) - 1
		}
	}
	return h
}

// levelTo returns the limit at which the capped widths add up to room.
func levelTo(room float64, widths []float64) float64 {
	lo, hi := 0.0, room
	for range 50 {
		mid := (lo + hi) / 2
		t := 0.0
		for _, w := range widths {
			t += min(w, mid)
		}
		if t > room {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo
}

func sum(v []float64) (t float64) {
	for _, x := range v {
		t += x
	}
	return t
}
