package forecast

import (
	"math"
	"testing"

	"setline.example/schema/chance"
)

// norris is the data set Norris of the NIST Statistical Reference Datasets,
// linear regression (itl.nist.gov/div898/strd), as y and x, and its certified
// intercept and slope. Copied from memory: the certified values come out to 13
// digits only if every pair is right.
var norris = [][2]float64{
	{0.1, 0.2}, {338.8, 337.4}, {118.1, 118.2}, {888.0, 884.6}, {9.2, 10.1}, {228.1, 226.5}, {668.5, 666.3}, {998.5, 996.3},
	{449.1, 448.6}, {778.9, 777.0}, {559.2, 558.2}, {0.3, 0.4}, {0.1, 0.6}, {778.1, 775.5}, {668.8, 666.9}, {339.3, 338.0},
	{448.9, 447.5}, {10.8, 11.6}, {557.7, 556.0}, {228.3, 228.1}, {998.0, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {0.3, 0.3},
	{0.6, 0.3}, {557.6, 556.8}, {339.3, 339.1}, {888.0, 887.2}, {998.5, 999.0}, {778.9, 779.0}, {10.2, 11.1}, {117.6, 118.3},
	{228.9, 229.2}, {668.4, 669.1}, {449.2, 448.9}, {0.2, 0.5},
}

const certifiedB0, certifiedB1 = -0.262323073774029, 1.00211681802045

func TestNorris(t *testing.T) {
	n := len(norris)
	x, y, u := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, p := range norris {
		y[i], x[i], u[i] = p[0], p[1], 1
	}
	f, ok := Line(x, y, u)
	if b0 := f.at(0); !ok || math.Abs(b0-certifiedB0) > 1e-11 || math.Abs(f.Slope-certifiedB1) > 1e-13 {
		t.Errorf("%v + %v x, certified %v + %v x", f.at(0), f.Slope, certifiedB0, certifiedB1)
	}
	// A value that counts four times, having half the uncertainty, is four values.
	for i := range u {
		if i%3 == 0 {
			u[i] = 0.5
			for range 3 {
				x, y = append(x, x[i]), append(y, y[i])
			}
		}
	}
	ones := make([]float64, len(x))
	for i := range ones {
		ones[i] = 1
	}
	weighted, _ := Line(x[:n], y[:n], u)
	repeated, _ := Line(x, y, ones)
	if math.Abs(weighted.Slope-repeated.Slope) > 1e-12 || math.Abs(weighted.at(0)-repeated.at(0)) > 1e-10 {
		t.Errorf("weighted %v, repeated %v", weighted.Slope, repeated.Slope)
	}
}

// tilting is a run of two cabinets 600 mm wide and 560 mm deep whose floor
// tilts by so much a day along it, in nanometres over a nanometre, read to a step.
func tilting(days []int, a float64, step float64, shape func(c, k int) float64) *History {
	h := &History{K: 3}
	for _, d := range days {
		h.Visits = append(h.Visits, Visit{Day: d, Read: step / (2 * math.Sqrt(3))})
	}
	for c := range 8 {
		p := Corner{X: float64(c/4)*600e6 + float64(c%2)*600e6, Y: float64(c/2%2) * 560e6}
		for k, d := range days {
			up := a*p.X*float64(d) + shape(c, k)
			if step > 1 {
				up = math.Round(up/step) * step
			}
			p.Up = append(p.Up, up)
		}
		h.Corners = append(h.Corners, p)
	}
	return h
}

func flat(int, int) float64 { return 0 }

// TestClosedForm: 1 mm over 600 mm in 100 days, level at first, leaves 0.5 mm on
// day 50; read exactly, not before that either, and half way to it from day 20
// is day 35.
func TestClosedForm(t *testing.T) {
	h := tilting([]int{0, 10, 20}, 1e6/600e6/100, 1, flat)
	if why := h.Plan(); why != Dated {
		t.Fatal(why)
	}
	d := h.At(0, 1, 0.5e6)
	if d.Why != Dated || d.About != 50 || d.NotBefore != 50 || d.Again != 35 || math.Abs(math.Abs(d.Rate)-1e4) > 1e-3 {
		t.Errorf("%+v", d)
	}
	if d := h.At(0, 2, 0.5e6); d.Why != Faint { // across the tilt
		t.Errorf("across: %+v", d)
	}
}

func TestRefused(t *testing.T) {
	const a = 1e6 / 600e6 / 100
	for _, tc := range []struct {
		name string
		h    *History
		want Why
	}{
		{"two days", tilting([]int{0, 10, 10}, a, 1e5, flat), FewDays},
		{"three corners", func() *History {
			h := tilting([]int{0, 10, 20}, a, 1e5, flat)
			h.Corners = h.Corners[:3]
			return h
		}(), FewCorners},
		{"on one line", func() *History {
			h := tilting([]int{0, 10, 20}, a, 1e5, flat)
			for i := range h.Corners {
				h.Corners[i].Y = 0
			}
			return h
		}(), FewCorners},
		{"one corner by itself", tilting([]int{0, 10, 20}, a, 1e5, func(c, k int) float64 {
			if c == 3 && k == 1 {
				return 1e6
			}
			return 0
		}), NotOnePlane},
		{"fine", tilting([]int{0, 10, 20}, a, 1e5, flat), Dated},
	} {
		if got := tc.h.Plan(); got != tc.want {
			t.Errorf("%s: %v, want %v", tc.name, got, tc.want)
		}
	}
	// It tilts for the first half and stands still for the other.
	bent := tilting([]int{0, 100, 200}, 0, 1e4, func(c, k int) float64 {
		if k == 0 {
			return 0
		}
		return float64(c/4+c%2) * 2e6
	})
	if why := bent.Plan(); why != NotStraight {
		t.Errorf("bent: %v", why)
	}
	if d := bent.At(0, 1, 5e6); d.Why != NotStraight {
		t.Errorf("bent: %+v", d)
	}
	still := tilting([]int{0, 10, 20}, 0, 1e5, flat)
	still.Plan()
	if d := still.At(0, 1, 0.8e6); d.Why != Faint || d.About != 0 || d.NotBefore <= 20 || d.Again != 20+(d.NotBefore-20)/2 {
		t.Errorf("still: %+v", d)
	}
}

// TestNotBefore: on runs that tilt at random rates, read to coarse steps, the
// day on which two corners truly leave level is seldom before the first one
// told, and where the readings are exact it is the day told.
func TestNotBefore(t *testing.T) {
	rng := chance.Source(t)
	told, early, dated := 0, 0, 0
	for range 3000 {
		days := []int{0}
		for range 2 + rng.IntN(5) {
			days = append(days, days[len(days)-1]+5+rng.IntN(40))
		}
		last := days[len(days)-1]
		rate := (rng.Float64() - 0.5) * 4e4 // nm a day between two corners of one cabinet
		offset := (rng.Float64() - 0.5) * 0.4e6
		h := tilting(days, rate/600e6, 1e6/32*25.4/2, func(c, _ int) float64 { return float64(c/4+c%2) * offset })
		if h.Plan() != Dated {
			continue
		}
		const limit = 0.8e6
		d := h.At(1, 0, limit)
		if d.Why == NotStraight {
			continue
		}
		truth := (math.Copysign(limit, rate) - offset) / rate
		if truth <= float64(last) {
			continue
		}
		told++
		if float64(d.NotBefore) > math.Ceil(truth) {
			early++
		}
		if d.Why == Dated {
			dated++
			if d.About < d.NotBefore-1 {
				t.Fatalf("about %d, not before %d", d.About, d.NotBefore)
			}
		}
		if d.Again < last || d.Again > d.NotBefore {
			t.Fatalf("again %d, not before %d", d.Again, d.NotBefore)
		}
	}
	t.Logf("%d told, %d of them with a date, %d left level before the first day told", told, dated, early)
	if told < 500 || dated < 100 || early*20 > told {
		t.Errorf("%d told, %d dated, %d too early", told, dated, early)
	}
}

// TestMirrored: the other way round, and with the reference line elsewhere, the
// same is told.
func TestMirrored(t *testing.T) {
	rng := chance.Source(t)
	for range 200 {
		h := tilting([]int{0, 20, 45, 60}, (rng.Float64()-0.5)*1e-4, 1e5, flat)
		g := &History{Visits: h.Visits, K: h.K}
		for _, c := range h.Corners {
			m := Corner{X: 5e9 - c.X, Y: c.Y}
			for _, up := range c.Up {
				m.Up = append(m.Up, up+1e9)
			}
			g.Corners = append(g.Corners, m)
		}
		if h.Plan() != g.Plan() {
			t.Fatal("planes")
		}
		if a, b := h.At(0, 1, 0.8e6), g.At(0, 1, 0.8e6); a.Why != b.Why || a.About != b.About || a.NotBefore != b.NotBefore || a.Again != b.Again {
			t.Fatalf("%+v, in a mirror %+v", a, b)
		}
	}
}

func FuzzAt(f *testing.F) {
	f.Add(0, 10, 20, 1.0, 2.0, 3.0, 0.1, 1e6)
	f.Fuzz(func(t *testing.T, d0, d1, d2 int, a, b, c, read, limit float64) {
		h := tilting([]int{d0 % 1e6, d1 % 1e6, d2 % 1e6}, a, 1, func(n, k int) float64 { return b*float64(n) + c*float64(k) })
		for i := range h.Visits {
			h.Visits[i].Read = math.Abs(read)
		}
		if h.Plan() == Dated {
			h.At(0, 1, limit)
		}
	})
}

func BenchmarkRun(b *testing.B) {
	h := tilting([]int{0, 20, 45, 60}, 1e-6, 1e5, flat)
	for i := range 80 {
		c := h.Corners[i%8]
		c.X += float64(i/8) * 1200e6
		h.Corners = append(h.Corners, c)
	}
	for b.Loop() {
		h.Plan()
		for p := range h.Corners {
			for q := range p {
				h.At(p, q, 1e6)
			}
		}
	}
}
