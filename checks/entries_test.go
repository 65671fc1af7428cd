package checks

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// longJob is a job as it was entered, entry by entry: what came, visits that are
// often wrong, some of them late, some taken back, some values corrected. It
// gives the record after each entry.
func longJob(rng *rand.Rand) []*schema.Record { return longJobOf(nil, rng, 0) }

// longJobOf is a long job of which so many entries in ten change the plan.
func longJobOf(t testing.TB, rng *rand.Rand, replans int) []*schema.Record {
	whole := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 3})
	clean := whole.Measured.Visits[0]
	now := *whole
	now.Measured.Visits = nil
	now.Arrived = schema.Arrived{PackingLists: map[string]schema.PackingList{}}
	var states []*schema.Record
	n := 0
	enter := func(change func(*schema.Record, int)) {
		n++
		next := copyOf(&now)
		change(next, n)
		now = *next
		states = append(states, copyOf(next))
	}
	for _, list := range sortedNames(whole.Arrived.PackingLists) {
		enter(func(r *schema.Record, n int) {
			l := whole.Arrived.PackingLists[list]
			l.Entered = n
			if r.Arrived.PackingLists == nil {
				r.Arrived.PackingLists = map[string]schema.PackingList{}
			}
			r.Arrived.PackingLists[list] = l
		})
	}
	for range 12 {
		switch k := rng.IntN(10 + replans); {
		case k >= 10:
			enter(func(r *schema.Record, n int) { replan(t, r, n, func(p *schema.Planned) { oneReplan(rng, p) }) })
		case k < 6 || len(now.Measured.Visits) == 0:
			enter(func(r *schema.Record, n int) {
				v := copyVisit(clean)
				if replans > 0 {
					v = lookedAt(&r.Planned, clean)
				}
				v.Date = schema.Date(fmt.Sprintf("2026-10-%02d", 1+rng.IntN(28))) // late ones too
				v.Entered = n
				spoil(rng, &v)
				r.Measured.Visits = append(r.Measured.Visits, v)
			})
		case k < 7:
			enter(func(r *schema.Record, n int) {
				for i := range whole.Arrived.Receipts {
					c := whole.Arrived.Receipts[i]
					c.Entered = n
					if len(r.Arrived.Receipts) == 0 {
						r.Arrived.Receipts = append(r.Arrived.Receipts, c)
					}
				}
			})
		case k < 9: // a correction
			enter(func(r *schema.Record, n int) {
				v := &r.Measured.Visits[rng.IntN(len(r.Measured.Visits))]
				correctOne(rng, v, n)
			})
		default:
			enter(func(r *schema.Record, n int) {
				v := &r.Measured.Visits[rng.IntN(len(r.Measured.Visits))]
				if w := v.Withdrawn; w != nil {
					v.Undone = append(v.Undone, schema.Undone{Withdrawn: *w, By: w.By, Date: "2026-11-21", Reason: "it was this room", Entered: n})
					v.Withdrawn = nil
					return
				}
				v.Withdrawn = &schema.Withdrawn{By: schema.Party{Name: "A. Lead"}, Date: "2026-11-20", Reason: "another room", Entered: n}
			})
		}
	}
	return states
}

func copyOf(rec *schema.Record) *schema.Record {
	text, err := json.Marshal(rec)
	if err != nil {
		panic(err)
	}
	again := new(schema.Record)
	if err := json.Unmarshal(text, again); err != nil {
		panic(err)
	}
	return again
}

func copyVisit(v schema.Visit) schema.Visit {
	return copyOf(&schema.Record{Measured: schema.Measured{Visits: []schema.Visit{v}}}).Measured.Visits[0]
}

// spoil makes some offsets and levelers of a visit wrong.
func spoil(rng *rand.Rand, v *schema.Visit) {
	for _, room := range v.Rooms {
		for _, name := range sortedNames(room.Joints) {
			if rng.IntN(3) == 0 {
				alter(room.Joints, name, func(j *schema.JointSeen) { j.FrontOffset = in("1/4 in") })
			}
		}
		for _, tag := range sortedNames(room.Cabinets) {
			if rng.IntN(4) == 0 {
				alter(room.Cabinets, tag, func(c *schema.CabinetSeen) { no := false; c.Bearing.FL = &no })
			}
		}
	}
}

// correctOne corrects one joint's offset of a visit, to right or to wrong.
func correctOne(rng *rand.Rand, v *schema.Visit, n int) {
	for room, seen := range v.Rooms {
		names := sortedNames(seen.Joints)
		if len(names) == 0 {
			return
		}
		name := names[rng.IntN(len(names))]
		var was json.RawMessage
		alter(seen.Joints, name, func(j *schema.JointSeen) {
			if j.FrontOffset != nil {
				was, _ = json.Marshal(j.FrontOffset)
			}
			right := []length.Length{0, *in("3/16 in")}[rng.IntN(2)]
			j.FrontOffset = &right
		})
		if now, _ := json.Marshal(seen.Joints[name].FrontOffset); string(now) == string(was) {
			return
		}
		v.Corrections = append(v.Corrections, schema.Correction{
			At: schema.Pointer("/rooms", room, "joints", name, "front_offset"), Was: was,
			By: schema.Party{Name: "A. Lead"}, Date: "2026-11-20", Reason: "misread", Entered: n,
		})
	}
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
		without := copyOf(rec)
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
