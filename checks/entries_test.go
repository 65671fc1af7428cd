package checks

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/chance/jobs"
)

// longJob is a job of random rooms as it was entered.
func longJob(rng *rand.Rand) []*schema.Record { return longJobOf(nil, rng, 0) }

// longJobOf is a long job of which so many entries in ten change the plan.
func longJobOf(t testing.TB, rng *rand.Rand, replans int) []*schema.Record {
	return jobs.Entered(t, rng, rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 3}), jobs.Of{Entries: 12, Replans: replans})
}

// numberOf names a fault by what it is of, for every number that was ever given.
func numbersOf(t *testing.T, rec *schema.Record) map[int]string {
	t.Helper()
	again, src := source(t, rec)
	faults, err := History(again, src)
	if err != nil {
		t.Fatal(err)
	}
	all := map[int]string{}
	for _, f := range faults {
		if other, twice := all[f.Number]; twice {
			t.Fatalf("number %d is of %s and of %s", f.Number, other, f.Subject)
		}
		all[f.Number] = f.Rule.Name + " " + f.Subject.String()
	}
	return all
}

// TestNumbersStay: whatever is entered next, no number of a fault changes, and
// none is given twice: late sheets of earlier days, deliveries, corrections and
// visits taken back among them.
func TestNumbersStay(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	given := 0
	for range 20 {
		given += len(holdNumbers(t, longJob(rng)))
	}
	if given < 100 {
		t.Errorf("%d numbers given, expected more", given)
	}
}

// holdNumbers holds the numbers of every state of a job to those of the one before
// it, and gives those of the last.
func holdNumbers(t *testing.T, states []*schema.Record) map[int]string {
	t.Helper()
	before := map[int]string{}
	for k, state := range states {
		now := numbersOf(t, state)
		for n := range len(now) {
			if was, ok := before[n+1]; now[n+1] == "" || ok && now[n+1] != was {
				t.Fatalf("entry %d: number %d was of %q and is of %q", k+1, n+1, was, now[n+1])
			}
		}
		if len(now) < len(before) {
			t.Fatalf("entry %d: found %d numbers, expected at least %d", k+1, len(now), len(before))
		}
		before = now
	}
	return before
}

// TestWithdrawnNeverWas: a record in which a visit was withdrawn has the results
// and the faults of one in which it never was, but for their numbers.
func TestWithdrawnNeverWas(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 20 {
		states := longJob(rng)
		rec := states[len(states)-1]
		without := jobs.Copy(rec)
		without.Measured.Visits = slices.DeleteFunc(without.Measured.Visits, func(v schema.Visit) bool { return v.Withdrawn != nil })
		if got, want := withoutVisits(judge(t, rec)), withoutVisits(judge(t, without)); got != want {
			t.Fatalf("with the withdrawn visit:\n%s\nwithout:\n%s", got, want)
		}
		if got, want := foundIn(t, rec), foundIn(t, without); !slices.Equal(got, want) {
			t.Fatalf("with the withdrawn visit:\n%q\nwithout:\n%q", got, want)
		}
	}
}

func foundIn(t *testing.T, rec *schema.Record) []string {
	t.Helper()
	again, src := source(t, rec)
	faults, err := History(again, src)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, f := range faults {
		if f.TakenBack {
			continue
		}
		all = append(all, fmt.Sprint(f.Rule.Name, f.Subject, f.Finding, f.PutRight))
	}
	slices.Sort(all)
	return all
}

// withoutVisits is what is found, without which visit found it.
func withoutVisits(found *Findings) string {
	var b strings.Builder
	for _, r := range found.Results {
		fmt.Fprintln(&b, r.Outcome, r.Rule.Name, r.Subject, r.Finding, r.Remedy)
	}
	return b.String()
}

// TestLateDelivery: what a backorder brings puts the shortage right and changes
// no number; what is short on a list that is entered late comes last.
func TestLateDelivery(t *testing.T) {
	rec := fixture()
	alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = in("1/4 in") })
	rec.Measured.Visits[0].Entered = 1
	before := numbersOf(t, rec)
	for name, list := range rec.Arrived.PackingLists {
		for n, line := range list.Lines {
			line.Quantity++ // one more is listed than is drawn
			list.Lines[n] = line
			break
		}
		list.Entered = 2
		rec.Arrived.PackingLists[name] = list
		break
	}
	now := numbersOf(t, rec)
	if now[1] != before[1] || !strings.HasPrefix(now[1], "fronts flush") || len(now) < 2 {
		t.Errorf("before %v, now %v", before, now)
	}
}
