package schema

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
)

// whole reads a JSON number that is a whole one however it is written: 3, 3.0
// and 3e0 are the same (JSON Schema draft 2020-12, 6.1.1). One that is too
// large gives the largest of its sign.
func whole(number string) (n int64, ok bool) {
	digits, negative := strings.CutPrefix(number, "-")
	exponent := int64(0)
	if i := strings.IndexAny(digits, "eE"); i >= 0 {
		exponent = exponentOf(digits[i+1:])
		digits = digits[:i]
	}
	if before, after, point := strings.Cut(digits, "."); point {
		digits = before + after
		exponent -= int64(len(after))
	}
	digits = strings.TrimLeft(digits, "0")
	zeros := len(digits)
	digits = strings.TrimRight(digits, "0")
	exponent += int64(zeros - len(digits))
	switch {
	case digits == "":
		return 0, true
	case exponent < 0:
		return 0, false
	case int64(len(digits))+exponent > 18:
		n = math.MaxInt64
	default:
		n, _ = strconv.ParseInt(digits+strings.Repeat("0", int(exponent)), 10, 64)
	}
	if negative {
		n = -n
	}
	return n, true
}

// exponentOf reads the exponent of a JSON number, cut to what the length of
// no text can make up for.
func exponentOf(text string) int64 {
	n, err := strconv.ParseInt(text, 10, 64)
	if err == nil && -farExponent <= n && n <= farExponent {
		return n
	}
	if text[0] == '-' {
		return -farExponent
	}
	return farExponent
}

const farExponent = 1 << 40 // a record has fewer digits, see MaxBytes

// plainNumbers writes the whole numbers in plain JSON values without point and
// exponent, as a general decoder wants them. It changes value itself.
func plainNumbers(value any) any {
	switch v := value.(type) {
	case map[string]any:
		for name, item := range v {
			v[name] = plainNumbers(item)
		}
	case []any:
		for i, item := range v {
			v[i] = plainNumbers(item)
		}
	case json.Number:
		if n, ok := whole(string(v)); ok {
			return n
		}
	}
	return value
}
