// Package length holds lengths exactly, as whole nanometres.
//
// 1 in = 25.4 mm exactly (international yard and pound agreement; Federal
// Register 24 FR 5348, 1 July 1959), so that 1/64 in is 396 875 nm exactly and
// neither fractions of an inch nor millimetres ever round. [Parse] reads what
// people write, always with its unit; [Length.In] writes for people, and
// [Length.String] writes so that Parse gives the same length back.
//
// Reading and writing use whole numbers only. [Length.Inches] and
// [Length.Millimetres] give floating point for statistics and drawings, never
// for a comparison with a limit.
package length

// Length is a length in nanometres. Its text form, in JSON too, is what a
// person writes: "34 1/2 in", "876.3 mm". It reaches some 9.2 million km to
// either side of zero.
type Length int64

// Units. The foot is 12 in, 0.3048 m exactly.
const (
	Nanometre  Length = 1
	Micrometre        = 1000 * Nanometre
	Millimetre        = 1000 * Micrometre
	Centimetre        = 10 * Millimetre
	Metre             = 1000 * Millimetre
	Inch              = 25_400_000 * Nanometre
	Foot              = 12 * Inch
)

// sixtyFourth is the smallest step in which inches are written.
const sixtyFourth = Inch / 64

const (
	maxLength Length = 1<<63 - 1
	minLength Length = -1 << 63
)

// System says how lengths are written: in inches and fractions, or in millimetres.
type System string

// The two systems.
const (
	InchSystem System = "in"
	Metric     System = "mm"
)

// Abs returns the size of l without its sign. The most negative length has no
// positive one and gives the greatest.
func (l Length) Abs() Length {
	switch {
	case l == minLength:
		return maxLength
	case l < 0:
		return -l
	}
	return l
}

// Inches returns l in inches, as near as floating point comes.
func (l Length) Inches() float64 { return float64(l) / float64(Inch) }

// Millimetres returns l in millimetres, as near as floating point comes.
func (l Length) Millimetres() float64 { return float64(l) / float64(Millimetre) }

// MarshalText writes l as [Length.String] does. The error is always nil.
func (l Length) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText reads l as [Parse] does. Its error is a [*ParseError], and
// then l stays as it was.
func (l *Length) UnmarshalText(text []byte) error {
	v, err := Parse(string(text))
	if err != nil {
		return err
	}
	*l = v
	return nil
}
