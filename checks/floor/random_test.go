package floor

import (
	"math"
	"math/big"
	"math/rand/v2"

	"setline.example/schema/length"
)

// scale is how large random readings come out.
type scale struct {
	name       string
	step, down int64 // nm
}

// Small numbers bring ties and exact halves, site numbers what is read, and
// great ones the ends of what a length holds.
var scales = []scale{
	{"small", 6, 8},
	{"site", int64(3 * length.Foot), int64(4 * length.Foot)},
	{"great", 1 << 60, math.MaxInt64},
}

// line returns n readings in order, Down from 0 to s.down.
func (s scale) line(rng *rand.Rand, n int) Line {
	l := make(Line, 0, n)
	at := length.Length(rng.Int64N(s.step))
	for range n {
		l = append(l, Reading{at, length.Length(rng.Int64N(s.down))})
		next := at + 1 + length.Length(rng.Int64N(s.step))
		if next < at {
			break
		}
		at = next
	}
	return l
}

// within returns a place from just before a line to just behind it.
func within(rng *rand.Rand, l Line) length.Length {
	first, last := l[0].At, l[len(l)-1].At
	if rng.IntN(3) == 0 {
		return l[rng.IntN(len(l))].At
	}
	return first - 2 + length.Length(rng.Int64N(max(1, int64(last-first)+4)))
}

// shifted moves the reference line up by d.
func shifted(l Line, d length.Length) Line {
	m := make(Line, len(l))
	for i, r := range l {
		m[i] = Reading{r.At, r.Down + d}
	}
	return m
}

// mirrored reads an elevation of width w from its right end.
func mirrored(l Line, w length.Length) Line {
	m := make(Line, len(l))
	for i, r := range l {
		m[len(l)-1-i] = Reading{w - r.At, r.Down}
	}
	return m
}

func whole(l length.Length) *big.Rat { return new(big.Rat).SetInt64(int64(l)) }

func sub(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
func add(a, b *big.Rat) *big.Rat { return new(big.Rat).Add(a, b) }
func mul(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }

// chord is the straight line from a to b, at x.
func chord(a, b Reading, x length.Length) *big.Rat {
	share := new(big.Rat).Quo(sub(whole(x), whole(a.At)), sub(whole(b.At), whole(a.At)))
	return add(whole(a.Down), mul(share, sub(whole(b.Down), whole(a.Down))))
}

// rounded is the nearest length, halves away from zero, or the next there is.
func rounded(r *big.Rat) length.Length {
	half := big.NewRat(1, 2)
	up := add(new(big.Rat).Abs(r), half)
	n := new(big.Int).Quo(up.Num(), up.Denom())
	if r.Sign() < 0 {
		n.Neg(n)
	}
	switch {
	case n.IsInt64():
		return length.Length(n.Int64())
	case n.Sign() < 0:
		return math.MinInt64
	}
	return math.MaxInt64
}
