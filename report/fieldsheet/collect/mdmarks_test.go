package collect

import (
	"regexp"
	"testing"

	"setline.example/report/fieldsheet"
	"setline.example/schema/chance"
)

// TestMarkdownMarks: lines of lists, ticks and escapes are what these regular
// expressions (RE2) say they are, of random lines of their characters.
func TestMarkdownMarks(t *testing.T) {
	rng := chance.Source(t)
	item := regexp.MustCompile(`^\s*[-*+]\s+(.*)$`)
	tick := regexp.MustCompile(`^\[([ xX])\]\s*(.*)$`)
	escape := regexp.MustCompile("\\\\([!-/:-@\\[-`{-~])")
	const letters = "  -*+[]xX\\\\!~a0é\t\r\xff`"
	items, ticks := 0, 0
	for range 200_000 {
		line := make([]byte, rng.IntN(9))
		for i := range line {
			line[i] = letters[rng.IntN(len(letters))]
		}
		s := string(line)
		text, ok := mdItem(s)
		if want := item.FindStringSubmatch(s); ok != (want != nil) || ok && text != want[1] {
			t.Fatalf("%q is an item: %t, %q", s, ok, text)
		}
		words, on, ticked := mdTick(s)
		if want := tick.FindStringSubmatch(s); ticked != (want != nil) || ticked && (words != want[2] || on != (want[1] != " ")) {
			t.Fatalf("%q is a tick: %t, %t, %q", s, ticked, on, words)
		}
		if got, want := fieldsheet.Unescape(s), escape.ReplaceAllString(s, "$1"); got != want {
			t.Fatalf("%q without its escapes is %q, want %q", s, got, want)
		}
		if ok {
			items++
		}
		if ticked {
			ticks++
		}
	}
	if items < 100 || ticks < 10 {
		t.Errorf("%d items and %d ticks, which tries too little", items, ticks)
	}
}
