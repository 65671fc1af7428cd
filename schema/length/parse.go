package length

import (
	"fmt"
	"math/bits"

	"setline.example/schema/plaintext"
)

// maxText is the longest text that can be a length, in bytes.
const maxText = 64

// Pattern is a regular expression (ECMA-262, and RE2) that fits every text that
// [Parse] accepts, and none without a unit at its end. It fits some that Parse
// refuses, such as 1/0 in. Signs beyond ASCII stand in it as themselves, since
// the two dialects escape them differently.
const Pattern = `^[\s` + nbsp + `]*[-+−]?[\s` + nbsp + `]*[0-9.` + vulgars + `][-0-9.\s/ft` + nbsp + `⁄` + feet + vulgars + `]*(in|mm|cm|m|ft|["″”“` + feet + `])[\s` + nbsp + `]*$`

const (
	nbsp    = "\u00a0"
	feet    = "'\u2032\u2019\u2018"
	vulgars = "½¼¾⅛⅜⅝⅞"
)

// Parse reads a length as a person writes it: a number and its unit, in, ", ft,
// ', mm, cm or m.
//
// Inches: 34 1/2 in, 34-1/2", 34.5 in, 34½". Feet and inches: 2' 10 1/2",
// 2'-10 1/2", 2 ft 10 1/2 in, 6'. Metric: 876.3 mm, 87.63 cm, 0.8763 m. A sign
// may stand in front, and is the sign of the whole. Primes, typographic
// quotation marks, the minus sign and one-character fractions are read too.
//
// Nothing is rounded. Refused, with a [*ParseError], are a number without a
// unit ([ErrNoUnit]); what is not a whole number of nanometres, such as 1/3 in
// ([ErrInexact]); a missing or zero denominator ([ErrDenominator]); what does
// not fit, or has a numerator or denominator of 2^64 or more ([ErrRange]);
// likely slips: a whole number beside a fraction of one
// or more ([ErrSyntax]), 12 or more inches beside feet ([ErrRange]); and
// anything else, such as a decimal comma, an exponent, or more than 64 bytes
// ([ErrSyntax]).
func Parse(s string) (Length, error) {
	if len(s) > maxText {
		e := refuse(ErrSyntax, "longer than any length is written", "write a number and its unit, such as 34 1/2 in")
		e.Text = fmt.Sprintf("%q", plaintext.Cut(s, maxText/2))
		return 0, e
	}
	p := parser{text: s, rest: s}
	l, e := p.length()
	if e != nil {
		e.Text = fmt.Sprintf("%q", s)
		return 0, e
	}
	return l, nil
}

// parser reads one length from the left.
type parser struct {
	text string // the whole
	rest string // what is still to be read
}

func (p *parser) length() (Length, *ParseError) {
	p.spaces()
	negative := p.sign()
	p.spaces()
	if p.rest == "" {
		return 0, refuse(ErrSyntax, "nothing there", "write a number and its unit, such as 34 1/2 in")
	}
	n, e := p.number()
	if e != nil {
		return 0, e
	}
	p.spaces()
	unit, found := p.unit()
	if !found {
		return 0, p.noUnit()
	}
	total, e := n.in(unit)
	if e != nil {
		return 0, e
	}
	if p.spaces(); unit == Foot && p.rest != "" {
		inches, e := p.inches(n)
		if e != nil {
			return 0, e
		}
		var carry uint64
		if total, carry = bits.Add64(total, inches, 0); carry != 0 {
			return 0, tooLong()
		}
		p.spaces()
	}
	if p.rest != "" {
		return 0, refuse(ErrSyntax, fmt.Sprintf("%q after the unit", p.rest), "end with the unit; only feet go on, with inches")
	}
	return signed(total, negative)
}

// inches reads the inches that follow feet.
func (p *parser) inches(feet ratio) (uint64, *ParseError) {
	const example = `write feet and inches, such as 2' 10 1/2"`
	if _, found := p.unit(); found {
		return 0, refuse(ErrSyntax, "a second unit without a number", `write one unit behind each number, and " for inches`)
	}
	after := p.rest
	if p.skip("-") {
		p.spaces()
	}
	if !p.atNumber() {
		return 0, refuse(ErrSyntax, fmt.Sprintf("%q after the feet", after), example)
	}
	if feet.fraction || feet.point {
		return 0, refuse(ErrSyntax, "a fraction of a foot beside inches", `write whole feet before inches, such as 2' 10 1/2"`)
	}
	n, e := p.number()
	if e != nil {
		return 0, e
	}
	p.spaces()
	unit, found := p.unit()
	switch {
	case !found && p.rest == "":
		return 0, refuse(ErrNoUnit, "inches without a unit", `end with in or "`)
	case !found:
		return 0, p.noUnit()
	case unit != Inch:
		return 0, refuse(ErrSyntax, "feet with something other than inches", example)
	}
	total, e := n.in(Inch)
	if e == nil && total >= uint64(Foot) {
		e = refuse(ErrRange, "12 or more inches beside feet", "write inches alone, or carry them into the feet")
	}
	return total, e
}

// number reads a whole number, a decimal, a fraction, or a whole number and a
// fraction.
func (p *parser) number() (ratio, *ParseError) {
	if f, ok := p.vulgar(); ok {
		return f, nil
	}
	n, e := p.decimal()
	if e != nil || n.point {
		return n, e
	}
	before := p.rest
	p.spaces()
	if p.slash() {
		return p.denominator(n)
	}
	// A fraction stands after the whole number, behind a space or a hyphen; one
	// that is a single character may also stand right behind it.
	apart := len(p.rest) < len(before)
	if p.skip("-") {
		apart = true
		p.spaces()
	}
	f, ok := p.vulgar()
	if !ok {
		if !apart || !p.atNumber() {
			p.rest = before
			return n, nil
		}
		if f, e = p.decimal(); e != nil {
			return n, e
		}
		if p.spaces(); !p.slash() {
			return n, severalNumbers()
		}
		if f, e = p.denominator(f); e != nil {
			return n, e
		}
		if f.value >= f.scale {
			return n, refuse(ErrSyntax, "a whole number beside a fraction of one or more", "write the fraction as less than one, or alone")
		}
	}
	sum, fits := n.plus(f)
	if !fits {
		return n, tooManyDigits()
	}
	return sum, nil
}

// atNumber reports whether digits, a point or a one-character fraction stand next.
func (p *parser) atNumber() bool {
	if p.rest == "" {
		return false
	}
	ahead := *p
	_, vulgar := ahead.vulgar()
	return vulgar || isDigit(p.rest[0]) || p.rest[0] == '.'
}

// maxPlaces is the most decimals that can be exact when the last is not zero:
// the unit must then divide as often by 2 or by 5, and none does more often
// than the metre, 2^9 x 5^9 nm. The foot is 2^8 x 3 x 5^5 x 127 nm.
const maxPlaces = 9

// decimal reads digits with at most one point among them.
func (p *parser) decimal() (ratio, *ParseError) {
	n := ratio{scale: 1}
	digits, places, zeros := 0, 0, 0
	for ; p.rest != ""; p.rest = p.rest[1:] {
		c := p.rest[0]
		switch {
		case c == '.' && !n.point:
			n.point = true
			continue
		case c == ',':
			return n, refuse(ErrSyntax, "a comma in the number", "write decimals with a point, such as 24.5 in, and no commas between thousands")
		case !isDigit(c):
			return n, noDigits(digits)
		}
		digits++
		if n.point {
			// Zeros count once another digit follows: 0.50 is 0.5.
			if places++; c == '0' {
				zeros++
				continue
			}
			if places > maxPlaces {
				return n, tooFine()
			}
			for ; zeros > 0; zeros-- {
				if !n.push('0') {
					return n, tooManyDigits()
				}
			}
		}
		if !n.push(c) {
			return n, tooManyDigits()
		}
	}
	return n, noDigits(digits)
}

// denominator reads what stands under the numerator n.
func (p *parser) denominator(n ratio) (ratio, *ParseError) {
	p.spaces()
	if p.rest == "" || !isDigit(p.rest[0]) && p.rest[0] != '.' {
		return n, refuse(ErrDenominator, "nothing under the fraction bar", "write the denominator, such as 16 or 64")
	}
	d, e := p.decimal()
	switch {
	case e != nil:
		return n, e
	case n.point || d.point:
		return n, refuse(ErrSyntax, "a decimal in a fraction", "write whole numbers above and below the fraction bar")
	case d.value == 0:
		return n, refuse(ErrDenominator, "a fraction over zero", "write the denominator, such as 16 or 64")
	}
	return ratio{value: n.value, scale: d.value, fraction: true}, nil
}

// in returns n units in nanometres.
func (n ratio) in(unit Length) (uint64, *ParseError) {
	total, fits, exact := n.times(unit)
	switch {
	case !fits:
		return 0, tooLong()
	case exact:
		return total, nil
	case !n.fraction:
		return 0, tooFine()
	}
	mend := "write a decimal"
	switch unit {
	case Inch:
		mend = "write halves, quarters, eighths, sixteenths, thirty-seconds or sixty-fourths"
	case Foot:
		mend = `write feet and inches, such as 2' 10 1/2"`
	}
	return 0, refuse(ErrInexact, fmt.Sprintf("a fraction over %d, which is no whole number of nanometres", n.scale), mend)
}

func signed(total uint64, negative bool) (Length, *ParseError) {
	switch {
	case negative && total <= 1<<63:
		return Length(-total), nil // two's complement: right for 1<<63 too
	case !negative && total < 1<<63:
		return Length(total), nil
	}
	return 0, tooLong()
}
