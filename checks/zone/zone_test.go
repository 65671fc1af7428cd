package zone

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"

	"setline.example/schema/chance"
	"setline.example/schema/length"
)

const inch = length.Inch

func TestMinimum(t *testing.T) {
	at := func(x, y, z length.Length) Point { return Point{x * inch, y * inch, z * inch / 64} }
	for _, tc := range []struct {
		name   string
		points []Point
		want   float64 // 64ths of an inch
	}{
		{"nothing", nil, 0},
		{"one point", []Point{at(1, 2, 3)}, 0},
		{"one spot, two heights", []Point{at(1, 2, 3), at(1, 2, 7)}, 4},
		{"three points", []Point{at(0, 0, 0), at(24, 0, 5), at(0, 22, 9)}, 0},
		{"a line, straight and tilted", []Point{at(0, 0, 0), at(24, 0, 2), at(48, 0, 4)}, 0},
		{"a line, the middle up", []Point{at(0, 0, 0), at(24, 0, 4), at(48, 0, 0)}, 4},
		{"a line, the middle up, in V", []Point{at(0, 0, 0), at(12, 0, 3), at(48, 0, 0)}, 3},
		{"a level top", []Point{at(0, 0, 0), at(24, 0, 0), at(0, 22, 0), at(24, 22, 0)}, 0},
		{"a tilted top", []Point{at(0, 0, 0), at(24, 0, 6), at(0, 22, 11), at(24, 22, 17)}, 0},
		{"a twisted top: half the twist", []Point{at(0, 0, 0), at(24, 0, 4), at(0, 22, 4), at(24, 22, 0)}, 4},
		{"one corner of four up: half of it", []Point{at(0, 0, 0), at(24, 0, 0), at(0, 22, 0), at(24, 22, 4)}, 2},
		{"a middle point up over four", []Point{at(0, 0, 0), at(24, 0, 0), at(0, 22, 0), at(24, 22, 0), at(12, 11, 4)}, 4},
		{"points twice", []Point{at(0, 0, 0), at(0, 0, 0), at(24, 0, 0), at(0, 22, 0), at(24, 22, 4), at(24, 22, 4)}, 2},
		{"a diagonal line", []Point{at(0, 0, 0), at(10, 10, 4), at(20, 20, 0)}, 4},
	} {
		t.Run(tc.name, func(t *testing.T) {
			z, err := Minimum(tc.points)
			if want := tc.want * float64(inch) / 64; err != nil || math.Abs(z.Width-want) > 1 {
				t.Errorf("%v nm, %v; want %v", z.Width, err, want)
			}
		})
	}
}

// run makes points as on the tops of a run: two rows, heights in whole steps,
// so that many lie exactly on the planes.
func run(rng *rand.Rand, cabinets int, step length.Length) []Point {
	var points []Point
	x := length.Length(0)
	slope := length.Length(rng.IntN(3)-1) * step
	for i := range cabinets {
		width := []length.Length{18, 24, 30, 36}[rng.IntN(4)] * inch
		for _, px := range []length.Length{x, x + width} {
			for _, y := range []length.Length{0, 22 * inch} {
				points = append(points, Point{px, y, slope*length.Length(i) + step*length.Length(rng.IntN(5))})
			}
		}
		x += width
	}
	return points
}

// brute tries every pair of parallel planes that three points and a fourth, or
// two and two, can carry, and returns the least distance of one that holds all.
func brute(points []Point) float64 {
	best := math.Inf(1)
	try := func(a, b float64) {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, p := range points {
			d := float64(p.Z) - a*float64(p.X) - b*float64(p.Y)
			lo, hi = min(lo, d), max(hi, d)
		}
		best = min(best, hi-lo)
	}
	try(0, 0)
	n := len(points)
	for i := range n {
		for j := range i {
			u := sub(points[i], points[j])
			for k := range n {
				for l := range n {
					if k == l {
						continue
					}
					// A plane parallel to two edges: three points where they share one.
					v := sub(points[k], points[l])
					det := u[0]*v[1] - u[1]*v[0]
					if math.Abs(det) < 1e6 {
						continue
					}
					try((u[2]*v[1]-u[1]*v[2])/det, (u[0]*v[2]-u[2]*v[0])/det)
				}
			}
		}
	}
	return best
}

func sub(a, b Point) [3]float64 {
	return [3]float64{float64(a.X - b.X), float64(a.Y - b.Y), float64(a.Z - b.Z)}
}

func width(t *testing.T, points []Point) float64 {
	t.Helper()
	z, err := Minimum(points)
	if err != nil {
		t.Fatalf("%v: %v", err, points)
	}
	return z.Width
}

// TestAgainstBruteForce: equal to the nanometre, for heights in 64ths, in half
// millimetres and with no step at all, also where every point is a corner of a grid.
func TestAgainstBruteForce(t *testing.T) {
	rng := chance.Source(t)
	for range 300 {
		for _, step := range []length.Length{inch / 64, length.Millimetre / 2, 1 + length.Length(rng.IntN(1_000_000))} {
			points := run(rng, 1+rng.IntN(2), step)
			if got, want := width(t, points), brute(points); math.Abs(got-want) > 1 {
				t.Fatalf("%v nm, want %v: %v", got, want, points)
			}
		}
		var grid []Point
		for range 3 + rng.IntN(6) {
			grid = append(grid, Point{length.Length(rng.IntN(3)) * 500 * length.Millimetre, length.Length(rng.IntN(3)) * 250 * length.Millimetre, length.Length(rng.IntN(3)) * inch / 16})
		}
		got, want := width(t, grid), brute(grid)
		// On a line in plan brute force has no planes to try but level ones.
		if got > want+1 || got < want-1 && newFrame(grid).dims == 2 {
			t.Fatalf("grid: %v nm, want %v: %v", got, want, grid)
		}
	}
}

// TestAgainstGonum: a general minimiser of another kind (Nelder-Mead, from
// gonum), started from the plane of least squares, finds no narrower zone.
func TestAgainstGonum(t *testing.T) {
	rng := chance.Source(t)
	for range 40 {
		points := run(rng, 4+rng.IntN(5), inch/64)
		got := width(t, points)
		p, _ := Fit(points)
		const metre = float64(length.Metre)
		zone := func(x []float64) float64 {
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, q := range points {
				d := float64(q.Z) - (p.A+x[0]*1e-3)*float64(q.X) - (p.B+x[1]*1e-3)*float64(q.Y)
				lo, hi = min(lo, d), max(hi, d)
			}
			return (hi - lo) / metre
		}
		r, err := optimize.Minimize(optimize.Problem{Func: zone}, []float64{0, 0}, &optimize.Settings{MajorIterations: 500}, &optimize.NelderMead{})
		if err != nil {
			t.Fatal(err)
		}
		other := r.F * metre
		if other < got-1 {
			t.Errorf("%v nm, another method finds %v: %v", got, other, points)
		}
		if other > 1.5*got+1000 {
			t.Errorf("%v nm, another method comes no nearer than %v; the comparison says little", got, other)
		}
	}
}

// TestProperties: what must be so whatever the points are.
func TestProperties(t *testing.T) {
	rng := chance.Source(t)
	for range 200 {
		points := run(rng, 2+rng.IntN(8), inch/64)
		w := width(t, points)
		if more := width(t, append(slices.Clone(points), Point{3 * inch, 5 * inch, length.Length(rng.IntN(1e7))})); more < w-1 {
			t.Errorf("one point more makes the zone narrower: %v, %v", w, more)
		}
		moved, tilted, mirrored := slices.Clone(points), slices.Clone(points), slices.Clone(points)
		for i := range points {
			moved[i].X, moved[i].Y, moved[i].Z = points[i].X+7*length.Metre, points[i].Y-3, points[i].Z+length.Metre
			tilted[i].Z += points[i].X/256 - points[i].Y/128
			mirrored[i].X = -points[i].X
		}
		for name, other := range map[string][]Point{"moved": moved, "tilted": tilted, "mirrored": mirrored} {
			// Tilting rounds each height to the nanometre.
			if v := width(t, other); math.Abs(v-w) > 3 {
				t.Errorf("%s: %v, was %v", name, v, w)
			}
		}
	}
}

// TestRests: the width is the sum of the weighted heights of no more than four
// points, which touch the planes; weights on either plane add up to one, and both
// have the same middle in plan, so that tilting all points changes nothing.
func TestRests(t *testing.T) {
	rng := chance.Source(t)
	for range 200 {
		points := run(rng, 1+rng.IntN(8), inch/64)
		z, err := Minimum(points)
		if err != nil {
			t.Fatal(err)
		}
		var up, down, x, y, width float64
		for _, r := range z.Rests {
			p := points[r.Point]
			switch {
			case r.Weight > 0 && slices.Contains(z.Upper, r.Point):
				up += r.Weight
			case r.Weight < 0 && slices.Contains(z.Lower, r.Point):
				down += r.Weight
			default:
				t.Errorf("point %d counts %v and touches neither plane", r.Point, r.Weight)
			}
			x, y, width = x+r.Weight*float64(p.X), y+r.Weight*float64(p.Y), width+r.Weight*float64(p.Z)
		}
		const metre = 1e9
		if len(z.Rests) > 4 || math.Abs(up-1) > 1e-9 || math.Abs(down+1) > 1e-9 || math.Abs(x) > 1e-9*metre || math.Abs(y) > 1e-9*metre || math.Abs(width-z.Width) > 1 {
			t.Errorf("%d points, %v up, %v down, middles %v and %v nm apart, %v nm of %v", len(z.Rests), up, down, x, y, width, z.Width)
		}
	}
}

// TestLongRun: 20,000 points in whole steps, which tie at every turn.
func TestLongRun(t *testing.T) {
	rng := chance.Source(t)
	points := run(rng, 5000, inch/64)
	z, err := Minimum(points)
	if err != nil || z.Width <= 0 || len(z.Upper) == 0 || len(z.Lower) == 0 {
		t.Errorf("%v, %v", z.Width, err)
	}
}

// TestFit compares with the QR decomposition of gonum.
func TestFit(t *testing.T) {
	rng := chance.Source(t)
	for range 100 {
		points := run(rng, 1+rng.IntN(6), inch/64)
		n := len(points)
		a, z := mat.NewDense(n, 3, nil), mat.NewVecDense(n, nil)
		for i, p := range points {
			a.SetRow(i, []float64{float64(p.X) / 1e9, float64(p.Y) / 1e9, 1})
			z.SetVec(i, float64(p.Z))
		}
		var want mat.VecDense
		if err := want.SolveVec(a, z); err != nil {
			t.Fatal(err)
		}
		p, ok := Fit(points)
		if !ok || math.Abs(p.A*1e9-want.AtVec(0)) > 1 || math.Abs(p.B*1e9-want.AtVec(1)) > 1 || math.Abs(p.C-want.AtVec(2)) > 1 {
			t.Errorf("%v, want %v", p, want)
		}
	}
	line := []Point{{0, 0, 0}, {inch, inch, 2 * inch}, {2 * inch, 2 * inch, 4 * inch}}
	if p, ok := Fit(line); !ok || math.Abs(p.At(float64(inch), float64(inch))-2*float64(inch)) > 1 {
		t.Errorf("a line in plan: %v", p)
	}
	if _, ok := Fit(nil); ok {
		t.Error("a plane through no points")
	}
}

func BenchmarkMinimum(b *testing.B) {
	for _, cabinets := range []int{10, 100, 1000, 5000} {
		points := run(rand.New(rand.NewPCG(1, 2)), cabinets, inch/64)
		b.Run(strconv.Itoa(len(points)), func(b *testing.B) {
			for b.Loop() {
				if _, err := Minimum(points); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
