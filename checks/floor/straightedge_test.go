package floor

import (
	"math"
	"math/big"
	"testing"

	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// Each gap is worked by hand in its comment; heights count down from the
// reference line.
func TestStraightedgeGap(t *testing.T) {
	dip := Line{{0, 36 * inch}, {5 * foot, 36*inch + inch/4}, {10 * foot, 36 * inch}}
	for _, tc := range []struct {
		name         string
		line         Line
		edge         length.Length
		size         length.Length
		at, from, to length.Length
		ok           bool
	}{
		{"1/4 in dip in the middle of 10 ft", dip, 10 * foot, inch / 4, 5 * foot, 0, 10 * foot, true},
		{"the edge a nanometre short of it", dip, 10*foot - 1, 0, 0, 0, 0, false},
		{"no edge", dip, 0, 0, 0, 0, 0, false},
		{"an edge less than nothing", dip, -1, 0, 0, 0, 0, false},
		{"no readings", nil, 10 * foot, 0, 0, 0, 0, false},
		{"two readings", dip[:2], 10 * foot, 0, 0, 0, 0, false},
		{"not in order", Line{{0, 1}, {0, 2}, {0, 1}}, 10 * foot, 0, 0, 0, 0, false},
		{"a hump has no gap under an edge that rocks on it",
			Line{{0, 36 * inch}, {5 * foot, 35 * inch}, {10 * foot, 36 * inch}}, 10 * foot, 0, 0, 0, 0, true},
		// The edge lies on all three, of which the outer two carry it; nothing
		// is below it.
		{"an even slope", Line{{0, 0}, {foot, 1}, {2 * foot, 2}}, 10 * foot, 0, 0, 0, 0, true},
		// The edge falls 1 in over 10 ft, so 0.3 in at 3 ft, where the floor
		// has fallen 0.5 in: 0.2 in = 5.08 mm.
		{"a dip in a slope", Line{{0, 36 * inch}, {3 * foot, 36*inch + inch/2}, {10 * foot, 37 * inch}},
			10 * foot, 5_080_000, 3 * foot, 0, 10 * foot, true},
		// From the brink to the far end the edge falls 1/2 in in 60 in: at 1 in
		// 1/120 in. The gap is 1/2 - 1/120 = 59/120 in = 12.488333.. mm.
		{"a step down", Line{{0, 36 * inch}, {60 * inch, 36 * inch}, {61 * inch, 36*inch + inch/2}, {120 * inch, 36*inch + inch/2}},
			10 * foot, 12_488_333, 61 * inch, 60 * inch, 120 * inch, true},
		// Only 10 ft of 20 lie under the edge: from 0 to 10 ft the dip is
		// bridged from 0 to its far side, 1/2 in deep all along; the edge falls
		// from 0 by 1/2 in in 10 ft, so at 5 ft the gap is 1/4 in.
		{"a dip wider than the edge", Line{{0, 0}, {5 * foot, inch / 2}, {10 * foot, inch / 2}, {15 * foot, inch / 2}, {20 * foot, 0}},
			10 * foot, inch / 4, 5 * foot, 0, 10 * foot, true},
		{"the leftmost of two equal dips", Line{{0, 0}, {1, 4}, {2, 0}, {3, 4}, {4, 0}}, 2, 4, 1, 0, 2, true},
		{"and so when one edge covers both", Line{{0, 0}, {1, 4}, {2, 0}, {3, 4}, {4, 0}}, 9, 4, 1, 0, 4, true},
		// Three readings in a straight line carry it; the outer one is named.
		{"a dip at the foot of a slope", Line{{0, 0}, {1, 1}, {2, 2}, {3, 5}, {4, 4}}, 9, 2, 3, 0, 4, true},
		{"a dip at the head of a slope", Line{{0, 4}, {1, 3}, {2, 2}, {3, 5}, {4, 0}}, 9, 4, 3, 0, 4, true},
		{"a half is rounded up", Line{{0, 0}, {1, 1}, {2, 1}}, 9, 1, 1, 0, 2, true},
		{"less than a half is rounded down", Line{{0, 0}, {2, 1}, {3, 1}}, 9, 0, 2, 0, 3, true},
		{"deeper than any length", Line{{0, math.MinInt64}, {1, math.MaxInt64}, {2, math.MinInt64}},
			9, math.MaxInt64, 1, 0, 2, true},
		{"as far apart as can be", Line{{math.MinInt64, math.MinInt64}, {0, math.MaxInt64}, {math.MaxInt64, math.MinInt64}},
			math.MaxInt64, 0, 0, 0, 0, false},
	} {
		got, ok := tc.line.StraightedgeGap(tc.edge)
		if got.Size != tc.size || got.At.At != tc.at || got.From.At != tc.from || got.To.At != tc.to || ok != tc.ok {
			t.Errorf("%s: %+v, %v; want %d at %d between %d and %d, %v",
				tc.name, got, ok, tc.size, tc.at, tc.from, tc.to, tc.ok)
		}
	}
}

// slowGap is the definition: every reading under every pair of readings that
// one straightedge can rest on. It gives the exact gap and its leftmost place.
func slowGap(l Line, edge length.Length) (size *big.Rat, at Reading, ok bool) {
	size = new(big.Rat)
	for a := range l {
		for b := a + 2; b < len(l) && sub(whole(l[b].At), whole(l[a].At)).Cmp(whole(edge)) <= 0; b++ {
			ok = true
			for _, v := range l[a+1 : b] {
				g := sub(whole(v.Down), chord(l[a], l[b], v.At))
				if c := g.Cmp(size); c > 0 || c == 0 && g.Sign() > 0 && v.At < at.At {
					size, at = g, v
				}
			}
		}
	}
	return size, at, ok
}

func TestStraightedgeGapSecondWay(t *testing.T) {
	rng := chance.Source(t)
	for _, s := range scales {
		for range 1500 {
			l := s.line(rng, rng.IntN(10))
			if rng.IntN(2) == 0 {
				l = shifted(l, -length.Length(rng.Int64N(s.down)))
			}
			edge := length.Length(rng.Uint64N(min(6*uint64(s.step), math.MaxInt64)))
			got, ok := l.StraightedgeGap(edge)
			size, at, wantOK := slowGap(l, edge)
			if edge == 0 {
				wantOK = false
			}
			if ok != wantOK || got.Size != rounded(size) {
				t.Fatalf("%s: %v under %d: %+v, %v; want %v, %v", s.name, l, edge, got, ok, size, wantOK)
			}
			if size.Sign() == 0 {
				if ok && (got.At != l[0] || got.From != l[0] || got.To != l[0]) {
					t.Fatalf("%s: %v under %d: no gap, but %+v", s.name, l, edge, got)
				}
				continue
			}
			carried := sub(whole(got.At.Down), chord(got.From, got.To, got.At.At))
			apart := sub(whole(got.To.At), whole(got.From.At))
			if got.At != at || carried.Cmp(size) != 0 || apart.Cmp(whole(edge)) > 0 {
				t.Fatalf("%s: %v under %d: %+v; want %v at %v", s.name, l, edge, got, size, at)
			}
			// A longer edge bridges all that a shorter one does.
			if longer, _ := l.StraightedgeGap(edge + 1); longer.Size < got.Size {
				t.Fatalf("%s: %v under %d: %+v, under one more %+v", s.name, l, edge, got, longer)
			}
		}
	}
}
