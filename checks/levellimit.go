package checks

import (
	"math"
	"math/big"

	"setline.example/schema/length"
)

// levelLimit is how far two points may be out of level, or a face out of plumb:
// a rate, which short distances do not bring below what a level shows.
type levelLimit struct {
	rate, over length.Length // so much over such a distance
	within     length.Length // the least it comes to within one cabinet
	between    length.Length // and between two, whose tops may be so far from flush
}

func newLevelLimit(limits map[string]limitChange) levelLimit {
	l := limitOf(limits, levelAndPlumb)
	return levelLimit{length.Length(l.limit.N), l.over, l.least, length.Length(limitOf(limits, topsFlush).limit.N)}
}

// reading is the limit of a reading with a level over a distance, which lies
// within one cabinet: rounded down to whole nanometres, so that whole readings
// compare with it as with the exact limit.
func (l *levelLimit) reading(over length.Length) length.Length {
	return max(mulDiv(l.rate, over, l.over), l.within)
}

// of is the limit between two points, likewise.
func (l *levelLimit) of(p, q *point) length.Length {
	least := l.between
	if p.unit == q.unit {
		least = l.within
	}
	return l.overDistance(apart(p.x, q.x), apart(p.y, q.y), least)
}

// overDistance is rate x root(dx^2 + dy^2) / over rounded down, or the least
// where that is more. The root is seldom a whole number. Where floating point
// cannot tell on which side of a whole nanometre the limit lies, it is computed
// in whole numbers.
func (l *levelLimit) overDistance(dx, dy, least length.Length) length.Length {
	if dx == 0 || dy == 0 {
		return max(mulDiv(l.rate, max(dx, dy), l.over), least)
	}
	// A few roundings, each by less than a part in 10^15, make less than doubt
	// of a number below large.
	const large, doubt = 1 << 36, 1e-3
	limit := float64(l.rate) * hypot(float64(dx), float64(dy)) / float64(l.over)
	whole := math.Floor(limit)
	switch {
	case limit < float64(least)-1:
		return least
	case limit < large && limit-whole > doubt && whole+1-limit > doubt:
		return max(length.Length(whole), least)
	}
	return max(exactRate(l.rate, dx, dy, l.over), least)
}

// exactRate is rate x root(dx^2 + dy^2) / over rounded down: the whole root of
// the whole part of its square. What is too great gives the greatest length.
func exactRate(rate, dx, dy, over length.Length) length.Length {
	square := func(l length.Length) *big.Int {
		n := big.NewInt(int64(l))
		return n.Mul(n, n)
	}
	n := square(dx)
	n.Add(n, square(dy)).Mul(n, square(rate)).Div(n, square(over)).Sqrt(n)
	if !n.IsInt64() {
		return math.MaxInt64
	}
	return length.Length(n.Int64())
}
