package checks

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// longRunPoints makes the top corners of a run of n cabinets, read on up to
// three visits whose instruments differ, and the bench to judge them on.
func longRunPoints(rng *rand.Rand, n int) (*bench, *elevation, []point) {
	rec := &schema.Record{}
	if rng.IntN(3) > 0 {
		rec.Planned.DecisionRule = Guarded
	}
	readers := readers{}
	visits := 1 + rng.IntN(3)
	for v := range visits {
		in := &schema.Instrument{Resolution: of(length.Length(1 + rng.IntN(600_000)))}
		if rng.IntN(2) == 0 {
			in.Accuracy, in.Over = of(length.Length(rng.IntN(3_000_000))), of(10*length.Metre)
		}
		if rng.IntN(8) == 0 {
			in.Resolution = nil
		}
		readers[reading{v, "heights"}] = in
	}
	limits := map[string]limitChange{}
	if rng.IntN(4) == 0 {
		limits["level and plumb"] = limitChange{LengthOf(length.Length(rng.IntN(8_000_000))), length.Metre, length.Length(rng.IntN(4_000_000)), say.Text{}, false}
	}
	b := &bench{facts: &facts{rec: rec, readers: readers, level: newLevelLimit(limits)}}
	e := &elevation{}
	var points []point
	noise := []int{1, 300_000, 900_000, 1_600_000, 3_000_000}[rng.IntN(5)]
	slope := rng.Float64() * 1.8e-3
	for i := range n {
		u := &unit{plan: &schema.Unit{Tag: strconv.Itoa(i)}}
		width := []length.Length{450, 600, 900}[rng.IntN(3)] * length.Millimetre
		for k, c := range corners {
			x, y := e.width, length.Length(0)
			if c.right {
				x += width
			}
			if c.front {
				y = 560 * length.Millimetre
			}
			down := length.Length(slope*float64(x)) + length.Length(rng.IntN(noise))
			if rng.IntN(200) == 0 {
				down += length.Length(rng.IntN(4_000_000))
			}
			points = append(points, point{name: strconv.Itoa(4*i + k), unit: u, x: x, y: y, down: down, visit: rng.IntN(visits)})
		}
		e.width += width
	}
	return b, e, points
}

// TestAllPairs: what the search through a run passes over could not have
// mattered. The answer, how near the worst pair is to its limit, and the faults
// are those of all pairs, weighed one by one.
func TestAllPairs(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	counts := map[string]int{}
	for range 250 {
		b, e, points := longRunPoints(rng, 2+rng.IntN(40))
		got, want := b.weigh(), b.weigh()
		b.weighPairs(e, points, got)
		for j := range points {
			for i := range j {
				want.add(b.topTrial(e, &points[i], &points[j]))
			}
		}
		name := fmt.Sprintf("%s, cut: %t", want.outcome, want.cut)
		counts[name]++
		if got.outcome != want.outcome || got.cut != want.cut || got.worst.margin() != want.worst.margin() {
			t.Fatalf("%s by %d nm, cut: %t; want %s by %d nm", got.outcome, got.worst.margin(), got.cut, name, want.worst.margin())
		}
		if byName := func(f, g fault) int {
			return cmp.Or(cmp.Compare(f.of.where, g.of.where), cmp.Compare(f.of.to, g.of.to))
		}; !want.cut {
			slices.SortFunc(got.faults, byName)
			slices.SortFunc(want.faults, byName)
			if !slices.Equal(got.faults, want.faults) {
				t.Fatalf("%d faults, want %d", len(got.faults), len(want.faults))
			}
		}
	}
	t.Log(counts)
	for _, name := range []string{"pass, cut: false", "fail, cut: false", "fail, cut: true", "undecided, cut: false", "undecided, cut: true"} {
		if counts[name] < 3 {
			t.Errorf("%s: %d runs; the comparison says little", name, counts[name])
		}
	}
}

// TestRunOutOfLevelIsKept: a run with more faults than are kept one by one says
// so in one fault more, which is the same as long as every height is, from
// whatever line it was read.
func TestRunOutOfLevelIsKept(t *testing.T) {
	long(t)
	tilted := func(i int) length.Length { return length.Length(i) * 3 * length.Millimetre }
	faultsOf := func(down func(int) length.Length) []fault {
		return result(t, judge(t, longRun(60, down)), "level and plumb", "run L0 to L59").faults
	}
	then := faultsOf(tilted)
	if len(then) != mostFaults+1 {
		t.Fatalf("%d faults", len(then))
	}
	same := faultsOf(func(i int) length.Length { return tilted(i) + length.Inch })
	other := faultsOf(func(i int) length.Length {
		if i == 60 {
			return tilted(i) + 1
		}
		return tilted(i)
	})
	if !slices.Equal(then, same) {
		t.Error("another reference line makes other faults")
	}
	if then[mostFaults] == other[mostFaults] {
		t.Error("another height makes the same faults")
	}
}
