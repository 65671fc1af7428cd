package length

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	jsonv2 "github.com/go-json-experiment/json"

	"setline.example/schema/chance"
)

func TestParse(t *testing.T) {
	for _, tc := range []struct {
		text string
		want Length // nm
	}{
		{"34 1/2 in", 876_300_000},
		{`34-1/2"`, 876_300_000},
		{"34.5 in", 876_300_000},
		{`34½"`, 876_300_000},
		{"34 ½ in", 876_300_000},
		{"½ in", 12_700_000},
		{`2' 10 1/2"`, 876_300_000},
		{`2'-10 1/2"`, 876_300_000},
		{"2 ft 10 1/2 in", 876_300_000},
		{"2ft10.5in", 876_300_000},
		{"2′ 10 1⁄2″", 876_300_000},
		{"2’ 10 1/2”", 876_300_000},
		{"876.3 mm", 876_300_000},
		{"0.8763 m", 876_300_000},
		{"87.63 cm", 876_300_000},
		{"1/16 in", 1_587_500},
		{"-1/32 in", -793_750},
		{"−1/32 in", -793_750},
		{"+1/16 in", 1_587_500},
		{"5/4 in", 31_750_000},
		{"6'", 1_828_800_000},
		{"-2' 3\"", -685_800_000},
		{"1/2 ft", 152_400_000},
		{"0 in", 0},
		{"24in", 609_600_000},
		{"600mm", 600_000_000},
		{"  3\u00a0in ", 76_200_000},
		{".5 in", 12_700_000},
		{"5. mm", 5_000_000},
		{"1/10 in", 2_540_000},
		{"2/6 ft", 101_600_000}, // 4 in
		{"1/128 ft", 2_381_250},
		{"7 9000000000000000000/18000000000000000000 in", 190_500_000},
		{"1/2 mm", 500_000},
		{"0.50000000000000000000000000 in", 12_700_000},
		{"00000000000000000000000000000034 in", 863_600_000},
		{"0.000000001 m", 1},
		{"0.00390625 ft", 1_190_625}, // 3/64 in
		{"-0 in", 0},
		{"- 3 in", -76_200_000},
		{"1 / 2 in", 12_700_000},
		{"34 - 1/2 in", 876_300_000},
		{"2'½\"", 622_300_000},
		{"2' 5/4\"", 641_350_000},
		{"2‘ 3“", 685_800_000},
		{"¼ in", 6_350_000},
		{"¾ in", 19_050_000},
		{"⅛ in", 3_175_000},
		{"⅜ in", 9_525_000},
		{"⅝ in", 15_875_000},
		{"⅞ in", 22_225_000},
		{"0.3333 in", 8_465_820},
		{"0.000001 mm", 1},
		{"9223372036854.775807 mm", math.MaxInt64},
		{"-9223372036854.775808 mm", math.MinInt64},
	} {
		if got, err := Parse(tc.text); err != nil || got != tc.want {
			t.Errorf("Parse(%q) = %d, %v; want %d nm", tc.text, got, err, tc.want)
		}
		if !pattern.MatchString(tc.text) {
			t.Errorf("the pattern does not fit %q", tc.text)
		}
	}
}

func TestRefused(t *testing.T) {
	const (
		example = "write a number and its unit, such as 34 1/2 in"
		oneUnit = "write one number with one unit, such as 34 1/2 in"
		units   = `end with in, ", ft, ', mm, cm or m`
		ending  = "end with the unit; only feet go on, with inches"
		wholes  = "write whole numbers above and below the fraction bar"
		over    = "write the denominator, such as 16 or 64"
		binary  = "write halves, quarters, eighths, sixteenths, thirty-seconds or sixty-fourths"
		point   = "write decimals with a point, such as 24.5 in, and no commas between thousands"
		feetIn  = `write feet and inches, such as 2' 10 1/2"`
		several = "more than one number before the unit"
		noStart = "no number at the start"
		digits  = "write it with fewer digits"
		check   = "check the number and its unit"
	)
	for _, tc := range []struct {
		text          string
		kind          error
		problem, mend string
	}{
		{"", ErrSyntax, "nothing there", example},
		{" \u00a0", ErrSyntax, "nothing there", example},
		{"-", ErrSyntax, "nothing there", example},
		{"in", ErrSyntax, noStart, example},
		{"- in", ErrSyntax, noStart, example},
		{". in", ErrSyntax, noStart, example},
		{"--3 in", ErrSyntax, noStart, example},
		{"+-3 in", ErrSyntax, noStart, example},
		{"NaN in", ErrSyntax, noStart, example},
		{"inf in", ErrSyntax, noStart, example},
		{"١ in", ErrSyntax, noStart, example},
		{"\xff\xfe", ErrSyntax, noStart, example},
		{"\v1 in", ErrSyntax, noStart, example},
		{"24", ErrNoUnit, "no unit", "write 24 in or 24 mm, whichever was meant"},
		{" 34 1/2 ", ErrNoUnit, "no unit", "write 34 1/2 in or 34 1/2 mm, whichever was meant"},
		{"34\n1/2\u00a0", ErrNoUnit, "no unit", "write 34 1/2 in or 34 1/2 mm, whichever was meant"},
		{"-½", ErrNoUnit, "no unit", "write -½ in or -½ mm, whichever was meant"},
		{"24 inches", ErrNoUnit, `"inches" where a unit should stand`, units},
		{"6 feet", ErrNoUnit, `"feet" where a unit should stand`, units},
		{"24 yd", ErrNoUnit, `"yd" where a unit should stand`, units},
		{"24 IN", ErrNoUnit, `"IN" where a unit should stand`, units},
		{"24 x 36 in", ErrNoUnit, `"x 36 in" where a unit should stand`, units},
		{"1\x00 in", ErrNoUnit, `"\x00 in" where a unit should stand`, units},
		{"1_000 mm", ErrNoUnit, `"_000 mm" where a unit should stand`, units},
		{"1e3 mm", ErrSyntax, "a number with an exponent", "write the number out, such as 1000 mm"},
		{"1E-3 m", ErrSyntax, "a number with an exponent", "write the number out, such as 1000 mm"},
		{"0x10 mm", ErrSyntax, "a hexadecimal number", "write the number in decimal digits"},
		{"24.in.", ErrSyntax, `"." after the unit`, ending},
		{"1 in\x00", ErrSyntax, `"\x00" after the unit`, ending},
		{"3 m 20 cm", ErrSyntax, `"20 cm" after the unit`, ending},
		{"2 in 3 ft", ErrSyntax, `"3 ft" after the unit`, ending},
		{`2' 3" x`, ErrSyntax, `"x" after the unit`, ending},
		{"24,5 in", ErrSyntax, "a comma in the number", point},
		{",5 in", ErrSyntax, "a comma in the number", point},
		{"1,200 mm", ErrSyntax, "a comma in the number", point},
		{"1 2 in", ErrSyntax, several, oneUnit},
		{"1.5/2 in", ErrSyntax, several, oneUnit},
		{"1.5 1/2 in", ErrSyntax, several, oneUnit},
		{"1..5 in", ErrSyntax, several, oneUnit},
		{"1.2.3 in", ErrSyntax, several, oneUnit},
		{"34 1/2/2 in", ErrSyntax, several, oneUnit},
		{"½½ in", ErrSyntax, several, oneUnit},
		{"34 1 1/2 in", ErrSyntax, several, oneUnit},
		{"1/2.5 in", ErrSyntax, "a decimal in a fraction", wholes},
		{"1 1/2.0 in", ErrSyntax, "a decimal in a fraction", wholes},
		{"1 1.0/2 in", ErrSyntax, "a decimal in a fraction", wholes},
		{"1/0 in", ErrDenominator, "a fraction over zero", over},
		{"3 1/00 in", ErrDenominator, "a fraction over zero", over},
		{"34 1/ in", ErrDenominator, "nothing under the fraction bar", over},
		{"1/", ErrDenominator, "nothing under the fraction bar", over},
		{"1/-2 in", ErrDenominator, "nothing under the fraction bar", over},
		{"1/3 in", ErrInexact, "a fraction over 3, which is no whole number of nanometres", binary},
		{"34 2/7 in", ErrInexact, "a fraction over 7, which is no whole number of nanometres", binary},
		{"1/128 in", ErrInexact, "a fraction over 128, which is no whole number of nanometres", binary},
		{"1/7 ft", ErrInexact, "a fraction over 7, which is no whole number of nanometres", feetIn},
		{"1/3 mm", ErrInexact, "a fraction over 3, which is no whole number of nanometres", "write a decimal"},
		{"1 5/4 in", ErrSyntax, "a whole number beside a fraction of one or more", "write the fraction as less than one, or alone"},
		{"1 4/4 in", ErrSyntax, "a whole number beside a fraction of one or more", "write the fraction as less than one, or alone"},
		{`2' 14"`, ErrRange, "12 or more inches beside feet", "write inches alone, or carry them into the feet"},
		{`2' 12"`, ErrRange, "12 or more inches beside feet", "write inches alone, or carry them into the feet"},
		{`2.5' 3"`, ErrSyntax, "a fraction of a foot beside inches", `write whole feet before inches, such as 2' 10 1/2"`},
		{`1/2' 3"`, ErrSyntax, "a fraction of a foot beside inches", `write whole feet before inches, such as 2' 10 1/2"`},
		{"2' 3", ErrNoUnit, "inches without a unit", `end with in or "`},
		{"2' 3 yd", ErrNoUnit, `"yd" where a unit should stand`, units},
		{"2' 3 mm", ErrSyntax, "feet with something other than inches", feetIn},
		{"2' 3'", ErrSyntax, "feet with something other than inches", feetIn},
		{"2' x", ErrSyntax, `"x" after the feet`, feetIn},
		{`2' --3"`, ErrSyntax, `"--3\"" after the feet`, feetIn},
		{`2'−3"`, ErrSyntax, `"−3\"" after the feet`, feetIn},
		{"10''", ErrSyntax, "a second unit without a number", `write one unit behind each number, and " for inches`},
		{"0.0000001 mm", ErrInexact, "finer than a nanometre", "write fewer decimals"},
		{"0.0000001 in", ErrInexact, "finer than a nanometre", "write fewer decimals"},
		{"0.0000000000000000000000000001 m", ErrInexact, "finer than a nanometre", "write fewer decimals"},
		{"9223372036854.775808 mm", ErrRange, "longer than any length", check},
		{"-9223372036854.775809 mm", ErrRange, "longer than any length", check},
		{"18446744073709551615 m", ErrRange, "longer than any length", check},
		{"18446744073710 mm", ErrRange, "longer than any length", check},                  // just past 2^64 nm
		{"3689348814741910323 3/5 in", ErrRange, "more digits than a length has", digits}, // 2^64 + 2 fifths
		{"18446744073709551615 1/2 in", ErrRange, "more digits than a length has", digits},
		{fmt.Sprintf(`%d' 11"`, uint64(math.MaxUint64)/uint64(Foot)), ErrRange, "longer than any length", check}, // the inches pass 2^64 nm
		{"18446744073709551616 mm", ErrRange, "more digits than a length has", digits},
		{"18446744073709551615.5 mm", ErrRange, "more digits than a length has", digits},
		{"1/18446744073709551616 in", ErrRange, "more digits than a length has", digits},
		{strings.Repeat("9", 1000) + " in", ErrSyntax, "longer than any length is written", example},
		{strings.Repeat("½", 1<<20), ErrSyntax, "longer than any length is written", example},
		{strings.Repeat(" ", 61) + "1 in", ErrSyntax, "longer than any length is written", example},
	} {
		_, err := Parse(tc.text)
		var pe *ParseError
		if !errors.As(err, &pe) || !errors.Is(err, tc.kind) {
			t.Errorf("Parse(%.40q): %v, want %v", tc.text, err, tc.kind)
			continue
		}
		if pe.Problem != tc.problem || pe.Mend != tc.mend {
			t.Errorf("Parse(%.40q):\n%s; %s\nwant\n%s; %s", tc.text, pe.Problem, pe.Mend, tc.problem, tc.mend)
		}
		if want := "length " + pe.Text + ": " + pe.Problem + "; " + pe.Mend; err.Error() != want {
			t.Errorf("Parse(%.40q): the message is %q, want %q", tc.text, err, want)
		}
		if len(err.Error()) > 300 || !utf8.ValidString(err.Error()) {
			t.Errorf("Parse(%.40q): a message of %d bytes: %q", tc.text, len(err.Error()), err)
		}
	}
}

// TestTextOfRefusal: a long text is cut between characters, a short one stands whole.
func TestTextOfRefusal(t *testing.T) {
	for _, tc := range []struct{ text, want string }{
		{"24", `"24"`},
		{"4" + strings.Repeat("½", 50), `"4` + strings.Repeat("½", 31) + `…"`},
		{strings.Repeat("\xff", 70), `"` + strings.Repeat(`\xff`, 32) + `…"`},
	} {
		_, err := Parse(tc.text)
		var pe *ParseError
		if !errors.As(err, &pe) || pe.Text != tc.want {
			t.Errorf("%q: %v, want the text %s", tc.text, err, tc.want)
		}
	}
}

// TestPublishedUnits compares with conversion factors as they are published.
func TestPublishedUnits(t *testing.T) {
	const (
		register = "Federal Register 24 FR 5348, 1 July 1959: 1 yard = 0.9144 m, 1 inch = 25.4 mm"
		sp811    = "NIST Special Publication 811 (2008), appendix B.8, exact factors"
		si       = "BIPM, The International System of Units, 9th edition, table 7, prefixes"
		trade    = "1/64 of 25.4 mm, as handbook tables print it, from memory"
	)
	for _, tc := range []struct{ name, text, want, source string }{
		{"inch", "1 in", "25.4 mm", register},
		{"yard", "36 in", "0.9144 m", register},
		{"inch in metres", "1 in", "0.0254 m", sp811},
		{"inch in centimetres", "1 in", "2.54 cm", sp811},
		{"foot", "1 ft", "0.3048 m", sp811},
		{"yard in feet", "3 ft", "0.9144 m", sp811},
		{"mil", "0.001 in", "0.0254 mm", sp811},
		{"mile", "5280 ft", "1609.344 m", sp811},
		{"centimetre", "1 cm", "10 mm", si},
		{"metre", "1 m", "1000 mm", si},
		{"sixty-fourth", "1/64 in", "0.396875 mm", trade},
	} {
		a, err1 := Parse(tc.text)
		b, err2 := Parse(tc.want)
		if err1 != nil || err2 != nil || a != b {
			t.Errorf("%s: %s = %d nm, want %s = %d nm (%s) %v %v", tc.name, tc.text, a, tc.want, b, tc.source, err1, err2)
		}
	}
}

// TestDecimalEquivalents compares every 64th of an inch with the table of
// decimal equivalents that handbooks print (from memory; each is n/64 exactly).
func TestDecimalEquivalents(t *testing.T) {
	for fraction, decimal := range map[string]string{
		"1/64": "0.015625", "1/32": "0.03125", "3/64": "0.046875", "1/16": "0.0625",
		"5/64": "0.078125", "3/32": "0.09375", "7/64": "0.109375", "1/8": "0.125",
		"9/64": "0.140625", "5/32": "0.15625", "11/64": "0.171875", "3/16": "0.1875",
		"13/64": "0.203125", "7/32": "0.21875", "15/64": "0.234375", "1/4": "0.25",
		"17/64": "0.265625", "9/32": "0.28125", "19/64": "0.296875", "5/16": "0.3125",
		"21/64": "0.328125", "11/32": "0.34375", "23/64": "0.359375", "3/8": "0.375",
		"25/64": "0.390625", "13/32": "0.40625", "27/64": "0.421875", "7/16": "0.4375",
		"29/64": "0.453125", "15/32": "0.46875", "31/64": "0.484375", "1/2": "0.5",
		"33/64": "0.515625", "17/32": "0.53125", "35/64": "0.546875", "9/16": "0.5625",
		"37/64": "0.578125", "19/32": "0.59375", "39/64": "0.609375", "5/8": "0.625",
		"41/64": "0.640625", "21/32": "0.65625", "43/64": "0.671875", "11/16": "0.6875",
		"45/64": "0.703125", "23/32": "0.71875", "47/64": "0.734375", "3/4": "0.75",
		"49/64": "0.765625", "25/32": "0.78125", "51/64": "0.796875", "13/16": "0.8125",
		"53/64": "0.828125", "27/32": "0.84375", "55/64": "0.859375", "7/8": "0.875",
		"57/64": "0.890625", "29/32": "0.90625", "59/64": "0.921875", "15/16": "0.9375",
		"61/64": "0.953125", "31/32": "0.96875", "63/64": "0.984375",
	} {
		a, err1 := Parse(fraction + " in")
		b, err2 := Parse(decimal + " in")
		if err1 != nil || err2 != nil || a != b || a.In(InchSystem) != fraction+" in" {
			t.Errorf("%s in = %d nm, %s in = %d nm, written %q", fraction, a, decimal, b, a.In(InchSystem))
		}
	}
}

func TestWrite(t *testing.T) {
	for _, tc := range []struct {
		l                  Length
		inch, metric, text string
	}{
		{0, "0 in", "0 mm", "0 in"},
		{876_300_000, "34 1/2 in", "876.3 mm", "34 1/2 in"},
		{-793_750, "-1/32 in", "≈ -0.79 mm", "-1/32 in"},
		{1, "≈ 0 in", "≈ 0 mm", "0.000001 mm"},
		{-1, "≈ -0 in", "≈ -0 mm", "-0.000001 mm"},
		{396_875 / 2, "≈ 0 in", "≈ 0.2 mm", "0.198437 mm"},
		{396_875/2 + 1, "≈ 1/64 in", "≈ 0.2 mm", "0.198438 mm"},
		{-396_875/2 - 1, "≈ -1/64 in", "≈ -0.2 mm", "-0.198438 mm"},
		{Inch - 1, "≈ 1 in", "≈ 25.4 mm", "25.399999 mm"},
		{5_000, "≈ 0 in", "≈ 0.01 mm", "0.005 mm"},
		{-4_999, "≈ -0 in", "≈ -0 mm", "-0.004999 mm"},
		{820_731_381, "≈ 32 5/16 in", "≈ 820.73 mm", "820.731381 mm"},
		{900 * Millimetre, "≈ 35 7/16 in", "900 mm", "900 mm"},
		{math.MinInt64, "≈ -363124883340 47/64 in", "≈ -9223372036854.78 mm", "-9223372036854.775808 mm"},
	} {
		if got := tc.l.In(InchSystem); got != tc.inch {
			t.Errorf("%d nm in inches: %q, want %q", tc.l, got, tc.inch)
		}
		if got := tc.l.In(Metric); got != tc.metric {
			t.Errorf("%d nm in millimetres: %q, want %q", tc.l, got, tc.metric)
		}
		if got := tc.l.String(); got != tc.text {
			t.Errorf("%d nm: %q, want %q", tc.l, got, tc.text)
		}
	}
}

func TestAbs(t *testing.T) {
	for l, want := range map[Length]Length{-5: 5, 5: 5, 0: 0, math.MinInt64: math.MaxInt64} {
		if got := l.Abs(); got != want {
			t.Errorf("|%d| = %d", l, got)
		}
	}
}

func TestFloats(t *testing.T) {
	for l, want := range map[Length][2]float64{0: {0, 0}, 34*Inch + Inch/2: {34.5, 876.3}, -Inch / 32: {-0.03125, -0.79375}, Foot: {12, 304.8}} {
		if l.Inches() != want[0] || l.Millimetres() != want[1] {
			t.Errorf("%s: %v in, %v mm, want %v", l, l.Inches(), l.Millimetres(), want)
		}
	}
}

// TestJSON: a length is a string in JSON, value or name, whichever library reads it.
func TestJSON(t *testing.T) {
	type record struct {
		Width Length            `json:"width"`
		Holes map[Length]string `json:"holes"`
	}
	const text = `{"width":"34 1/2 in","holes":{"-0.5 mm":"left"}}`
	for _, lib := range []struct {
		name string
		in   func([]byte, any) error
		out  func(any) ([]byte, error)
	}{
		{"encoding/json", json.Unmarshal, json.Marshal},
		{"go-json-experiment", func(b []byte, v any) error { return jsonv2.Unmarshal(b, v) }, func(v any) ([]byte, error) { return jsonv2.Marshal(v) }},
	} {
		t.Run(lib.name, func(t *testing.T) {
			var r record
			if err := lib.in([]byte(text), &r); err != nil || r.Width != 876_300_000 || r.Holes[-Millimetre/2] != "left" {
				t.Fatalf("%+v, %v", r, err)
			}
			if b, err := lib.out(r); err != nil || string(b) != text {
				t.Errorf("written %s, %v", b, err)
			}
			for _, bad := range []string{`{"width":34.5}`, `{"width":"34.5"}`, `{"width":{}}`} {
				if err := lib.in([]byte(bad), &r); err == nil {
					t.Errorf("%s is read as %s", bad, r.Width)
				}
			}
			if err := lib.in([]byte(`{"width":"34.5"}`), &r); !errors.Is(err, ErrNoUnit) {
				t.Errorf("a width without unit: %v", err)
			}
		})
	}
	l := Inch
	if err := l.UnmarshalText([]byte("2")); err == nil || l != Inch {
		t.Errorf("a refused text left %s, %v", l, err)
	}
}

// TestRoundTrip: what is written exactly is read back the same; what is
// written for people is read back to within half a 1/64 in.
func TestRoundTrip(t *testing.T) {
	rng := chance.Source(t)
	for range 20_000 {
		l := Length(rng.Uint64()) >> rng.IntN(64)
		if got, err := Parse(l.String()); err != nil || got != l {
			t.Fatalf("%d nm as %q: %d, %v", l, l.String(), got, err)
		}
		for sys, step := range map[System]Length{InchSystem: sixtyFourth, Metric: Millimetre / 100} {
			text := l.In(sys)
			plain, rounded := strings.CutPrefix(text, "≈ ")
			got, err := Parse(plain)
			if errors.Is(err, ErrRange) && l.Abs() > maxLength-step {
				continue // rounded up beyond the greatest length
			}
			if err != nil || (got-l).Abs() > step/2 || rounded == (got == l) && got != 0 {
				t.Fatalf("%d nm as %q: %d, %v", l, text, got, err)
			}
		}
	}
}

var pattern = regexp.MustCompile(Pattern)

func TestPattern(t *testing.T) {
	for _, text := range []string{"24", "24 1/2", "2' 3", "24 yd", "24 inches", "24 IN", "", "in", "-", "abc in", "24,5 in", "1e3 mm", "24 in.", "\v24 in", "24 in\x00"} {
		if pattern.MatchString(text) {
			t.Errorf("the pattern accepts %q", text)
		}
	}
}

// TestParseAllocates nothing for what is well written.
func TestParseAllocates(t *testing.T) {
	for _, text := range []string{"34 1/2 in", "876.3 mm", "2' 10 1/2\"", "−34½″"} {
		if n := testing.AllocsPerRun(100, func() { _, _ = Parse(text) }); n != 0 {
			t.Errorf("Parse(%q) allocates %v times", text, n)
		}
	}
}

func BenchmarkParse(b *testing.B) {
	for _, text := range []string{"34 1/2 in", "876.3 mm", `2' 10 1/2"`, "34½″"} {
		b.Run(text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Parse(text); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkIn(b *testing.B) {
	l := 34*Inch + Inch/2
	for _, sys := range []System{InchSystem, Metric} {
		b.Run(string(sys), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_ = l.In(sys)
			}
		})
	}
}
