package checks

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/checks/rest"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// releaseOf is the release of the fixture's elevation.
func releaseOf(t *testing.T, rec *schema.Record) Release {
	t.Helper()
	found := judge(t, rec)
	return NewDraft(found.Record, found).Releases(0)[0]
}

// todo lists what is to be done, place by place.
func todo(s *TopSet) []string {
	var all []string
	for _, b := range s.Bearings {
		if b.Rise > 0 {
			all = append(all, b.Words.String()+" "+b.Gaps[0].String()+", "+b.What().String())
		}
	}
	return all
}

// TestGaps: nothing up to U, a shim up to 1/16 in, the bolts beyond. The laser
// reads 64ths; of a corner of the plane through three others U is twice the root
// of 4 times 1/64 in / root 12, which is 1.155 of them: worked out by hand from
// JCGM 100:2008, 5.1.2 and F.2.2.1.
func TestGaps(t *testing.T) {
	for _, tc := range []struct {
		name string
		up   []int
		todo []string
	}{
		{"one 64th low", []int{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, -1}, []string{"C3 back-right 1/64 in, bears, as far as can be told"}},
		{"two", []int{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, -2}, []string{"C3 back-right 1/32 in, shim 1/32 in"}},
		{"at the most that is shimmed", []int{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, -4}, []string{"C3 back-right 1/16 in, shim 1/16 in"}},
		{"beyond it", []int{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, -5},
			[]string{"C3 back-right 5/64 in, more than is shimmed: bring it up by 5/64 in with the bolts, and read again"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			planTops(schema.Top{From: "C1", To: "C3"})(rec)
			closing(func(c *schema.ClosingSeen) { c.TopsReleased = nil })(rec)
			topsAt(rec, tc.up...)
			r := releaseOf(t, rec)
			if got := todo(&r.Sets[0]); !slices.Equal(got, tc.todo) {
				t.Errorf("%q, want %q", got, tc.todo)
			}
		})
	}
}

// TestUncertaintyOfGaps: of the plane through three corners, at the fourth.
func TestUncertaintyOfGaps(t *testing.T) {
	rec := fixture()
	planTops(schema.Top{From: "C1", To: "C1", Overhang: in("1 in")})(rec)
	topsAt(rec, -4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0)
	s := releaseOf(t, rec).Sets[0]
	// 2 x root(1 + 1 + 1 + 1) x (1/64 in / root 12) = 2/root 3 of 1/64 in = 458,272 nm.
	if b := s.Bearings[3]; b.Words.String() != "C1 back-right" || !b.Known || b.U != 458_272 {
		t.Errorf("%s: U %d nm", b.Words, b.U)
	}
	// Of a corner that carries the top it is one step: 1/64 in = 396,875 nm.
	if b := s.Bearings[0]; b.U != 396_875 {
		t.Errorf("%s: U %d nm", b.Words, b.U)
	}
	delete(rec.Measured.Visits[0].Instruments, "laser")
	if b := releaseOf(t, rec).Sets[0].Bearings[3]; b.Known || b.Do != UnknownDo {
		t.Errorf("without a laser: U %d nm, %s", b.U, b.What())
	}
}

// TestPiecesThatMeet are shimmed to one plane; those apart each to its own.
func TestPiecesThatMeet(t *testing.T) {
	rec := fixture()
	topsAt(rec, 0, 0, 0, 0, -2, -2, -2, -2, -2, -2, -2, -2)
	planTops(schema.Top{From: "C1", To: "C1"}, schema.Top{From: "C2", To: "C3"})(rec)
	r := releaseOf(t, rec)
	if len(r.Sets) != 1 || len(r.Sets[0].Pieces) != 2 {
		t.Fatalf("%d sets", len(r.Sets))
	}
	for _, p := range r.Sets[0].Pieces {
		if p.State != rest.Steady {
			t.Errorf("%s by itself", p.How)
		}
	}
	// As one they rest on the right end of C1 and of C3.
	var carry []string
	for _, b := range r.Sets[0].Bearings {
		if b.Rise == 0 {
			carry = append(carry, b.Words.String())
		}
	}
	if got := strings.Join(carry, ", "); got != "C1 front-right, C1 back-right, C3 front-right, C3 back-right" {
		t.Error(got)
	}
	planTops(schema.Top{From: "C1", To: "C1"}, schema.Top{From: "C2", To: "C3"}, schema.Top{From: "76 in", To: "80 in"})(rec)
	if r := releaseOf(t, rec); len(r.Sets) != 2 {
		t.Errorf("%d sets of pieces, the last apart", len(r.Sets))
	}
}

// TestShimsAreRoundedDown, never up: to what can be cut.
func TestShimsAreRoundedDown(t *testing.T) {
	for _, tc := range []struct {
		gap  *big.Rat
		sys  length.System
		want length.Length
	}{
		{big.NewRat(int64(length.Inch), 64), length.InchSystem, length.Inch / 64},
		{big.NewRat(int64(length.Inch)*3-1, 64*3), length.InchSystem, 0},
		{big.NewRat(int64(length.Inch)*10-1, 64*3), length.InchSystem, length.Inch * 3 / 64},
		{big.NewRat(1_599_999, 1), length.Metric, 1_500_000},
		{big.NewRat(1_600_000, 1), length.Metric, 1_600_000},
	} {
		if got := shimFor(tc.gap, tc.sys); got != tc.want {
			t.Errorf("%s: %d, want %d", tc.gap, got, tc.want)
		}
	}
}

// TestAfterTheRelease no bolt is to be turned any more.
func TestAfterTheRelease(t *testing.T) {
	rec := fixture()
	planTops(schema.Top{From: "C1", To: "C3"})(rec)
	topsAt(rec, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, -8)
	r := releaseOf(t, rec)
	if b := r.Sets[0].Bearings[11]; b.Do != ClosedOff || r.Ready() || !r.IsReleased() {
		t.Errorf("%s %s, ready %v, released %v", b.Words, b.What(), r.Ready(), r.IsReleased())
	}
}

// TestWhatKeepsARunFromItsTop: what a top closes off has to hold before.
func TestWhatKeepsARunFromItsTop(t *testing.T) {
	rec := fixture()
	planTops(schema.Top{From: "C1", To: "C3"})(rec)
	closing(func(c *schema.ClosingSeen) { c.TopsReleased, *c.Clean, *c.Anchored = nil, false, false })(rec)
	alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Bearing.BL = false })
	r := releaseOf(t, rec)
	var open []string
	for _, o := range r.Open {
		open = append(open, o.Rule.Name)
	}
	if got := strings.Join(open, ", "); got != "anchored as drawn, levelers bearing" || r.Ready() {
		t.Errorf("%s; ready %v", got, r.Ready())
	}
}

// lists are what is to be done in random rooms, by place, for comparison.
func lists(t *testing.T, rec *schema.Record) map[string]string {
	found := judge(t, rec)
	d := NewDraft(found.Record, found)
	all := map[string]string{}
	for i := range rec.Planned.Rooms {
		for _, r := range d.Releases(i) {
			for _, s := range r.Sets {
				for _, b := range s.Bearings {
					all[fmt.Sprintf("%s %s", r.Room, b.Words)] = fmt.Sprintf("%s of %v: %d, %d or %d nm, U %d nm", s.State, s.Ways, b.Do, b.Gaps[0], slices.Max(b.Gaps), b.U)
				}
			}
		}
	}
	return all
}

// TestReleasesMirrored: a room seen in a mirror has the mirrored list, gap by gap.
// Of a top that rocks equally level ways may change places.
func TestReleasesMirrored(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	compared := 0
	for range fewer(40, 15) {
		rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1 + rng.IntN(2)})
		before := lists(t, rec)
		mirror(rec)
		after := lists(t, rec)
		for place, want := range before {
			if !strings.HasPrefix(want, string(rest.Steady)) {
				continue
			}
			compared++
			if got := after[mirroredCorner(place)]; got != want {
				t.Fatalf("%s: %s, mirrored %s", place, want, got)
			}
		}
	}
	if compared < fewer(200, 60) {
		t.Errorf("only %d places compared", compared)
	}
}

func mirroredCorner(place string) string {
	switch before, ok := strings.CutSuffix(place, "-left"); {
	case ok:
		return before + "-right"
	default:
		return strings.TrimSuffix(place, "-right") + "-left"
	}
}

// TestReleasesInOtherUnits: gaps and what they are held against are lengths, not
// what is printed. Shims are what can be cut in each.
func TestReleasesInOtherUnits(t *testing.T) {
	rng := chance.Source(t)
	for range 10 {
		rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1})
		rec.Planned.LengthsIn = length.InchSystem
		before := lists(t, rec)
		rec.Planned.LengthsIn = length.Metric
		after := lists(t, rec)
		for place, want := range before {
			if after[place] != want {
				t.Errorf("%s: %s in inches, %s in millimetres", place, want, after[place])
			}
		}
	}
}
