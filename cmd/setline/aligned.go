package main

import (
	"strings"

	"github.com/clipperhouse/displaywidth"
)

// aligned sets text in columns by the width that a terminal gives to it, so that
// letters of double width and combining marks do not shift what follows. Letters
// of ambiguous width take one column, as in most terminals (Unicode UAX #11).
type aligned struct {
	right map[int]bool // columns that are numbers
	rows  [][]string
}

func (t *aligned) row(cells ...string) { t.rows = append(t.rows, cells) }

func (t *aligned) text() string {
	var widths []int
	for _, row := range t.rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], displaywidth.String(cell))
		}
	}
	var b strings.Builder
	for _, row := range t.rows {
		var line strings.Builder
		for i, cell := range row {
			if i > 0 {
				line.WriteString("  ")
			}
			pad := strings.Repeat(" ", widths[i]-displaywidth.String(cell))
			if t.right[i] {
				line.WriteString(pad + cell)
			} else {
				line.WriteString(cell + pad)
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
	return b.String()
}
