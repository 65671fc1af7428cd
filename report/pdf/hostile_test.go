package pdf

import (
	"strings"
	"testing"
	"time"
)

// Inputs made to cost time must not.
func TestHostileInputs(t *testing.T) {
	long(t)
	for _, c := range []struct{ name, src string }{
		{"many quotes", strings.Repeat(">", 3000) + "x"},
		{"many list levels", strings.Repeat("- ", 1000) + "x"},
		{"long list", strings.Repeat("1. x\n", 20000)},
		{"many headings", strings.Repeat("# x\n", 5000)},
		{"many columns", strings.Repeat("|a", 2000) + "|\n" + strings.Repeat("|-", 2000) + "|\n" + strings.Repeat("|b", 2000) + "|\n"},
		{"one long word", strings.Repeat("x", 200_000)},
		{"many blanks in code", "```\n" + strings.Repeat(" ", 200_000) + "x\n```"},
		{"many references", strings.Repeat("&amp;\\*", 20000)},
		{"many links", strings.Repeat("[a](#x) ", 5000)},
	} {
		t.Run(c.name, func(t *testing.T) {
			start := time.Now()
			write(t, Document{Parts: [][]byte{[]byte(c.src)}})
			if d := time.Since(start); d > 5*time.Second {
				t.Errorf("took %v", d)
			} else {
				t.Log(d)
			}
		})
	}
}
