package length

import (
	"errors"
	"fmt"
	"strings"
)

// Kinds of refusal, for errors.Is.
var (
	// ErrSyntax: the text is not written as a length is.
	ErrSyntax = errors.New("not a length")
	// ErrNoUnit: the number has no unit, or one that is not known here.
	ErrNoUnit = errors.New("no unit")
	// ErrDenominator: a fraction has no denominator, or zero.
	ErrDenominator = errors.New("no usable denominator")
	// ErrInexact: the length is not a whole number of nanometres.
	ErrInexact = errors.New("not exact in nanometres")
	// ErrRange: the length does not fit, a number has more digits than a
	// length can, or 12 in or more stand beside feet.
	ErrRange = errors.New("out of range")
)

// ParseError says why a text is no length and how to mend it. Problem and Mend
// are plain fragments of a sentence, without capital or full stop.
type ParseError struct {
	Text    string // what was to be read, in quotation marks, cut where it is long
	Problem string // what is wrong with it
	Mend    string // what to write instead
	Kind    error  // one of the kinds above
}

// Error gives the text, what is wrong with it, and the mend.
func (e *ParseError) Error() string {
	return "length " + e.Text + ": " + e.Problem + "; " + e.Mend
}

// Unwrap gives the kind.
func (e *ParseError) Unwrap() error { return e.Kind }

// refuse makes a refusal; Parse puts the text to it.
func refuse(kind error, problem, mend string) *ParseError {
	return &ParseError{Problem: problem, Mend: mend, Kind: kind}
}

// noUnit says what stands where the unit should.
func (p *parser) noUnit() *ParseError {
	if p.rest == "" {
		read := strings.Join(strings.Fields(p.text), " ")
		return refuse(ErrNoUnit, "no unit", fmt.Sprintf("write %s in or %s mm, whichever was meant", read, read))
	}
	read := p.text[:len(p.text)-len(p.rest)]
	next := p.rest[min(1, len(p.rest)-1)] // behind a letter that may stand in a number
	switch c := p.rest[0] | 0x20; {
	case p.atNumber() || p.slash():
		return severalNumbers()
	case c == 'e' && (isDigit(next) || next == '-' || next == '+'):
		return refuse(ErrSyntax, "a number with an exponent", "write the number out, such as 1000 mm")
	case c == 'x' && strings.HasSuffix(read, "0"):
		return refuse(ErrSyntax, "a hexadecimal number", "write the number in decimal digits")
	}
	return refuse(ErrNoUnit, fmt.Sprintf("%q where a unit should stand", p.rest), `end with in, ", ft, ', mm, cm or m`)
}

func noDigits(digits int) *ParseError {
	if digits == 0 {
		return refuse(ErrSyntax, "no number at the start", "write a number and its unit, such as 34 1/2 in")
	}
	return nil
}

func severalNumbers() *ParseError {
	return refuse(ErrSyntax, "more than one number before the unit", "write one number with one unit, such as 34 1/2 in")
}

func tooManyDigits() *ParseError {
	return refuse(ErrRange, "more digits than a length has", "write it with fewer digits")
}

func tooFine() *ParseError {
	return refuse(ErrInexact, "finer than a nanometre", "write fewer decimals")
}

func tooLong() *ParseError {
	return refuse(ErrRange, "longer than any length", "check the number and its unit")
}
