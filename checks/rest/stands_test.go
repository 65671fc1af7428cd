package rest

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"setline.example/schema/length"
)

// TestStandsWhateverTheHeights: what is told of a plate without its supports'
// heights is so at any heights.
func TestStandsWhateverTheHeights(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	seen := map[State]int{}
	for range 2000 {
		supports := make([]Support, rng.IntN(7))
		for i := range supports {
			supports[i] = Support{length.Length(rng.IntN(6)), length.Length(rng.IntN(6)), big.NewRat(rng.Int64N(9), 1+rng.Int64N(3))}
		}
		centre := Centre{big.NewRat(rng.Int64N(12), 2), big.NewRat(rng.Int64N(12), 2)}
		told, is := Stands(centre, supports), Of(centre, supports).State
		if is == Rocking {
			is = Steady // which of the two is told by the heights
		}
		if told != is {
			t.Fatalf("%v on %v: told to be %s, and is %s", centre, supports, told, is)
		}
		seen[told]++
	}
	for _, s := range []State{Steady, OnEdge, Tipping} {
		if seen[s] < 20 {
			t.Errorf("%s was seen %d times only", s, seen[s])
		}
	}
}
