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

// nearest rounds a computed length to whole nanometres.
func nearest(nm float64) length.Length { return length.Length(math.Round(nm)) }
