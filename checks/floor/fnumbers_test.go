package floor

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// No worked example of ASTM E1155 with its readings was found published where
// it could be read: the standard's text and a laboratory's spreadsheet after
// E1155M are, but not their numbers. So FF and FL are held to profiles for which
// mean and deviation are known in closed form, to a second computation from the
// definitions, and their statistics to published reference data.

// profile makes a line of n readings 12 in apart from heights in nanometres.
func profile(n int, height func(i int) int64) Line {
	l := make(Line, n)
	for i := range l {
		l[i] = Reading{5*inch + length.Length(i)*foot, 36*inch - length.Length(height(i))}
	}
	return l
}

func alike(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-12*math.Max(math.Abs(a), math.Abs(b))
}

func TestFNumbersClosedForm(t *testing.T) {
	const d = int64(inch) / 16 // what a floor rises or falls by
	inf := math.Inf(1)
	for _, tc := range []struct {
		name   string
		line   Line
		ff, fl float64
	}{
		{"level", profile(12, func(int) int64 { return 0 }), inf, inf},
		// No curvature; z = 10/8 in throughout, so FL = 12.5 / 1.25.
		{"a slope of 1/8 in per ft", profile(20, func(i int) int64 { return int64(i) * 2 * d }), inf, 10},
		{"the same, rising", profile(20, func(i int) int64 { return -int64(i) * 2 * d }), inf, 10},
		// q = ±4d in turn, 18 of them: mean 0, s = 4d sqrt(18/17). z = 0.
		{"up and down in turn, even", profile(20, func(i int) int64 { return d * int64(i%2) * 2 }),
			4.57 / (12. / 16 * math.Sqrt(18./17)), inf},
		// 19 of them: mean 4d/19, s = 4d sqrt(20/19).
		{"up and down in turn, odd", profile(21, func(i int) int64 { return d * int64(i%2) * 2 }),
			4.57 / (12./16*math.Sqrt(20./19) + 4./16/19), inf},
		// h = d i²: q = 2d throughout. z_i = d (20 i - 100) for i = 10 to 19: ten
		// values d·20 apart with the mean 190 d, s = 20 d sqrt(10·11/12).
		{"a bowl", profile(20, func(i int) int64 { return d * int64(i) * int64(i) }),
			4.57 / (2. / 16), 12.5 / (3*20./16*math.Sqrt(110./12) + 190./16)},
		// One reading d high among 22: q = d, -2d, d and 17 zeros, mean 0,
		// Σq² = 6d². z over 12 values is once -d and once d by position 11:
		// only h_11 - h_1 = d and h_21 - h_11 = -d, mean 0, Σz² = 2d².
		{"one bump", profile(22, func(i int) int64 {
			if i == 11 {
				return d
			}
			return 0
		}), 4.57 / (3. / 16 * math.Sqrt(6./19)), 12.5 / (3. / 16 * math.Sqrt(2./11))},
	} {
		if f := tc.line.FNumbers(); !f.HasFF || !f.HasFL || !alike(f.FF, tc.ff) || !alike(f.FL, tc.fl) {
			t.Errorf("%s: %+v; want FF %v, FL %v", tc.name, f, tc.ff, tc.fl)
		}
	}
}

func TestFNumbersNeed(t *testing.T) {
	wavy := func(i int) int64 { return int64(i*i%7) * int64(inch) / 64 }
	moved := func(i int, by length.Length) Line {
		l := profile(20, wavy)
		l[i].At += by
		return l
	}
	apart := profile(20, wavy)
	for i := range apart {
		apart[i].At *= 2
	}
	backwards := mirrored(profile(20, wavy), 0)
	for i := range backwards {
		backwards[i].At = -backwards[i].At
	}
	for _, tc := range []struct {
		name   string
		line   Line
		ff, fl bool
	}{
		{"no readings", nil, false, false},
		{"one reading", profile(1, wavy), false, false},
		{"one curvature", profile(3, wavy), false, false},
		{"two curvatures", profile(4, wavy), true, false},
		{"one fall over 10 ft", profile(11, wavy), true, false},
		{"two falls over 10 ft", profile(12, wavy), true, true},
		{"the last reading a nanometre far", moved(19, 1), false, false},
		{"the first reading a nanometre near", moved(0, 1), false, false},
		{"readings 24 in apart", apart, false, false},
		{"readings in the wrong order", backwards, false, false},
	} {
		f := tc.line.FNumbers()
		if f.HasFF != tc.ff || f.HasFL != tc.fl || f.HasFF != (f.FF > 0) || f.HasFL != (f.FL > 0) {
			t.Errorf("%s: %+v; want FF %v, FL %v", tc.name, f, tc.ff, tc.fl)
		}
	}
}

// spread is three sample standard deviations and the size of the mean, from
// their definitions.
func spread(values []float64) float64 {
	mean := 0.
	for _, v := range values {
		mean += v / float64(len(values))
	}
	squares := 0.
	for _, v := range values {
		squares += (v - mean) * (v - mean)
	}
	return 3*math.Sqrt(squares/float64(len(values)-1)) + math.Abs(mean)
}

func TestFNumbersSecondWay(t *testing.T) {
	rng := chance.Source(t)
	for range 500 {
		l := profile(12+rng.IntN(60), func(int) int64 { return rng.Int64N(int64(inch)) - int64(inch)/2 })
		var h, q, z []float64 // inches
		for _, r := range l {
			h = append(h, -float64(r.Down)/25.4e6)
		}
		for i := range h {
			if i >= 2 {
				// The difference of successive differences, as E1155 words it.
				q = append(q, (h[i]-h[i-1])-(h[i-1]-h[i-2]))
			}
			if i >= 10 {
				z = append(z, h[i]-h[i-10])
			}
		}
		ff, fl := 4.57/spread(q), 12.5/spread(z)
		f := l.FNumbers()
		if math.Abs(f.FF/ff-1) > 1e-9 || math.Abs(f.FL/fl-1) > 1e-9 {
			t.Fatalf("%v: %+v; want FF %v, FL %v", l, f, ff, fl)
		}
		// Neither the reference line, nor where the tape begins, nor from which
		// end the floor is read makes it flatter.
		for _, same := range []Line{shifted(l, length.Length(rng.Int64N(int64(foot)))), mirrored(l, 7*foot)} {
			if same.FNumbers() != f {
				t.Fatalf("%v: %+v, the same floor again %+v", l, f, same.FNumbers())
			}
		}
	}
}

// TestPublishedStatistics compares mean and sample deviation with the Statistical
// Reference Datasets of NIST; see the file for each one.
func TestPublishedStatistics(t *testing.T) {
	data, err := os.ReadFile("testdata/nist-univariate.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Sets []struct {
			Name                    string
			First                   []int64
			Then                    []int64
			Times                   int
			Scale                   float64
			Mean                    float64
			SampleStandardDeviation float64
		}
	}
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Sets) == 0 {
		t.Fatal("no data sets")
	}
	for _, set := range file.Sets {
		values := set.First
		for range set.Times {
			values = append(values, set.Then...)
		}
		var s sample
		for _, v := range values {
			s.add(length.Length(v), 0, 0, 0)
		}
		want := (3*set.SampleStandardDeviation + math.Abs(set.Mean)) * set.Scale / 25.4e6
		if got := s.spread(); !alike(got, want) {
			t.Errorf("%s: %.17g in; want %.17g", set.Name, got, want)
		}
		// The mean outweighs the deviation in these; hold it alone as well.
		var centred sample
		for _, v := range values {
			centred.add(length.Length(v), length.Length(math.Round(set.Mean*set.Scale)), 0, 0)
		}
		want = 3 * set.SampleStandardDeviation * set.Scale / 25.4e6
		if got := centred.spread(); !alike(got, want) {
			t.Errorf("%s about its mean: %.17g in; want %.17g", set.Name, got, want)
		}
	}
}
