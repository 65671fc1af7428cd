package pdf

import (
	"math"
	"slices"
	"strings"
	"testing"
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
	for _, c := range []struct {
		name              string
		room              float64
		word, whole, want []float64
	}{
		{"all fit", 100, []float64{5, 5}, []float64{10, 20}, []float64{10, 20}},
		{"nearly full", 100, []float64{5, 5}, []float64{30, 40}, []float64{45, 55}},
		{"long text wraps", 100, []float64{10, 10}, []float64{10, 200}, []float64{10, 90}},
		{"by need", 60, []float64{10, 10}, []float64{50, 90}, []float64{10 + 40.0/3, 10 + 80.0/3}},
		{"short columns keep their lines", 100, []float64{10, 10, 10}, []float64{30, 500, 20}, []float64{30, 50, 20}},
		{"short column makes way for a long word", 100, []float64{10, 75}, []float64{40, 500}, []float64{10 + 15*30.0/455, 75 + 15*425.0/455}},
		{"long word breaks", 100, []float64{20, 300}, []float64{20, 300}, []float64{20, 80}},
		{"all words break", 100, []float64{300, 300}, []float64{300, 300}, []float64{50, 50}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := share(c.room, c.word, c.whole)
			if !slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 0.01 }) {
				t.Errorf("columns are %v; want %v", got, c.want)
			}
		})
	}
}
