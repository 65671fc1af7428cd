package length

import (
	"math/big"
	"strconv"
	"strings"
)

// In writes l with its unit for people to read. In inches it writes reduced
// fractions to the nearest 1/64 in, with "≈" before it where that is rounded
// (halves away from zero). In millimetres it writes every decimal there is,
// which is never rounded.
func (l Length) In(sys System) string {
	if sys == Metric {
		return l.millimetres()
	}
	whole, rest := l/sixtyFourth, l%sixtyFourth
	if rest == 0 {
		return inches(int64(whole))
	}
	if rest.Abs() >= sixtyFourth-rest.Abs() {
		if l < 0 {
			whole--
		} else {
			whole++
		}
	}
	text := inches(int64(whole))
	if whole == 0 && l < 0 {
		text = "-" + text
	}
	return "≈ " + text
}

// String writes l exactly, so that [Parse] gives it back: in inches where it
// is a whole number of 1/64 in, else in millimetres.
func (l Length) String() string {
	if l%sixtyFourth == 0 {
		return inches(int64(l / sixtyFourth))
	}
	return l.millimetres()
}

// inches writes n sixty-fourths of an inch.
func inches(n int64) string {
	var b strings.Builder
	if n < 0 {
		b.WriteByte('-')
		n = -n
	}
	whole, numerator, denominator := n/64, n%64, int64(64)
	for numerator != 0 && numerator%2 == 0 {
		numerator, denominator = numerator/2, denominator/2
	}
	if whole != 0 || numerator == 0 {
		b.WriteString(strconv.FormatInt(whole, 10))
	}
	if numerator != 0 {
		if whole != 0 {
			b.WriteByte(' ')
		}
		b.WriteString(strconv.FormatInt(numerator, 10) + "/" + strconv.FormatInt(denominator, 10))
	}
	b.WriteString(" in")
	return b.String()
}

// millimetres writes l as a decimal.
func (l Length) millimetres() string {
	// big.Int, since the most negative length has no positive one.
	n := big.NewInt(int64(l))
	sign := ""
	if n.Sign() < 0 {
		sign = "-"
		n.Neg(n)
	}
	whole, rest := n.QuoRem(n, big.NewInt(int64(Millimetre)), new(big.Int))
	text := sign + whole.String()
	if rest.Sign() != 0 {
		digits := strconv.FormatInt(rest.Int64(), 10)
		text += "." + strings.TrimRight(strings.Repeat("0", 6-len(digits))+digits, "0")
	}
	return text + " mm"
}
