package checks

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// everyAnswer is all that can be said of an elevation at once.
func everyAnswer(except ...string) []schema.SaidOfAll {
	var all []schema.SaidOfAll
	for _, of := range []string{saidLabels, saidBearing, saidFastened, saidInSight, saidHeld, saidTopOn, saidComesOff, saidAlignment, saidWorks, saidDrawers} {
		all = append(all, schema.SaidOfAll{Of: of, Answer: true, Except: except})
	}
	return all
}

// saidAtOnce is the fixture with everything that can be said of all said so, and
// nothing of it by itself.
func saidAtOnce(all []schema.SaidOfAll) *schema.Record {
	rec := fixture()
	rec.Planned.Fasteners["short"] = schema.Fastener{Size: "#8", Length: *in("1/2 in"), Point: "self-tapping", Each: 2, Use: []string{"front of drawer cabinet", "upper rear", "filler"}}
	room := seen(rec)
	for tag := range room.Cabinets {
		alter(room.Cabinets, tag, func(c *schema.CabinetSeen) {
			c.Label, c.Bearing, c.InSight, c.Alignment, c.Works, c.Drawers = nil, schema.CornerAnswers{}, schema.InSight{}, nil, nil, nil
		})
	}
	for tag := range room.Fillers {
		alter(room.Fillers, tag, func(f *schema.FillerSeen) {
			f.Label, f.InSight, f.HeldFrom, f.Fastening = nil, schema.InSight{}, nil, nil
		})
	}
	for name := range room.Joints {
		alter(room.Joints, name, func(j *schema.JointSeen) { j.Fastened = schema.FastenedSeen{} })
	}
	alter(room.Elevations, "A", func(e *schema.ElevationSeen) { e.All = all })
	return rec
}

// TestSaidOfAll: what is said of all is said of each, so that a room of which
// all is said is as ready as one of which each is.
func TestSaidOfAll(t *testing.T) {
	rec := saidAtOnce(everyAnswer())
	found := judge(t, rec)
	for _, r := range found.Results {
		if !r.Outcome.Holds() {
			t.Errorf("%s %s %s: %s", r.Outcome, r.Rule.Name, r.Subject, r.Finding)
		}
	}
	// Every result leads to something that stands in the record.
	text, err := json.Marshal(found.Record)
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(text, &tree); err != nil {
		t.Fatal(err)
	}
	for _, r := range found.Results {
		if _, ok := schema.Lookup(tree, schema.Steps(r.Pointer)); !ok {
			t.Errorf("%s %s: nothing at %s", r.Rule.Name, r.Subject, r.Pointer)
		}
	}
	nothing := judge(t, saidAtOnce(nil))
	if !slices.ContainsFunc(nothing.Results, func(r Result) bool { return r.Rule == labelComplete && r.Outcome == NotObserved }) {
		t.Error("labels are observed though nobody says anything")
	}
}

// TestSaidOfAllButOne: what is excepted is not observed, and what is said of one
// by itself goes before what is said of all, on the same visit.
func TestSaidOfAllButOne(t *testing.T) {
	found := judge(t, saidAtOnce(everyAnswer("C2", "C2+C3", "F1")))
	for _, r := range found.Results {
		excepted := slices.Contains([]string{"R1/C2", "R1/C2+C3", "R1/F1"}, r.Subject.String())
		if !excepted && !r.Outcome.Holds() {
			t.Errorf("%s %s %s: %s", r.Outcome, r.Rule.Name, r.Subject, r.Finding)
		}
	}
	for _, want := range []struct {
		rule    *Rule
		subject string
	}{
		{labelComplete, "R1/C2"}, {levelersBearing, "R1/C2"}, {fastenersHidden, "R1/C2"}, {frontsAligned, "R1/C2"}, {frontsWork, "R1/C2"},
		{drawersHome, "R1/C2"}, {jointFastened, "R1/C2+C3"}, {labelComplete, "R1/F1"}, {fillersRemovable, "R1/F1"},
	} {
		if got := outcomeOf(t, found, want.rule, want.subject); got != NotObserved {
			t.Errorf("%s of %s, which is excepted: %s", want.rule.Name, want.subject, got)
		}
	}

	rec := saidAtOnce(everyAnswer())
	no := false
	alter(seen(rec).Cabinets, "C1", func(c *schema.CabinetSeen) {
		c.Bearing.FL, c.Works, c.Label = &no, map[string]bool{"drawer 1": false}, &schema.Label{Part: "another"}
		c.Alignment = map[string]length.Length{"drawer 2": *in("1/4 in")}
	})
	found = judge(t, rec)
	for _, rule := range []*Rule{levelersBearing, frontsWork, labelComplete, frontsAligned} {
		if got := outcomeOf(t, found, rule, "R1/C1"); got != Fail {
			t.Errorf("%s, which is not so of C1 by itself: %s", rule.Name, got)
		}
		if got := outcomeOf(t, found, rule, "R1/C3"); got != Pass {
			t.Errorf("%s of C3: %s", rule.Name, got)
		}
	}
}

// TestSaidLater: what is said of all on a later visit supersedes what was seen
// of one before, and the other way round.
func TestSaidLater(t *testing.T) {
	no := false
	rec := fixture()
	alter(seen(rec).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Bearing.FL = &no })
	rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
		Date: "2026-09-12", People: rec.Measured.Visits[0].People,
		Rooms: map[string]schema.RoomSeen{"R1": {Elevations: map[string]schema.ElevationSeen{"A": {All: []schema.SaidOfAll{{Of: saidBearing, Answer: true}}}}}},
	})
	if got := outcomeOf(t, judge(t, rec), levelersBearing, "R1/C1"); got != Pass {
		t.Errorf("all bear on the second visit: %s", got)
	}
	rec.Measured.Visits[1].Rooms["R1"].Elevations["A"].All[0].Except = []string{"C1"}
	if got := outcomeOf(t, judge(t, rec), levelersBearing, "R1/C1"); got != Fail {
		t.Errorf("all but C1 bear on the second visit: %s", got)
	}
	rec.Measured.Visits[0], rec.Measured.Visits[1] = rec.Measured.Visits[1], rec.Measured.Visits[0]
	rec.Measured.Visits[0].Date, rec.Measured.Visits[1].Date = "2026-09-10", "2026-09-12"
	rec.Measured.Visits[0].Rooms["R1"].Elevations["A"].All[0].Except = nil
	if got := outcomeOf(t, judge(t, rec), levelersBearing, "R1/C1"); got != Fail {
		t.Errorf("C1 floats on the second visit, by itself: %s", got)
	}
}

// TestSaidAsPlannedOfNothing: where no screw is planned "as planned" says nothing.
func TestSaidAsPlannedOfNothing(t *testing.T) {
	rec := saidAtOnce(everyAnswer())
	rec.Planned.Fasteners["short"] = schema.Fastener{Size: "#8", Length: *in("1/2 in"), Point: "self-tapping"}
	if got := outcomeOf(t, judge(t, rec), jointFastened, "R1/C1+C2"); got != NotObserved {
		t.Errorf("fastened as planned, and nothing is: %s", got)
	}
}

// TestGuardedMeasuresAlignment: where uncertainty counts, "in line" is no measurement.
func TestGuardedMeasuresAlignment(t *testing.T) {
	rec := saidAtOnce(everyAnswer())
	rec.Planned.DecisionRule = Guarded
	if got := outcomeOf(t, judge(t, rec), frontsAligned, "R1/C1"); got != NotObserved {
		t.Errorf("%s", got)
	}
}

func outcomeOf(t *testing.T, found *Findings, rule *Rule, subject string) Outcome {
	t.Helper()
	return result(t, found, rule.Name, strings.TrimPrefix(subject, "R1/")).Outcome
}
