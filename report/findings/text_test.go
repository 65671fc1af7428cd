package findings_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"setline.example/report/findings"
)

// TestTextFillsATerminal: no line of what was found is longer than the terminal,
// if a word is not, and every word stands there in its order.
func TestTextFillsATerminal(t *testing.T) {
	s := findings.Selection{All: true}
	files := []*findings.File{judge(t, s, annex, read(t, annex), "text")}
	whole := string(write(t, "text", findings.Run{Shown: s.Shown()}, files))
	for _, width := range []int{20, 60, 80, 200} {
		filled := string(write(t, "text", findings.Run{Shown: s.Shown(), Width: width}, files))
		if strings.Join(strings.Fields(filled), " ") != strings.Join(strings.Fields(whole), " ") {
			t.Fatalf("other words at %d columns", width)
		}
		for line := range strings.Lines(filled) {
			text, found := strings.CutPrefix(strings.TrimRight(line, "\n"), "        ")
			if found && strings.Contains(text, " ") && utf8.RuneCountInString(text) > width-8 {
				t.Errorf("%d columns at a width of %d: %s", utf8.RuneCountInString(text)+8, width, text)
			}
		}
	}
	if !strings.Contains(whole, "        to do: ") {
		t.Error("nothing is to do")
	}
}
