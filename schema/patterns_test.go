package schema

import (
	"regexp"
	"strings"
	"testing"

	"setline.example/schema/chance"
)

// TestPatterns: each says of every text what its regular expression says (RE2, as
// package regexp reads it): of all short texts of characters at the edges of
// classes, and of random ones that begin as those that match do.
func TestPatterns(t *testing.T) {
	rng := chance.Source(t)
	edges := []string{"", "/", "-", ".", "_", "0", "9", "a", "f", "g", "z", "A", "F", "Z", "{", "~", "@", "[", "^", "`", ",", ":", " ", "\n",
		"\x00", "\x1f", "\x7f", "\u0080", "\u009f", "\u00a0", "é", "\u2028", "😀", "\xff", "\x9f", "/planned", "/planned/", "/measured/visits/", "/measured/visits/12/", strings.Repeat("a0F", 21), strings.Repeat("0", 64)}
	for pattern, is := range patterns {
		want := regexp.MustCompile(pattern)
		matched := 0
		hold := func(text string) {
			if is(text) != want.MatchString(text) {
				t.Errorf("%s: %q is said to match: %t", pattern, text, is(text))
			}
			if want.MatchString(text) {
				matched++
			}
		}
		for _, a := range edges {
			for _, b := range edges {
				for _, c := range edges {
					hold(a + b + c)
				}
			}
		}
		for range 2000 {
			text := edges[rng.IntN(len(edges))]
			for range rng.IntN(8) {
				text += string(rune(rng.IntN(0x180)))
			}
			hold(text)
		}
		if matched == 0 {
			t.Errorf("%s: nothing matched", pattern)
		}
	}
}
