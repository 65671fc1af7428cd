package floor

import (
	"math"
	"testing"

	"setline.example/schema/chance"
	"setline.example/schema/length"
)

func TestHighAndLow(t *testing.T) {
	s := Survey{
		Front: Line{{0, 40}, {10, 20}, {20, 40}},
		Back:  Line{{0, 30}, {10, 30}, {20, 10}},
	}
	for _, tc := range []struct {
		name      string
		survey    Survey
		from, to  length.Length
		high, low Spot
		fall      length.Length
		ok        bool
	}{
		{"all of it", s, 0, 20, Spot{Back, Reading{20, 10}}, Spot{Front, Reading{0, 40}}, 30, true},
		{"given backwards", s, 20, 0, Spot{Back, Reading{20, 10}}, Spot{Front, Reading{0, 40}}, 30, true},
		{"between readings", s, 12, 14, Spot{Back, Reading{14, 22}}, Spot{Front, Reading{14, 28}}, 6, true},
		{"one point", s, 5, 5, Spot{Front, Reading{5, 30}}, Spot{Front, Reading{5, 30}}, 0, true},
		{"the part the lines reach", s, 15, 90, Spot{Back, Reading{20, 10}}, Spot{Front, Reading{20, 40}}, 30, true},
		{"outside", s, 21, 90, Spot{}, Spot{}, 0, false},
		{"nothing surveyed", Survey{}, 0, 20, Spot{}, Spot{}, 0, false},
		{"back only", Survey{Back: s.Back}, 0, 20, Spot{Back, Reading{20, 10}}, Spot{Back, Reading{0, 30}}, 20, true},
		{"level: leftmost, front first", Survey{Line{{0, 5}, {9, 5}}, Line{{0, 5}, {9, 5}}}, 0, 9,
			Spot{Front, Reading{0, 5}}, Spot{Front, Reading{0, 5}}, 0, true},
		{"level: the back line begins first", Survey{Line{{1, 5}, {9, 5}}, Line{{0, 5}, {9, 5}}}, 0, 9,
			Spot{Back, Reading{0, 5}}, Spot{Back, Reading{0, 5}}, 0, true},
		{"a fall beyond any length", Survey{Front: Line{{0, math.MinInt64}, {1, math.MaxInt64}}}, 0, 1,
			Spot{Front, Reading{0, math.MinInt64}}, Spot{Front, Reading{1, math.MaxInt64}}, math.MaxInt64, true},
	} {
		high, ok1 := tc.survey.High(tc.from, tc.to)
		low, ok2 := tc.survey.Low(tc.from, tc.to)
		fall, ok3 := tc.survey.Fall(tc.from, tc.to)
		if high != tc.high || low != tc.low || fall != tc.fall || ok1 != tc.ok || ok2 != tc.ok || ok3 != tc.ok {
			t.Errorf("%s: high %v, low %v, fall %d, %v; want %v, %v, %d, %v",
				tc.name, high, low, fall, ok1, tc.high, tc.low, tc.fall, tc.ok)
		}
	}
}

// TestNothingHigher walks the floor nanometre by nanometre: a piecewise linear
// floor has its high and low points where the survey says.
func TestNothingHigher(t *testing.T) {
	rng := chance.Source(t)
	for range 1000 {
		s := Survey{scales[0].line(rng, 1+rng.IntN(6)), scales[0].line(rng, 1+rng.IntN(6))}
		from, to := inOrder(within(rng, s.Front), within(rng, s.Back))
		var high, low length.Length
		known := false
		for x := from; x <= to; x++ {
			for _, l := range []Line{s.Front, s.Back} {
				if down, ok := l.DownAt(x); ok {
					if !known {
						high, low, known = down, down, true
					}
					high, low = min(high, down), max(low, down)
				}
			}
		}
		h, ok := s.High(from, to)
		l, _ := s.Low(from, to)
		fall, _ := s.Fall(from, to)
		if ok != known || h.Down != high || l.Down != low || fall != low-high {
			t.Fatalf("%v from %d to %d: high %v, low %v, fall %d; want %d, %d", s, from, to, h, l, fall, high, low)
		}
	}
}

// TestPublishedSlopes compares with the regression lines of Anscombe's data
// (The American Statistician 27, 1973, 17-21), which all have slope 0.5, to the
// digits that the documentation of R's data set "anscombe" gives (from memory).
func TestPublishedSlopes(t *testing.T) {
	for _, tc := range []struct {
		name string
		y    []float64 // at x = 4 to 14
		want float64
	}{
		{"first", []float64{4.26, 5.68, 7.24, 4.82, 6.95, 8.81, 8.04, 8.33, 10.84, 7.58, 9.96}, 0.5000909},
		{"second", []float64{3.10, 4.74, 6.13, 7.26, 8.14, 8.77, 9.14, 9.26, 9.13, 8.74, 8.10}, 0.5000000},
		{"third", []float64{5.39, 5.73, 6.08, 6.42, 6.77, 7.11, 7.46, 7.81, 8.15, 12.74, 8.84}, 0.4997273},
	} {
		var l Line
		for i, y := range tc.y {
			l = append(l, Reading{length.Length(i+4) * length.Metre, length.Length(math.Round(y*100)) * length.Centimetre})
		}
		if got, ok := l.Slope(); !ok || math.Abs(got-tc.want) > 5e-8 {
			t.Errorf("%s: slope %.9f, %v; published %.7f", tc.name, got, ok, tc.want)
		}
	}
}

func TestSlopeEdges(t *testing.T) {
	for _, tc := range []struct {
		name string
		line Line
		want float64
		ok   bool
	}{
		{"no readings", nil, 0, false},
		{"one reading", Line{{1, 2}}, 0, false},
		{"two at one place", Line{{1, 2}, {1, 3}}, 0, false},
		{"falls to the right", Line{{0, 0}, {96 * inch, inch / 8}}, 0.125 / 96, true},
		{"rises to the right", Line{{0, inch / 8}, {96 * inch, 0}}, -0.125 / 96, true},
		{"as steep as can be", Line{{0, math.MinInt64}, {1, math.MaxInt64}}, math.MaxUint64, true},
	} {
		if got, ok := tc.line.Slope(); got != tc.want || ok != tc.ok {
			t.Errorf("%s: %v, %v; want %v, %v", tc.name, got, ok, tc.want, tc.ok)
		}
	}
}
