package length

import (
	"fmt"
	"math/bits"
	"strings"
	"unicode/utf8"
)

// maxText is the longest text that can be a length, in bytes.
const maxText = 64

// Pattern is a regular expression (ECMA-262, and RE2) for texts that [Parse]
// may accept. It lets a few pass that Parse refuses, such as 1/0 in. Signs
// beyond ASCII stand in it as themselves, since the two dialects escape them
// differently.
const Pattern = `^[\s` + nbsp + `]*[-+−]?[\s` + nbsp + `]*[0-9.` + vulgars + `][-0-9.\s/ft` + nbsp + `⁄` + feet + vulgars + `]*(in|mm|cm|m|ft|["″”“` + feet + `])[\s` + nbsp + `]*$`

const (
	nbsp    = "\u00a0"
	feet    = "'\u2032\u2019\u2018"
	vulgars = "½¼¾⅛⅜⅝⅞"
)

// Parse reads a length as a person writes it: a number and its unit.
//
// Inches: 34 1/2 in, 34-1/2", 34.5 in, 34½". Feet and inches: 2' 10 1/2",
// 2 ft 10 1/2 in, 6'. Metric: 876.3 mm, 87.63 cm, 0.8763 m. A sign may stand
// in front. Nothing is rounded: what is not a whole number of nanometres is
// refused, as is a number without a unit. The error is a [*ParseError].
func Parse(s string) (Length, error) {
	if len(s) > maxText {
		cut := s[:maxText/2]
		for !utf8.ValidString(cut) && len(cut) > maxText/2-utf8.UTFMax {
			cut = cut[:len(cut)-1]
		}
		return 0, &ParseError{fmt.Sprintf("%q…", cut), "longer than any length", "write a number and its unit, such as 34 1/2 in", ErrSyntax}
	}
	p := parser{text: s, rest: s}
	l, problem, mend, kind := p.length()
	if kind != nil {
		return 0, &ParseError{fmt.Sprintf("%q", s), problem, mend, kind}
	}
	return l, nil
}

// parser reads one length from the left.
type parser struct {
	text string // the whole
	rest string // what is still to be read
}

// ratio is a number as it was written: value / scale.
type ratio struct {
	value, scale uint64
	fraction     bool // it was written with a fraction
	point        bool // it was written with a decimal point
}

func (p *parser) length() (l Length, problem, mend string, kind error) {
	p.spaces()
	negative := p.sign()
	p.spaces()
	if p.rest == "" {
		return fail("nothing there", "write a number and its unit, such as 34 1/2 in", ErrSyntax)
	}
	n, problem, mend, kind := p.number()
	if kind != nil {
		return 0, problem, mend, kind
	}
	p.spaces()
	unit, found := p.unit()
	if !found {
		return p.noUnit()
	}
	total, ok := n.times(unit)
	if !ok {
		return p.notExact(n, unit)
	}
	if p.spaces(); unit == Foot && p.rest != "" {
		inches, problem, mend, kind := p.inches(n)
		if kind != nil {
			return 0, problem, mend, kind
		}
		var carry uint64
		if total, carry = bits.Add64(total, inches, 0); carry != 0 {
			return tooLong()
		}
		p.spaces()
	}
	if p.rest != "" {
		return fail(fmt.Sprintf("%q after the unit", p.rest), "end with the unit", ErrSyntax)
	}
	return signed(total, negative)
}

// inches reads the inches that follow feet.
func (p *parser) inches(feet ratio) (total uint64, problem, mend string, kind error) {
	if feet.fraction || feet.point {
		return 0, "a fraction of a foot beside inches", "write whole feet before inches, such as 2' 10 1/2\"", ErrSyntax
	}
	if strings.HasPrefix(p.rest, "-") {
		p.rest = p.rest[1:]
		p.spaces()
	}
	n, problem, mend, kind := p.number()
	if kind != nil {
		return 0, problem, mend, kind
	}
	p.spaces()
	unit, found := p.unit()
	switch {
	case !found:
		return 0, "inches without a unit", "end with in or \"", ErrNoUnit
	case unit != Inch:
		return 0, "feet with something other than inches", "write feet and inches, such as 2' 10 1/2\"", ErrSyntax
	}
	total, ok := n.times(Inch)
	if !ok {
		_, problem, mend, kind := p.notExact(n, Inch)
		return 0, problem, mend, kind
	}
	if total >= uint64(Foot) {
		return 0, "12 or more inches beside feet", "write inches alone, or carry them into the feet", ErrRange
	}
	return total, "", "", nil
}

// number reads a whole number, a decimal, a fraction, or a whole number and a
// fraction.
func (p *parser) number() (n ratio, problem, mend string, kind error) {
	if f, ok := p.vulgar(); ok {
		return f, "", "", nil
	}
	n, problem, mend, kind = p.decimal()
	if kind != nil || n.point {
		return n, problem, mend, kind
	}
	before := p.rest
	p.spaces()
	if p.slash() {
		p.spaces()
		return p.denominator(n)
	}
	// A fraction after the whole number, after a space or a hyphen; a fraction
	// that is one character may also stand right behind it.
	apart := len(p.rest) < len(before)
	if p.skip("-") {
		apart = true
		p.spaces()
	}
	if f, ok := p.vulgar(); ok {
		return n.plus(f)
	}
	if !apart || p.rest == "" || !isDigit(p.rest[0]) {
		p.rest = before
		return n, "", "", nil
	}
	f, problem, mend, kind := p.decimal()
	if kind != nil {
		return n, problem, mend, kind
	}
	p.spaces()
	if !p.slash() {
		return n, "two numbers and no fraction", "write one number with one unit, such as 34 1/2 in", ErrSyntax
	}
	p.spaces()
	f, problem, mend, kind = p.denominator(f)
	switch {
	case kind != nil:
		return n, problem, mend, kind
	case f.value >= f.scale:
		return n, "a whole number beside a fraction of one or more", "write the fraction as less than one, or alone", ErrSyntax
	}
	return n.plus(f)
}

// decimal reads digits with at most one point among them.
func (p *parser) decimal() (n ratio, problem, mend string, kind error) {
	n.scale = 1
	digits := 0
	for p.rest != "" {
		c := p.rest[0]
		switch {
		case isDigit(c):
			hi, lo := bits.Mul64(n.value, 10)
			sum, carry := bits.Add64(lo, uint64(c-'0'), 0)
			if hi != 0 || carry != 0 || n.scale > 1e17 {
				return n, "more digits than a length has", "write it with fewer digits", ErrRange
			}
			n.value = sum
			digits++
			if n.point {
				n.scale *= 10
			}
		case c == '.' && !n.point:
			n.point = true
		case c == ',':
			return n, "a comma in the number", "write decimals with a point, such as 24.5 in, and no commas between thousands", ErrSyntax
		default:
			return p.endOfDecimal(n, digits)
		}
		p.rest = p.rest[1:]
	}
	return p.endOfDecimal(n, digits)
}

func (p *parser) endOfDecimal(n ratio, digits int) (ratio, string, string, error) {
	if digits == 0 {
		return n, "no number at the start", "write a number and its unit, such as 34 1/2 in", ErrSyntax
	}
	return n, "", "", nil
}

// denominator reads what stands under the numerator n.
func (p *parser) denominator(n ratio) (f ratio, problem, mend string, kind error) {
	if n.point {
		return n, "a decimal in a fraction", "write whole numbers above and below the line", ErrSyntax
	}
	d, problem, mend, kind := p.decimal()
	switch {
	case kind != nil:
		return n, problem, mend, kind
	case d.point:
		return n, "a decimal in a fraction", "write whole numbers above and below the line", ErrSyntax
	case d.value == 0:
		return n, "a fraction over zero", "write the denominator, such as 16 or 64", ErrDenominator
	}
	return ratio{value: n.value, scale: d.value, fraction: true}, "", "", nil
}

// plus adds a fraction to a whole number.
func (n ratio) plus(f ratio) (ratio, string, string, error) {
	hi, lo := bits.Mul64(n.value, f.scale)
	sum, carry := bits.Add64(lo, f.value, 0)
	if hi != 0 || carry != 0 {
		return n, "longer than any length", "check the number", ErrRange
	}
	return ratio{value: sum, scale: f.scale, fraction: true}, "", "", nil
}

// times returns n units in nanometres, and whether that is whole and fits.
func (n ratio) times(unit Length) (uint64, bool) {
	hi, lo := bits.Mul64(n.value, uint64(unit))
	if hi >= n.scale {
		return 0, false
	}
	quotient, remainder := bits.Div64(hi, lo, n.scale)
	return quotient, remainder == 0
}

// notExact says why n units are no length.
func (p *parser) notExact(n ratio, unit Length) (Length, string, string, error) {
	if hi, _ := bits.Mul64(n.value, uint64(unit)); hi >= n.scale {
		return tooLong()
	}
	if n.fraction {
		return fail(fmt.Sprintf("a fraction over %d, which is no whole number of nanometres", n.scale), "write halves, quarters, eighths, sixteenths, thirty-seconds or sixty-fourths", ErrDenominator)
	}
	return fail("finer than a nanometre", "write fewer decimals", ErrInexact)
}

func (p *parser) noUnit() (Length, string, string, error) {
	read := strings.TrimSpace(p.text[:len(p.text)-len(p.rest)])
	if p.rest == "" {
		return fail("no unit", fmt.Sprintf("write %s in or %s mm, whichever was meant", read, read), ErrNoUnit)
	}
	return fail(fmt.Sprintf("%q where a unit should stand", p.rest), "end with in, \", ft, ', mm, cm or m", ErrNoUnit)
}

func tooLong() (Length, string, string, error) {
	return fail("longer than any length", "check the number and its unit", ErrRange)
}

func fail(problem, mend string, kind error) (Length, string, string, error) {
	return 0, problem, mend, kind
}

func signed(total uint64, negative bool) (Length, string, string, error) {
	switch {
	case negative && total <= 1<<63:
		return Length(-total), "", "", nil // two's complement: right for 1<<63 too
	case !negative && total < 1<<63:
		return Length(total), "", "", nil
	}
	return tooLong()
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
