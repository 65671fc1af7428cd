package pdf

import (
	"slices"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

// tables renders tables: it collects the cells, then lays the whole table out.
type tables struct{ *Layout }

// RegisterFuncs implements [renderer.NodeRenderer].
func (r *tables) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(east.KindTable, r.table)
	reg.Register(east.KindTableHeader, r.header)
	reg.Register(east.KindTableRow, r.row)
	reg.Register(east.KindTableCell, r.cell)
}

type table struct {
	align []east.Alignment
	rows  [][][]glyph // row, column; the first row is the header
}

func (r *tables) table(_ util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		r.open = &table{align: node.(*east.Table).Alignments}
	} else {
		t := r.open
		r.open = nil
		r.addTable(t)
	}
	return ast.WalkContinue, nil
}

func (r *tables) header(_ util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		r.open.rows = append(r.open.rows, nil)
		r.pushStyle(func(s *style) { s.bold = true })
	} else {
		r.popStyle()
	}
	return ast.WalkContinue, nil
}

func (r *tables) row(_ util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		r.open.rows = append(r.open.rows, nil)
	}
	return ast.WalkContinue, nil
}

func (r *tables) cell(_ util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		row := &r.open.rows[len(r.open.rows)-1]
		*row = append(*row, r.takeText())
	}
	return ast.WalkContinue, nil
}

// grid is a table whose columns have their widths.
type grid struct {
	x      float64
	width  float64
	cols   []float64 // with padding
	pad    float64   // left and right of the text
	size   float64
	align  []east.Alignment
	lead   float64 // of lines, in sizes of the font
	padTop float64
	tag    tag // of the table
}

const (
	tableSize    = 8.5
	tableLeading = 1.3
	narrowCell   = 17.0 // a column narrower than this cannot be read
)

func (l *Layout) addTable(t *table) {
	n := len(t.align)
	if len(t.rows) == 0 || n == 0 {
		return
	}
	if l.area.w/float64(n) < narrowCell {
		l.addRecords(t)
		return
	}
	g := l.newGrid(t)
	g.tag = l.tags.addSeen(roleTable, l.inside, "")
	l.space(paraGap)
	first := len(l.slabs)
	room := l.bodyBottom() - bodyTop
	head := g.row(t.rows[0], l.tags.row(g.tag, roleTH, n), true)
	// A header row that fills much of a page is printed once, and may be cut.
	repeat := head.height <= room/3
	if repeat {
		head.keep = true
		head = l.add(head)
	} else {
		l.addStrips(g, t.rows[0], head.cells, true, nil)
		head = nil
	}
	for i, cells := range t.rows[1:] {
		s := g.row(cells, l.tags.cells(g.tag, cells, n), false)
		if s.height > room/2 {
			l.addStrips(g, cells, s.cells, false, head)
			continue
		}
		// No page holds only the first row, or only the last, unless it is a high one.
		s.keep = (i == 0 || i == len(t.rows)-3 || spans(cells)) && i < len(t.rows)-2 && s.height < room/12
		s.head = head
		l.add(s)
	}
	l.keepShort(first)
	l.space(paraGap + 2)
}

// spans reports whether a row has but its first cell. It says what the rows below
// it are, or what they have in common, and takes the width of the table.
func spans(row [][]glyph) bool {
	return len(row) > 1 && len(row[0]) > 0 &&
		!slices.ContainsFunc(row[1:], func(cell []glyph) bool { return len(cell) > 0 })
}

// cells breaks the cells of a row into lines, and returns the most lines of any.
func (g *grid) cells(row [][]glyph) (cells [][]line, most int) {
	cells = make([][]line, len(g.cols))
	most = 1
	if spans(row) {
		cells[0] = breakLines(row[0], int((g.width-2*g.pad)/g.size*1000))
		return cells, max(most, len(cells[0]))
	}
	for c := range cells {
		if c < len(row) {
			cells[c] = breakLines(row[c], int((g.cols[c]-2*g.pad)/g.size*1000))
			most = max(most, len(cells[c]))
		}
	}
	return cells, most
}

// row lays out a row, whose first cell is the element first, and the others those
// after it.
func (g *grid) row(row [][]glyph, first tag, head bool) *slab {
	cells, n := g.cells(row)
	return g.strip(cells, first, 0, n, n, head)
}

// addStrips adds a row that is too high for one piece, line by line.
func (l *Layout) addStrips(g *grid, row [][]glyph, first tag, isHead bool, head *slab) {
	cells, n := g.cells(row)
	for i := range n {
		s := g.strip(cells, first, i, i+1, n, isHead)
		s.keep = i < n-1 && (i == 0 || i == n-2)
		s.head = head
		if i > 0 {
			s.under = g.padTop
		}
		l.add(s)
	}
}

// strip returns lines from to to of the n lines of a row.
func (g *grid) strip(cells [][]line, first tag, from, to, n int, head bool) *slab {
	lead := float64(g.size * g.lead)
	top, bottom := 0.0, 0.0
	if from == 0 {
		top = g.padTop
	}
	if to == n {
		bottom = g.padTop
	}
	height := top + float64(float64(to-from)*lead) + bottom
	spanning := !head && len(cells) > 1 && !slices.ContainsFunc(cells[1:], func(c []line) bool { return len(c) > 0 })
	return &slab{
		height: height,
		base:   top + baseline(g.size, g.lead),
		cells:  first,
		draw: func(p *painter, y float64) {
			p.tags.seen(g.tag, len(p.pages), g.x, y, g.x+g.width, y+height)
			if head {
				p.decorates()
				p.rect(g.x, y, g.width, height, rowTint)
				if from == 0 {
					p.rule(g.x, y, g.width, 0.7, accent)
				}
			}
			x := g.x
			for c, lines := range cells {
				for i := from; i < min(to, len(lines)); i++ {
					p.textLine(first+tag(c), g.lineX(x, c, lines[i]), y+top+float64(float64(i-from)*lead)+baseline(g.size, g.lead), lines[i], g.size)
				}
				x += g.cols[c]
			}
			p.decorates()
			switch {
			case head && to == n:
				p.rule(g.x, y+height, g.width, 0.7, accent)
			case spanning && from == 0:
				p.rule(g.x, y, g.width, 0.4, hair) // it belongs to what is below it
			case !spanning && to == n:
				p.rule(g.x, y+height, g.width, 0.4, hair)
			}
		},
	}
}

func (g *grid) lineX(x float64, c int, ln line) float64 {
	slack := g.cols[c] - 2*g.pad - float64(ln.width)*g.size/1000
	switch {
	case slack < 0: // of a row that spans all columns
	case g.align[c] == east.AlignRight:
		return x + g.pad + slack
	case g.align[c] == east.AlignCenter:
		return x + g.pad + slack/2
	}
	return x + g.pad
}

// addRecords prints a table with more columns than a page can show as one
// paragraph for each row, every cell after its column's heading.
func (l *Layout) addRecords(t *table) {
	for i, row := range t.rows {
		var g []glyph
		if i == 0 {
			if len(t.rows) > 1 {
				continue
			}
			for _, cell := range row {
				g = append(append(g, cell...), l.fonts.glyphs(nil, " ", style{})...)
			}
		} else {
			for c, cell := range row {
				if c < len(t.rows[0]) {
					g = append(append(g, t.rows[0][c]...), l.fonts.glyphs(nil, ": ", style{bold: true})...)
				}
				g = append(append(g, cell...), l.fonts.glyphs(nil, "; ", style{})...)
			}
		}
		l.space(paraGap)
		l.addText(g, tableSize, tableLeading)
	}
	l.space(paraGap)
}
