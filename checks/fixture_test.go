package checks

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// fixture is a record small enough to change by hand: one room with one
// elevation of a filler F1 and the cabinets C1, C2 and C3, all of it right.
func fixture() *schema.Record {
	yes := func() *bool { b := true; return &b }
	zero := func() *int { n := 0; return &n }
	len := func(s string) *length.Length { l, _ := length.Parse(s); return &l }
	cabinet := func() schema.CabinetSeen {
		return schema.CabinetSeen{
			Bearing:     schema.CornerAnswers{FL: yes(), FR: yes(), BL: yes(), BR: yes()},
			FrontOffset: len("0 in"),
			Drawers:     map[string]string{"1": "1", "2": "2", "3": "3"},
			InSight:     schema.InSight{Closed: zero(), Standing: zero()},
		}
	}
	joint := func() schema.JointSeen { return schema.JointSeen{FrontOffset: len("0 in")} }
	rec := &schema.Record{Setline: 1}
	rec.Planned.Project.Name = "Fixture"
	rec.Planned.Instruments = map[string]schema.Instrument{"rule": {Kind: "rule", Resolution: len("1/64 in")}}
	rec.Planned.Usual = schema.Body{Height: len("34 in"), Depth: len("22 in"), Leveler: &schema.Leveler{Least: *len("1/2 in"), Greatest: *len("2 in")}}
	rec.Planned.Cabinets = map[string]schema.Cabinet{"BD24": {Width: *len("24 in"), Front: []schema.FrontRow{{Drawers: 1}, {Drawers: 1}, {Drawers: 1}}}}
	rec.Planned.Fillers = map[string]schema.Filler{"F3": {Width: *len("3 in")}}
	rec.Planned.Rooms = []schema.Room{{Name: "R1", Elevations: []schema.Elevation{{Name: "A", Units: []schema.Unit{
		{Tag: "F1", Part: "F3"}, {Tag: "C1", Part: "BD24"}, {Tag: "C2", Part: "BD24"}, {Tag: "C3", Part: "BD24"},
	}}}}}
	rec.Arrived = schema.Arrived{
		PackingLists: map[string]schema.PackingList{"P1": {Lines: map[string]schema.PackingLine{
			"1": {Part: "BD24", Quantity: 3, Room: "R1"},
			"2": {Part: "F3", Quantity: 1, Room: "R1"},
		}}},
		Receipts: []schema.Receipt{{PackingList: "P1", Date: "2026-09-01", By: "B. Counter", Lines: map[string]schema.Received{"1": {Good: 3}, "2": {Good: 1}}}},
	}
	rec.Measured.Visits = []schema.Visit{{
		Date: "2026-09-10", People: []schema.Party{{Name: "I. Looker", Role: "inspector"}},
		Instruments: map[string]schema.InstrumentUse{"rule": {}},
		Rooms: map[string]schema.RoomSeen{"R1": {
			Cabinets: map[string]schema.CabinetSeen{"C1": cabinet(), "C2": cabinet(), "C3": cabinet()},
			Joints:   map[string]schema.JointSeen{"F1+C1": joint(), "C1+C2": joint(), "C2+C3": joint()},
			Fillers:  map[string]schema.FillerSeen{"F1": {HeldFrom: []string{"inside"}, ComesOff: yes(), InSight: schema.InSight{Closed: zero(), Standing: zero()}}},
		}},
	}}
	return rec
}

// change edits what the fixture's first visit saw of one thing.
func change[T any](seen map[string]T, key string, edit func(*T)) {
	v := seen[key]
	edit(&v)
	seen[key] = v
}

// seen is what the fixture's first visit saw.
func seen(rec *schema.Record) schema.RoomSeen { return rec.Measured.Visits[0].Rooms["R1"] }

// source writes rec as JSON and reads it back, so that a test cannot use a
// record that no file could hold.
func source(t *testing.T, rec *schema.Record) (*schema.Record, *schema.Source) {
	t.Helper()
	data, err := json.MarshalIndent(rec, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	again, src, err := schema.Read("fixture.json", data)
	if err != nil {
		t.Fatalf("the record of this test is not one: %v", err)
	}
	return again, src
}

// judge runs all rules over rec.
func judge(t *testing.T, rec *schema.Record) *Findings {
	t.Helper()
	found, err := Run(source(t, rec))
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// result finds the one result of a rule for a subject.
func result(t *testing.T, found *Findings, rule, item string) Result {
	t.Helper()
	for _, r := range found.Results {
		if r.Rule.Name == rule && r.Subject.Item == item {
			return r
		}
	}
	t.Fatalf("no result of %q for %s in\n%s", rule, item, summary(found))
	return Result{}
}

func summary(found *Findings) string {
	var b strings.Builder
	for _, r := range found.Results {
		fmt.Fprintf(&b, "%-13s %s  %s: %s\n", r.Outcome, r.Subject, r.Rule.Name, r.Finding)
	}
	return b.String()
}

func TestFixtureIsReady(t *testing.T) {
	found := judge(t, fixture())
	if !found.Ready() {
		t.Fatalf("a room without a fault is not ready:\n%s", summary(found))
	}
	want := 2 + // parts BD24 and F3
		3 + // levelers of three cabinets
		3 + 3 + // fronts across three joints and within three cabinets
		4 + // fasteners of four units
		3 + // drawers
		1 // filler
	if len(found.Results) != want {
		t.Errorf("%d results, want %d:\n%s", len(found.Results), want, summary(found))
	}
}

// oneFault lists for every rule a planted fault, and one observation taken
// away; each must be found, and nothing else must change.
var oneFault = []struct {
	name    string
	edit    func(*schema.Record)
	rule    string
	item    string
	outcome Outcome
	finding string
}{
	{"a leveler floats", func(r *schema.Record) {
		change(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Bearing.BL = false })
	}, "levelers bearing", "C2", Fail, "Back-left does not bear on the floor"},
	{"two levelers float and one was not looked at", func(r *schema.Record) {
		change(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Bearing.BL, *c.Bearing.FR, c.Bearing.FL = false, false, nil })
	}, "levelers bearing", "C2", Fail, "Front-right and back-left do not bear on the floor; front-left not observed"},
	{"a leveler not looked at", func(r *schema.Record) {
		change(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Bearing.BL = nil })
	}, "levelers bearing", "C2", NotObserved, "Back-left leveler not observed; the others bear"},
	{"no leveler looked at", func(r *schema.Record) {
		change(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Bearing = schema.CornerAnswers{} })
	}, "levelers bearing", "C2", NotObserved, "Levelers not observed"},

	{"a joint not measured", func(r *schema.Record) { delete(seen(r).Joints, "C1+C2") },
		"fronts flush", "C1+C2", NotObserved, "Offset of the fronts across the joint not observed"},
	{"fronts of a cabinet not measured", func(r *schema.Record) {
		change(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.FrontOffset = nil })
	}, "fronts flush", "C1", NotObserved, "Offset between adjoining doors and drawers not observed"},

	{"a screw in sight with doors closed", func(r *schema.Record) {
		change(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { *c.InSight.Closed, c.InSight.Where = 2, "left stile" })
	}, "fasteners hidden", "C1", Fail, "2 fasteners in sight with doors and drawers closed: left stile"},
	{"a screw in sight on a filler", func(r *schema.Record) {
		change(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { *f.InSight.Standing = 1 })
	}, "fasteners hidden", "F1", Fail, "1 fastener in sight from a standing view"},
	{"standing view not looked at", func(r *schema.Record) {
		change(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.InSight.Standing = nil })
	}, "fasteners hidden", "C1", NotObserved, "Standing view not observed; none in sight with doors and drawers closed"},
	{"closed view not looked at", func(r *schema.Record) {
		change(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.InSight.Closed = nil })
	}, "fasteners hidden", "C1", NotObserved, "View with doors and drawers closed not observed; none in sight from a standing view"},
	{"fasteners not looked at", func(r *schema.Record) {
		change(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.InSight = schema.InSight{} })
	}, "fasteners hidden", "C1", NotObserved, "Fasteners in sight not observed"},

	{"two drawers exchanged", func(r *schema.Record) {
		change(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Drawers = map[string]string{"1": "3", "2": "2", "3": "1"} })
	}, "drawers home", "C1", Fail, "Drawer 3 stands in slot 1 and drawer 1 stands in slot 3"},
	{"an empty slot", func(r *schema.Record) {
		change(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Drawers = map[string]string{"1": "1", "2": "none", "3": "3"} })
	}, "drawers home", "C1", Fail, "Slot 2 stands empty"},
	{"a slot not looked at", func(r *schema.Record) {
		change(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Drawers = map[string]string{"1": "1", "3": "3"} })
	}, "drawers home", "C1", NotObserved, "Slot 2 not observed; the others hold their own drawers"},
	{"drawers not looked at", func(r *schema.Record) {
		change(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Drawers = nil })
	}, "drawers home", "C1", NotObserved, "Drawers not observed"},

	{"a filler screwed through its face", func(r *schema.Record) {
		change(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.HeldFrom = []string{"inside", "face"} })
	}, "fillers removable", "F1", Fail, "Held from the face"},
	{"a filler that nothing holds", func(r *schema.Record) {
		change(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.HeldFrom = []string{} })
	}, "fillers removable", "F1", Fail, "Nothing holds the filler"},
	{"a filler trapped by the top", func(r *schema.Record) {
		change(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { *f.ComesOff = false })
	}, "fillers removable", "F1", Fail, "Does not come off with the top on"},
	{"a filler not tried", func(r *schema.Record) {
		change(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.ComesOff = nil })
	}, "fillers removable", "F1", NotObserved, "Held from inside, but whether it comes off was not observed"},
	{"a filler's holding not looked at", func(r *schema.Record) {
		change(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.HeldFrom = nil })
	}, "fillers removable", "F1", NotObserved, "Comes off, but how it is held was not observed"},
	{"a filler not looked at", func(r *schema.Record) {
		change(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.ComesOff, f.HeldFrom = nil, nil })
	}, "fillers removable", "F1", NotObserved, "How the filler is held not observed"},

	{"a cabinet short", func(r *schema.Record) { r.Arrived.Receipts[0].Lines["1"] = schema.Received{Good: 2} },
		"parts received", "part BD24", Fail, "Short by 1: 3 drawn, 3 listed for this room; 2 came whole"},
	{"a cabinet damaged", func(r *schema.Record) {
		r.Arrived.Receipts[0].Lines["1"] = schema.Received{Good: 2, Damaged: 1, Remark: "corner crushed"}
	}, "parts received", "part BD24", Fail, "Short by 1: 3 drawn, 3 listed for this room; 2 came whole, 1 damaged (corner crushed)"},
	{"a cabinet too many", func(r *schema.Record) { r.Arrived.Receipts[0].Lines["1"] = schema.Received{Good: 4} },
		"parts received", "part BD24", Fail, "1 too many: 3 drawn, 3 listed for this room; 4 came whole"},
	{"a line nobody counted", func(r *schema.Record) { delete(r.Arrived.Receipts[0].Lines, "1") },
		"parts received", "part BD24", NotObserved, "Not all counted: 3 drawn, 3 listed for this room; 0 came whole"},
	{"a part on no packing list", func(r *schema.Record) {
		delete(r.Arrived.PackingLists["P1"].Lines, "2")
		delete(r.Arrived.Receipts[0].Lines, "2")
	}, "parts received", "part F3", Fail, "1 not on any packing list: 1 drawn, 0 listed for this room; 0 came whole"},
}

func TestOneFault(t *testing.T) {
	before := map[string]Outcome{}
	for _, r := range judge(t, fixture()).Results {
		before[r.Rule.Name+" "+r.Subject.Item] = r.Outcome
	}
	for _, tc := range oneFault {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			tc.edit(rec)
			found := judge(t, rec)
			if found.Ready() {
				t.Error("the room is ready")
			}
			r := result(t, found, tc.rule, tc.item)
			if r.Outcome != tc.outcome || r.Finding != tc.finding {
				t.Errorf("%s %q, want %s %q", r.Outcome, r.Finding, tc.outcome, tc.finding)
			}
			if r.Remedy == "" {
				t.Error("no word of what to do")
			}
			for _, other := range found.Results {
				if other.Rule == r.Rule && other.Subject == r.Subject {
					continue
				}
				if other.Outcome != before[other.Rule.Name+" "+other.Subject.Item] {
					t.Errorf("%s of %s changed too: %s %s", other.Rule.Name, other.Subject, other.Outcome, other.Finding)
				}
			}
		})
	}
}

func TestNothingObserved(t *testing.T) {
	rec := fixture()
	rec.Measured.Visits = nil
	rec.Arrived = schema.Arrived{}
	found := judge(t, rec)
	for _, r := range found.Results {
		if r.Outcome != NotObserved {
			t.Errorf("%s of %s is %s although nobody looked", r.Rule.Name, r.Subject, r.Outcome)
		}
	}
	if found.Ready() {
		t.Error("a room nobody looked at is ready")
	}
	if n, want := len(found.Results), len(judge(t, fixture()).Results); n != want {
		t.Errorf("%d results with nothing observed, %d with everything; every rule must speak of every subject", n, want)
	}
}
