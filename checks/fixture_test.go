package checks

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/length"
)

// fixture is the small record, in which all is right.
func fixture() *schema.Record { return rooms.Small() }

// in reads a length, which tests write as people do.
func in(s string) *length.Length { return rooms.Length(s) }

// alter edits what the fixture's first visit saw of one thing.
func alter[T any](seen map[string]T, key string, edit func(*T)) { rooms.Alter(seen, key, edit) }

func yes() *bool { b := true; return &b }

// seen is what the fixture's first visit saw.
func seen(rec *schema.Record) schema.RoomSeen { return rec.Measured.Visits[0].Rooms["R1"] }

// source writes rec as JSON and reads it back.
func source(t testing.TB, rec *schema.Record) (*schema.Record, *schema.Source) {
	t.Helper()
	again, src, err := rooms.Read(rec)
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
		fmt.Fprintf(&b, "%-13s %s  %s: %s\n", r.Outcome, r.Subject, r.Rule.Name, r.Finding.String())
	}
	return b.String()
}

func TestFixtureIsReady(t *testing.T) {
	found := judge(t, fixture())
	if !found.Ready() {
		t.Fatalf("a room without a fault is not ready:\n%s", summary(found))
	}
	want := 2 + 4 + // parts BD24 and F3, labels of four units
		2 + 1 + // laser and level, and the readings of one elevation
		6 + // the floor and layout of one elevation
		4 + // level of three cabinets and their run
		3 + 1 + 3 + 3 + 3 + // set height, plane of the run, twist, levelers, extensions
		3 + 3 + 2 + 3 + 2 + 4 + 2 + // fronts of joints and cabinets, tops, gaps, fastened, hidden, fits
		2 + // filler flush and removable
		3 + 3 + 3 + // drawers, fronts aligned and working
		8 + 1 + // closing out one elevation, and handing the room over
		1 // site
	if len(found.Results) != want {
		t.Errorf("%d results, want %d:\n%s", len(found.Results), want, summary(found))
	}
}

// planted is a fault planted in the fixture, and what has to find it.
type planted struct {
	name    string
	edit    func(*schema.Record)
	rule    string
	item    string
	outcome Outcome
	finding string
	also    []string // other rules that must find it too
}

// oneFault lists for every rule a planted fault, and one observation taken
// away; each must be found, and nothing else must change.
var oneFault = []planted{
	{"a leveler floats", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Bearing.BL = false })
	}, "levelers bearing", "C2", Fail, "Back-left does not bear on the floor", nil},
	{"two levelers float and one was not looked at", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Bearing.BL, *c.Bearing.FR, c.Bearing.FL = false, false, nil })
	}, "levelers bearing", "C2", Fail, "Front-right and back-left do not bear on the floor; front-left not observed", nil},
	{"a leveler not looked at", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Bearing.BL = nil })
	}, "levelers bearing", "C2", NotObserved, "Back-left leveler not observed; the others bear", nil},
	{"no leveler looked at", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Bearing = schema.CornerAnswers{} })
	}, "levelers bearing", "C2", NotObserved, "Levelers not observed", nil},

	{"a proud front", func(r *schema.Record) {
		alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = in("3/32 in") })
	}, "fronts flush", "C1+C2", Fail, "C2 stands 3/32 in proud of C1", nil},
	{"a joint not measured", func(r *schema.Record) {
		alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = nil })
	}, "fronts flush", "C1+C2", NotObserved, "Offset of the fronts across the joint not observed", nil},
	{"fronts of a cabinet not measured", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.FrontOffset = nil })
	}, "fronts flush", "C1", NotObserved, "Offset between adjoining doors and drawers not observed", nil},

	{"a screw in sight with doors closed", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { *c.InSight.Closed, c.InSight.Where = 2, "left stile" })
	}, "fasteners hidden", "C1", Fail, "2 fasteners in sight with doors and drawers closed: left stile", nil},
	{"a screw in sight on a filler", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { *f.InSight.Standing = 1 })
	}, "fasteners hidden", "F1", Fail, "1 fastener in sight from a standing view", nil},
	{"standing view not looked at", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.InSight.Standing = nil })
	}, "fasteners hidden", "C1", NotObserved, "Standing view not observed; none in sight with doors and drawers closed", nil},
	{"closed view not looked at", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.InSight.Closed = nil })
	}, "fasteners hidden", "C1", NotObserved, "View with doors and drawers closed not observed; none in sight from a standing view", nil},
	{"fasteners not looked at", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.InSight = schema.InSight{} })
	}, "fasteners hidden", "C1", NotObserved, "Fasteners in sight not observed", nil},

	{"two drawers exchanged", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Drawers = map[string]string{"1": "3", "2": "2", "3": "1"} })
	}, "drawers home", "C1", Fail, "Drawer 3 stands in slot 1 and drawer 1 stands in slot 3", nil},
	{"an empty slot", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Drawers = map[string]string{"1": "1", "2": "none", "3": "3"} })
	}, "drawers home", "C1", Fail, "Slot 2 stands empty", nil},
	{"a slot not looked at", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Drawers = map[string]string{"1": "1", "3": "3"} })
	}, "drawers home", "C1", NotObserved, "Slot 2 not observed; the others hold their own drawers", nil},
	{"drawers not looked at", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Drawers = nil })
	}, "drawers home", "C1", NotObserved, "Drawers not observed", nil},

	{"a filler screwed through its face", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.HeldFrom = []string{"inside", "face"} })
	}, "fillers removable", "F1", Fail, "Held from the face", nil},
	{"a filler that nothing holds", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.HeldFrom = []string{} })
	}, "fillers removable", "F1", Fail, "Nothing holds the filler", nil},
	{"a filler trapped by the top", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { *f.ComesOff, f.TopOn = false, yes() })
	}, "fillers removable", "F1", Fail, "Does not come off with the top on", nil},
	{"a filler trapped before the top", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { *f.ComesOff = false })
	}, "fillers removable", "F1", Fail, "Does not come off", nil},
	{"a filler screwed through its face and trapped", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { *f.ComesOff, f.HeldFrom = false, []string{"face"} })
	}, "fillers removable", "F1", Fail, "Held from the face; does not come off", nil},
	{"a filler not tried since the top is on", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.ComesOff, f.TopOn = nil, yes() })
	}, "fillers removable", "F1", NotObserved, "Held from inside, but whether it comes off with the top on was not observed", nil},
	{"a filler held with one long screw where two short ones are planned", func(r *schema.Record) {
		r.Planned.Fasteners["short"] = schema.Fastener{Size: "#8", Length: *in("1/2 in"), Point: "self-tapping", Use: []string{"filler"}, Each: 2}
		r.Planned.Fasteners["long"] = schema.Fastener{Size: "#8", Length: *in("1 1/4 in"), Point: "self-tapping"}
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) {
			f.Fastening = &schema.Fastening{Fastener: "long", Count: 1, Through: "side", TipShows: new(bool)}
		})
	}, "joint fastened", "F1", Fail, "1 fastener in the filler, 2 planned; filler fastened with long (#8, 1 1/4 in), not short", []string{"fastener fits"}},
	{"a filler's screws nobody looked at", func(r *schema.Record) {
		r.Planned.Fasteners["short"] = schema.Fastener{Size: "#8", Length: *in("1/2 in"), Point: "self-tapping", Use: []string{"filler"}, Each: 2}
	}, "joint fastened", "F1", NotObserved, "Screws of the filler, or what they go through, not observed", []string{"fastener fits"}},
	{"a filler's screw too short", func(r *schema.Record) {
		r.Planned.Fasteners["stub"] = schema.Fastener{Size: "#8", Length: *in("1/4 in"), Point: "self-tapping"}
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) {
			f.Fastening = &schema.Fastening{Fastener: "stub", Count: 2, Through: "side", TipShows: new(bool)}
		})
	}, "fastener fits", "F1", Fail, "Filler: screw 1/4 in long, at least ≈ 17/64 in needed for ≈ 3/32 in and three threads", []string{"joint fastened"}},
	{"a filler's screw through its face", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) {
			f.Fastening = &schema.Fastening{Fastener: "short", Count: 2, Through: "face", TipShows: new(bool)}
		})
	}, "joint fastened", "F1", Fail, "Filler fastened through its face, not from inside", []string{"fastener fits"}},
	{"a gap too long", func(r *schema.Record) {
		alter(seen(r).Joints, "F1+C1", func(j *schema.JointSeen) { j.GapLength = in("10 1/4 in") })
	}, "joint gap", "F1+C1", Fail, "Gapes over 10 1/4 in of a joint 34 in long", nil},
	{"a gap too long, and how wide nobody measured", func(r *schema.Record) {
		alter(seen(r).Joints, "F1+C1", func(j *schema.JointSeen) { j.Gap, j.GapLength = nil, in("10 1/4 in") })
	}, "joint gap", "F1+C1", Fail, "Gapes over 10 1/4 in of a joint 34 in long; width of the gap not observed", nil},
	{"a gap of which only the length was measured", func(r *schema.Record) {
		alter(seen(r).Joints, "F1+C1", func(j *schema.JointSeen) { j.Gap, j.GapLength = nil, in("10 in") })
	}, "joint gap", "F1+C1", NotObserved, "Width of the gap not observed; the rest within the limit", nil},
	{"a tip in sight of a joint whose gauge nobody planned", func(r *schema.Record) {
		r.Planned.Usual.Gauge = 0
		alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { *j.Fastened.Front.TipShows = true })
	}, "fastener fits", "C1+C2", Fail, "Front: a tip breaks a surface in sight", []string{"fastener fits"}},
	{"a filler's holding not looked at", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.HeldFrom = nil })
	}, "fillers removable", "F1", NotObserved, "Comes off, but how it is held was not observed", nil},
	{"a filler not looked at", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.ComesOff, f.HeldFrom = nil, nil })
	}, "fillers removable", "F1", NotObserved, "How the filler is held not observed", nil},

	{"a cabinet short", func(r *schema.Record) { r.Arrived.Receipts[0].Lines["1"] = schema.Received{Good: 2} },
		"parts received", "part BD24", Fail, "Short by 1: 3 drawn, 3 listed for this room; 2 came whole", nil},
	{"a cabinet damaged", func(r *schema.Record) {
		r.Arrived.Receipts[0].Lines["1"] = schema.Received{Good: 2, Damaged: 1, Remark: "corner crushed"}
	}, "parts received", "part BD24", Fail, "Short by 1: 3 drawn, 3 listed for this room; 2 came whole, 1 damaged (corner crushed)", nil},
	{"a cabinet too many", func(r *schema.Record) { r.Arrived.Receipts[0].Lines["1"] = schema.Received{Good: 4} },
		"parts received", "part BD24", Fail, "1 too many: 3 drawn, 3 listed for this room; 4 came whole", nil},
	{"a line nobody counted", func(r *schema.Record) { delete(r.Arrived.Receipts[0].Lines, "1") },
		"parts received", "part BD24", NotObserved, "Not all counted: 3 drawn, 3 listed for this room; 0 came whole", nil},
	{"a part on no packing list", func(r *schema.Record) {
		delete(r.Arrived.PackingLists["P1"].Lines, "2")
		delete(r.Arrived.Receipts[0].Lines, "2")
	}, "parts received", "part F3", Fail, "1 not on any packing list: 1 drawn, 0 listed for this room; 0 came whole", []string{"label complete"}},

	{"a label of another part", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Label.Part = "B24" })
	}, "label complete", "C1", Fail, "Label says part B24, drawn is BD24; line 1 of the packing list is part BD24", nil},
	{"a label without its line", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Label.Line = "" })
	}, "label complete", "C1", Fail, "No line number on the label", nil},
	{"a label of another room", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.Label.Room = "R2" })
	}, "label complete", "F1", Fail, "Label says room R2", nil},
	{"a label nobody read", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Label = nil })
	}, "label complete", "C1", NotObserved, "Label not observed", nil},

	{"a laser not checked for long", func(r *schema.Record) {
		r.Measured.Visits[0].Instruments["laser"] = schema.InstrumentUse{Checked: "2026-08-10"}
	}, "instrument checked", "laser on 2026-09-10", Fail, "Checked on 2026-08-10, 31 days before the visit", nil},
	{"a laser out of its accuracy", func(r *schema.Record) {
		// 0.060 m per 100 m is a textbook's error, far beyond 1/16 in over 50 ft.
		r.Measured.Visits[0].Instruments["laser"] = schema.InstrumentUse{Checked: "2026-09-09", TwoPeg: &schema.TwoPeg{
			Midway: [2]length.Length{*in("0.630 m"), 0}, Unequal: [2]length.Length{*in("0.615 m"), 0}, Distances: [2]length.Length{*in("25 m"), *in("50 m")},
		}}
	}, "instrument checked", "laser on 2026-09-10", Fail, "Two-peg test shows an error of ≈ 23/64 in over 600 in, stated is 1/16 in", nil},
	{"heights read with nobody knows what", func(r *schema.Record) { delete(r.Measured.Visits[0].Instruments, "laser") },
		"instrument checked", "heights on 2026-09-10", NotObserved, "Instrument that read heights not observed", []string{"extension agrees", "instrument checked"}},
	{"a level whose check nobody wrote down", func(r *schema.Record) {
		r.Measured.Visits[0].Instruments["level"] = schema.InstrumentUse{}
	}, "instrument checked", "level on 2026-09-10", NotObserved, "Date of its last check not observed", nil},

	{"a survey with a gap", func(r *schema.Record) {
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) {
			e.Floor.Front = []schema.FloorReading{e.Floor.Front[0], e.Floor.Front[3]}
		})
	}, "survey coverage", "elevation A", Fail, "Widest gap between readings 75 in, on the front line from 0 in", nil},
	{"a survey that stops short", func(r *schema.Record) {
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Back = e.Floor.Back[:3] })
	}, "survey coverage", "elevation A", NotObserved, "Back line reaches from 0 in to 51 in of 75 in",
		[]string{"floor within travel", "reserve left", "work height", "extension agrees"}},

	{"a floor too low for the levelers", func(r *schema.Record) {
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Back[3][1] = *in("46 in") })
	}, "floor within travel", "elevation A", Fail, "Out of travel at the set height: C3 back-right too much by 1/2 in", []string{"extension agrees", "floor within contract"}},
	{"a mark above what the levelers reach down to", func(r *schema.Record) {
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Mark = in("9 9/16 in") })
	}, "floor within travel", "elevation A", Fail,
		"Out of travel at the set height: C1 front-left too little by 1/16 in, C1 front-right too little by 1/16 in, C1 back-left too little by 1/16 in, C1 back-right too little by 1/16 in, C2 front-left too little by 1/16 in, C2 front-right too little by 1/16 in and 6 more", []string{"reserve left"}},

	{"a top higher than drawn", func(r *schema.Record) {
		r.Planned.Rooms[0].Elevations[0].WorkHeight = in("35 in")
	}, "work height", "elevation A", Fail, "Work surface 35 1/2 in above the floor's high point, drawn 35 in", nil},
	{"a top nobody planned", func(r *schema.Record) { r.Planned.Rooms[0].Elevations[0].TopThickness = nil },
		"work height", "elevation A", NotObserved, "Thickness of the top not planned", nil},
	{"an accessible station too high", func(r *schema.Record) {
		r.Planned.Rooms[0].Elevations[0].WorkHeight, r.Planned.Rooms[0].Elevations[0].Accessible = nil, true
	}, "accessible height", "elevation A", Fail, "Accessible surface 35 1/2 in to 35 1/2 in above the floor; 28 in to 34 in is asked for. Height only: knee and toe clearance, and which stations have to be accessible, are for the authority", []string{"work height"}},
	{"an accessible station with a top nobody planned", func(r *schema.Record) {
		e := &r.Planned.Rooms[0].Elevations[0]
		e.WorkHeight, e.Accessible, e.TopThickness = nil, true, nil
	}, "accessible height", "elevation A", NotObserved, "Thickness of the top not planned", nil},
	{"an opening too wide", func(r *schema.Record) {
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Opening.Top = in("76 1/2 in") })
	}, "run closes", "elevation A", Fail, "Short by 1/2 in. Fillers needed together: 3 1/2 in to 4 1/2 in; they come 4 in wide with scribe; left (F1) 3 1/2 in to 4 1/2 in", nil},
	{"an opening too narrow", func(r *schema.Record) {
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Opening.Top = in("71 in") })
	}, "run closes", "elevation A", Fail, "Cabinets too wide for the opening by 1 in. Fillers needed together: -1 in to 3 5/8 in; they come 4 in wide with scribe; left (F1) -1 in to 3 5/8 in", nil},
	{"an opening measured at two heights", func(r *schema.Record) {
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Opening.Top = nil })
	}, "run closes", "elevation A", NotObserved, "Clear opening not observed at the top", nil},

	{"a cabinet out of plumb", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Plumb.Left.Off = *in("3/16 in") })
	}, "level and plumb", "C2", Fail, "Plumb on the left side out by 3/16 in over 30 in", nil},
	{"a cabinet out of level by a level", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) {
			c.Level.Front = &schema.Deviation{Off: *in("-3/16 in"), Over: *in("24 in")}
		})
	}, "level and plumb", "C2", Fail, "Along the front out by 3/16 in over 24 in", nil},
	{"plumb nobody read", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Plumb = schema.PlumbSeen{} })
	}, "level and plumb", "C2", NotObserved, "Plumb not observed; the rest within the limit", nil},
	{"a corner high", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Tops.BR = in("9 13/32 in") })
	}, "set height held", "C2", Fail, "C2 back-right stands above the set height by 3/32 in", []string{"cabinet twist", "extension agrees", "level and plumb", "tops in one plane"}},
	{"tops nobody read", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Tops = schema.CornerLengths{} })
	}, "set height held", "C2", NotObserved, "Top corners not observed", []string{"cabinet twist", "extension agrees", "level and plumb", "tops in one plane"}},
	{"a twisted cabinet", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Tops.FL, c.Tops.BR = in("9 15/32 in"), in("9 29/64 in") })
	}, "cabinet twist", "C2", Fail, "Twisted by 5/64 in: front-left and back-right stand high", []string{"extension agrees", "level and plumb", "tops in one plane"}},
	{"an extension that cannot be", func(r *schema.Record) {
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Extension.FR = in("5/8 in") })
	}, "extension agrees", "C2", Fail, "Front-right recorded 5/8 in, implied by floor and top 1/2 in", nil},

	{"a top that stands out too far", withTop("22 1/4 in"), "top bears", "elevation A", Fail,
		"Top C1 to C3 tips: its middle, 39 in from the left end and 22 1/8 in from the back, lies beyond all that carries it", nil},
	{"a top that stands out as far as it is deep", withTop("22 in"), "top bears", "elevation A", Fail,
		"Top C1 to C3 stands on an edge: its middle, 39 in from the left end and 22 in from the back, lies on the outline of what carries it, and a touch tips it", nil},
	{"a top on no cabinet", func(r *schema.Record) {
		r.Planned.Rooms[0].Elevations[0].Tops = []schema.Top{{From: "F1", To: "F1"}}
	}, "top bears", "elevation A", Fail, "Top F1 to F1 lies on no cabinet", nil},
	{"a top over corners nobody read", func(r *schema.Record) {
		withTop("1 in")(r)
		alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Tops.BR = nil })
	}, "top bears", "elevation A", NotObserved, "Top corners of C2 not observed",
		[]string{"set height held", "cabinet twist", "extension agrees", "level and plumb", "tops in one plane"}},

	{"a top high of its neighbour", func(r *schema.Record) {
		alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.TopOffset = in("-3/32 in") })
	}, "tops flush", "C1+C2", Fail, "C1 stands 3/32 in high of C2", nil},
	{"a top offset nobody measured", func(r *schema.Record) {
		alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.TopOffset = nil })
	}, "tops flush", "C1+C2", NotObserved, "Offset of the tops across the joint not observed", nil},
	{"a wide gap", func(r *schema.Record) {
		alter(seen(r).Joints, "F1+C1", func(j *schema.JointSeen) { j.Gap = in("1.7 mm") })
	}, "joint gap", "F1+C1", Fail, "Widest gap ≈ 1/16 in", nil},
	{"a gap nobody measured", func(r *schema.Record) {
		alter(seen(r).Joints, "F1+C1", func(j *schema.JointSeen) { j.Gap = nil })
	}, "joint gap", "F1+C1", NotObserved, "Gap of the joint not observed", nil},
	{"a joint open at the rear", func(r *schema.Record) {
		alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.Fastened.UpperRear.Count = 0 })
	}, "joint fastened", "C1+C2", Fail, "No fastener at the upper rear", nil},
	{"a joint with a screw too few", func(r *schema.Record) {
		r.Planned.Fasteners["short"] = schema.Fastener{Size: "#8", Length: *in("1/2 in"), Each: 2}
		alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.Fastened.Front.Count = 1 })
	}, "joint fastened", "C1+C2", Fail, "1 fastener at the front, 2 planned", nil},
	{"a screw too short", func(r *schema.Record) {
		// Two sheets of 18 gauge and three threads of #8 take 0.262 in.
		r.Planned.Fasteners["short"] = schema.Fastener{Size: "#8", Length: *in("1/4 in")}
	}, "fastener fits", "C1+C2", Fail, "Front: screw 1/4 in long, at least ≈ 17/64 in needed for ≈ 3/32 in and three threads; upper rear: screw 1/4 in long, at least ≈ 17/64 in needed for ≈ 3/32 in and three threads", []string{"joint fastened", "fastener fits"}},
	{"more steel than the point drills", func(r *schema.Record) {
		// Two sheets of 14 gauge are 0.149 in; #8 with point 2 drills 0.100 in.
		r.Planned.Fasteners["short"] = schema.Fastener{Size: "#8", Length: *in("1/2 in"), Point: "self-drilling", PointNumber: 2}
		r.Planned.Usual.Gauge = 14
		alter(seen(r).Joints, "C2+C3", func(j *schema.JointSeen) { j.Fastened = schema.FastenedSeen{} })
	}, "fastener fits", "C1+C2", Fail, "Front: ≈ 5/32 in of steel, more than the ≈ 3/32 in that #8 with point 2 drills; upper rear: ≈ 5/32 in of steel, more than the ≈ 3/32 in that #8 with point 2 drills", []string{"joint fastened", "fastener fits"}},
	{"a joint through the wrong place", func(r *schema.Record) {
		alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.Fastened.Front.Through = "face" })
	}, "joint fastened", "C1+C2", Fail, "Front fastened through face, not behind front rail", nil},
	{"a rear fastening nobody saw", func(r *schema.Record) {
		alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.Fastened.UpperRear = nil })
	}, "joint fastened", "C1+C2", NotObserved, "Fastening at the upper rear not observed", []string{"fastener fits"}},
	{"a tip in sight", func(r *schema.Record) {
		alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { *j.Fastened.Front.TipShows = true })
	}, "fastener fits", "C1+C2", Fail, "Front: a tip breaks a surface in sight", nil},
	{"a tip nobody looked for", func(r *schema.Record) {
		alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.Fastened.Front.TipShows = nil })
	}, "fastener fits", "C1+C2", NotObserved, "Front: whether a tip shows not observed", nil},

	{"a filler that stands out", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.TopOffset = in("1/8 in") })
	}, "filler flush", "F1", Fail, "Stands 1/8 in from the top edge", nil},
	{"a filler's edge nobody measured", func(r *schema.Record) {
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.TopOffset = nil })
	}, "filler flush", "F1", NotObserved, "Offset from the top edge not observed; the rest within the limit", nil},
	{"an exposed filler set last", func(r *schema.Record) {
		r.Planned.Rooms[0].Elevations[0].Left = "exposed"
		alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { f.SetFirst = new(bool) })
	}, "filler before first cabinet", "elevation A", Fail, "No filler at an exposed end was set before the first cabinet", nil},
	{"an exposed filler nobody asked about", func(r *schema.Record) {
		r.Planned.Rooms[0].Elevations[0].Left = "exposed"
	}, "filler before first cabinet", "elevation A", NotObserved, "Which was set first not observed", nil},

	{"a drawer front out of line", func(r *schema.Record) {
		seen(r).Cabinets["C1"].Alignment["drawer 2"] = *in("-5/64 in")
	}, "fronts aligned", "C1", Fail, "Drawer 2 is 5/64 in out of line", nil},
	{"a drawer front nobody measured", func(r *schema.Record) {
		delete(seen(r).Cabinets["C1"].Alignment, "drawer 2")
	}, "fronts aligned", "C1", NotObserved, "Alignment of drawer 2 not observed; the rest within the limit", nil},
	{"a drawer that rubs", func(r *schema.Record) {
		seen(r).Cabinets["C1"].Works["drawer 3"] = false
	}, "doors and drawers work", "C1", Fail, "Drawer 3 does not work freely", nil},
	{"a drawer nobody opened", func(r *schema.Record) {
		delete(seen(r).Cabinets["C1"].Works, "drawer 3")
	}, "doors and drawers work", "C1", NotObserved, "Drawer 3 not observed", nil},

	{"a slab not cured", func(r *schema.Record) { *r.Measured.Visits[0].Site.SlabCured = false },
		"site settled", "site", Fail, "Slab not cured, and no date is agreed to inspect the room again", nil},
	{"a building nobody looked at", func(r *schema.Record) { r.Measured.Visits[0].Site.ClosedIn = nil },
		"site settled", "site", NotObserved, "Closing-in of the building not observed", nil},
	{"services clear: it is not", closing(func(c *schema.ClosingSeen) { *c.ServicesClear = false }), "services clear", "elevation A", Fail, "Services behind the run not complete and clear", nil},
	{"services clear: nobody looked", closing(func(c *schema.ClosingSeen) { c.ServicesClear = nil }), "services clear", "elevation A", NotObserved, "Services behind the run not observed", nil},
	{"anchored as drawn: it is not", closing(func(c *schema.ClosingSeen) { *c.Anchored = false }), "anchored as drawn", "elevation A", Fail, "Not anchored as drawn", nil},
	{"anchored as drawn: nobody looked", closing(func(c *schema.ClosingSeen) { c.Anchored = nil }), "anchored as drawn", "elevation A", NotObserved, "Anchors not observed", nil},
	{"tops released: it is not", closing(func(c *schema.ClosingSeen) { *c.TopsReleased = false }), "tops released", "elevation A", Fail, "Not released for its top", nil},
	{"tops released: nobody looked", closing(func(c *schema.ClosingSeen) { c.TopsReleased = nil }), "tops released", "elevation A", NotObserved, "Release for the top not observed", nil},
	{"no damage: it is not", closing(func(c *schema.ClosingSeen) { *c.Undamaged = false }), "no damage", "elevation A", Fail, "Damage is left", nil},
	{"no damage: nobody looked", closing(func(c *schema.ClosingSeen) { c.Undamaged = nil }), "no damage", "elevation A", NotObserved, "Damage not observed", nil},
	{"loose parts there: it is not", closing(func(c *schema.ClosingSeen) { *c.LooseParts = false }), "loose parts there", "elevation A", Fail, "Loose parts are missing", nil},
	{"loose parts there: nobody looked", closing(func(c *schema.ClosingSeen) { c.LooseParts = nil }), "loose parts there", "elevation A", NotObserved, "Loose parts not observed", nil},
	{"clean: it is not", closing(func(c *schema.ClosingSeen) { *c.Clean = false }), "clean", "elevation A", Fail, "Not clean", nil},
	{"clean: nobody looked", closing(func(c *schema.ClosingSeen) { c.Clean = nil }), "clean", "elevation A", NotObserved, "Whether it is clean not observed", nil},
	{"protected: it is not", closing(func(c *schema.ClosingSeen) { *c.Protected = false }), "protected", "elevation A", Fail, "Not protected", nil},
	{"protected: nobody looked", closing(func(c *schema.ClosingSeen) { c.Protected = nil }), "protected", "elevation A", NotObserved, "Protection not observed", nil},
	{"papers not received", handing(func(h *schema.HandoverSeen) { *h.Papers = false }), "handed over", "room R1", Fail, "Not received: papers", nil},
	{"spare parts not received, and nobody named", handing(func(h *schema.HandoverSeen) { *h.SpareParts, h.To = false, "" }), "handed over", "room R1", Fail, "Not received: spare parts", nil},
	{"handed over to nobody", handing(func(h *schema.HandoverSeen) { h.To = "" }), "handed over", "room R1", NotObserved, "Handing over not observed", nil},
	{"a warranty that starts on no day", handing(func(h *schema.HandoverSeen) { h.WarrantyFrom, h.Papers = "", nil }), "handed over", "room R1", NotObserved, "Handed over to P. Keeper, Tarn Builders; not observed: start of the warranty and papers", nil},
	{"no instructions on site", closing(func(c *schema.ClosingSeen) { c.Instructions = "" }), "instructions on site", "elevation A", NotObserved, "Instructions not observed", nil},
	{"anchored by no drawing", closing(func(c *schema.ClosingSeen) { c.AnchorDrawing = "" }), "anchored as drawn", "elevation A", NotObserved, "Anchored, and the drawing it was held against is not named", nil},
}

// withTop plans a top on all cabinets of the fixture that stands out so far.
func withTop(overhang string) func(*schema.Record) {
	return func(r *schema.Record) {
		r.Planned.Rooms[0].Elevations[0].Tops = []schema.Top{{From: "C1", To: "C3", Overhang: in(overhang)}}
	}
}

// TestEveryRuleHasItsFault: a new rule without a planted fault and a missing
// observation is not tested.
func TestEveryRuleHasItsFault(t *testing.T) {
	for _, rule := range All() {
		for _, want := range []Outcome{Fail, NotObserved} {
			has := slices.ContainsFunc(oneFault, func(f planted) bool {
				return f.outcome == want && (f.rule == rule.Name || slices.Contains(f.also, rule.Name))
			})
			if !has && !rule.Advises && !(rule == instructionsOnSite && want == Fail) { // no answer to it is wrong
				t.Errorf("no case in which %q is %s", rule.Name, want)
			}
		}
	}
}

// closing edits what closes the fixture's elevation out.
func handing(edit func(*schema.HandoverSeen)) func(*schema.Record) {
	return func(r *schema.Record) {
		alter(r.Measured.Visits[0].Rooms, "R1", func(s *schema.RoomSeen) { edit(&s.Handover) })
	}
}

func closing(edit func(*schema.ClosingSeen)) func(*schema.Record) {
	return func(r *schema.Record) {
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { edit(&e.Closing) })
	}
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
			if r.Outcome != tc.outcome || r.Finding.String() != tc.finding {
				t.Errorf("%s %q, want %s %q", r.Outcome, r.Finding.String(), tc.outcome, tc.finding)
			}
			if r.Remedy.String() == "" {
				t.Error("no word of what to do")
			}
			for _, other := range found.Results {
				if other.Rule == r.Rule && other.Subject == r.Subject {
					continue
				}
				if slices.Contains(tc.also, other.Rule.Name) {
					continue
				}
				if other.Outcome != before[other.Rule.Name+" "+other.Subject.Item] {
					t.Errorf("%s of %s changed too: %s %s", other.Rule.Name, other.Subject, other.Outcome, other.Finding.String())
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
		if r.Outcome != NotObserved && !(r.Rule.Advises && r.Outcome == NotApplicable) {
			t.Errorf("%s of %s is %s although nobody looked", r.Rule.Name, r.Subject, r.Outcome)
		}
	}
	if found.Ready() {
		t.Error("a room nobody looked at is ready")
	}
	// Instruments belong to visits, only what was read can be implausible, and
	// only an extension that is recorded can disagree; every other rule must
	// speak of every subject.
	said := map[string]bool{}
	for _, r := range found.Results {
		said[r.Rule.Name+" "+r.Subject.String()] = true
	}
	for _, r := range judge(t, fixture()).Results {
		if r.Rule != instrumentChecked && r.Rule != readingsPlausible && r.Rule != extensionAgrees && !said[r.Rule.Name+" "+r.Subject.String()] {
			t.Errorf("%s says nothing of %s where nobody looked", r.Rule.Name, r.Subject)
		}
	}
}
