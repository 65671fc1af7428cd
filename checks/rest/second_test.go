package rest

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// run is a run of cabinets and a top on it that stands out in front, now and then
// ending within a cabinet. Heights are whole steps, so that ties are many.
func run(rng *rand.Rand, cabinets int, step length.Length, spread int) (Centre, []Support) {
	var supports []Support
	x := length.Length(0)
	for range cabinets {
		w := []length.Length{18, 24, 30, 36}[rng.IntN(4)] * inch
		for _, px := range []length.Length{x, x + w} {
			for _, py := range []length.Length{0, 22 * inch} {
				supports = append(supports, Support{px, py, big.NewRat(int64(step)*int64(rng.IntN(spread+1)), int64(1+rng.IntN(2)*6))})
			}
		}
		x += w
	}
	out := length.Length(rng.IntN(4)) * inch / 2
	end := x - length.Length(rng.IntN(2))*inch*7
	return Centre{big.NewRat(int64(end), 2), big.NewRat(int64(22*inch+out), 2)}, supports
}

// lowest is how high the lowest of all planes lies at the centre that passes
// below no support, found by trying every triangle, line and point of supports
// that holds the centre: it is the highest of them there (linear programming
// duality). ok is false where none does, so that the top tips.
func lowest(c Centre, s []Support) (best *big.Rat, ok bool) {
	try := func(h *big.Rat) {
		if !ok || h.Cmp(best) > 0 {
			best, ok = h, true
		}
	}
	for i := range s {
		for j := i; j < len(s); j++ {
			for k := j; k < len(s); k++ {
				if h, holds := heightIn(c, s[i], s[j], s[k]); holds {
					try(h)
				}
			}
		}
	}
	return best, ok
}

// heightIn is the height at the centre of a triangle in fractions, by its areas.
// A triangle without area holds nothing but what its sides do.
func heightIn(c Centre, p, q, r Support) (*big.Rat, bool) {
	cross := func(ax, ay, bx, by *big.Rat) *big.Rat {
		n := new(big.Rat).Mul(ax, by)
		return n.Sub(n, new(big.Rat).Mul(ay, bx))
	}
	rat := func(l length.Length) *big.Rat { return new(big.Rat).SetInt64(int64(l)) }
	sub := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
	px, py, qx, qy, rx, ry := sub(rat(p.X), c.X), sub(rat(p.Y), c.Y), sub(rat(q.X), c.X), sub(rat(q.Y), c.Y), sub(rat(r.X), c.X), sub(rat(r.Y), c.Y)
	a, b, d := cross(qx, qy, rx, ry), cross(rx, ry, px, py), cross(px, py, qx, qy)
	area := new(big.Rat).Add(a, b)
	area.Add(area, d)
	if area.Sign() == 0 {
		return onLine(px, py, qx, qy, p.Z, q.Z)
	}
	h := new(big.Rat)
	for _, x := range []struct{ part, z *big.Rat }{{a, p.Z}, {b, q.Z}, {d, r.Z}} {
		share := new(big.Rat).Quo(x.part, area)
		if share.Sign() < 0 {
			return nil, false
		}
		h.Add(h, share.Mul(share, x.z))
	}
	return h, true
}

// onLine is the height at nothing of the line from p to q, where it is between.
func onLine(px, py, qx, qy, pz, qz *big.Rat) (*big.Rat, bool) {
	mul := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
	if new(big.Rat).Sub(mul(px, qy), mul(py, qx)).Sign() != 0 {
		return nil, false
	}
	dx, dy := new(big.Rat).Sub(qx, px), new(big.Rat).Sub(qy, py)
	length := new(big.Rat).Add(mul(dx, dx), mul(dy, dy))
	if length.Sign() == 0 {
		return pz, px.Sign() == 0 && py.Sign() == 0
	}
	share := new(big.Rat).Add(mul(px, dx), mul(py, dy))
	share.Neg(share.Quo(share, length))
	if share.Sign() < 0 || share.Cmp(big.NewRat(1, 1)) > 0 {
		return nil, false
	}
	return new(big.Rat).Add(pz, mul(share, new(big.Rat).Sub(qz, pz))), true
}

// bearingPlanes are all planes through three supports that pass below none and
// lie at the centre as low as any, by trying every triple: each as its gaps.
func bearingPlanes(c Centre, s []Support, low *big.Rat) map[string]bool {
	rat := func(l length.Length) *big.Rat { return new(big.Rat).SetInt64(int64(l)) }
	mul := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
	sub := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
	planes := map[string]bool{}
	for i := range s {
		for j := range i {
			for k := range j {
				// By Cramer's rule, from i.
				ux, uy, uz := sub(rat(s[j].X), rat(s[i].X)), sub(rat(s[j].Y), rat(s[i].Y)), sub(s[j].Z, s[i].Z)
				vx, vy, vz := sub(rat(s[k].X), rat(s[i].X)), sub(rat(s[k].Y), rat(s[i].Y)), sub(s[k].Z, s[i].Z)
				det := sub(mul(ux, vy), mul(uy, vx))
				if det.Sign() == 0 {
					continue
				}
				a, b := sub(mul(uz, vy), mul(uy, vz)), sub(mul(ux, vz), mul(uz, vx))
				a.Quo(a, det)
				b.Quo(b, det)
				at := func(x, y *big.Rat) *big.Rat {
					h := new(big.Rat).Add(s[i].Z, mul(a, sub(x, rat(s[i].X))))
					return h.Add(h, mul(b, sub(y, rat(s[i].Y))))
				}
				if at(c.X, c.Y).Cmp(low) != 0 {
					continue
				}
				text, bears := "", true
				for _, t := range s {
					gap := sub(at(rat(t.X), rat(t.Y)), t.Z)
					text, bears = text+gap.RatString()+" ", bears && gap.Sign() >= 0
				}
				if bears {
					planes[text] = true
				}
			}
		}
	}
	return planes
}

// check holds an answer against the second opinion.
func check(t *testing.T, c Centre, s []Support) State {
	t.Helper()
	r := Of(c, s)
	low, held := lowest(c, s)
	if held == (r.State == Tipping) {
		t.Fatalf("%s, and supports hold the centre: %v\n%v %v", r.State, held, c, s)
	}
	if !held {
		return r.State
	}
	want := bearingPlanes(c, s, low)
	for _, w := range r.Ways {
		text := ""
		for _, g := range w.Gaps {
			text += g.RatString() + " "
		}
		if !want[text] {
			t.Fatalf("%s with gaps %s, which no three supports give\n%v %v", r.State, text, c, s)
		}
		delete(want, text)
	}
	if r.State != OnEdge && len(want) > 0 {
		t.Fatalf("%s, and these ways are left out: %v\n%v %v", r.State, want, c, s)
	}
	switch n := len(r.Ways); {
	case r.State == Steady && n != 1, r.State == Rocking && n < 2, r.State == OnEdge && n > 1:
		t.Fatalf("%s in %d ways", r.State, n)
	}
	return r.State
}

// TestAgainstBruteForce: for runs in steps of 64ths and half millimetres, and for
// supports on a coarse grid, where ties are everywhere, the answer is that of all
// triples of supports in fractions.
func TestAgainstBruteForce(t *testing.T) {
	rng := chance.Source(t)
	seen := map[State]int{}
	n := 400
	if testing.Short() {
		n = 60
	}
	for range n {
		for _, step := range []length.Length{inch / 64, length.Millimetre / 2} {
			c, s := run(rng, 1+rng.IntN(3), step, 1+rng.IntN(4))
			seen[check(t, c, s)]++
		}
		var grid []Support
		for range 1 + rng.IntN(8) {
			grid = append(grid, at(int64(rng.IntN(4)), int64(rng.IntN(3)), int64(rng.IntN(3))))
		}
		seen[check(t, centre(float64(rng.IntN(7))/2, float64(rng.IntN(5))/2), grid)]++
	}
	for _, state := range []State{Steady, Rocking, OnEdge, Tipping} {
		if seen[state] < n/20 {
			t.Errorf("only %d are %s: %v", seen[state], state, seen)
		}
	}
	t.Log(seen)
}

// TestAgainstLinearProgramme: gonum's simplex method finds no lower plane. It
// gives up on some runs, in which many supports lie on one plane; those are
// counted, and are few enough to let the comparison say something.
func TestAgainstLinearProgramme(t *testing.T) {
	rng := chance.Source(t)
	compared := 0
	for range 100 {
		c, s := run(rng, 2+rng.IntN(4), inch/64, 1000)
		r := Of(c, s)
		if len(r.Ways) == 0 {
			continue
		}
		// The dual: weights of the supports whose middle is the centre, so that
		// what they carry is as high as can be.
		a := mat.NewDense(3, len(s), nil)
		cost := make([]float64, len(s))
		cx, _ := c.X.Float64()
		cy, _ := c.Y.Float64()
		for i, p := range s {
			a.Set(0, i, (float64(p.X)-cx)/1e9)
			a.Set(1, i, (float64(p.Y)-cy)/1e9)
			a.Set(2, i, 1)
			z, _ := p.Z.Float64()
			cost[i] = -z / 1e6
		}
		low, _, err := lp.Simplex(cost, a, []float64{0, 0, 1}, 1e-10, nil)
		if err != nil {
			continue
		}
		compared++
		exact, _ := lowestOf(c, r.Ways[0]).Float64()
		if math.Abs(-low*1e6-exact) > 1 {
			t.Errorf("%v nm, a linear programme says %v", exact, -low*1e6)
		}
	}
	if compared < 50 {
		t.Errorf("only %d compared", compared)
	}
}

// lowestOf is how high a way lies at the centre, from its first three supports
// that are not on a line.
func lowestOf(c Centre, w Way) *big.Rat {
	for _, i := range w.On {
		for _, j := range w.On {
			for _, k := range w.On {
				s := w.supports
				if turnOf(s[i], s[j], s[k]) == 0 {
					continue
				}
				// Of the triples on one plane one holds the centre.
				if h, ok := heightIn(c, s[i], s[j], s[k]); ok {
					return h
				}
			}
		}
	}
	return nil
}

func turnOf(a, b, c Support) int64 {
	return int64((b.X-a.X)/inch*((c.Y-a.Y)/inch) - (b.Y-a.Y)/inch*((c.X-a.X)/inch))
}

// TestProperties: moved, raised, tilted, in another unit, turned left for right,
// and in another order, a run answers as it did.
func TestProperties(t *testing.T) {
	rng := chance.Source(t)
	for range 300 {
		c, s := run(rng, 1+rng.IntN(5), inch/64, 3)
		before := Of(c, s)
		change := func(name string, centre func(*big.Rat) *big.Rat, support func(Support) Support, gap *big.Rat) {
			other := slices.Clone(s)
			for i := range other {
				other[i] = support(other[i])
			}
			after := Of(Centre{centre(c.X), c.Y}, other)
			if after.State != before.State {
				t.Fatalf("%s: %s became %s", name, before.State, after.State)
			}
			if got, want := gapsOf(after, big.NewRat(1, 1)), gapsOf(before, gap); !slices.Equal(got, want) {
				t.Fatalf("%s: gaps %v, want %v", name, got, want)
			}
		}
		same := func(x *big.Rat) *big.Rat { return x }
		one := big.NewRat(1, 1)
		change("moved", func(x *big.Rat) *big.Rat { return new(big.Rat).Add(x, big.NewRat(7e9, 1)) },
			func(p Support) Support { p.X += 7 * length.Metre; return p }, one)
		change("raised", same, func(p Support) Support { p.Z = new(big.Rat).Add(p.Z, big.NewRat(1e9, 3)); return p }, one)
		change("mirrored", func(x *big.Rat) *big.Rat { return new(big.Rat).Neg(x) }, func(p Support) Support { p.X = -p.X; return p }, one)
		change("in units of three quarters", same, func(p Support) Support { p.Z = new(big.Rat).Mul(p.Z, big.NewRat(3, 4)); return p }, big.NewRat(3, 4))
		tilt := func(p Support) Support {
			p.Z = new(big.Rat).Add(p.Z, big.NewRat(int64(p.X)*3-int64(p.Y), 700))
			return p
		}
		change("tilted", same, tilt, one)
		slices.Reverse(s)
		again := Of(c, s)
		slices.Reverse(s)
		for _, w := range again.Ways {
			slices.Reverse(w.Gaps)
		}
		if got, want := gapsOf(again, one), gapsOf(before, one); !slices.Equal(got, want) {
			t.Fatalf("in another order: %v, want %v", got, want)
		}
	}
}

// gapsOf are the gaps of all ways times a factor, sorted way by way.
func gapsOf(r Rest, times *big.Rat) []string {
	var all []string
	for _, w := range r.Ways {
		text := ""
		for _, g := range w.Gaps {
			text += new(big.Rat).Mul(g, times).RatString() + " "
		}
		all = append(all, text)
	}
	slices.Sort(all)
	return all
}

// FuzzOf: whatever the supports are, it ends, no gap is below nothing, and every
// way is carried by three supports at least.
func FuzzOf(f *testing.F) {
	f.Add([]byte{0, 0, 0, 24, 0, 0, 0, 22, 0, 24, 22, 1}, int64(12), int64(11))
	f.Add([]byte{0, 0, 0, 0, 0, 0, 1, 1, 1}, int64(0), int64(0))
	f.Fuzz(func(t *testing.T, data []byte, x, y int64) {
		var s []Support
		for len(data) >= 3 && len(s) < 40 {
			s = append(s, at(int64(data[0]), int64(data[1]), int64(int8(data[2]))))
			data = data[3:]
		}
		c := Centre{big.NewRat(x%600*int64(inch), 2), big.NewRat(y%600*int64(inch), 2)}
		r := Of(c, s)
		if len(s) <= 9 {
			check(t, c, s)
		}
		for _, w := range r.Ways {
			if len(w.On) < 3 {
				t.Errorf("carried by %d", len(w.On))
			}
			for _, g := range w.Gaps {
				if g.Sign() < 0 {
					t.Errorf("a gap of %v", g)
				}
			}
		}
	})
}

func BenchmarkOf(b *testing.B) {
	for _, cabinets := range []int{1, 5, 20, 100, 1000} {
		c, s := run(rand.New(rand.NewPCG(1, 2)), cabinets, inch/64, 4)
		b.Run(big.NewInt(int64(cabinets)).String(), func(b *testing.B) {
			for b.Loop() {
				Of(c, s)
			}
		})
	}
}
