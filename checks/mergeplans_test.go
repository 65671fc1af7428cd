package checks

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/chance/jobs"
	"setline.example/schema/merge"
)

// goOn enters so much into a copy of a job: visits, corrections, visits taken back
// and, where replans, changes of the plan.
func goOn(t *testing.T, rng *rand.Rand, rec *schema.Record, clean schema.Visit, who string, entries int, replans bool) *schema.Record {
	t.Helper()
	now := jobs.Copy(rec)
	for range entries {
		n := now.NextEntry()
		switch k := rng.IntN(8); {
		case k < 3 && replans:
			jobs.Replan(t, now, n, func(p *schema.Planned) { jobs.ChangePlan(rng, p) })
			now.Planned.Changes[len(now.Planned.Changes)-1].Reason = fmt.Sprintf("revision %d of %s", n, who)
		case k < 4 && len(now.Measured.Visits) > 0:
			jobs.Correct(rng, &now.Measured.Visits[rng.IntN(len(now.Measured.Visits))], n)
		case k < 5 && len(now.Measured.Visits) > 0:
			v := &now.Measured.Visits[rng.IntN(len(now.Measured.Visits))]
			if v.Withdrawn == nil {
				v.Withdrawn = &schema.Withdrawn{By: schema.Party{Name: who}, Date: "2026-11-20", Reason: "another room", Entered: n}
			}
		default:
			v := jobs.LookedAt(&now.Planned, clean)
			v.Date = schema.Date(fmt.Sprintf("2026-10-%02d", 1+rng.IntN(28)))
			v.People, v.Entered = []schema.Party{{Name: who}}, n
			jobs.Spoil(rng, &v)
			now.Measured.Visits = append(now.Measured.Visits, v)
		}
		now = jobs.Copy(now)
	}
	return now
}

// plansOf are the plans of a record, from the first that can be told to the one of
// now, without their changes.
func knownPlans(t *testing.T, rec *schema.Record) (all []schema.Planned) {
	t.Helper()
	limits, problems := contractLimits(rec, nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, e := range erasOf(rec, limits) {
		p := e.rec.Planned
		p.Changes = nil
		all = append(all, p)
	}
	return all
}

// factsOf takes a plan apart, in such a way that a fact that two people changed is
// seen as one.
func factsOf(p *schema.Planned) map[string]string {
	facts := map[string]string{"limits": string(toJSON(p.Limits)), "closing out": fmt.Sprint(p.ClosingOut)}
	for name, c := range p.Cabinets {
		facts["part "+name] = string(toJSON(c))
	}
	for _, r := range p.Rooms {
		for _, e := range r.Elevations {
			facts["opening "+e.Name] = string(toJSON(e.Opening))
			for _, u := range e.Units {
				facts["unit "+u.Tag] = string(toJSON(u))
			}
		}
	}
	return facts
}

// bothWays is what two copies of a job become when they go different ways. The
// second always changes the plan, the first where both do.
func bothWays(t *testing.T, rng *rand.Rand, both bool) (start, a, b *schema.Record) {
	states := longJobOf(t, rng, 3)
	start = states[len(states)-1-rng.IntN(6)]
	i := slices.IndexFunc(states, func(r *schema.Record) bool { return len(r.Measured.Visits) > 0 })
	clean := jobs.CopyVisit(states[i].Measured.Visits[0])
	clean.Corrections, clean.Withdrawn, clean.Undone, clean.Former = nil, nil, nil, nil
	a = goOn(t, rng, start, clean, "A. Lead", 1+rng.IntN(5), both)
	b = goOn(t, rng, start, clean, "B. Other", 1+rng.IntN(5), true)
	return start, a, b
}

// decidedAtRandom merges, and decides what contradicts each other until nothing
// is left.
func decidedAtRandom(t *testing.T, rng *rand.Rand, a, b, base *schema.Record) *schema.Record {
	t.Helper()
	decided := map[string]merge.Answer{}
	for range 20 {
		got, out := mergedOf(t, a, b, base, decided)
		if len(out.Open) == 0 {
			return got
		}
		for _, x := range out.Open {
			decided[x.Place] = []merge.Answer{merge.First, merge.Second}[rng.IntN(2)]
		}
	}
	t.Fatal("contradictions are left however often they are decided")
	return nil
}

// TestMergeLeadsBackToEveryPlan: the merged record knows every plan that the first
// copy knew, and each that the second knew with what the first had changed, and so
// exactly that where it had changed nothing. No fault that the first numbered gets
// another number.
func TestMergeLeadsBackToEveryPlan(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for k := range 2 {
		start, a, b := bothWays(t, rng, k%2 == 0)
		for _, pair := range [][2]*schema.Record{{a, b}, {b, a}} {
			got := decidedAtRandom(t, rng, pair[0], pair[1], start)
			holdMergedPlans(t, start, pair[0], pair[1], got)
		}
	}
}

func holdMergedPlans(t *testing.T, start, first, second, got *schema.Record) {
	t.Helper()
	if assumed := AssumedPlans(got); len(assumed) > len(AssumedPlans(first)) {
		t.Fatalf("found %d changes before which nobody knows the plan, expected %d:\n%s", len(assumed), len(AssumedPlans(first)), toJSON(got))
	}
	has := map[string]bool{}
	all := knownPlans(t, got)
	for i := range all {
		has[string(toJSON(all[i]))] = true
	}
	for i, p := range knownPlans(t, first) {
		if !has[string(toJSON(p))] {
			t.Fatalf("plan %d of the first copy is lost: %s", i, toJSON(p))
		}
	}
	was, is := factsOf(&start.Planned), factsOf(&first.Planned)
	for i, p := range knownPlans(t, second) {
		facts := factsOf(&p)
		if !slices.ContainsFunc(all, func(q schema.Planned) bool { return otherwiseBy(factsOf(&q), facts, was, is) == "" }) {
			t.Fatalf("plan %d of the second copy is lost: %s", i, toJSON(p))
		}
	}
	numbers := numbersOf(t, got)
	for number, of := range numbersOf(t, first) {
		if numbers[number] != of {
			t.Fatalf("found fault %d of %q, expected %q as the first copy has it", number, numbers[number], of)
		}
	}
}

// otherwiseBy is a fact that two plans have otherwise, though nobody changed it
// from was to is; "" where there is none.
func otherwiseBy(got, want, was, is map[string]string) string {
	for _, facts := range []map[string]string{got, want} {
		for _, name := range sortedNames(facts) {
			if got[name] != want[name] && was[name] == is[name] {
				return name
			}
		}
	}
	return ""
}

// TestMergeTellsOfAPlanWithoutAChange: where a copy plans otherwise and no change
// of the plan says so, the merged record says so itself, makes nothing history of
// it, and still leads back.
func TestMergeTellsOfAPlanWithoutAChange(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	states := longJob(rng)
	start := states[len(states)-1]
	first := jobs.Copy(start)
	jobs.Replan(t, first, first.NextEntry(), func(p *schema.Planned) { p.ClosingOut = !p.ClosingOut })
	second := jobs.Copy(start)
	part := sortedNames(second.Planned.Cabinets)[0]
	c := second.Planned.Cabinets[part]
	c.Width += *in("1 in")
	second.Planned.Cabinets[part] = c
	got, out := mergedOf(t, first, second, start, nil)
	if len(out.All) > 0 || len(out.Former) > 0 {
		t.Fatalf("found %v and %v, expected neither", out.All, out.Former)
	}
	holdMergedPlans(t, start, first, start, got)
	if now := got.Planned.Cabinets[part].Width; now != c.Width {
		t.Errorf("found %s, expected %s", now, c.Width)
	}
	var visits, had any
	for _, v := range []struct {
		rec *schema.Record
		to  *any
	}{{got, &visits}, {first, &had}} {
		if err := json.Unmarshal(toJSON(v.rec.Measured), v.to); err != nil {
			t.Fatal(err)
		}
	}
	if fmt.Sprint(visits) != fmt.Sprint(had) {
		t.Errorf("what was seen is otherwise")
	}
}
