package floor

import (
	"math"
	"slices"
	"testing"

	"setline.example/schema/chance"
	"setline.example/schema/length"
)

const (
	inch = length.Inch
	foot = length.Foot
)

func TestDownAt(t *testing.T) {
	site := Line{{0, 36 * inch}, {3 * foot, 36*inch + inch/4}, {6 * foot, 36 * inch}}
	far := Line{{math.MinInt64, math.MinInt64}, {math.MaxInt64, math.MaxInt64}}
	for _, tc := range []struct {
		name string
		line Line
		x    length.Length
		want length.Length
		ok   bool
	}{
		{"no readings", nil, 0, 0, false},
		{"one reading, at it", Line{{5, 7}}, 5, 7, true},
		{"one reading, before it", Line{{5, 7}}, 4, 0, false},
		{"one reading, behind it", Line{{5, 7}}, 6, 0, false},
		{"at the first reading", site, 0, 36 * inch, true},
		{"a nanometre before it", site, -1, 0, false},
		{"at the last reading", site, 6 * foot, 36 * inch, true},
		{"a nanometre behind it", site, 6*foot + 1, 0, false},
		{"at a reading between", site, 3 * foot, 36*inch + inch/4, true},
		{"a third of the way down", site, foot, 36*inch + 2_116_667, true}, // 6.35 mm / 3 = 2.11666..
		{"a third of the way up", site, 5 * foot, 36*inch + 2_116_667, true},
		{"a half, below the reference", Line{{0, 0}, {2, 1}}, 1, 1, true},
		{"a half, above the reference", Line{{0, 0}, {2, -1}}, 1, -1, true},
		{"a half, rising to 0", Line{{0, -1}, {2, 0}}, 1, -1, true},
		{"a half, falling from 1", Line{{0, 1}, {2, 0}}, 1, 1, true},
		{"a half, across the reference", Line{{0, -1}, {2, 2}}, 1, 1, true},
		{"a third", Line{{0, 0}, {3, 1}}, 1, 0, true},
		{"minus a third", Line{{0, 0}, {3, -1}}, 1, 0, true},
		{"the ends of what a length holds", far, 0, 0, true},
		{"next to the least", far, math.MinInt64 + 1, math.MinInt64 + 1, true},
		{"next to the greatest", far, math.MaxInt64 - 1, math.MaxInt64 - 1, true},
		{"not in order", Line{{5, 1}, {5, 2}, {3, 3}}, 4, 0, false},
	} {
		if got, ok := tc.line.DownAt(tc.x); got != tc.want || ok != tc.ok {
			t.Errorf("%s: %d, %v; want %d, %v", tc.name, got, ok, tc.want, tc.ok)
		}
	}
}

// TestDownAtSecondWay compares with rational arithmetic.
func TestDownAtSecondWay(t *testing.T) {
	rng := chance.Source(t)
	for _, s := range scales {
		for range 3000 {
			l := s.line(rng, 1+rng.IntN(6))
			if rng.IntN(2) == 0 {
				l = shifted(l, -length.Length(rng.Int64N(s.down)))
			}
			x := within(rng, l)
			var want length.Length
			reached := false
			for i, r := range l {
				if r.At == x {
					want, reached = r.Down, true
				} else if i > 0 && l[i-1].At < x && x < r.At {
					want, reached = rounded(chord(l[i-1], r, x)), true
				}
			}
			if got, ok := l.DownAt(x); got != want || ok != reached {
				t.Fatalf("%s: %v at %d: %d, %v; want %d, %v", s.name, l, x, got, ok, want, reached)
			}
		}
	}
}

// TestReferenceLineMoved: the floor moves with the reference line, and what is
// a difference does not move at all.
func TestReferenceLineMoved(t *testing.T) {
	rng := chance.Source(t)
	for _, s := range scales[:2] {
		for range 1000 {
			a := Survey{s.line(rng, 2+rng.IntN(8)), s.line(rng, 2+rng.IntN(8))}
			d := length.Length(rng.Int64N(s.down))
			b := Survey{shifted(a.Front, d), shifted(a.Back, d)}
			x, y := within(rng, a.Front), within(rng, a.Front)
			da, oka := a.Front.DownAt(x)
			db, okb := b.Front.DownAt(x)
			if oka != okb || oka && da+d != db {
				t.Fatalf("%v moved by %d: %d became %d", a.Front, d, da, db)
			}
			ha, oka := a.High(x, y)
			hb, okb := b.High(x, y)
			ha.Down += d
			if oka != okb || oka && ha != hb {
				t.Fatalf("%v moved by %d: high %v became %v", a, d, ha, hb)
			}
			fa, _ := a.Fall(x, y)
			fb, _ := b.Fall(x, y)
			ga, _ := a.Front.StraightedgeGap(5 * length.Length(s.step))
			gb, _ := b.Front.StraightedgeGap(5 * length.Length(s.step))
			sa, _ := a.Front.Slope()
			sb, _ := b.Front.Slope()
			if fa != fb || ga.Size != gb.Size || ga.At.At != gb.At.At || sa != sb {
				t.Fatalf("%v moved by %d: fall %d %d, gap %v %v, slope %v %v", a, d, fa, fb, ga, gb, sa, sb)
			}
		}
	}
}

// TestReadFromTheRight: an elevation read from its other end is the same floor.
func TestReadFromTheRight(t *testing.T) {
	rng := chance.Source(t)
	for _, s := range scales[:2] {
		for range 1000 {
			a := Survey{s.line(rng, 2+rng.IntN(8)), s.line(rng, 2+rng.IntN(8))}
			w := length.Length(rng.Int64N(20 * s.step))
			b := Survey{mirrored(a.Front, w), mirrored(a.Back, w)}
			x, y := within(rng, a.Front), within(rng, a.Front)
			da, oka := a.Front.DownAt(x)
			db, okb := b.Front.DownAt(w - x)
			if da != db || oka != okb || a.Front.Reaches(x, y) != b.Front.Reaches(w-x, w-y) {
				t.Fatalf("%v at %d of %d: %d, %v; mirrored %d, %v", a.Front, x, w, da, oka, db, okb)
			}
			ha, _ := a.High(x, y)
			hb, _ := b.High(w-x, w-y)
			fa, _ := a.Fall(x, y)
			fb, _ := b.Fall(w-x, w-y)
			wa, _ := a.Front.WidestGap(x, y)
			wb, _ := b.Front.WidestGap(w-x, w-y)
			ga, _ := a.Front.StraightedgeGap(5 * length.Length(s.step))
			gb, _ := b.Front.StraightedgeGap(5 * length.Length(s.step))
			sa, _ := a.Front.Slope()
			sb, _ := b.Front.Slope()
			if ha.Down != hb.Down || fa != fb || wa != wb || ga.Size != gb.Size || sa != -sb {
				t.Fatalf("%v: high %v %v, fall %d %d, widest %d %d, gap %v %v, slope %v %v",
					a, ha, hb, fa, fb, wa, wb, ga, gb, sa, sb)
			}
		}
	}
}

// TestRefined: a reading put in where the floor was interpolated changes it by
// no more than its rounding, and takes nothing from coverage or gap.
func TestRefined(t *testing.T) {
	rng := chance.Source(t)
	for _, s := range scales[:2] {
		for range 1000 {
			l := s.line(rng, 2+rng.IntN(6))
			x := within(rng, l)
			down, ok := l.DownAt(x)
			i, found := l.search(x)
			if !ok || found {
				continue
			}
			finer := slices.Insert(slices.Clone(l), i, Reading{x, down})
			for range 10 {
				y := within(rng, l)
				a, oka := l.DownAt(y)
				b, okb := finer.DownAt(y)
				if oka != okb || (a-b).Abs() > 1 {
					t.Fatalf("%v with %d, at %d: %d became %d", l, x, y, a, b)
				}
			}
			from, to := within(rng, l), within(rng, l)
			wa, _ := l.WidestGap(from, to)
			wb, _ := finer.WidestGap(from, to)
			if l.Reaches(from, to) != finer.Reaches(from, to) || wb > wa {
				t.Fatalf("%v with %d: widest gap from %d to %d was %d, is %d", l, x, from, to, wa, wb)
			}
			ga, _ := l.StraightedgeGap(5 * length.Length(s.step))
			gb, _ := finer.StraightedgeGap(5 * length.Length(s.step))
			if gb.Size < ga.Size {
				t.Fatalf("%v with %d: gap was %v, is %v", l, x, ga, gb)
			}
		}
	}
}

func TestCoverage(t *testing.T) {
	l := Line{{0, 0}, {2 * foot, 0}, {5 * foot, 0}, {8 * foot, 0}}
	for _, tc := range []struct {
		name     string
		line     Line
		from, to length.Length
		reaches  bool
		gap, at  length.Length
	}{
		{"end to end", l, 0, 8 * foot, true, 3 * foot, 2 * foot},
		{"given backwards", l, 8 * foot, 0, true, 3 * foot, 2 * foot},
		{"short of the left end", l, -1, 8 * foot, false, 3 * foot, 2 * foot},
		{"short of the right end", l, 0, 8*foot + 1, false, 3 * foot, 2 * foot},
		{"touching a wider gap", l, 0, 2 * foot, true, 2 * foot, 0},
		{"a nanometre into it", l, 0, 2*foot + 1, true, 3 * foot, 2 * foot},
		{"one point", l, 6 * foot, 6 * foot, true, 3 * foot, 5 * foot},
		{"one point, at a reading", l, 2 * foot, 2 * foot, true, 3 * foot, 2 * foot},
		{"outside", l, 9 * foot, 10 * foot, false, 0, 9 * foot},
		{"no readings", nil, 0, foot, false, 0, 0},
		{"one reading", Line{{3, 4}}, 3, 3, true, 0, 3},
		{"as far apart as can be", Line{{math.MinInt64, 0}, {math.MaxInt64, 0}}, 0, 1, true, math.MaxInt64, math.MinInt64},
	} {
		gap, at := tc.line.WidestGap(tc.from, tc.to)
		if reaches := tc.line.Reaches(tc.from, tc.to); reaches != tc.reaches || gap != tc.gap || at != tc.at {
			t.Errorf("%s: reaches %v, gap %d at %d; want %v, %d at %d",
				tc.name, reaches, gap, at, tc.reaches, tc.gap, tc.at)
		}
	}
}
