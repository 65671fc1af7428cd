package say

import (
	"strconv"
	"strings"

	"setline.example/schema/length"
)

// Decimal is a length in nanometres that is written as a decimal with two
// significant digits and its unit, whatever the system of lengths: an uncertainty
// (JCGM 100:2008, 7.2.6), for which fractions of an inch would be too coarse.
type Decimal float64

func (d Decimal) in(sys length.System) string {
	unit, name := float64(length.Millimetre), " mm"
	if sys == length.InchSystem {
		unit, name = float64(length.Inch), " in"
	}
	value := float64(d) / unit
	_, decade, _ := strings.Cut(strconv.FormatFloat(value, 'e', -1, 64), "e")
	exponent, _ := strconv.Atoi(decade)
	digits := max(0, 1-exponent)
	text := strconv.FormatFloat(value, 'f', digits, 64)
	if digits > 0 {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	return text + name
}
