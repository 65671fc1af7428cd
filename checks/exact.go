package checks

import (
	"math"
	"math/bits"

	"setline.example/schema/length"
)

// mulDiv returns a*b/c rounded down, for lengths of zero or more and c above
// zero. What is too great gives the greatest length.
func mulDiv(a, b, c length.Length) length.Length {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	if hi >= uint64(c) {
		return 1<<63 - 1
	}
	q, _ := bits.Div64(hi, lo, uint64(c))
	return length.Length(min(q, 1<<63-1))
}

// hypot is the square root of a² + b². The last digit of math.Hypot depends on
// the processor; that of this one does not.
func hypot(a, b float64) float64 { return math.Sqrt(float64(a*a) + float64(b*b)) }

// apart returns |a - b|, or the greatest length where that is more.
func apart(a, b length.Length) length.Length {
	d := uint64(a) - uint64(b)
	if a < b {
		d = -d
	}
	return length.Length(min(d, math.MaxInt64))
}

// less returns a - b, or the length next to it.
func less(a, b length.Length) length.Length {
	d := a - b
	switch {
	case b > 0 && d > a:
		return math.MinInt64
	case b < 0 && d < a:
		return math.MaxInt64
	}
	return d
}

// nearest rounds a computed length to whole nanometres. What is beyond any
// length gives the greatest of its sign: a conversion alone gives what the
// processor makes of it.
func nearest(nm float64) length.Length {
	switch {
	case nm >= math.MaxInt64:
		return math.MaxInt64
	case nm <= math.MinInt64:
		return math.MinInt64
	case math.IsNaN(nm):
		return 0
	}
	return length.Length(math.Round(nm))
}
