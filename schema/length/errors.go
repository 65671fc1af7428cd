package length

import "errors"

// Kinds of refusal, for errors.Is.
var (
	ErrSyntax      = errors.New("not a length")
	ErrNoUnit      = errors.New("no unit")
	ErrDenominator = errors.New("denominator")
	ErrInexact     = errors.New("not exact in nanometres")
	ErrRange       = errors.New("out of range")
)

// ParseError says why a text is no length and how to mend it.
type ParseError struct {
	Text    string // what was to be read, cut where it is long
	Problem string // what is wrong with it
	Mend    string // what to write instead
	Kind    error  // one of the kinds above
}

// Error gives the text and what is wrong with it.
func (e *ParseError) Error() string { return "length " + e.Text + ": " + e.Problem }

// Unwrap gives the kind.
func (e *ParseError) Unwrap() error { return e.Kind }
