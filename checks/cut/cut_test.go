package cut_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"setline.example/checks/cut"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// room is an opening whose walls are known: how far each lies farther out than
// at the floor, at the three heights.
type room struct {
	cut.Opening
	left, right [3]length.Length
}

// randomRoom has walls whose lean over their heights is whole, and bowed where
// the opening alone can tell.
func randomRoom(rng *rand.Rand, small length.Length) room {
	any := func(most length.Length) length.Length { return length.Length(rng.Int64N(int64(most))) }
	height := 2 * (10*small + any(10*small))
	r := room{}
	wall := func(known bool) (e cut.End, w [3]length.Length) {
		e = cut.End{Filler: rng.IntN(4) > 0, Comes: small + any(2*small), Height: height}
		half := any(small) - small/2
		w = [3]length.Length{0, half, 2 * half}
		if known {
			e.Wall = cut.Lean{Off: half, Over: height / 2}
		}
		return e, w
	}
	r.Left, r.left = wall(rng.IntN(2) == 0)
	r.Right, r.right = wall(rng.IntN(2) == 0)
	if by := r.Cut().By; by == cut.ByLeft || by == cut.ByNone && !r.Left.Filler {
		r.right[1] += any(small/2) - small/4
	}
	r.Units = 50 * small
	foot := r.Units + any(5*small)
	for i := range r.Clear {
		r.Clear[i] = foot + r.left[i] + r.right[i]
	}
	return r
}

// TestFits puts the panels and the cabinets between walls that are known: they
// fill the opening at every height, and where a cabinet stands against a wall it
// touches there and nowhere goes through it.
func TestFits(t *testing.T) {
	rng := chance.Source(t)
	var shapes [4]int
	for range 1000 {
		r := randomRoom(rng, 100)
		cuts := r.Cut()
		known := cuts.By != cut.ByNone
		switch {
		case cuts.Left != nil && cuts.Right != nil:
			shapes[0]++
			r.bothFit(t, cuts, known)
		case cuts.Left != nil && known:
			shapes[1]++
			r.oneFits(t, cuts.Left, r.left, r.right)
		case cuts.Right != nil && known:
			shapes[2]++
			r.oneFits(t, cuts.Right, r.right, r.left)
		case cuts.Left != nil || cuts.Right != nil:
			shapes[3]++
			p := cuts.Left
			if p == nil {
				p = cuts.Right
			}
			for i := range 3 {
				if p.Width[i].Length != r.Clear[i]-r.Units {
					t.Fatalf("%+v: %+v", r, p)
				}
			}
		}
		if t.Failed() {
			t.Fatalf("%+v", r)
		}
	}
	for i, n := range shapes {
		if n == 0 {
			t.Errorf("shape %d was not tried", i)
		}
	}
}

func (r room) bothFit(t *testing.T, cuts cut.Cuts, known bool) {
	t.Helper()
	for i := range 3 {
		left, right := cuts.Left.Width[i].Length, cuts.Right.Width[i].Length
		// Each is rounded once, to half a nanometre.
		if off := left + r.Units + right - r.Clear[i]; off < -1 || off > 1 {
			t.Errorf("height %d: %d and %d leave %d", i, left, right, off)
		}
		if grown := left - cuts.Left.Width[0].Length; known && (grown < r.left[i]-1 || grown > r.left[i]+1) {
			t.Errorf("height %d: the left filler grows by %d, its wall by %d", i, grown, r.left[i])
		}
		if grown := right - cuts.Right.Width[0].Length; known && (grown < r.right[i]-1 || grown > r.right[i]+1) {
			t.Errorf("height %d: the right filler grows by %d, its wall by %d", i, grown, r.right[i])
		}
	}
	r.alike(t, cuts)
}

// alike tries every whole share of the foot: none is nearer to half that lets
// both be cut from what comes, by more than the half nanometre of rounding.
func (r room) alike(t *testing.T, cuts cut.Cuts) {
	t.Helper()
	need := r.Clear[0] - r.Units
	w, v := growth(cuts.Left), growth(cuts.Right)
	fits := func(share length.Length) bool {
		for i := range 3 {
			l, q := share+w[i], need-share+v[i]
			if l < 0 || l > r.Left.Comes || q < 0 || q > r.Right.Comes {
				return false
			}
		}
		return true
	}
	best, any := length.Length(0), false
	for share := length.Length(-300); share <= need+300; share++ {
		if fits(share) && (!any || apart(2*share, need) < apart(2*best, need)) {
			best, any = share, true
		}
	}
	got := cuts.Left.Width[0].Length
	if any && apart(2*got, need) > apart(2*best, need)+4 || !any && apart(2*got, need) > 2 {
		t.Errorf("the left foot is %d of %d, could be %d (%v)", got, need, best, any)
	}
}

func growth(p *cut.Panel) (w [3]length.Length) {
	for i := range w {
		w[i] = p.Width[i].Length - p.Width[0].Length
	}
	return w
}

func apart(a, b length.Length) length.Length { return (a - b).Abs() }

// oneFits holds a single filler against the walls themselves: near is its own,
// and the cabinets reach from it to the far one.
func (r room) oneFits(t *testing.T, p *cut.Panel, near, far [3]length.Length) {
	t.Helper()
	touches := false
	for i := range 3 {
		gap := r.Clear[i] - r.Units - p.Width[i].Length
		if gap < 0 {
			t.Errorf("height %d: the cabinets go through the wall by %d", i, -gap)
		}
		touches = touches || gap == 0
		if grown := p.Width[i].Length - p.Width[0].Length; grown != near[i] {
			t.Errorf("height %d: the filler grows by %d, its wall by %d", i, grown, near[i])
		}
		if gap != far[i]-min(far[0], far[1], far[2]) {
			t.Errorf("height %d: %d to the far wall", i, gap)
		}
	}
	if !touches {
		t.Error("the cabinets touch no wall")
	}
}

// TestWeights changes one reading after the other: a width changes as its
// weights say, as long as nothing else decides.
func TestWeights(t *testing.T) {
	rng := chance.Source(t)
	tried := 0
	for range 400 {
		r := randomRoom(rng, length.Inch)
		before := r.Cut()
		for k := range 6 {
			const by = 1000
			o := r.Opening
			*[]*length.Length{&o.Clear[0], &o.Clear[1], &o.Clear[2], &o.Units, &o.Left.Wall.Off, &o.Right.Wall.Off}[k] += by
			after := o.Cut()
			for _, pair := range [][2]*cut.Panel{{before.Left, after.Left}, {before.Right, after.Right}} {
				if pair[0] == nil || pair[0].Width[0].Weights != pair[1].Width[0].Weights {
					continue
				}
				tried++
				for i := range 3 {
					got := float64(pair[1].Width[i].Length - pair[0].Width[i].Length)
					if want := by * pair[0].Width[i].Weights[k]; math.Abs(got-want) > 1 {
						t.Fatalf("%+v: reading %d changes width %d by %v, want %v", r, k, i, got, want)
					}
				}
				got := float64(pair[1].Taper.Length - pair[0].Taper.Length)
				if want := by * pair[0].Taper.Weights[k]; math.Abs(got-want) > 1 {
					t.Fatalf("%+v: reading %d changes the taper by %v, want %v", r, k, got, want)
				}
			}
		}
	}
	if tried < 1000 {
		t.Errorf("only %d tried", tried)
	}
}

// TestMirrored: the other way round the panels change places.
func TestMirrored(t *testing.T) {
	rng := chance.Source(t)
	for range 400 {
		r := randomRoom(rng, length.Inch)
		o := r.Opening
		o.Left, o.Right = o.Right, o.Left
		a, b := r.Cut(), o.Cut()
		for _, pair := range [][2]*cut.Panel{{a.Left, b.Right}, {a.Right, b.Left}} {
			if (pair[0] == nil) != (pair[1] == nil) {
				t.Fatalf("%+v: %+v, in a mirror %+v", r, a, b)
			}
			if pair[0] == nil {
				continue
			}
			p, q := *pair[0], *pair[1]
			for i := range 3 {
				if p.Width[i].Length != q.Width[i].Length || p.Left[i] != q.Left[i] {
					t.Fatalf("%+v: %+v, in a mirror %+v", r, p, q)
				}
			}
			if p.ToTop != q.ToTop || p.ToFoot != q.ToFoot || p.Taper.Length != q.Taper.Length {
				t.Fatalf("%+v: %+v, in a mirror %+v", r, p, q)
			}
		}
	}
}

// TestDiagonals: right triangles with whole sides, 3-4-5 and 20-99-101 (Euclid,
// Elements X, 29, lemma 1, gives how to find them), and roots computed apart.
func TestDiagonals(t *testing.T) {
	one := func(foot, top, height length.Length) *cut.Panel {
		return cut.Opening{Clear: [3]length.Length{foot, (foot + top) / 2, top}, Left: cut.End{Filler: true, Comes: 10 * foot, Height: height}}.Cut().Left
	}
	if p := one(3*length.Inch, 20*length.Inch*4/99, 4*length.Inch); p.ToFoot != 5*length.Inch {
		t.Errorf("3-4-5: %+v", p)
	}
	if p := one(3*length.Inch, 20*length.Millimetre, 99*length.Millimetre); p.ToTop != 101*length.Millimetre {
		t.Errorf("20-99-101: %+v", p)
	}
	rng := chance.Source(t)
	for range 400 {
		foot, top, height := length.Length(rng.Int64N(1<<40)), length.Length(rng.Int64N(1<<40)), length.Length(rng.Int64N(1<<42))
		p := one(foot, top, height)
		for _, d := range [][2]length.Length{{p.ToFoot, foot}, {p.ToTop, top}} {
			if root := sqrt(d[1], height); root != d[0] {
				t.Fatalf("%d and %d: %d, want %d", d[1], height, d[0], root)
			}
		}
	}
}

// sqrt is the diagonal by arithmetic of 300 bits.
func sqrt(a, b length.Length) length.Length {
	square := func(l length.Length) *big.Float {
		f := new(big.Float).SetPrec(300).SetInt64(int64(l))
		return f.Mul(f, f)
	}
	root := new(big.Float).SetPrec(300).Sqrt(new(big.Float).SetPrec(300).Add(square(a), square(b)))
	n, _ := root.Add(root, big.NewFloat(0.5)).Int64()
	return length.Length(n)
}

// TestWorked: walls that lean apart by 1/4 in and together by 1/8 in over a
// height of 36 in, read over 24 in, beside cabinets of 100 in in an opening of
// 103 in at the floor. The fillers are 1 1/2 in each there.
func TestWorked(t *testing.T) {
	in := func(n, d length.Length) length.Length { return n * length.Inch / d }
	o := cut.Opening{
		Clear: [3]length.Length{in(103, 1), in(103, 1) + in(1, 16), in(103, 1) + in(1, 8)}, Units: in(100, 1),
		Left:  cut.End{Wall: cut.Lean{Off: in(1, 6), Over: in(24, 1)}, Filler: true, Comes: in(4, 1), Height: in(36, 1)},
		Right: cut.End{Wall: cut.Lean{Off: -in(1, 12), Over: in(24, 1)}, Filler: true, Comes: in(4, 1), Height: in(36, 1)},
	}
	c := o.Cut()
	near := func(what string, got, want length.Length) {
		t.Helper()
		if (got - want).Abs() > 1 { // 1/6 in is no whole number of nanometres
			t.Errorf("%s: %s, want %s", what, got, want)
		}
	}
	for i, want := range [3]length.Length{in(3, 2), in(13, 8), in(7, 4)} {
		near("left", c.Left.Width[i].Length, want)
		near("left over", c.Left.Left[i], in(4, 1)-want)
	}
	for i, want := range [3]length.Length{in(3, 2), in(23, 16), in(11, 8)} {
		near("right", c.Right.Width[i].Length, want)
	}
	near("taper", c.Left.Taper.Length, in(1, 4))
	near("taper", c.Right.Taper.Length, -in(1, 8))
	if c.By != cut.ByBoth || c.Apart[1].Abs() > 1 {
		t.Errorf("%+v", c)
	}
}

func FuzzCut(f *testing.F) {
	f.Add(int64(100), int64(101), int64(102), int64(90), int64(1), int64(30), int64(-1), int64(30), int64(40), uint8(15))
	f.Add(int64(math.MaxInt64), int64(math.MinInt64), int64(0), int64(math.MinInt64), int64(math.MaxInt64), int64(1), int64(math.MinInt64), int64(-1), int64(math.MaxInt64), uint8(3))
	f.Fuzz(func(t *testing.T, a, b, c, units, off, over, offRight, overRight, height int64, which uint8) {
		end := func(filler bool, off, over int64) cut.End {
			return cut.End{Wall: cut.Lean{Off: length.Length(off), Over: length.Length(over)}, Filler: filler, Comes: length.Length(which), Height: length.Length(height)}
		}
		o := cut.Opening{Clear: [3]length.Length{length.Length(a), length.Length(b), length.Length(c)}, Units: length.Length(units),
			Left: end(which&1 > 0, off, over), Right: end(which&2 > 0, offRight, overRight)}
		cuts := o.Cut()
		if (cuts.Left != nil) != o.Left.Filler || (cuts.Right != nil) != o.Right.Filler {
			t.Errorf("%+v: %+v", o, cuts)
		}
	})
}

func BenchmarkCut(b *testing.B) {
	r := randomRoom(rand.New(rand.NewPCG(1, 1)), length.Inch)
	r.Left.Filler, r.Right.Filler = true, true
	for b.Loop() {
		r.Cut()
	}
}
