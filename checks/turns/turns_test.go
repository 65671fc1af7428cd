package turns

import (
	"math/big"
	"slices"
	"testing"

	"setline.example/checks/zone"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// TestEighth: an eighth of a turn at 16 threads per inch is 1/128 in, which is
// 198,437.5 nm; at 18 it is no decimal; of an M12 bolt with a pitch of 1.75 mm
// (ISO 261, coarse) it is 0.21875 mm.
func TestEighth(t *testing.T) {
	for _, c := range []struct {
		threads int
		pitch   length.Length
		want    *big.Rat
	}{
		{16, 0, big.NewRat(396_875, 2)},
		{18, 0, big.NewRat(25_400_000, 144)},
		{0, 1_750_000, big.NewRat(218_750, 1)},
		{16, 1_587_500, big.NewRat(396_875, 2)},
	} {
		s, ok := Eighth(c.threads, c.pitch)
		if !ok || big.NewRat(s.Num, s.Den).Cmp(c.want) != 0 {
			t.Errorf("%d threads, pitch %v: %v", c.threads, c.pitch, s)
		}
	}
	if _, ok := Eighth(0, 0); ok {
		t.Error("a bolt of which nothing is known has a step")
	}
}

func TestByHand(t *testing.T) {
	far := row(24*inch, 0, 0, 0, 0, 0, 0, 0, -8)
	low := row(24*inch, 0, 0, 0, 0, 0, 0, 0, -8)
	low[7].Travel, low[7].Down, low[7].Up = true, inch, inch/32
	high := row(24*inch, 0, 0, 0, 0, 0, 0, 0, 8)
	high[7].Travel, high[7].Down, high[7].Reserve, high[7].Up = true, inch/8, inch/8, inch
	stuck := row(24*inch, 0, 0, 0, 0, 0, 0, 0, 8)
	stuck[7].Travel, stuck[7].Up = true, inch
	step := joined(row(24*inch, 0, 0, 0, 0, 6, 0, 6, 0))
	for _, c := range []struct {
		name    string
		run     []Corner
		want    []int // eighths
		atLeast int
		loosen  [][2]int
		spends  bool
		why     Why
	}{
		{"all at the mark", row(24*inch, 0, 0, 0, 0), []int{0, 0, 0, 0}, 0, nil, false, Nothing},
		// 1/8 in at 16 threads is two turns.
		{"one corner low by 1/8 in", far, []int{0, 0, 0, 0, 0, 0, 0, 16}, 1, nil, false, Nothing},
		// Half a reading step is kept from the end of the bolt.
		{"one corner high on a bolt that is down to its reserve", high, []int{0, 0, 0, 0, 0, 0, 0, -15}, 1, nil, true, Nothing},
		{"one corner low, its bolt ends 3/64 in too soon", low, nil, 0, nil, false, Beyond},
		{"one corner high on a bolt that is fully in", stuck, nil, 0, nil, false, Beyond},
		// 3/32 in is beyond 1/16 in on the joint, on the mark and within the cabinet.
		{"a step in a joint", step, []int{0, 0, 0, 0, -12, 0, -12, 0}, 2, [][2]int{{1, 4}, {3, 6}}, false, Nothing},
		// Both corners of the joint are 5/64 in low: they go together, 10 eighths.
		{"joined corners go together", joined(row(24*inch, 0, -5, 0, 0, -5, 0, 0, 0)),
			[]int{0, 10, 0, 0, 10, 0, 0, 0}, 2, nil, false, Nothing},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := Solve(usual(c.run))
			if !slices.Equal(a.Eighths, c.want) || a.AtLeast != c.atLeast || a.Why != c.why || a.Spends != c.spends || !slices.Equal(a.Loosen, c.loosen) {
				t.Errorf("%+v", a)
			}
		})
	}
}

// TestServing: a corner whose bolt ends 3/64 in below the mark is packed by
// that, or all is set lower; one on a bolt that is fully in asks for a mark as
// much higher.
func TestServing(t *testing.T) {
	all := row(24*inch, 0, 0, -8, 8)
	for i := range all {
		all[i].Travel, all[i].Down, all[i].Up = true, inch/4, inch/4
	}
	all[2].Up = inch / 64 * 5
	s := Serving(all)
	if s.Short[2] != inch/64*3 || !s.Heights || s.Most != -inch/64*3 || s.At != 0 || s.Packing[2] != inch/64*3 {
		t.Errorf("%+v", s)
	}
	all[3].Down = 0
	s = Serving(all)
	if s.Short[3] != -inch/8 || s.Heights || s.Least != inch/8 || s.At != inch/8 || s.Packing[2] != inch/64*11 {
		t.Errorf("%+v", s)
	}
}

// passes judges a run with the bolts turned, in fractions of any size, apart
// from what finds them.
func passes(r *Run, eighths []int) bool { return passesBy(r, eighths, 0) }

// passesBy is passes with so much of each limit of twist kept where a corner of
// it does not stand at a whole nanometre: readings of it, which are whole, may
// be beyond a limit that is met exactly.
func passesBy(r *Run, eighths []int, hair length.Length) bool {
	h := make([]*big.Rat, len(r.Corners))
	for i, c := range r.Corners {
		rise := big.NewRat(c.Step.Num*int64(eighths[i]), c.Step.Den)
		h[i] = rise.Add(rise, big.NewRat(int64(c.H), 1))
		if r.Marked && beyond(h[i], r.Held) {
			return false
		}
	}
	for i := range h {
		for j := range i {
			if beyond(new(big.Rat).Sub(h[i], h[j]), r.Level(i, j)) {
				return false
			}
		}
	}
	for i := 0; i < len(h); i += 4 {
		limit := r.Twist
		if slices.ContainsFunc(h[i:i+4], func(l *big.Rat) bool { return !l.IsInt() }) {
			limit -= hair
		}
		twist := new(big.Rat).Sub(h[i], h[i+1])
		if beyond(twist.Sub(twist, h[i+2]).Add(twist, h[i+3]), limit) {
			return false
		}
	}
	if r.Plane < 0 {
		return true
	}
	points := make([]zone.Point, len(h))
	for i, c := range r.Corners {
		points[i] = zone.Point{X: c.X, Y: c.Y, Z: c.H + c.Rise(eighths[i])}
	}
	z, err := zone.Minimum(points)
	return err == nil && z.Width <= float64(r.Plane)+0.5
}

func beyond(l *big.Rat, limit length.Length) bool {
	return new(big.Rat).Abs(l).Cmp(big.NewRat(int64(limit), 1)) > 0
}

// TestRandomRuns: what the answer says passes when it is done; no bolt of it
// can be left out; none is asked for more than it has; corners of a joint that
// is not loosened go together; and the run in a mirror has the answer in a mirror.
func TestRandomRuns(t *testing.T) {
	rng := chance.Source(t)
	n := 2000
	if testing.Short() {
		n = 200
	}
	var solved, proved, bolts, least int
	why := map[Why]int{}
	for range n {
		r := anyRun(rng, 8)
		a := Solve(r)
		holdAnswer(t, &r, &a)
		m := Solve(inMirror(r))
		if m.Why != a.Why || m.Solved != a.Solved {
			t.Fatalf("%v in a mirror: %+v and %+v", r.Corners, a, m)
		}
		if !a.Solved {
			why[a.Why]++
			continue
		}
		for i := range a.Eighths {
			k := len(a.Eighths)
			if j := (k/4-1-i/4)*4 + (i%4 ^ 1); a.Eighths[i] != m.Eighths[j] && !palindrome(&r) {
				t.Fatalf("%v: %v, in a mirror %v", r.Corners, a.Eighths, m.Eighths)
			}
		}
		solved++
		bolts += a.Bolts
		least += a.AtLeast
		if a.Bolts == a.AtLeast {
			proved++
		}
	}
	t.Logf("%d runs solved of %d, not: %v; %d bolts, at least %d; proved the fewest in %d", solved, n, why, bolts, least, proved)
}

// palindrome reports whether a run is its own image, so that of answers that
// are images of each other either will do.
func palindrome(r *Run) bool {
	left, right := fromLeft(r), fromRight(r)
	return slices.EqualFunc(left.corners, right.corners, func(a, b Corner) bool { return compareCorners(a, b) == 0 })
}

func holdAnswer(t *testing.T, r *Run, a *Answer) {
	t.Helper()
	if !a.Solved {
		if passes(r, make([]int, len(r.Corners))) {
			t.Fatalf("%v passes as it is, and is not solved: %+v", r.Corners, a)
		}
		return
	}
	if !passes(r, a.Eighths) {
		t.Fatalf("%v does not pass with %+v", r.Corners, a)
	}
	turned := 0
	for i, n := range a.Eighths {
		c := r.Corners[i]
		rise := c.Rise(n)
		if n != 0 {
			turned++
		}
		if c.Travel && (rise > c.Up || n < 0 && rise < -c.Down) {
			t.Fatalf("corner %d of %v: %d eighths are more than it has", i, r.Corners, n)
		}
		apart := slices.Contains(a.Loosen, [2]int{min(i, c.Joined), max(i, c.Joined)})
		if !apart && n != a.Eighths[c.Joined] {
			t.Fatalf("joined corners of %v go apart: %+v", r.Corners, a)
		}
		if n == 0 {
			continue
		}
		fewer := slices.Clone(a.Eighths)
		fewer[i] = 0
		if !apart {
			fewer[c.Joined] = 0
		}
		if inTravel(r, fewer) && passesBy(r, fewer, roundings) {
			t.Fatalf("%v passes without corner %d: %+v", r.Corners, i, a)
		}
	}
	if turned != a.Bolts || a.Bolts < a.AtLeast {
		t.Fatalf("%d bolts are turned: %+v", turned, a)
	}
}

func inTravel(r *Run, eighths []int) bool {
	for i, c := range r.Corners {
		if rise := c.Rise(eighths[i]); c.Travel && (rise > c.Up || rise < 0 && rise < -c.Down) {
			return false
		}
	}
	return true
}

// TestGuarded: where the decision rule takes more than there is, no
// answer is given; where it takes some, what is turned keeps that much more.
func TestGuarded(t *testing.T) {
	rng := chance.Source(t)
	for range 300 {
		r := anyRun(rng, 5)
		const by = inch / 256
		r.Guard = func(parts []zone.Weight) (length.Length, bool) { return by, true }
		a := Solve(r)
		if !a.Solved {
			continue
		}
		tight := r
		tight.Held, tight.Twist = r.Held-by, r.Twist-by
		tight.Level = func(i, j int) length.Length { return r.Level(i, j) - by }
		if r.Plane >= 0 {
			tight.Plane = r.Plane - by
		}
		if !passes(&tight, a.Eighths) {
			t.Fatalf("%v does not pass with %+v", r.Corners, a)
		}
	}
	r := usual(row(24*inch, 0, 0, 0, 9))
	for _, guard := range []func([]zone.Weight) (length.Length, bool){
		func([]zone.Weight) (length.Length, bool) { return inch / 16, true },
		func([]zone.Weight) (length.Length, bool) { return 0, false },
	} {
		r.Guard = guard
		if a := Solve(r); a.Why != CannotTell {
			t.Errorf("%+v", a)
		}
	}
}

// TestAnyLength: runs of any length, also longer than are looked at together.
func TestAnyLength(t *testing.T) {
	for _, n := range []int{0, 1, 100, 101} {
		heights := make([]int, 4*n)
		for i := range heights {
			heights[i] = i % 5
		}
		r := Run{Level: func(i, j int) length.Length { return inch / 16 }}
		if n > 0 {
			r = usual(row(24*inch, heights...))
		}
		if a := Solve(r); a.Solved != (n <= 100) || n > 100 && a.Why != TooLong {
			t.Errorf("%d cabinets: %v, %v", n, a.Solved, a.Why)
		}
	}
}

// TestFarAlong: a run far along a long elevation is one like any other.
func TestFarAlong(t *testing.T) {
	all := row(24*inch, 0, 0, 0, -8)
	for i := range all {
		all[i].X += 1 << 50
	}
	if a := Solve(usual(all)); !slices.Equal(a.Eighths, []int{0, 0, 0, 16}) {
		t.Errorf("%+v", a)
	}
	all[3].H = 1 << 50
	if a := Solve(usual(all)); a.Why != TooFar {
		t.Errorf("%+v", a)
	}
}
