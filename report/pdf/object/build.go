package object

import (
	"strconv"
	"strings"
	"unicode/utf16"
)

// NewDict returns a dictionary, of a type (/Type) where it is not "".
func NewDict(kind string) Value {
	d := Value{Kind: Dict}
	if kind != "" {
		d.Add("Type", NameOf(kind))
	}
	return d
}

// Written returns v as what is written for it, which takes a fraction of the
// memory: a form has thousands of dictionaries. b is room that is used again,
// and what is returned in its place.
func Written(v Value, b []byte) (Value, []byte) {
	b = v.append(b[:0])
	return Value{Kind: written, Text: string(b)}, b
}

// Add adds an entry to a dictionary that has none of that key.
func (v *Value) Add(key string, item Value) {
	v.Keys, v.Items = append(v.Keys, key), append(v.Items, item)
}

// NameOf returns a name.
func NameOf(s string) Value { return Value{Kind: Name, Text: s} }

// RefTo returns a reference to object n.
func RefTo(n int) Value { return Value{Kind: Ref, Int: int64(n)} }

// List returns an array.
func List(items ...Value) Value { return Value{Kind: Array, Items: items} }

// Numbers returns an array of numbers with at most two decimals.
func Numbers(v ...float64) Value {
	a := Value{Kind: Array, Items: make([]Value, len(v))}
	for i, x := range v {
		a.Items[i] = Number(x)
	}
	return a
}

// Number returns a number with at most two decimals.
func Number(v float64) Value {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	if n, err := strconv.ParseInt(s, 10, 64); err == nil {
		return Value{Kind: Integer, Int: n}
	}
	return Value{Kind: Real, Text: s}
}

// Bytes returns a string of bytes.
func Bytes(s string) Value { return Value{Kind: String, Text: s} }

// Text returns a text string (7.9.2.2): what is ASCII as it is, which is half as
// long, and all else in UTF-16 with a mark.
func Text(s string) Value {
	if printable(s) {
		return Bytes(s)
	}
	b := []byte{0xFE, 0xFF}
	for _, u := range utf16.Encode([]rune(strings.ToValidUTF8(s, "\uFFFD"))) {
		b = append(b, byte(u>>8), byte(u))
	}
	return Bytes(string(b))
}
