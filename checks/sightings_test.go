package checks

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// TestLastFound: among sightings that are added one by one the last of which
// something is so is the one that looking through all of them finds, however
// often it was looked for before.
func TestLastFound(t *testing.T) {
	rng := chance.Source(t)
	for range 50 {
		var l sightings[int]
		rare := 1 + rng.IntN(40)
		for when := range 3 * few {
			value := rng.IntN(rare)
			l.add(sighting[int]{when: when, seen: &value})
			for key := range 3 {
				is := func(s *sighting[int]) bool { return *s.seen == key }
				want := -1
				for i := range l.all {
					if is(&l.all[i]) {
						want = i
					}
				}
				if rng.IntN(3) > 0 {
					continue // not looked for after every one
				}
				if got := l.last(sought{key: string(rune('a' + key))}, is); got != want {
					t.Fatalf("%d of %d sightings, want %d", got, len(l.all), want)
				}
			}
		}
	}
}

// TestSurveysFollowed: the floor of visits that are added one by one, of which
// some read the mark and some name a reference line, is what merging all their
// readings gives.
func TestSurveysFollowed(t *testing.T) {
	rng := chance.Source(t)
	merged := 0
	for range 60 {
		rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 2, Cabinets: 3})
		rec.Measured.Visits = slices.Repeat(rec.Measured.Visits, 12)
		name := rec.Planned.Rooms[0].Name
		first := rec.Measured.Visits[0].Rooms[name]
		r := plannedRoom(rec, 0)
		references := rng.IntN(2) == 0
		for when := range rec.Measured.Visits {
			seen := first
			seen.Elevations = map[string]schema.ElevationSeen{}
			for _, e := range r.elevations {
				seen.Elevations[e.plan.Name] = floorAgain(rng, first.Elevations[e.plan.Name], references)
			}
			day := schema.Date(fmt.Sprintf("2026-09-%02d", 10+when/2))
			r.addVisit(rec, when, when, day, &seen)
			r.settle()
			for _, e := range r.elevations {
				got := e.floor
				kept := e.surveys.elsewhere
				e.surveys.elsewhere = true // so that all is merged
				want := e.survey(r.elevations)
				e.surveys.elsewhere = kept
				if got.marked && !kept {
					merged++
				}
				if !reflect.DeepEqual(got, want) {
					t.Fatalf("visit %d of %s:\n%+v\nwant\n%+v", when, e.plan.Name, got, want)
				}
			}
		}
	}
	if merged < 60 {
		t.Errorf("only %d floors were kept", merged)
	}
}

// floorAgain is some of the floor, read from another line.
func floorAgain(rng *rand.Rand, s schema.ElevationSeen, references bool) schema.ElevationSeen {
	by := length.Length(rng.IntN(1000)) * length.Inch / 64
	some := func(line []schema.FloorReading) (l []schema.FloorReading) {
		for _, r := range line {
			if rng.IntN(3) > 0 {
				l = append(l, schema.FloorReading{r.At() + length.Length(rng.IntN(2))*length.Inch, r.Down() + by})
			}
		}
		return l
	}
	again := schema.ElevationSeen{Floor: schema.FloorSeen{Front: some(s.Floor.Front), Back: some(s.Floor.Back)}}
	if rng.IntN(3) > 0 {
		mark := *s.Mark + by
		again.Mark = &mark
	}
	if references && rng.IntN(2) == 0 {
		again.Reference = "door side"
	}
	return again
}
