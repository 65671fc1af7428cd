package checks

import (
	"fmt"
	"strconv"
	"strings"

	"setline.example/checks/say"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

// Unit is what a [Quantity] counts in.
type Unit int

// The units of quantities.
const (
	NoUnit Unit = iota // there is no quantity
	Length             // nanometres
	Count              // pieces
	Days               // days of 24 hours
)

// Name is the unit as machines write it, "" for none.
func (u Unit) Name() string {
	switch u {
	case Length:
		return "nm"
	case Count:
		return "pieces"
	case Days:
		return "days"
	}
	return ""
}

// Quantity is a whole number of some unit: a measured value, a limit or the
// margin between them. The zero Quantity says that there is none.
type Quantity struct {
	Unit Unit
	N    int64
}

// LengthOf returns l as a quantity.
func LengthOf(l length.Length) Quantity { return Quantity{Length, int64(l)} }

// CountOf returns n pieces as a quantity.
func CountOf(n int) Quantity { return Quantity{Count, int64(n)} }

// In writes the quantity with its unit, lengths in the given system; "" where
// there is none.
func (q Quantity) In(sys length.System) string {
	switch q.Unit {
	case Length:
		return length.Length(q.N).In(sys)
	case Count:
		return strconv.FormatInt(q.N, 10)
	case Days:
		return plaintext.Counted(int(q.N), "day", "days")
	}
	return ""
}

// Text says the quantity with its unit; nothing where there is none.
func (q Quantity) Text() say.Text {
	switch q.Unit {
	case Length:
		return say.That("%[1]s", length.Length(q.N))
	case Count:
		return say.That("%[1]s", int(q.N))
	case Days:
		return daysWords(int(q.N))
	}
	return say.Text{}
}

// minus returns q - r, which must be of the same unit.
func (q Quantity) minus(r Quantity) Quantity { return Quantity{q.Unit, q.N - r.N} }

// parseQuantity reads a quantity of the given unit as a person writes it.
func parseQuantity(unit Unit, text string) (Quantity, error) {
	switch unit {
	case Length:
		l, err := length.Parse(text)
		return LengthOf(l), err
	case Days:
		number, found := strings.CutSuffix(strings.TrimSuffix(text, "s"), "day")
		n, err := strconv.ParseInt(strings.TrimSpace(number), 10, 32)
		if !found || err != nil || n < 0 {
			return Quantity{}, fmt.Errorf("%q is not a number of days such as \"30 days\"", text)
		}
		return Quantity{Days, n}, nil
	case Count:
		n, err := strconv.ParseInt(text, 10, 32)
		if err != nil || n < 0 {
			return Quantity{}, fmt.Errorf("%q is not a whole number", text)
		}
		return Quantity{Count, n}, nil
	}
	return Quantity{}, fmt.Errorf("a quantity without a unit cannot be read")
}

// daysWords say how many days.
func daysWords(n int) say.Text { return say.Count(n, "%[1]s day", "%[1]s days") }
