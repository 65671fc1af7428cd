package floor

import (
	"math"
	"math/bits"

	"setline.example/schema/length"
)

const (
	maxLength length.Length = math.MaxInt64
	minLength length.Length = math.MinInt64
)

// wide is a length of 128 bits, in two's complement, so that sums of lengths
// never overflow on the way to a result that fits.
type wide struct {
	hi int64
	lo uint64
}

func widen(l length.Length) wide { return wide{int64(l) >> 63, uint64(l)} }

func (w wide) minus(l length.Length) wide {
	v := widen(l)
	lo, borrow := bits.Sub64(w.lo, v.lo, 0)
	return wide{w.hi - v.hi - int64(borrow), lo}
}

func (w wide) less(v wide) bool {
	return w.hi < v.hi || w.hi == v.hi && w.lo < v.lo
}

// fits reports whether w is a length.
func (w wide) fits() bool { return widen(length.Length(w.lo)) == w }

// length returns w, or the length next to it where w is none.
func (w wide) length() length.Length {
	switch {
	case w.fits():
		return length.Length(w.lo)
	case w.hi < 0:
		return minLength
	}
	return maxLength
}

// difference returns a - b, or the length next to it.
func difference(a, b length.Length) length.Length { return widen(a).minus(b).length() }

// distance returns |a - b|, which always fits.
func distance(a, b length.Length) uint64 {
	if a < b {
		return uint64(b) - uint64(a)
	}
	return uint64(a) - uint64(b)
}

// inOrder returns the two ends of a stretch, left one first.
func inOrder(from, to length.Length) (left, right length.Length) {
	return min(from, to), max(from, to)
}
