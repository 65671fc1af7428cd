package checks

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// oneReading are the rules that hold one reading or answer of a subject
// against one limit. All others say of each fault what it is of.
var oneReading = []string{
	"survey coverage", "work height", "accessible height", "tops in one plane", "cabinet twist",
	"fronts flush", "tops flush", "joint gap", "filler before first cabinet", "instrument checked",
}

// TestFaultsSayWhatTheyAreOf: where a rule judges several things of a subject,
// a concession can tell its faults apart.
func TestFaultsSayWhatTheyAreOf(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	check := func(rec *schema.Record) {
		for _, r := range judge(t, rec).Results {
			if r.Outcome != Fail && r.Outcome != Undecided {
				continue
			}
			if len(r.faults) == 0 {
				t.Errorf("%s of %s fails without a fault", r.Rule.Name, r.Subject)
			}
			for i, f := range r.faults {
				if f.of == (faultOf{}) && !slices.Contains(oneReading, r.Rule.Name) {
					t.Errorf("%s of %s does not say what a fault is of: %s", r.Rule.Name, r.Subject, r.Finding.String())
				}
				if slices.ContainsFunc(r.faults[:i], func(g fault) bool { return g.of == f.of }) {
					t.Errorf("%s of %s has two faults of one thing, %v: %s", r.Rule.Name, r.Subject, f.of, r.Finding.String())
				}
			}
		}
	}
	for _, f := range oneFault {
		rec := fixture()
		f.edit(rec)
		check(rec)
		rec.Planned.DecisionRule = Guarded
		check(rec)
	}
	for range fewer(20, 5) {
		check(withFaults(rng))
	}
}

// TestConcessionCoversNothingWorse: in random rooms every fault that can be
// conceded is, and seen again after that with one reading a nanometre further
// off it is no more; unchanged or a nanometre nearer it still is.
func TestConcessionCoversNothingWorse(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	tried := map[string]int{}
	for range 60 {
		name := Names()[rng.IntN(len(Names()))]
		rule := Find(name)
		if rule.NoConcession != "" || rule.Advises || rule == partsReceived {
			continue
		}
		rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 3})
		if faults[name](rooms.NewPlace(rng, rec)) == "" {
			continue
		}
		before := judge(t, rec)
		i := slices.IndexFunc(before.Results, func(r Result) bool { return r.Rule == rule && r.Outcome == Fail })
		if i < 0 {
			continue
		}
		was := before.Results[i]
		rec.Agreed.Concessions = []schema.Concession{{Rule: name, Subject: was.Subject.String(), Reason: "r", By: schema.Party{Name: "G"}, Date: "2026-09-12"}}
		tried[name]++
		for _, by := range []length.Length{-1, 0, 1} {
			again, changed := seenOnceMore(t, rec, was, by)
			if by != 0 && !changed {
				continue
			}
			now := Result{}
			for _, r := range judge(t, again).Results {
				if r.Rule == rule && r.Subject.String() == was.Subject.String() {
					now = r
				}
			}
			switch worse := now.Margin.N < was.Margin.N; {
			case worse && now.Outcome == Conceded:
				t.Errorf("%s of %s is conceded though it is worse: %s, was %s", name, was.Subject, now.Finding.String(), was.Finding.String())
			case !worse && now.Outcome == Fail, by == 0 && now.Outcome != Conceded:
				t.Errorf("%s of %s is %s though it is no worse: %s, was %s", name, was.Subject, now.Outcome, now.Finding.String(), was.Finding.String())
			}
		}
	}
	if len(tried) < 5 {
		t.Errorf("tried only %v", tried)
	}
}

// seenOnceMore is a record with all of its first visit seen again after the
// concession, and the reading that decided so much further from zero.
func seenOnceMore(t *testing.T, rec *schema.Record, was Result, by length.Length) (again *schema.Record, changed bool) {
	t.Helper()
	again = copied(t, rec)
	visit := copied(t, rec).Measured.Visits[0]
	visit.Date = "2026-09-20"
	again.Measured.Visits = append(again.Measured.Visits, visit)
	data, err := json.Marshal(again)
	if err != nil {
		t.Fatal(err)
	}
	var tree map[string]any
	if err := json.Unmarshal(data, &tree); err != nil {
		t.Fatal(err)
	}
	var all []writtenLength
	lengthsOf(tree["measured"].(map[string]any)["visits"].([]any)[1], nil, func(string) {}, &all)
	for _, x := range all {
		at := "/measured/visits/0/" + strings.Join(x.path, "/")
		if at != was.Pointer && at != was.Pointer+"/off" {
			continue
		}
		if changed = true; x.value < 0 {
			by = -by
		}
		x.set((x.value + by).String())
	}
	if data, err = json.Marshal(tree); err != nil {
		t.Fatal(err)
	}
	if again, _, err = schema.Read("again.json", data); err != nil {
		t.Fatal(err)
	}
	return again, changed
}
