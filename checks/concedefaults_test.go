package checks

import (
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// anotherFault is a fault of one subject, and another of the same rule and
// subject, which a concession of the first must not cover. less is the first
// again, and no worse; nil where a fault is a plain no.
type anotherFault struct {
	rule, item           string
	first, another, less func(schema.RoomSeen)
}

func ofCabinet(tag string, edit func(*schema.CabinetSeen)) func(schema.RoomSeen) {
	return func(s schema.RoomSeen) { alter(s.Cabinets, tag, edit) }
}

var anotherFaults = []anotherFault{
	{"fronts aligned", "C2",
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Alignment["drawer 1"] = *in("1/8 in") }),
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Alignment["drawer 3"] = *in("-1/8 in") }),
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Alignment["drawer 1"] = *in("-3/32 in") })},
	{"doors and drawers work", "C2",
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Works["drawer 1"] = false }),
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Works["drawer 3"] = false }), nil},
	{"fasteners hidden", "C2",
		ofCabinet("C2", func(c *schema.CabinetSeen) { *c.InSight.Standing = 2 }),
		ofCabinet("C2", func(c *schema.CabinetSeen) { *c.InSight.Closed = 1 }),
		ofCabinet("C2", func(c *schema.CabinetSeen) { *c.InSight.Standing = 1 })},
	{"fastener fits", "C1+C2",
		ofJoint(func(j *schema.JointSeen) { *j.Fastened.Front.TipShows = true }),
		ofJoint(func(j *schema.JointSeen) { *j.Fastened.UpperRear.TipShows = true }), nil},
	{"filler flush", "F1",
		ofFiller(func(f *schema.FillerSeen) { f.SideOffset = in("1/8 in") }),
		ofFiller(func(f *schema.FillerSeen) { f.TopOffset = in("1/8 in") }),
		ofFiller(func(f *schema.FillerSeen) { f.SideOffset = in("-3/32 in") })},
	{"fillers removable", "F1",
		ofFiller(func(f *schema.FillerSeen) { f.HeldFrom = []string{"inside", "face"} }),
		ofFiller(func(f *schema.FillerSeen) { f.HeldFrom = []string{"inside", "side"} }), nil},
	{"run closes", "elevation A",
		func(s schema.RoomSeen) {
			alter(s.Elevations, "A", func(e *schema.ElevationSeen) { e.Opening.Top = in("77 in") })
		},
		func(s schema.RoomSeen) {
			alter(s.Elevations, "A", func(e *schema.ElevationSeen) { e.Opening.Bottom = in("71 in") })
		},
		func(s schema.RoomSeen) {
			alter(s.Elevations, "A", func(e *schema.ElevationSeen) { e.Opening.Top = in("76 1/2 in") })
		}},
	{"level and plumb", "C2",
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Plumb.Front.Off = *in("1/8 in") }),
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Plumb.Left.Off = *in("1/8 in") }),
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Plumb.Front.Off = *in("-3/32 in") })},
	{"set height held", "C2",
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Tops.FL = in("9 5/8 in") }),
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Tops.BR = in("9 5/8 in") }),
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Tops.FL = in("9 19/32 in") })},
	{"drawers home", "C2",
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Drawers["1"], c.Drawers["2"] = "2", "1" }),
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Drawers["3"] = "none" }), nil},
	{"label complete", "C2",
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Label.Order = "" }),
		ofCabinet("C2", func(c *schema.CabinetSeen) { c.Label.Room = "R2" }), nil},
}

func ofJoint(edit func(*schema.JointSeen)) func(schema.RoomSeen) {
	return func(s schema.RoomSeen) { alter(s.Joints, "C1+C2", edit) }
}

func ofFiller(edit func(*schema.FillerSeen)) func(schema.RoomSeen) {
	return func(s schema.RoomSeen) { alter(s.Fillers, "F1", edit) }
}

// A concession covers the faults it was given for, none beside them, whatever
// the words of a finding say.
func TestConcessionCoversNoOtherFault(t *testing.T) {
	long(t)
	both := func(a, b func(schema.RoomSeen)) func(schema.RoomSeen) {
		return func(s schema.RoomSeen) { a(s); b(s) }
	}
	for _, f := range anotherFaults {
		for _, c := range []struct {
			name      string
			then, now func(schema.RoomSeen)
			want      Outcome
		}{
			{"the same again", f.first, f.first, Conceded},
			{"no worse", f.first, f.less, Conceded},
			{"another", f.first, f.another, Fail},
			{"another beside it", f.first, both(f.first, f.another), Fail},
			{"one of two left", both(f.first, f.another), f.another, Conceded},
		} {
			if c.now == nil {
				continue
			}
			t.Run(f.rule+"/"+c.name, func(t *testing.T) {
				rec := seenAgain(t, c.then, c.now)
				rec.Agreed.Concessions = []schema.Concession{{Rule: f.rule, Subject: "R1/" + f.item, Reason: "behind a column", By: schema.Party{Name: "G. Contractor"}, Date: "2026-09-12"}}
				if r := result(t, judge(t, rec), f.rule, f.item); r.Outcome != c.want {
					t.Errorf("%s, want %s: %s", r.Outcome, c.want, r.Finding.String())
				}
			})
		}
	}
}

// seenAgain is the fixture with a fault, and with everything seen again twice:
// before and after the 12th of September.
func seenAgain(t *testing.T, then, now func(schema.RoomSeen)) *schema.Record {
	t.Helper()
	rec, later := fixture(), fixture().Measured.Visits[0]
	then(seen(rec))
	now(later.Rooms["R1"])
	later.Date = "2026-09-20"
	rec.Measured.Visits = append(rec.Measured.Visits, later)
	return rec
}

// The worst reading may stand since before the concession: another that failed
// since is not covered by it all the same.
func TestConcessionBetweenTwoFaults(t *testing.T) {
	rec := fixture()
	rec.Measured.Visits = append(rec.Measured.Visits, alignmentVisit(10, length.Inch/4), schema.Visit{
		Date: "2026-10-20", People: []schema.Party{{Name: "I"}},
		Rooms: map[string]schema.RoomSeen{"R1": {Cabinets: map[string]schema.CabinetSeen{"C2": {Alignment: map[string]length.Length{"drawer 3": length.Inch / 8}}}}},
	})
	rec.Agreed.Concessions = []schema.Concession{{Rule: "fronts aligned", Subject: "R1/C2", Reason: "behind a door", By: schema.Party{Name: "GC"}, Date: "2026-10-11"}}
	if r := result(t, judge(t, rec), "fronts aligned", "C2"); r.Outcome != Fail {
		t.Errorf("%s: %s", r.Outcome, r.Finding.String())
	}
}

// Of what nobody has looked at nothing can be permitted: what was seen is
// conceded, and the rest stays not observed.
func TestConcessionOfWhatWasSeenInPart(t *testing.T) {
	rec := fixture()
	alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) {
		c.Alignment["drawer 1"] = *in("1/8 in")
		delete(c.Alignment, "drawer 3")
	})
	rec.Agreed.Concessions = []schema.Concession{{Rule: "fronts aligned", Subject: "R1/C2", Reason: "behind a door", By: schema.Party{Name: "GC"}, Date: "2026-10-11"}}
	found := judge(t, rec)
	if r := result(t, found, "fronts aligned", "C2"); r.Outcome != NotObserved || found.Ready() || r.Remedy.String() != string(frontsAligned.Needs) {
		t.Errorf("%s, ready %v: %s", r.Outcome, found.Ready(), r.Finding.String())
	}
}

// Parts are counted, not visited: a concession covers what had been counted on
// its day.
func TestConcessionOfPartsAsCounted(t *testing.T) {
	rec := fixture()
	rec.Arrived.Receipts[0].Lines["1"] = schema.Received{Good: 2}
	rec.Agreed.Concessions = []schema.Concession{{Rule: "parts received", Subject: "R1/part BD24", Reason: "a spare is on the way", By: schema.Party{Name: "GC"}, Date: "2026-09-03"}}
	if r := result(t, judge(t, rec), "parts received", "part BD24"); r.Outcome != Conceded {
		t.Errorf("%s: %s", r.Outcome, r.Finding.String())
	}
	again, src := source(t, rec)
	again.Agreed.Concessions[0].Date = "2026-08-30"
	if _, err := Run(again, src); err == nil {
		t.Error("permission from before anything was counted")
	}
}
