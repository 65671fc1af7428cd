package length

import "errors"

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
