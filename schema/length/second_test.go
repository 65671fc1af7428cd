package length

import (
	"errors"
	"math/big"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"setline.example/schema/chance"
)

// secondReader reads lengths another way, with a regular expression and
// rational numbers, to hold Parse against. It gives nil where it does not
// understand or the length is not exact.
func secondReader(text string) *big.Int {
	s := strings.NewReplacer(
		"\u00a0", " ", "\u2212", "-", "\u2044", "/", "\u2032", "'", "\u2019", "'", "\u2018", "'",
		"\u2033", `"`, "\u201d", `"`, "\u201c", `"`,
		"½", " 1/2 ", "¼", " 1/4 ", "¾", " 3/4 ", "⅛", " 1/8 ", "⅜", " 3/8 ", "⅝", " 5/8 ", "⅞", " 7/8 ",
	).Replace(text)
	m := secondForm.FindStringSubmatch(strings.Trim(s, " \t\r\n\f"))
	if m == nil {
		return nil
	}
	sign, first, unit, inches := m[1], m[2], m[3], m[4]
	total := value(first)
	if total == nil {
		return nil
	}
	total.Mul(total, inNanometres[unit])
	if inches != "" {
		if unit != "ft" && unit != "'" {
			return nil
		}
		more := value(inches)
		if more == nil || !onlyDigits.MatchString(first) || more.Cmp(big.NewRat(12, 1)) >= 0 {
			return nil
		}
		total.Add(total, more.Mul(more, inNanometres["in"]))
	}
	if sign == "-" {
		total.Neg(total)
	}
	if !total.IsInt() || !total.Num().IsInt64() {
		return nil
	}
	return total.Num()
}

const secondNumber = `(?:\d+\.\d*|\.\d+|\d+\s*/\s*\d+|\d+(?:\s*-\s*|\s+)\d+\s*/\s*\d+|\d+)`

var (
	gaps         = regexp.MustCompile(`[\s-]+`)
	bars         = regexp.MustCompile(`\s*/\s*`)
	overZero     = regexp.MustCompile(`/0+$`)
	leadingZero  = regexp.MustCompile(`(^|/)0+(\d)`)
	onlyDigits   = regexp.MustCompile(`^\d+$`)
	secondForm   = regexp.MustCompile(`^([-+]?)\s*(` + secondNumber + `)\s*(in|mm|cm|m|ft|["'])(?:\s*-?\s*(` + secondNumber + `)\s*(?:in|"))?$`)
	inNanometres = map[string]*big.Rat{
		"mm": big.NewRat(1_000_000, 1), "cm": big.NewRat(10_000_000, 1), "m": big.NewRat(1_000_000_000, 1),
		"in": big.NewRat(25_400_000, 1), `"`: big.NewRat(25_400_000, 1),
		"ft": big.NewRat(304_800_000, 1), "'": big.NewRat(304_800_000, 1),
	}
)

// value reads a whole number, a decimal, a fraction, or both together.
func value(text string) *big.Rat {
	parts := gaps.Split(bars.ReplaceAllString(strings.TrimSpace(text), "/"), -1)
	total := new(big.Rat)
	for i, part := range parts {
		if overZero.MatchString(part) {
			return nil
		}
		if above, below, found := strings.Cut(part, "/"); found && (tooGreat(above) || tooGreat(below)) {
			return nil
		}
		// A leading zero would mean octal to big.Rat.
		part = leadingZero.ReplaceAllString(strings.TrimSuffix(part, "."), "$1$2")
		r, ok := new(big.Rat).SetString(part)
		if !ok || i == 1 && r.Cmp(big.NewRat(1, 1)) >= 0 {
			return nil
		}
		total.Add(total, r)
	}
	return total
}

// tooGreat reports whether a numerator or denominator is 2^64 or more, which
// Parse refuses even where it could be reduced.
func tooGreat(digits string) bool {
	n, ok := new(big.Int).SetString(digits, 10)
	return ok && n.BitLen() > 64
}

// TestSecondReader holds Parse against the second reader over texts of every form.
func TestSecondReader(t *testing.T) {
	rng := chance.Source(t)
	pick := func(s ...string) string { return s[rng.IntN(len(s))] }
	digits := func() string {
		return pick("0", "1", "7", "12", "34", "96", "120", "2438", "00", "64", "50", "000000000", "30259171", "9223372036", "9223372036854775807", "18446744073709551616")
	}
	number := func() string {
		fraction := digits() + pick("/", "⁄") + pick("2", "4", "8", "16", "32", "64", "10", "3", "0", "5")
		return pick(digits(), digits()+"."+digits(), "."+digits(), digits()+".", fraction, digits()+pick(" ", "-", "  ")+fraction, digits()+pick("½", " ⅜", "⅞"), "¼")
	}
	accepted := 0
	n := 50_000
	if testing.Short() {
		n = 10000
	}
	for range n {
		text := pick("", " ", "\t\f") + pick("", "-", "+", "−", "- ") + number() + pick("", " ", "\u00a0")
		body := text
		text += pick("in", `"`, "mm", "cm", "m", "ft", "'", "′", "″", "”", "", "yd")
		if rng.IntN(3) == 0 {
			body = text + pick("", " ", "-", " - ") + number() + pick("", " ")
			text = body + pick("in", `"`, "”", "mm", "")
		}
		if len(text) > maxText {
			continue
		}
		got, err := Parse(text)
		want := secondReader(text)
		if (err == nil) != (want != nil) || want != nil && want.Int64() != int64(got) {
			t.Fatalf("Parse(%q) = %d, %v; the second reader says %v", text, got, err, want)
		}
		if _, err := Parse(body); err == nil || pattern.MatchString(body) {
			t.Fatalf("%q has no unit, but Parse says %v and the pattern %v", body, err, pattern.MatchString(body))
		}
		if err == nil {
			accepted++
			if again, err := Parse(got.String()); err != nil || again != got {
				t.Fatalf("%q is %d nm, written %q, read back %d, %v", text, got, got, again, err)
			}
			if !pattern.MatchString(text) {
				t.Fatalf("Parse accepts %q, the pattern does not", text)
			}
		}
	}
	if accepted < n/10 {
		t.Errorf("only %d of the texts were lengths; the comparison says little", accepted)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"34 1/2 in", `34-1/2"`, "2' 10 1/2\"", "876.3 mm", "-1/32 in", "½ in", "2 ft 3 in", "1/0 in", "24", "1e3 mm", "\xff", "9223372036854.775807 mm", "2'-10 ⅞”"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := Parse(s)
		want := secondReader(s)
		if len(s) > maxText {
			want = nil
		}
		var pe *ParseError
		if err != nil && (!errors.As(err, &pe) || pe.Kind == nil || pe.Problem == "" || pe.Mend == "" || !utf8.ValidString(err.Error()) || len(err.Error()) > 1000) {
			t.Fatalf("Parse(%q): not a plain refusal: %v", s, err)
		}
		if err != nil {
			if want != nil {
				t.Fatalf("Parse(%q): %v; the second reader says %v", s, err, want)
			}
			return
		}
		if want == nil || want.Int64() != int64(l) {
			t.Fatalf("Parse(%q) = %d; the second reader says %v", s, l, want)
		}
		if !pattern.MatchString(s) {
			t.Fatalf("Parse accepts %q, the pattern does not", s)
		}
		if again, err := Parse(l.String()); err != nil || again != l {
			t.Fatalf("%q is %d nm, written %q, read back %d, %v", s, l, l.String(), again, err)
		}
		shown, rounded := strings.CutPrefix(l.In(InchSystem), "≈ ")
		again, err := Parse(shown)
		if errors.Is(err, ErrRange) && l.Abs() > maxLength-sixtyFourth {
			return // rounded up beyond the greatest length
		}
		if err != nil || rounded != (again != l || l%sixtyFourth != 0) || (again-l).Abs() > sixtyFourth/2 {
			t.Fatalf("%q is %d nm, shown %q, read back %d, %v", s, l, l.In(InchSystem), again, err)
		}
	})
}
