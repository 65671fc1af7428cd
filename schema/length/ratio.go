package length

import "math/bits"

// ratio is a number as it was written: value / scale.
type ratio struct {
	value, scale uint64
	fraction     bool // it was written with a fraction
	point        bool // it was written with a decimal point
}

// push puts a digit behind n and reports whether there was room.
func (n *ratio) push(digit byte) bool {
	hi, lo := bits.Mul64(n.value, 10)
	sum, carry := bits.Add64(lo, uint64(digit-'0'), 0)
	if hi != 0 || carry != 0 {
		return false
	}
	n.value = sum
	if n.point {
		n.scale *= 10
	}
	return true
}

// plus adds the fraction f to the whole number n and reports whether the sum
// fits. Where it does not, either the length does not fit or the fraction, once
// reduced, is no whole number of nanometres.
func (n ratio) plus(f ratio) (ratio, bool) {
	for {
		hi, lo := bits.Mul64(n.value, f.scale)
		sum, carry := bits.Add64(lo, f.value, 0)
		if hi == 0 && carry == 0 {
			return ratio{value: sum, scale: f.scale, fraction: true}, true
		}
		common := gcd(f.scale, f.value)
		if common == 1 {
			return ratio{}, false
		}
		f.value, f.scale = f.value/common, f.scale/common
	}
}

func gcd(a, b uint64) uint64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// times returns n units in nanometres, whether they fit, and whether they are
// a whole number.
func (n ratio) times(unit Length) (total uint64, fits, exact bool) {
	hi, lo := bits.Mul64(n.value, uint64(unit))
	if hi >= n.scale {
		return 0, false, false
	}
	total, remainder := bits.Div64(hi, lo, n.scale)
	return total, true, remainder == 0
}
