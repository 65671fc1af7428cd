package turns

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// lax is a run of so many corners under limits so wide, and so far out of true,
// that to find a small set of bolts takes long: seconds where there are 400.
func lax(rng *rand.Rand, corners int) Run {
	heights := make([]int, corners)
	for i := range heights {
		heights[i] = rng.IntN(401) - 200
	}
	r := usual(row(24*inch, heights...))
	level := r.Level
	r.Held, r.Twist = 4*inch, inch/4
	r.Level = func(i, j int) length.Length { return 16 * level(i, j) }
	return r
}

// TestBudget: runs as a crew leaves them never take from what all have, whatever
// others took, and are answered as without bounds; hostile ones come to an end,
// are never answered wrongly, and take no more together than there is.
func TestBudget(t *testing.T) {
	rng := chance.Source(t)
	ended, solved := 0, 0
	b := &Budget{3_000_000}
	for range 12 {
		r := lax(rng, 120)
		r.Budget = b
		before := b.common
		a := Solve(r)
		switch {
		case a.Solved && !passes(&r, a.Eighths):
			t.Errorf("%+v does not pass", a)
		case a.Solved:
			solved++
		case a.Why == TooMuch:
			ended++
		}
		if b.common < 0 || b.common > before {
			t.Errorf("%d steps are left of %d", b.common, before)
		}
		usual := anyRun(rng, 12)
		want := Solve(usual)
		usual.Budget = &Budget{0}
		if got := Solve(usual); !reflect.DeepEqual(got, want) {
			t.Errorf("a run of %d corners is answered %+v, without bounds %+v", len(usual.Corners), got, want)
		}
	}
	if ended == 0 || b.common > 0 {
		t.Errorf("%d searches ended for want of steps, %d found an answer, and %d steps are left", ended, solved, b.common)
	}
}
