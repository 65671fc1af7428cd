package rest

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// someNumber is one of those at which an int64 begins or ends, one beside them, or
// any, small or large.
func someNumber(rng *rand.Rand) *big.Int {
	ends := []int64{0, 1, -1, 3, math.MaxInt32, math.MinInt32, 1 << 32, math.MaxInt64, math.MinInt64}
	n := big.NewInt(ends[rng.IntN(len(ends))])
	switch rng.IntN(4) {
	case 0:
		n.SetInt64(int64(rng.Uint64()) >> rng.IntN(64))
	case 1:
		n.Mul(n, big.NewInt(int64(rng.Uint64())))
	}
	return n.Add(n, big.NewInt(int64(rng.IntN(5)-2)))
}

// TestNumbers: all that is done with numbers gives what package math/big gives, at
// the ends of an int64 and beyond; what an int64 holds is small, and no large one
// is changed.
func TestNumbers(t *testing.T) {
	rng := chance.Source(t)
	large := 0
	for range 20_000 {
		x, y := someNumber(rng), someNumber(rng)
		a, b := numberOf(new(big.Int).Set(x)), numberOf(new(big.Int).Set(y))
		same := func(what string, got number, want *big.Int) {
			t.Helper()
			if got.big().Cmp(want) != 0 || (got.large == nil) != want.IsInt64() {
				t.Fatalf("%s of %v and %v: found %v (small: %v), expected %v", what, x, y, got.big(), got.large == nil, want)
			}
			if got.large != nil {
				large++
			}
		}
		same("sum", a.plus(b), new(big.Int).Add(x, y))
		same("difference", a.minus(b), new(big.Int).Sub(x, y))
		product := new(big.Int).Mul(x, y)
		same("product", a.times(b), product)
		same("opposite", a.opposite(), new(big.Int).Neg(x))
		gcd := new(big.Int).GCD(nil, nil, new(big.Int).Abs(x), new(big.Int).Abs(y))
		same("divisor", divisor(a, b), gcd)
		if y.Sign() != 0 {
			same("quotient", numberOf(product).over(b), x)
			got := new(big.Rat)
			setFraction(got, a, b)
			if want := new(big.Rat).SetFrac(x, y); got.Cmp(want) != 0 {
				t.Fatalf("%v / %v: found %v, expected %v", x, y, got, want)
			}
		}
		if a.sign() != x.Sign() || a.compare(b) != x.Cmp(y) {
			t.Fatalf("%v and %v: sign %d, compared %d", x, y, a.sign(), a.compare(b))
		}
		same("first, afterwards,", a, x)
		same("second, afterwards,", b, y)
	}
	if large < 10_000 {
		t.Errorf("only %d results were large", large)
	}
}

// TestAtAnySize: runs whose places and heights have no common measure, up to what
// a length holds, are answered as all triples of supports in fractions say.
func TestAtAnySize(t *testing.T) {
	rng := chance.Source(t)
	seen := map[State]int{}
	for range 60 {
		c, s := run(rng, 1+rng.IntN(2), inch/64, 3)
		scale := int64(1) << rng.IntN(30)            // of some 2^32 nm at most
		alike, odd := rng.IntN(2) == 0, new(big.Rat) // so that some rock all the same
		for i := range s {
			s[i].X, s[i].Y = s[i].X*length.Length(scale), s[i].Y*length.Length(scale)
			if !alike {
				s[i].X += length.Length(rng.IntN(2))
			}
			if i == 0 || !alike {
				odd.SetFrac(big.NewInt(rng.Int64()), new(big.Int).SetUint64(rng.Uint64()|1))
			}
			s[i].Z = new(big.Rat).Add(s[i].Z, odd)
		}
		times := new(big.Rat).SetInt64(scale)
		if rng.IntN(3) == 0 {
			c.Y = new(big.Rat).SetInt64(int64(rng.IntN(2) - 1)) // on the outline, or a nanometre beyond
		}
		c = Centre{new(big.Rat).Mul(c.X, times), new(big.Rat).Mul(c.Y, times)}
		seen[check(t, c, s)]++
	}
	for _, state := range []State{Steady, Rocking, OnEdge, Tipping} {
		if seen[state] == 0 {
			t.Errorf("none is %s: %v", state, seen)
		}
	}
}

// TestNoMemoryForEachSupport: to tell whether a top stands takes as many pieces of
// memory on forty supports as on four hundred, but for lists that grow by doubling.
func TestNoMemoryForEachSupport(t *testing.T) {
	allocations := func(cabinets int) float64 {
		c, s := run(rand.New(rand.NewPCG(1, 2)), cabinets, inch/64, 3)
		return testing.AllocsPerRun(20, func() { Stands(c, s) })
	}
	few, many := allocations(10), allocations(100)
	if t.Logf("%v and %v", few, many); many > few+10 {
		t.Errorf("found %v allocations for ten times the supports, expected some %v", many, few)
	}
}
