package pdf

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// TestSpanningRows: a row that has but its first cell takes the width of the
// table, however much it says, and is on the page of the row below it.
func TestSpanningRows(t *testing.T) {
	long(t)
	write := func(markdown string) []string {
		t.Helper()
		var out bytes.Buffer
		if err := Write(&out, Document{Parts: [][]byte{[]byte(markdown)}}); err != nil {
			t.Fatal(err)
		}
		return pageTexts(t, out.Bytes())
	}
	const words = "what these have in common is said in one line of the whole table"
	for name, below := range map[string]string{"over rows": "| a | b | c |\n", "alone": ""} {
		pages := write("| x | y | z |\n|---|---|---|\n| " + words + " | | |\n" + below)
		if !strings.Contains(pages[0], words) {
			t.Errorf("%s: found %q, want %q on one line", name, pages[0], words)
		}
	}

	// Of any length, and in any number: nothing is lost, nothing stands alone at a foot.
	var b strings.Builder
	b.WriteString("| x | y |\n|---|---|\n")
	for i := range 120 {
		fmt.Fprintf(&b, "| group %d | |\n| row %d | one |\n| row %d | two |\n", i, i, i)
	}
	n := 0
	for _, page := range write(b.String()) {
		groups := strings.Split(page, "group ")
		n += len(groups) - 1
		if last := groups[len(groups)-1]; !strings.Contains(last, "row ") {
			t.Errorf("a page ends with %q", last)
		}
	}
	if n != 120 {
		t.Errorf("%d groups, want 120", n)
	}
	long := strings.Join(write("| x | y |\n|---|---|\n| "+strings.Repeat("word ", 4000)+" | |\n| a | b |\n"), " ")
	if got := strings.Count(long, "word"); got != 4000 {
		t.Errorf("%d words of 4000", got)
	}
}
