package checks

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/chance/jobs"
)

// TestNumbersStayThroughPlans: the plan changes as well, units come, go, move, are
// called otherwise, are another part, widths, openings, fillers and limits change:
// no number of a fault changes, none is given twice, and what is planned no more
// keeps its own, and says so.
func TestNumbersStayThroughPlans(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	given, gone := 0, 0
	for range 4 {
		states := longJobOf(t, rng, 3)
		given += len(holdNumbers(t, states))
		gone += holdPlans(t, states)
	}
	if given < 20 || gone < 2 {
		t.Errorf("%d numbers given, %d of what is planned no more", given, gone)
	}
}

// holdPlans holds the plan that the last state gives for every earlier one to
// what that planned, and what visits saw to what they saw. It counts the faults of
// what is planned no more.
func holdPlans(t *testing.T, states []*schema.Record) (gone int) {
	t.Helper()
	last, src := source(t, states[len(states)-1])
	if assumed := AssumedPlans(last); len(assumed) > 0 {
		t.Fatalf("found changes %v whose former plan is not known", assumed)
	}
	eras := erasOf(last, nil)
	for k, state := range states {
		then := eraAt(eras, k+1)
		want, got := jobs.Copy(state).Planned, then.rec.Planned
		want.Changes, got.Changes = nil, nil
		if !reflect.DeepEqual(plain(want), plain(got)) {
			t.Fatalf("entry %d: found the plan\n%s\nexpected\n%s", k+1, toJSON(got), toJSON(want))
		}
		rec := asOf(then.rec, k+1)
		for v := range state.Measured.Visits {
			want, got := plain(state.Measured.Visits[v].Rooms), plain(rec.Measured.Visits[v].Rooms)
			if !reflect.DeepEqual(want, got) {
				t.Fatalf("entry %d: found visit %d\n%s\nexpected\n%s", k+1, v, toJSON(got), toJSON(want))
			}
		}
	}
	faults, err := History(last, src)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range faults {
		if f.Number == 0 {
			t.Fatalf("found %s %s without a number", f.Rule.Name, f.Subject)
		}
		if f.Replanned {
			gone++
		}
	}
	return gone
}

// plain is a value as JSON has it, without objects and lists that hold nothing.
func plain(v any) any {
	var out any
	if err := json.Unmarshal(toJSON(v), &out); err != nil {
		panic(err)
	}
	return withoutEmpty(out)
}

func withoutEmpty(v any) any {
	if m, ok := v.(map[string]any); ok {
		for name, kid := range m {
			if kid = withoutEmpty(kid); kid == nil {
				delete(m, name)
			} else {
				m[name] = kid
			}
		}
		if len(m) == 0 {
			return nil
		}
	}
	return v
}

// TestNumberOfWhatIsGone: taking a unit out moves no later number; the fault of the
// unit keeps its number, and says that the plan has it no more.
func TestNumberOfWhatIsGone(t *testing.T) {
	long(t)
	rec := fixture()
	alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = in("1/4 in") })
	rec.Measured.Visits[0].Entered = 1
	units := rec.Planned.Rooms[0].Elevations
	last := units[len(units)-1]
	later := jobs.CopyVisit(rec.Measured.Visits[0])
	later.Date, later.Entered = "2026-12-01", 2
	spoilLast(&later, last)
	rec.Measured.Visits = append(rec.Measured.Visits, later)
	before := numbersOf(t, rec)
	jobs.Replan(t, rec, 3, func(p *schema.Planned) {
		e := &p.Rooms[0].Elevations[0]
		e.Units = slices.DeleteFunc(e.Units, func(u schema.Unit) bool { return u.Tag == "C2" })
		e.Tops = nil
	})
	now := numbersOf(t, rec)
	for n, what := range before {
		if now[n] != what {
			t.Errorf("number %d was of %q and is of %q", n, what, now[n])
		}
	}
	again, src := source(t, rec)
	faults, err := History(again, src)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(faults, func(f Fault) bool { return strings.HasSuffix(f.Subject.String(), "C1+C2") })
	if i < 0 || !faults[i].Replanned || faults[i].PutRight || faults[i].TakenBack {
		t.Errorf("found %+v, expected the fault of what is planned no more", faults[max(i, 0)])
	}
}

// TestFoundOnThePlanOfThen: a part that was short, and came before another of its
// kind was planned, is told as it was short then.
func TestFoundOnThePlanOfThen(t *testing.T) {
	rec := fixture()
	var part string
	for n, list := range rec.Arrived.PackingLists {
		list.Entered = 1
		rec.Arrived.PackingLists[n] = list
	}
	e := &rec.Planned.Rooms[0].Elevations[0]
	part = e.Units[len(e.Units)-1].Part
	whole := rec.Arrived.Receipts[0]
	short := jobs.Copy(rec).Arrived.Receipts[0]
	for name, line := range rec.Arrived.PackingLists[whole.PackingList].Lines {
		if line.Part == part {
			short.Lines[name] = schema.Received{}
		}
	}
	short.Entered, whole.Entered, whole.Date = 2, 3, "2026-10-30"
	rec.Arrived.Receipts = []schema.Receipt{short, whole}
	rec.Measured.Visits = nil
	told := func() (say string) {
		again, src := source(t, rec)
		faults, err := History(again, src)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range faults {
			if f.Rule == partsReceived && f.Number == 1 {
				say = f.Finding.String()
			}
		}
		return say
	}
	before := told()
	jobs.Replan(t, rec, 4, func(p *schema.Planned) {
		e := &p.Rooms[0].Elevations[0]
		e.Units = slices.Insert(e.Units, len(e.Units)-1, schema.Unit{Tag: "N1", Part: part})
		e.Tops = nil
	})
	if now := told(); now != before || !strings.HasPrefix(before, "Short by ") {
		t.Errorf("found then %q, told now as %q", before, now)
	}
}

func spoilLast(v *schema.Visit, e schema.Elevation) {
	tag := e.Units[len(e.Units)-1].Tag
	for _, room := range v.Rooms {
		for _, name := range sortedNames(room.Joints) {
			if strings.HasSuffix(name, "+"+tag) {
				alter(room.Joints, name, func(j *schema.JointSeen) { j.TopOffset = in("1/4 in") })
			}
		}
	}
}

// TestPlanBeforeNobodyKnows: a change of the plan that does not keep what was
// before, as older records have them, is told; the record reads and judges as ever.
func TestPlanBeforeNobodyKnows(t *testing.T) {
	rec := fixture()
	rec.Measured.Visits[0].Entered = 1
	for n := range 3 {
		jobs.Replan(t, rec, n+2, func(p *schema.Planned) { p.Project.Number = fmt.Sprint("J", n) })
	}
	if got := AssumedPlans(rec); len(got) > 0 {
		t.Fatalf("found %v, expected all plans to be known", got)
	}
	was := rec.Planned.Changes[1].Before
	for name, before := range map[string][]schema.PatchStep{
		"none":                 nil,
		"leads nowhere":        {{Op: "remove", Path: "/planned/rooms/9"}},
		"makes a plan of none": {{Op: "remove", Path: "/planned/rooms"}},
	} {
		rec.Planned.Changes[1].Before = before
		if got := AssumedPlans(rec); !slices.Equal(got, []int{0, 1}) {
			t.Errorf("%s: found %v, expected the first two", name, got)
		}
		numbersOf(t, rec)
	}
	rec.Planned.Changes[1].Before = was
	rec.Planned.Changes[0].Entered = 0
	if got := AssumedPlans(rec); !slices.Equal(got, []int{0}) {
		t.Errorf("without its place: found %v, expected the first", got)
	}
}
