package pdf

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	east "github.com/yuin/goldmark/extension/ast"
)

func spellLines(lines []line) string {
	var s []string
	for _, l := range lines {
		s = append(s, spellGlyphs(l.glyphs))
	}
	return strings.Join(s, "|")
}

func spellGlyphs(g []glyph) string {
	var b strings.Builder
	for _, x := range g {
		b.WriteRune(x.r)
	}
	return b.String()
}

func TestBreakLines(t *testing.T) {
	var s fontSet
	for _, c := range []struct {
		name, text, want string
		columns          int
	}{
		{"fits", "ab cd", "ab cd", 5},
		{"at blanks", "ab cd ef", "ab|cd|ef", 4},
		{"blank hangs", "abcd ef", "abcd|ef", 4},
		{"several blanks", "abcd    ef", "abcd|ef", 4},
		{"long word", "abcdefghij", "abcd|efgh|ij", 4},
		{"long word behind a short", "a bcdefgh", "a|bcde|fgh", 4},
		{"forced", "ab\n\ncd", "ab||cd", 4},
		{"after a hyphen", "front-left", "front-|left", 7},
		{"not in a date", "on 2026-03-02", "on|2026-03-02", 10},
		{"not in a fraction", "is 1/16 so", "is|1/16|so", 5},
		{"sign stays", "out by ± 0.01 in", "out by|± 0.01 in", 9},
		{"percent stays", "it is 99.9 %", "it is|99.9 %", 10},
		{"unit stays", "gap of 1/8 in or", "gap of|1/8 in|or", 8},
		{"fraction stays", "at 34 1/2 in", "at|34 1/2 in", 9},
		{"word that starts like a unit", "row 12 inside", "row 12|inside", 9},
		{"path", "rooms/annex/wall", "rooms/|annex/|wall", 7},
		{"one column", "abc", "a|b|c", 1},
		{"no width at all", "ab c", "a|b|c", 0},
		{"empty", "", "", 4},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := s.glyphs(nil, c.text, style{mono: true})
			if got := spellLines(breakLines(g, c.columns*int(s.width(mono, 'x')))); got != c.want {
				t.Errorf("lines are %q; want %q", got, c.want)
			}
		})
	}
}

// Glyph widths must be those that the font states: Liberation is metrically
// equal to Arial and Courier New, whose widths per 1000 are published in the
// Adobe core font metrics of Helvetica and Courier (Helvetica.afm, Courier.afm,
// values from memory).
func TestWidthsAgainstCoreFontMetrics(t *testing.T) {
	var s fontSet
	for _, c := range []struct {
		name string
		face face
		r    rune
		want int32
	}{
		{"space", sans, ' ', 278},
		{"A", sans, 'A', 667},
		{"W", sans, 'W', 944},
		{"digit", sans, '0', 556},
		{"bold A", sansBold, 'A', 722},
		{"bold digit", sansBold, '7', 556},
		{"mono i", mono, 'i', 600},
		{"mono W", mono, 'W', 600},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := s.width(c.face, c.r); got != c.want {
				t.Errorf("width is %d; want %d", got, c.want)
			}
		})
	}
}

func TestShareOfColumns(t *testing.T) {
	left, right := east.AlignLeft, east.AlignRight
	for _, c := range []struct {
		name        string
		room        float64
		align       []east.Alignment
		word, whole []float64
		want        []float64
	}{
		{"all fit", 100, nil, []float64{5, 5}, []float64{10, 20}, []float64{10, 20}},
		{"nearly full", 100, nil, []float64{5, 5}, []float64{30, 40}, []float64{45, 55}},
		{"long text wraps", 100, nil, []float64{10, 10}, []float64{10, 200}, []float64{10, 90}},
		{"numbers stay whole", 100, []east.Alignment{left, right, left}, []float64{10, 10, 10}, []float64{15, 60, 500}, []float64{10, 60, 30}},
		{"labels stay whole", 100, nil, []float64{5, 10}, []float64{11, 500}, []float64{11, 89}},
		{"numbers make way for words", 100, []east.Alignment{left, right}, []float64{90, 5}, []float64{400, 40}, []float64{90, 10}},
		{"long word breaks", 100, nil, []float64{20, 300}, []float64{20, 300}, []float64{20, 80}},
		{"all words break", 100, nil, []float64{300, 300}, []float64{300, 300}, []float64{50, 50}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := &measured{align: c.align, word: c.word, whole: c.whole, label: 12}
			if m.align == nil {
				m.align = make([]east.Alignment, len(c.word))
			}
			for _, w := range c.whole {
				m.cells = append(m.cells, []float64{w})
			}
			got := share(c.room, m)
			if !slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 0.01 }) {
				t.Errorf("columns are %v; want %v", got, c.want)
			}
		})
	}
}

// TestColumnsAreNearlyBest compares the height of random tables with the least
// that any division of the width on a fine grid gives.
func TestColumnsAreNearlyBest(t *testing.T) {
	const room, grid = 300.0, 60
	rng := rand.New(rand.NewPCG(1, 2))
	ours, best := 0, 0
	for range 100 {
		m := &measured{align: make([]east.Alignment, 3), word: []float64{20, 20, 20}, whole: make([]float64, 3), cells: make([][]float64, 3)}
		for c := range 3 {
			usual := 20 + 300*rng.Float64()
			for range 12 {
				w := max(20, usual*rng.ExpFloat64())
				m.cells[c] = append(m.cells[c], w)
				m.whole[c] = max(m.whole[c], w)
			}
		}
		cols := share(room, m)
		if got := sum(cols); got > room+0.01 || slices.Min(cols) < 20 {
			t.Fatalf("columns %v of a table %v wide", cols, room)
		}
		least := math.MaxInt
		for i := range grid {
			for j := range grid - i {
				a, b := 20+(room-60)*float64(i)/grid, 20+(room-60)*float64(j)/grid
				least = min(least, m.lines([]float64{a, b, room - a - b}))
			}
		}
		ours, best = ours+m.lines(cols), best+least
	}
	t.Logf("%d lines in all; %d at best", ours, best)
	if float64(ours) > 1.03*float64(best) {
		t.Errorf("the tables are %d lines high; %d at best", ours, best)
	}
}
