package checks

import (
	"math/rand/v2"
	"testing"

	"setline.example/checks/floor"
	"setline.example/checks/internal/rooms"
	"setline.example/checks/turns"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// laidOut is a random room with bolts of any pitch, limits as a contract may set
// them, and a set height that need not be the one computed.
func laidOut(rng *rand.Rand) *schema.Record {
	rec := rooms.New(rng, rooms.Size{Rooms: 1})
	l := rec.Planned.Usual.Leveler
	switch rng.IntN(3) {
	case 0:
		l.ThreadsPerInch = []int{1, 2, 5, 8, 10, 13, 16, 18, 20, 32, 80}[rng.IntN(11)]
	case 1:
		pitches := []string{"1 mm", "1.5 mm", "1.75 mm", "2.5 mm", "4 mm", "6 mm", "30 mm"}
		l.ThreadsPerInch, l.Pitch = 0, in(pitches[rng.IntN(len(pitches))])
	}
	limits := map[string]schema.LimitChange{}
	for _, rule := range []*Rule{cabinetTwist, topsInOnePlane, setHeightHeld, topsFlush} {
		if rng.IntN(5) == 0 {
			limits[rule.Name] = schema.LimitChange{Limit: []string{"0 in", "1/64 in", "1/32 in", "1/8 in"}[rng.IntN(4)], Source: "the contract"}
		}
	}
	rec.Planned.Limits = limits
	for name := range rec.Planned.Rooms[0].Elevations {
		e := &rec.Planned.Rooms[0].Elevations[name]
		alter(rec.Measured.Visits[0].Rooms["R101"].Elevations, e.Name, func(s *schema.ElevationSeen) {
			*s.Mark -= length.Length(rng.IntN(40)-4) * length.Inch / 64
		})
	}
	return rec
}

// standAs puts every cabinet of a layout where its levelers bring it, with so much
// left at each, as if that was read to the nanometre.
func standAs(rec *schema.Record, l Layout, left func(LayoutCorner) length.Length) {
	cabinets := rec.Measured.Visits[0].Rooms["R101"].Cabinets
	for _, c := range l.Corners {
		at := map[string]int{"FL": 0, "FR": 1, "BL": 2, "BR": 3}[c.Key]
		alter(cabinets, c.Unit, func(s *schema.CabinetSeen) {
			s.Level, s.Plumb = schema.LevelSeen{}, schema.PlumbSeen{}
			down, out := l.SetTop+c.Left-left(c), c.Least+left(c)
			*topsOf(s)[at] = &down
			*extensionsOf(s)[at] = out
		})
	}
}

// wrongAtCorners counts the corners and runs that the rules of heights do not pass.
func wrongAtCorners(found *Findings) map[string]Outcome {
	wrong := map[string]Outcome{}
	for _, r := range found.Results {
		switch r.Rule {
		case levelAndPlumb, setHeightHeld, topsInOnePlane, cabinetTwist, floorWithinTravel, reserveLeft:
			if r.Outcome == Fail || r.Outcome == Undecided || r.Outcome == Notice {
				wrong[r.Rule.Name+" of "+r.Subject.String()] = r.Outcome
			}
		}
	}
	return wrong
}

// TestHandTurnsAreRight: turns as a hand counts them are those computed, to a
// step; and tops set by them are wrong by no rule by which tops set to the
// nanometre are not.
func TestHandTurnsAreRight(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	eighths, finer := 0, 0
	for range 80 {
		rec := laidOut(rng)
		found := judge(t, rec)
		for _, l := range Layouts(rec, found) {
			for _, c := range l.Corners {
				if !c.Known || !c.Within || c.Hand.Of == 0 {
					continue
				}
				if c.Hand.Of == 8 {
					eighths++
				} else {
					finer++
				}
				eighth, _ := turns.Eighth(c.ThreadsPerInch, c.Pitch)
				step := float64(eighth.Num) / float64(eighth.Den) * 8 / float64(c.Hand.Of)
				is := float64(c.Hand.Parts) / float64(c.Hand.Of)
				if by := is - c.Turns; by > 1/float64(c.Hand.Of) || by < -1/float64(c.Hand.Of) {
					t.Fatalf("%s %s: %v turns, told as %s", c.Unit, c.Key, c.Turns, c.Hand.Text())
				}
				if off := float64(apart(c.Rounded, c.Left)); off > step+1 {
					t.Fatalf("%s %s: off by %v of a step of %v", c.Unit, c.Key, off, step)
				}
			}
		}
		exact, told := laidOutAs(t, rec, found, false), laidOutAs(t, rec, found, true)
		for what, outcome := range told {
			if exact[what] == "" {
				t.Fatalf("%s: %s, and not before the turns were rounded", what, outcome)
			}
		}
	}
	if eighths < 1000 || finer == 0 {
		t.Errorf("%d corners told in eighths and %d in finer parts", eighths, finer)
	}
}

// laidOutAs are what is wrong once all cabinets were set as laid out.
func laidOutAs(t *testing.T, rec *schema.Record, found *Findings, rounded bool) map[string]Outcome {
	t.Helper()
	copied, _, err := rooms.Read(rec)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range Layouts(rec, found) {
		standAs(copied, l, func(c LayoutCorner) length.Length {
			if rounded && c.Hand.Of > 0 {
				return c.Rounded
			}
			return c.Left
		})
	}
	return wrongAtCorners(judge(t, copied))
}

// A corner that has its reserve keeps it: it is turned a little further out where
// the nearest eighth would spend some; and one with next to no travel is told no
// eighth beyond it.
func TestHandTurnsKeepWithinTravel(t *testing.T) {
	const sixteen, eighth = length.Inch / 8, length.Inch / 128 // 16 eighths of a turn, and one, to half a nanometre
	for _, c := range []struct {
		name                    string
		least, greatest, leaves length.Length
		reserve                 length.Length
		want                    HandTurns
	}{
		{"nearest", 0, 2 * length.Inch, sixteen + eighth/3, 0, HandTurns{16, 8}},
		{"half goes up", 0, 2 * length.Inch, sixteen + eighth/2 + 1, 0, HandTurns{17, 8}},
		{"the reserve is kept", 0, 2 * length.Inch, sixteen + eighth/3, sixteen + 1, HandTurns{17, 8}},
		{"no further than it goes", 0, sixteen + eighth - 1, sixteen + eighth - 2, 0, HandTurns{16, 8}},
		{"finer where an eighth is beyond", 0, sixteen + eighth/2 + 9, sixteen + eighth/2, sixteen + 9, HandTurns{33, 16}},
		{"no travel", 0, eighth / 3, eighth / 3, eighth / 3, HandTurns{}},
		{"none", 0, length.Inch, 0, 0, HandTurns{0, 8}},
	} {
		corner := floor.Corner{Known: true, Least: c.least, Greatest: c.greatest, Reserve: c.reserve, ThreadsPerInch: 16}
		if got, _ := handTurns(corner, c.leaves, length.Inch/64); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
	for want, h := range map[string]HandTurns{"0": {0, 8}, "1/4": {2, 8}, "3 1/4": {26, 8}, "9 3/16": {147, 16}, "2": {16, 8}} {
		if got := h.Text().String(); got != want {
			t.Errorf("%+v is told as %q, want %q", h, got, want)
		}
	}
}
