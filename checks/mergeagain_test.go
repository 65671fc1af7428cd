package checks

import (
	"cmp"
	"encoding/json"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/chance/jobs"
	"setline.example/schema/merge"
)

// otherwise is a record in which another value stands at each of some places.
func otherwise(t *testing.T, rec *schema.Record, places []string, k int) *schema.Record {
	t.Helper()
	for _, at := range places {
		rec = changedAt(t, rec, strings.Split(at, "\n"), k)
	}
	return rec
}

// somePlaces are places of a record at which a value can stand otherwise, one
// of each part of it.
func somePlaces(t *testing.T, rng *rand.Rand, rec *schema.Record) []string {
	t.Helper()
	var tree any
	if err := json.Unmarshal(toJSON(rec), &tree); err != nil {
		t.Fatal(err)
	}
	of := map[string][]string{}
	leaves(tree, nil, func(steps []string) {
		if len(steps) > 1 {
			part := strings.Join(steps[:2], " ")
			of[part] = append(of[part], strings.Join(steps, "\n"))
		}
	})
	var all []string
	for _, part := range sortedNames(of) {
		if part != "planned changes" && !strings.Contains(part, "former") {
			slices.Sort(of[part])
			all = append(all, of[part][rng.IntN(len(of[part]))])
		}
	}
	return all
}

// TestDecidedIsDecided: what was decided when two copies were merged is known when
// the second comes in again, and when the first is merged into the second.
func TestDecidedIsDecided(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	states := longJob(rng)
	state := states[len(states)-1]
	places := somePlaces(t, rng, state)
	a, b := otherwise(t, state, places, 1), otherwise(t, state, places, 2)
	base := []*schema.Record{nil, state}[rng.IntN(2)]
	got := decidedAtRandom(t, rng, a, b, base)
	again, out := mergedOf(t, got, b, base, nil)
	holdDecided(t, "the second again", got, again, out)
	if string(toJSON(again)) != string(toJSON(got)) {
		t.Errorf("the second again: found\n%s\nexpected what was merged\n%s", toJSON(again), toJSON(got))
	}
	back, out := mergedOf(t, b, got, base, nil)
	holdDecided(t, "the other way round", got, back, out)
	last, out := mergedOf(t, got, back, base, nil)
	holdDecided(t, "and back", got, last, out)
}

func holdDecided(t *testing.T, when string, want, got *schema.Record, out *merge.Outcome) {
	t.Helper()
	for _, x := range out.All {
		t.Errorf("%s: %s is asked again: found %s and %s", when, x.Place, x.First, x.Second)
	}
	if w, g := saidWithout(want), saidWithout(got); w != g {
		t.Errorf("%s: found\n%s\nexpected what was merged\n%s", when, g, w)
	}
}

// TestCountsAndOrderDecided: so it is with two counts of a delivery, and with the order
// in which units stand.
func TestCountsAndOrderDecided(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	start := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 3})
	counted := func(damaged int) *schema.Record {
		rec := jobs.Copy(start)
		c := rec.Arrived.Receipts[0]
		c.Date, c.Lines = "2026-11-02", map[string]schema.Received{}
		for _, line := range sortedNames(rec.Arrived.PackingLists[c.PackingList].Lines) { // longer than one note
			c.Lines[line] = schema.Received{Damaged: damaged, Remark: strings.Repeat("é ", 400)}
		}
		rec.Arrived.Receipts = append(rec.Arrived.Receipts, c)
		return rec
	}
	turned := func(i, k int) *schema.Record {
		rec := jobs.Copy(start)
		units := rec.Planned.Rooms[0].Elevations[0].Units
		units[i], units[k] = units[k], units[i]
		return rec
	}
	for _, c := range []struct {
		name    string
		a, b    *schema.Record
		answers []merge.Answer
	}{
		{"counts", counted(1), counted(2), []merge.Answer{merge.First, merge.Second, merge.Both}},
		{"order", turned(1, 2), turned(2, 3), []merge.Answer{merge.First, merge.Second}},
	} {
		for _, answer := range c.answers {
			_, out := mergedOf(t, c.a, c.b, nil, nil)
			if len(out.Open) != 1 {
				t.Fatalf("%s: found %v, expected one contradiction", c.name, out.Open)
			}
			got, _ := mergedOf(t, c.a, c.b, nil, map[string]merge.Answer{out.Open[0].Place: answer})
			again, out := mergedOf(t, got, c.b, nil, nil)
			holdDecided(t, c.name+" again", got, again, out)
			back, out := mergedOf(t, c.b, got, nil, nil)
			holdDecided(t, c.name+" the other way round", got, back, out)
		}
	}
}

// saidWithout is what a record says, without when it was entered and how it came about.
func saidWithout(rec *schema.Record) string {
	rec = jobs.Copy(rec)
	rec.Planned.Changes = nil
	for i := range rec.Arrived.Receipts {
		rec.Arrived.Receipts[i].Entered = 0
	}
	slices.SortStableFunc(rec.Arrived.Receipts, func(a, b schema.Receipt) int { return cmp.Compare(string(toJSON(a)), string(toJSON(b))) })
	for i := range rec.Measured.Visits {
		v := &rec.Measured.Visits[i]
		v.Entered, v.Corrections = 0, nil
		for k := range v.Undone {
			v.Undone[k].Entered, v.Undone[k].Withdrawn.Entered = 0, 0
		}
		if v.Withdrawn != nil {
			v.Withdrawn.Entered = 0
		}
	}
	slices.SortStableFunc(rec.Measured.Visits, func(a, b schema.Visit) int { return cmp.Compare(string(toJSON(a)), string(toJSON(b))) })
	return string(toJSON(rec))
}
