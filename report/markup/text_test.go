package markup

import (
	"math/rand/v2"
	"testing"
)

// TestPlainWordsNeedNothing holds the short way of Text to the long one.
func TestPlainWordsNeedNothing(t *testing.T) {
	const alphabet = "aZ09 ,/-.:#+=<>*_\\`|é\t"
	letters := []rune(alphabet)
	rng := rand.New(rand.NewPCG(3, 4))
	plain := 0
	for range 50000 {
		var text []rune
		for range rng.IntN(6) {
			text = append(text, letters[rng.IntN(len(letters))])
		}
		s := string(text)
		if !plainWords(s) {
			continue
		}
		plain++
		if got := Text(s).escaped(); got != s {
			t.Errorf("%q is written %q", s, got)
		}
	}
	if plain < 1000 {
		t.Errorf("only %d texts were plain", plain)
	}
}
