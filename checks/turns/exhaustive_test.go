package turns

import (
	"math/rand/v2"
	"testing"

	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// tried is a short run of bolts with 16 threads per inch, in whole 128ths of an
// inch, which is an eighth of their turn, for trying everything.
type tried struct {
	r       *Run
	n       int
	h       []int // in 128ths
	lo, hi  []int // eighths that mark and travel allow
	balance [][]int64
}

// balances are the whole numbers by which corners weigh each other out in plan,
// for four corners and for those on one line or in one spot, of which fewer do:
// by Radon's theorem every minimum zone rests on one of these.
func balances(r *Run) (all [][]int64) {
	n := len(r.Corners)
	at := func(i int) (x, y int64) {
		return int64(r.Corners[i].X / inch), int64(r.Corners[i].Y / inch)
	}
	for a := range n {
		for b := range a {
			ax, ay := at(a)
			bx, by := at(b)
			w := make([]int64, n)
			if ax == bx && ay == by {
				w[a], w[b] = 1, -1
				all = append(all, w)
				continue
			}
			for c := range b {
				cx, cy := at(c)
				if ay == by && by == cy {
					w := make([]int64, n)
					w[a], w[b], w[c] = bx-cx, cx-ax, ax-bx
					all = append(all, w)
				}
				for d := range c {
					dx, dy := at(d)
					area := func(x1, y1, x2, y2, x3, y3 int64) int64 { return (x2-x1)*(y3-y1) - (x3-x1)*(y2-y1) }
					w := make([]int64, n)
					w[a], w[b] = area(bx, by, cx, cy, dx, dy), -area(ax, ay, cx, cy, dx, dy)
					w[c], w[d] = area(ax, ay, bx, by, dx, dy), -area(ax, ay, bx, by, cx, cy)
					all = append(all, w)
				}
			}
		}
	}
	return all
}

func newTried(r *Run) *tried {
	t := &tried{r: r, n: len(r.Corners), balance: balances(r)}
	for _, c := range r.Corners {
		t.h = append(t.h, int(c.H/(inch/64))*2)
		lo, hi := -8, 8
		lo, hi = lo-t.h[len(t.h)-1], hi-t.h[len(t.h)-1]
		if c.Travel {
			lo, hi = max(lo, -int(c.Down/(inch/64))*2), min(hi, int(c.Up/(inch/64))*2)
		}
		t.lo, t.hi = append(t.lo, lo), append(t.hi, hi)
	}
	return t
}

// passes judges by whole numbers.
func (t *tried) passes(eighths []int) bool {
	for i := range t.n {
		if eighths[i] < t.lo[i] || eighths[i] > t.hi[i] {
			return false
		}
		for j := range i {
			apart := length.Length(t.h[i] + eighths[i] - t.h[j] - eighths[j])
			if apart.Abs()*(inch/64) > 2*t.r.Level(i, j) {
				return false
			}
		}
	}
	z := func(i int) int64 { return int64(t.h[i] + eighths[i]) }
	for i := 0; i < t.n; i += 4 {
		if twist := z(i) - z(i+1) - z(i+2) + z(i+3); twist > 8 || twist < -8 {
			return false
		}
	}
	for _, w := range t.balance {
		var sum, size int64
		for i, k := range w {
			sum, size = sum+k*z(i), size+max(k, -k)
		}
		if t.r.Plane >= 0 && max(sum, -sum)*2 > 8*size {
			return false
		}
	}
	return true
}

// any looks for turns of these bolts that pass.
func (t *tried) any(eighths []int, bolts []int) bool {
	if len(bolts) == 0 {
		return t.passes(eighths)
	}
	b := bolts[0]
	for n := t.lo[b]; n <= t.hi[b]; n++ {
		eighths[b] = n
		if t.any(eighths, bolts[1:]) {
			return true
		}
	}
	eighths[b] = 0
	return false
}

// with looks for so many bolts that are enough.
func (t *tried) with(n, from int, bolts []int) bool {
	if n == 0 {
		return t.any(make([]int, t.n), bolts)
	}
	for b := from; b < t.n; b++ {
		if t.with(n-1, b+1, append(bolts, b)) {
			return true
		}
	}
	return false
}

// TestExhaustive tries every turn of every set of fewer bolts. None is enough
// where the answer is called the fewest. Of single cabinets every turn of all
// bolts is tried where there is no answer.
func TestExhaustive(t *testing.T) {
	rng := chance.Source(t)
	n := 400
	if testing.Short() {
		n = 40
	}
	fewest, called, more, hopeless := 0, 0, 0, 0
	for range n {
		r := short(rng)
		a := Solve(r)
		try := newTried(&r)
		if !a.Solved {
			if len(r.Corners) == 4 {
				hopeless++
				if try.any(make([]int, 4), []int{0, 1, 2, 3}) {
					t.Fatalf("%v can be solved: %+v", r.Corners, a)
				}
			}
			continue
		}
		if !try.passes(a.Eighths) {
			t.Fatalf("%v does not pass with %+v", r.Corners, a)
		}
		least := a.Bolts
		for k := range min(a.Bolts, 4) {
			if try.with(k, 0, nil) {
				least = k
				break
			}
		}
		if least < a.AtLeast {
			t.Fatalf("%v: %d bolts are enough of %+v", r.Corners, least, a)
		}
		if a.Bolts > 4 {
			continue
		}
		fewest++
		if a.AtLeast == a.Bolts {
			called++
		}
		more += a.Bolts - least
	}
	t.Logf("%d runs tried out, of which %d are called the fewest; %d bolts more than needed in all; %d single cabinets that cannot be solved", fewest, called, more, hopeless)
}

// short is a run of one or two cabinets with bolts of 16 threads per inch.
func short(rng *rand.Rand) Run {
	heights := make([]int, 4+4*rng.IntN(2))
	spread := 1 + rng.IntN(5)
	for i := range heights {
		if rng.IntN(2) > 0 {
			heights[i] += rng.IntN(2*spread+1) - spread
		}
	}
	all := row(length.Length(12+6*rng.IntN(5))*inch, heights...)
	if travel := rng.IntN(2) == 0; travel {
		for i := range all {
			all[i].Travel, all[i].Down, all[i].Up = true, length.Length(rng.IntN(9))*inch/64, length.Length(rng.IntN(9))*inch/64
		}
	}
	return usual(all)
}
