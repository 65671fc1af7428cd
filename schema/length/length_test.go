package length

import (
	"errors"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
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
		{"0.3333 in", 8_465_820},
		{"0.000001 mm", 1},
		{"9223372036854.775807 mm", math.MaxInt64},
		{"-9223372036854.775808 mm", math.MinInt64},
	} {
		if got, err := Parse(tc.text); err != nil || got != tc.want {
			t.Errorf("Parse(%q) = %d, %v; want %d nm", tc.text, got, err, tc.want)
		}
	}
}

func TestRefused(t *testing.T) {
	for _, tc := range []struct {
		text          string
		kind          error
		problem, mend string // parts of the message
	}{
		{"", ErrSyntax, "nothing there", "34 1/2 in"},
		{" ", ErrSyntax, "nothing there", "34 1/2 in"},
		{"in", ErrSyntax, "no number", "34 1/2 in"},
		{"24", ErrNoUnit, "no unit", "24 in or 24 mm"},
		{"34 1/2", ErrNoUnit, "no unit", "34 1/2 in or"},
		{"24 inch", ErrSyntax, `"ch" after the unit`, ""},
		{"24 yd", ErrNoUnit, `"yd" where a unit should stand`, ""},
		{"24 IN", ErrNoUnit, `"IN" where a unit should stand`, ""},
		{"24,5 in", ErrSyntax, "a comma", "24.5 in"},
		{"1,200 mm", ErrSyntax, "a comma", "no commas between thousands"},
		{"1/0 in", ErrDenominator, "over zero", ""},
		{"1/3 in", ErrDenominator, "a fraction over 3", "sixty-fourths"},
		{"2/3 in", ErrDenominator, "a fraction over 3", ""},
		{"1 5/4 in", ErrSyntax, "a fraction of one or more", ""},
		{"1 2 in", ErrSyntax, "two numbers", ""},
		{"1.5/2 in", ErrNoUnit, `"/2 in" where a unit should stand`, ""},
		{"1/2.5 in", ErrSyntax, "a decimal in a fraction", ""},
		{"1 1/2.0 in", ErrSyntax, "a decimal in a fraction", ""},
		{"1.5 1/2 in", ErrNoUnit, "", ""},
		{"1..5 in", ErrNoUnit, "", ""},
		{"2' 14\"", ErrRange, "12 or more inches", ""},
		{"2.5' 3\"", ErrSyntax, "a fraction of a foot", ""},
		{"2' 3", ErrNoUnit, "inches without a unit", ""},
		{"2' 3 mm", ErrSyntax, "something other than inches", ""},
		{"2' -3\" x", ErrSyntax, "", ""},
		{"--3 in", ErrSyntax, "", ""},
		{"1e3 mm", ErrNoUnit, "", ""},
		{"0x10 mm", ErrNoUnit, "", ""},
		{"NaN in", ErrSyntax, "", ""},
		{"inf in", ErrSyntax, "", ""},
		{"0.0000001 mm", ErrInexact, "finer than a nanometre", ""},
		{"9223372036854.775808 mm", ErrRange, "longer than any length", ""},
		{"99999999999999999999 mm", ErrRange, "", ""},
		{"1 in\x00", ErrSyntax, "", ""},
		{"\xff\xfe", ErrSyntax, "", ""},
		{strings.Repeat("9", 1000) + " in", ErrSyntax, "longer than any length", ""},
	} {
		_, err := Parse(tc.text)
		var pe *ParseError
		if !errors.As(err, &pe) || !errors.Is(err, tc.kind) {
			t.Errorf("Parse(%.40q): %v, want %v", tc.text, err, tc.kind)
			continue
		}
		if !strings.Contains(pe.Problem, tc.problem) || !strings.Contains(pe.Mend, tc.mend) || pe.Mend == "" {
			t.Errorf("Parse(%.40q): %q, mend %q", tc.text, pe.Problem, pe.Mend)
		}
		if len(err.Error()) > 300 {
			t.Errorf("Parse(%.40q): a message of %d bytes", tc.text, len(err.Error()))
		}
	}
}

// TestPublishedUnits compares with NIST Special Publication 811 (2008),
// appendix B.8: inch 2.54 E-02 m, foot 3.048 E-01 m, both exact.
func TestPublishedUnits(t *testing.T) {
	for text, metres := range map[string]string{
		"1 in":     "0.0254 m",
		"1 ft":     "0.3048 m",
		"12 in":    "0.3048 m",
		"1/64 in":  "0.396875 mm",
		"96 in":    "2438.4 mm",
		"0.001 in": "0.0254 mm", // one mil
		"1000 in":  "25.4 m",
		"5280 ft":  "1609.344 m", // one mile
		"63360 in": "1609.344 m",
		"36 in":    "0.9144 m", // one yard: Federal Register 24 FR 5348
	} {
		a, err1 := Parse(text)
		b, err2 := Parse(metres)
		if err1 != nil || err2 != nil || a != b {
			t.Errorf("%s = %d nm, want %s = %d nm (%v, %v)", text, a, metres, b, err1, err2)
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
		{-793_750, "-1/32 in", "-0.79375 mm", "-1/32 in"},
		{1, "≈ 0 in", "0.000001 mm", "0.000001 mm"},
		{-1, "≈ -0 in", "-0.000001 mm", "-0.000001 mm"},
		{396_875/2 + 1, "≈ 1/64 in", "0.198438 mm", "0.198438 mm"},
		{-396_875/2 - 1, "≈ -1/64 in", "-0.198438 mm", "-0.198438 mm"},
		{Inch - 1, "≈ 1 in", "25.399999 mm", "25.399999 mm"},
		{900 * Millimetre, "≈ 35 7/16 in", "900 mm", "900 mm"},
		{math.MinInt64, "≈ -363124883340 47/64 in", "-9223372036854.775808 mm", "-9223372036854.775808 mm"},
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

// TestRoundTrip: what is written exactly is read back the same; what is
// written for people is read back to within half a 1/64 in.
func TestRoundTrip(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))
	for range 20_000 {
		l := Length(rng.Uint64()) >> rng.IntN(64)
		if got, err := Parse(l.String()); err != nil || got != l {
			t.Fatalf("%d nm as %q: %d, %v", l, l.String(), got, err)
		}
		if got, err := Parse(l.In(Metric)); err != nil || got != l {
			t.Fatalf("%d nm as %q: %d, %v", l, l.In(Metric), got, err)
		}
		text := l.In(InchSystem)
		plain, rounded := strings.CutPrefix(text, "≈ ")
		got, err := Parse(plain)
		if errors.Is(err, ErrRange) {
			continue // rounded up beyond the greatest length
		}
		if err != nil || (got-l).Abs() > Inch/128 || rounded == (got == l) && got != 0 {
			t.Fatalf("%d nm as %q: %d, %v", l, text, got, err)
		}
	}
}

var pattern = regexp.MustCompile(Pattern)

func TestPattern(t *testing.T) {
	for _, text := range []string{"24", "24 yd", "", "in", "abc in", "24,5 in", "1e3 mm"} {
		if pattern.MatchString(text) {
			t.Errorf("the pattern accepts %q", text)
		}
	}
}

func BenchmarkParse(b *testing.B) {
	for _, text := range []string{"34 1/2 in", "876.3 mm", `2' 10 1/2"`} {
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
	b.ReportAllocs()
	for b.Loop() {
		_ = l.In(InchSystem)
	}
}
