package pdf

import (
	"slices"
	"strings"
	"testing"
)

// TestWholeParts: a part that stands on one page where it can goes on with the
// page that is begun where that has room for all of it, and begins a new one
// where not; one that no page holds begins a new one.
func TestWholeParts(t *testing.T) {
	lines := func(title string, n int) []byte {
		return []byte("## " + title + "\n\n" + strings.Repeat("x\n\n", n))
	}
	d := Document{
		Parts: [][]byte{lines("a", 5), lines("b", 10), lines("c", 26), lines("d", 4), lines("e", 60), nil, lines("f", 3)},
		Whole: []int{1, 2, 3, 4, 5, 6},
	}
	var titles [][]string
	err := layOut(d, 8, func(*Layout) func(page) {
		return func(p page) {
			var on []string
			for _, it := range p.items {
				if it.title != nil {
					on = append(on, it.title.text)
				}
			}
			titles = append(titles, on)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	want := [][]string{{"a", "b"}, {"c", "d"}, {"e"}, {"f"}}
	if !slices.EqualFunc(titles, want, slices.Equal[[]string]) {
		t.Errorf("on the pages begin %q, want %q", titles, want)
	}
}
