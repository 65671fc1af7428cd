package rest

import (
	"cmp"
	"math"
	"math/big"
	"math/bits"
)

// number is a whole number of any size. One that an int64 holds is small, and
// costs no memory; what comes of small ones is large only where it has to be, so
// that nothing has to be known beforehand of how far numbers grow.
type number struct {
	small int64
	large *big.Int // which an int64 does not hold, and which is never changed; else nil
}

var zero, one = number{}, number{small: 1}

func numberOf(n *big.Int) number {
	if n.IsInt64() {
		return number{small: n.Int64()}
	}
	return number{large: n}
}

// big is the number as one that is not to be changed.
func (a number) big() *big.Int {
	if a.large != nil {
		return a.large
	}
	return big.NewInt(a.small)
}

func (a number) isSmall(b number) bool { return a.large == nil && b.large == nil }

func (a number) plus(b number) number {
	if sum := a.small + b.small; a.isSmall(b) && (a.small^sum)&(b.small^sum) >= 0 {
		return number{small: sum}
	}
	return numberOf(new(big.Int).Add(a.big(), b.big()))
}

func (a number) minus(b number) number {
	if less := a.small - b.small; a.isSmall(b) && (a.small^b.small)&(a.small^less) >= 0 {
		return number{small: less}
	}
	return numberOf(new(big.Int).Sub(a.big(), b.big()))
}

func (a number) times(b number) number {
	if a.isSmall(b) {
		over, product := bits.Mul64(magnitude(a.small), magnitude(b.small))
		if over == 0 && product <= math.MaxInt64 {
			if (a.small < 0) != (b.small < 0) {
				return number{small: -int64(product)}
			}
			return number{small: int64(product)}
		}
	}
	return numberOf(new(big.Int).Mul(a.big(), b.big()))
}

// over is a number divided by one that divides it.
func (a number) over(b number) number {
	if a.isSmall(b) && b.small != -1 {
		return number{small: a.small / b.small}
	}
	return numberOf(new(big.Int).Quo(a.big(), b.big()))
}

func (a number) opposite() number { return zero.minus(a) }

func (a number) sign() int {
	if a.large != nil {
		return a.large.Sign()
	}
	return cmp.Compare(a.small, 0)
}

func (a number) compare(b number) int {
	if a.isSmall(b) {
		return cmp.Compare(a.small, b.small)
	}
	return a.big().Cmp(b.big())
}

// divisor is the greatest number that divides both, zero where both are.
func divisor(a, b number) number {
	if !a.isSmall(b) {
		x, y := new(big.Int).Abs(a.big()), new(big.Int).Abs(b.big())
		return numberOf(new(big.Int).GCD(nil, nil, x, y))
	}
	x, y := magnitude(a.small), magnitude(b.small)
	for y != 0 {
		x, y = y, x%y
	}
	if x > math.MaxInt64 {
		return number{large: new(big.Int).SetUint64(x)}
	}
	return number{small: int64(x)}
}

// multiple is the least number that two above zero divide.
func multiple(a, b number) number {
	if a == b {
		return a
	}
	return a.over(divisor(a, b)).times(b)
}

// magnitude is how far a number is from zero; that of the least has no int64.
func magnitude(n int64) uint64 {
	if n < 0 {
		return -uint64(n)
	}
	return uint64(n)
}

// determinant is a*d - b*c.
func determinant(a, b, c, d number) number { return a.times(d).minus(b.times(c)) }

// denominator is that of a fraction.
func denominator(r *big.Rat) number {
	if r.IsInt() {
		return one
	}
	return numberOf(r.Denom())
}

// setFraction sets r to a number divided by another.
func setFraction(r *big.Rat, a, b number) {
	if !a.isSmall(b) {
		r.SetFrac(a.big(), b.big())
		return
	}
	common := divisor(a, b)
	r.SetFrac64(a.over(common).small, b.over(common).small)
}
