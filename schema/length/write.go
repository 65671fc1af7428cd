package length

import (
	"math"
	"strconv"
	"strings"
)

// In writes l with its unit for people to read.
//
// In inches it writes reduced fractions to the nearest 1/64 in, with "≈ "
// before it where that is rounded; what rounds to nothing keeps its sign,
// "≈ -0 in". There are no ties: 1/64 in is an odd number of nanometres. In
// millimetres it writes to the nearest 0.01 mm, halves away from zero, marked
// likewise: as fine as any rule on a site reads, and finer than 1/64 in. Any
// system but [Metric] is written as [InchSystem].
func (l Length) In(sys System) string {
	var room [48]byte
	b := room[:0]
	if sys == Metric {
		n := (l.size() + hundredth/2) / hundredth * hundredth
		if n != l.size() {
			b = append(b, "≈ "...)
		}
		return string(appendMillimetres(b, l < 0, n))
	}
	whole, rest := l.size()/uint64(sixtyFourth), l.size()%uint64(sixtyFourth)
	if rest != 0 {
		b = append(b, "≈ "...)
		if rest > uint64(sixtyFourth)/2 {
			whole++
		}
	}
	return string(appendInches(b, l < 0, whole))
}

// Near writes l as [Length.In] does, without a mark where it is rounded: for
// numbers whose rounding changes nothing that a reader does with them.
func (l Length) Near(sys System) string { return strings.TrimPrefix(l.In(sys), "≈ ") }

// Rounded is the length that [Length.In] writes, the nearest that people read.
func (l Length) Rounded(sys System) Length {
	step := uint64(sixtyFourth)
	if sys == Metric {
		step = hundredth
	}
	n := (l.size() + step/2) / step * step
	switch {
	case n > math.MaxInt64:
		return l // nothing so long is measured
	case l < 0:
		return -Length(n)
	}
	return Length(n)
}

// String writes l exactly, so that [Parse] gives it back: in inches where it
// is a whole number of 1/64 in, else in millimetres.
func (l Length) String() string {
	var room [48]byte
	if l%sixtyFourth == 0 {
		return string(appendInches(room[:0], l < 0, l.size()/uint64(sixtyFourth)))
	}
	return string(appendMillimetres(room[:0], l < 0, l.size()))
}

// size returns l without its sign, in nanometres; the most negative length has one too.
func (l Length) size() uint64 {
	if l < 0 {
		return -uint64(l)
	}
	return uint64(l)
}

// appendInches writes n sixty-fourths of an inch.
func appendInches(b []byte, negative bool, n uint64) []byte {
	if negative {
		b = append(b, '-')
	}
	whole, numerator, denominator := n/64, n%64, uint64(64)
	if whole != 0 || numerator == 0 {
		b = strconv.AppendUint(b, whole, 10)
	}
	if numerator != 0 {
		if whole != 0 {
			b = append(b, ' ')
		}
		for numerator%2 == 0 {
			numerator, denominator = numerator/2, denominator/2
		}
		b = strconv.AppendUint(b, numerator, 10)
		b = append(b, '/')
		b = strconv.AppendUint(b, denominator, 10)
	}
	return append(b, " in"...)
}

// hundredth is 0.01 mm in nanometres.
const hundredth = uint64(Millimetre) / 100

// appendMillimetres writes n nanometres as a decimal.
func appendMillimetres(b []byte, negative bool, n uint64) []byte {
	if negative {
		b = append(b, '-')
	}
	whole, rest := n/uint64(Millimetre), n%uint64(Millimetre)
	b = strconv.AppendUint(b, whole, 10)
	if rest != 0 {
		b = append(b, '.')
	}
	for place := uint64(Millimetre) / 10; rest != 0; place /= 10 {
		b = append(b, '0'+byte(rest/place))
		rest %= place
	}
	return append(b, " mm"...)
}
