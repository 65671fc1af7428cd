package checks

import (
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"setline.example/checks/floor"
	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// mended gives the visit of who takes a sheet of these asks along once all is put
// right, as complete saw it, and fills in its open boxes and nothing else.
func mended(t *testing.T, complete *schema.Visit, asks []Ask, but *Ask) schema.Visit {
	t.Helper()
	v := answered(t, complete, asks, func(a *Ask) bool { return a.Open && a != but })
	for i := range asks {
		a := &asks[i]
		if a.Thing != theFloor.Thing || a.Again == nil || !a.Open || a == but {
			continue
		}
		alter(v.Rooms[a.Subject.Room].Elevations, a.Subject.Elevation, func(e *schema.ElevationSeen) {
			line := floorLine(&e.Floor, a.Key)
			all := make(floor.Line, len(*line))
			for k, r := range *line {
				all[k] = floor.Reading{At: r.At(), Down: r.Down()}
			}
			*line = nil
			for _, at := range suggested(a.Again) {
				if down, ok := all.DownAt(at); ok {
					*line = append(*line, schema.FloorReading{at, down})
				}
			}
		})
	}
	return v
}

// onceWrong plants faults that a visit can see into a random room, and gives the
// visit that saw them, and the room with the visit that sees all of it right.
func onceWrong(t *testing.T, rng *rand.Rand, rules ...string) (rec *schema.Record, wrong schema.Visit) {
	t.Helper()
	rec = rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1 + rng.IntN(2), Cabinets: 2 + rng.IntN(3)})
	right, _ := source(t, rec)
	complete := right.Measured.Visits[0]
	for _, name := range rules {
		faults[name](rooms.NewPlace(rng, rec))
	}
	wrong = rec.Measured.Visits[0]
	right.Measured.Visits = []schema.Visit{complete}
	return right, wrong
}

// seenWrong are the rules of which the fault planted is one of what was seen.
func seenWrong() []string {
	others := []string{
		"parts received", "work height", "accessible height", "top bears", // of the plan, and what arrived
		"movement between visits", "readings plausible", "instrument checked", // of several visits, and of the visit itself
		"reserve left", // of the mark, from which all was read: that visit has to be corrected
	}
	return slices.DeleteFunc(slices.Sorted(maps.Keys(faults)), func(name string) bool { return slices.Contains(others, name) })
}

// TestAgainIsEnough: who fills in what a sheet asks once faults are put right, and
// nothing else, has every fault judged anew: nothing is left that does not hold, or
// that nobody observed, and nothing is asked any more.
func TestAgainIsEnough(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	all := seenWrong()
	for i := range 3 * len(all) {
		names := []string{all[i%len(all)]}
		for range rng.IntN(3) {
			names = append(names, all[rng.IntN(len(all))])
		}
		rec, wrong := onceWrong(t, rng, names...)
		_, asks := asksOf(t, rec, wrong)
		up := length.Length(rng.IntN(int(length.Foot)))
		complete := moveLine(t, rec.Measured.Visits[0], up)
		again := mended(t, &complete, asks, nil)
		with := *rec
		with.Measured.Visits = []schema.Visit{wrong, again}
		for _, r := range judge(t, &with).Results {
			if !r.Outcome.Holds() {
				t.Errorf("%q, asked again: %s %s: %s: %s", names, r.Outcome, r.Subject, r.Rule.Name, r.Finding.String())
			}
		}
		if _, asks := asksOf(t, rec, wrong, again); AnyOpen(asks) {
			t.Errorf("%q: something is asked though all holds", names)
		}
	}
}

// TestNoAskAgainTooMany: what is asked of what was observed is of a result that
// does not hold, and left blank it leaves one so, but where this test names why not.
func TestNoAskAgainTooMany(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for _, name := range seenWrong() {
		rec, wrong := onceWrong(t, rng, name)
		before, asks := asksOf(t, rec, wrong)
		open := map[string]bool{}
		for _, r := range judge(t, before).Results {
			if !r.Outcome.Holds() {
				open[r.Rule.Name] = true
			}
		}
		for i := range asks {
			a := &asks[i]
			if !a.Open || a.Thing.Of == OfInstrument {
				continue
			}
			if why := besideIt(a); why != "" {
				continue
			}
			if !slices.ContainsFunc(a.Rules, func(r *Rule) bool { return open[r.Name] }) {
				t.Errorf("%s: %s is asked, of which everything holds", name, a.Name(nil))
			}
			again := mended(t, &rec.Measured.Visits[0], asks, a)
			again.Date = "2026-09-11"
			with := *rec
			with.Measured.Visits = []schema.Visit{wrong, again}
			if found := judge(t, &with); found.Ready() {
				t.Errorf("%s: all holds without %s", name, a.Name(nil))
			}
		}
	}
}

// besideIt says why something is asked beside what does not hold.
func besideIt(a *Ask) string {
	switch {
	case a.Thing == theMark.Thing:
		return "it ties what is read now to what was read before"
	case a.Thing == theTops.Thing:
		return "a cabinet of which a bolt is turned moves as a whole"
	case a.Thing == thePacking.Thing:
		return "what lies under a corner is known once the floor is read on it"
	case a.Thing.Of == OfSite:
		return "the last visit that says anything of the site counts"
	case a.Thing == theReleasedRuns.Thing:
		return "of several runs one may be released before the others"
	case a.Thing == theExtension.Thing, a.Thing == theFloor.Thing && slices.Contains(a.Rules, extensionAgrees):
		return "of a top, a floor and an extension that do not agree any may be wrong"
	}
	return ""
}

// TestLeastAgain: what is asked of a room in which one thing was wrong.
func TestLeastAgain(t *testing.T) {
	deep := func(at length.Length, by string) func(*schema.Record) {
		return func(rec *schema.Record) {
			alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) {
				for i := range e.Floor.Front {
					if e.Floor.Front[i].At() == at {
						e.Floor.Front[i][1] += *in(by)
					}
				}
			})
		}
	}
	cabinet := func(edit func(*schema.CabinetSeen)) func(*schema.Record) {
		return func(rec *schema.Record) { alter(seen(rec).Cabinets, "C2", edit) }
	}
	no := false
	recorded := func(rec *schema.Record) {
		deep(75*length.Inch, "3 in")(rec)
		alter(seen(rec).Cabinets, "C3", func(c *schema.CabinetSeen) { c.Extension.FR = in("1/2 in") })
	}
	for _, tc := range []struct {
		name  string
		wrong func(*schema.Record)
		want  string
	}{
		{"nothing", func(*schema.Record) {}, ""},
		{"a corner out of travel", deep(75*length.Inch, "3 in"), "elevations/A/floor/front[75 in] elevations/A/mark cabinets/C3/packing/FR"},
		{"two cabinets meet there", deep(51*length.Inch, "3 in"), "elevations/A/floor/front[51 in] elevations/A/mark cabinets/C2/packing/FR cabinets/C3/packing/FL"},
		{"one top", cabinet(func(c *schema.CabinetSeen) { *c.Tops.BL += *in("1/8 in") }), "elevations/A/mark cabinets/C2/tops/FL cabinets/C2/tops/FR cabinets/C2/tops/BL cabinets/C2/tops/BR"},
		{"and its extension is recorded", recorded, "elevations/A/floor/front[75 in] elevations/A/mark cabinets/C3/packing/FR cabinets/C3/tops/FR cabinets/C3/extension/FR"},
		{"a leveler", cabinet(func(c *schema.CabinetSeen) { c.Bearing.BR = &no }), "cabinets/C2/bearing/BR"},
		{"out of plumb at the front", cabinet(func(c *schema.CabinetSeen) { c.Plumb.Front.Off = *in("1/4 in") }), "cabinets/C2/plumb/front"},
		{"out of level by a level", cabinet(func(c *schema.CabinetSeen) {
			c.Level.Left = &schema.Deviation{Off: *in("1/4 in"), Over: *in("22 in")}
		}), "cabinets/C2/level/left"},
		{"the other side", cabinet(func(c *schema.CabinetSeen) {
			c.Plumb.Right = &schema.Deviation{Off: *in("1/4 in"), Over: *in("30 in")}
		}), "cabinets/C2/plumb/right"},
	} {
		rec := fixture()
		for tag := range seen(rec).Cabinets {
			alter(seen(rec).Cabinets, tag, func(c *schema.CabinetSeen) { c.Extension = schema.CornerLengths{} })
		}
		tc.wrong(rec)
		if got := strings.Join(openNames(t, rec), " "); got != tc.want {
			t.Errorf("%s:\n%s\nwant\n%s", tc.name, got, tc.want)
		}
	}
}
