package cut

import (
	"math"
	"math/big"

	"setline.example/schema/length"
)

// The readings on which widths rest, in the order of [Weights].
const (
	AtFloor   = iota // the clear opening there
	AtMiddle         // half way up the cabinets
	AtTop            // at their tops
	OfUnits          // what stands in the opening and is not cut
	LeanLeft         // how far out the wall at the left end was read
	LeanRight        // and that at the right end
	readings
)

// Weights say by how much a width grows with each reading that it rests on.
type Weights [readings]float64

// form is a sum of readings, each so many times, and a length that no reading
// changes. It is never changed once made.
type form struct {
	of   [readings]big.Rat
	rest big.Rat
}

// reading is one reading times n/d, where d is not 0.
func reading(which int, n, d length.Length) form {
	var f form
	f.of[which].SetFrac64(int64(n), int64(d))
	return f
}

// fixed is a length that no reading changes.
func fixed(l length.Length) form {
	var f form
	f.rest.SetInt64(int64(l))
	return f
}

// plus returns f + n/d of g.
func (f form) plus(n, d int64, g form) (sum form) {
	k := big.NewRat(n, d)
	for i := range sum.of {
		add(&sum.of[i], &f.of[i], k, &g.of[i])
	}
	add(&sum.rest, &f.rest, k, &g.rest)
	return sum
}

// add sets sum, which is 0, to a + k b. Most of them are 0.
func add(sum, a, k, b *big.Rat) {
	if b.Sign() != 0 {
		sum.Mul(k, b)
	}
	if a.Sign() != 0 {
		sum.Add(sum, a)
	}
}

func (f form) minus(g form) form { return f.plus(-1, 1, g) }

// at is the value of f for what was read.
func (f *form) at(read *[readings]length.Length) *big.Rat {
	sum := new(big.Rat).Set(&f.rest)
	for i := range f.of {
		if f.of[i].Sign() == 0 {
			continue
		}
		term := new(big.Rat).SetInt64(int64(read[i]))
		sum.Add(sum, term.Mul(term, &f.of[i]))
	}
	return sum
}

func (f *form) weights() (w Weights) {
	for i := range w {
		w[i], _ = f.of[i].Float64()
	}
	return w
}

// round is the nearest length, halves away from zero.
func round(r *big.Rat) length.Length {
	twice := new(big.Int).Lsh(new(big.Int).Abs(r.Num()), 1)
	twice.Add(twice, r.Denom()).Quo(twice, new(big.Int).Lsh(r.Denom(), 1))
	if r.Sign() < 0 {
		twice.Neg(twice)
	}
	switch {
	case twice.IsInt64():
		return length.Length(twice.Int64())
	case twice.Sign() < 0:
		return math.MinInt64
	}
	return math.MaxInt64
}

// hypot is the square root of a² + b², rounded to the nearest length.
func hypot(a, b *big.Rat) length.Length {
	sum := new(big.Rat).Add(new(big.Rat).Mul(a, a), new(big.Rat).Mul(b, b))
	// The nearest whole number to the root of x is half of one more than the
	// whole part of the root of 4x.
	n := new(big.Int).Quo(new(big.Int).Lsh(sum.Num(), 2), sum.Denom())
	n.Sqrt(n).Add(n, big.NewInt(1)).Rsh(n, 1)
	return round(new(big.Rat).SetInt(n))
}
