package checks

import (
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// TestDiagnosis: a front out of line is traced in the trade's order, from the
// readings: level, then movement, then the hinge or slide.
func TestDiagnosis(t *testing.T) {
	again := func(rec *schema.Record, down length.Length) {
		c := seen(rec).Cabinets["C1"]
		low := func(l *length.Length) *length.Length { v := *l + down; return &v }
		rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
			Date: "2026-09-30", People: []schema.Party{{Name: "I"}},
			Instruments: map[string]schema.InstrumentUse{"laser": {Checked: "2026-09-29"}},
			Rooms: map[string]schema.RoomSeen{"R1": {
				Elevations: map[string]schema.ElevationSeen{"A": {Mark: in("9 1/2 in")}},
				Cabinets: map[string]schema.CabinetSeen{"C1": {Tops: schema.CornerLengths{
					FL: low(c.Tops.FL), FR: low(c.Tops.FR), BL: low(c.Tops.BL), BR: low(c.Tops.BR),
				}}},
			}},
		})
	}
	for _, tc := range []struct {
		name string
		edit func(*schema.Record)
		want string
	}{
		{"out of level", func(r *schema.Record) {
			alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Tops.FR, c.Tops.BR = in("9 11/16 in"), in("9 11/16 in") })
		}, "1. Level: C1 is out of level along the front by 3/16 in over 24 in. Level it first"},
		{"level not observed", func(r *schema.Record) {
			alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Tops = schema.CornerLengths{} })
		}, "1. Level: not fully observed for C1. Read it before anything is adjusted"},
		{"moved since", func(r *schema.Record) { again(r, length.Inch/16) },
			"2. Movement: C1 front-right came down by 1/16 in since it was first read. Find out whether"},
		{"read once", func(*schema.Record) {},
			"2. Movement: cannot be told for C1, tops were read once. 3. If it has not moved, adjust the hinge or slide"},
		{"level and not moved", func(r *schema.Record) { again(r, 0) },
			"1. Level: within its limit. 2. Movement: none. 3. What is left: adjust the hinge or slide"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, rule := range []string{"doors and drawers work", "fronts aligned"} {
				rec := fixture()
				alter(seen(rec).Cabinets, "C1", func(c *schema.CabinetSeen) {
					c.Works["drawer 1"], c.Alignment["drawer 1"] = false, length.Inch/8
				})
				tc.edit(rec)
				r := result(t, judge(t, rec), rule, "C1")
				if r.Outcome != Fail || !strings.Contains(r.Remedy.String(), tc.want) {
					t.Errorf("%s: %q, want %q in it", rule, r.Remedy.String(), tc.want)
				}
			}
		})
	}
}

// TestMovement tells a floor that tilts from a cabinet that sinks.
func TestMovement(t *testing.T) {
	for _, tc := range []struct {
		name string
		down func(tag string, right bool) length.Length
		want Outcome
		say  string
	}{
		{"nothing moved", func(string, bool) length.Length { return 0 }, Pass, "No movement beyond the uncertainty"},
		{"the floor tilts", func(tag string, right bool) length.Length {
			// A sixty-fourth for each cabinet width, to the right.
			n := map[string]length.Length{"C1": 0, "C2": 1, "C3": 2}[tag]
			if right {
				n++
			}
			return n * length.Inch / 16
		}, Notice, "the floor has moved under the run"},
		{"one cabinet sinks", func(tag string, _ bool) length.Length {
			if tag == "C2" {
				return length.Inch / 8
			}
			return 0
		}, Notice, "C2 changed, and what was read beside it did not: that is the cabinet, not the floor"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			again := schema.RoomSeen{
				Elevations: map[string]schema.ElevationSeen{"A": {Mark: in("12 in")}}, // another reference line
				Cabinets:   map[string]schema.CabinetSeen{},
			}
			for _, tag := range []string{"C1", "C2", "C3"} {
				left, right := *in("12 in")+tc.down(tag, false), *in("12 in")+tc.down(tag, true)
				again.Cabinets[tag] = schema.CabinetSeen{Tops: schema.CornerLengths{FL: &left, BL: &left, FR: &right, BR: &right}}
			}
			rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
				Date: "2026-10-20", People: []schema.Party{{Name: "I"}}, Instruments: map[string]schema.InstrumentUse{"laser": {Checked: "2026-10-19"}},
				Rooms: map[string]schema.RoomSeen{"R1": again},
			})
			r := result(t, judge(t, rec), "movement between visits", "elevation A")
			if r.Outcome != tc.want || !strings.Contains(r.Finding.String(), tc.say) {
				t.Errorf("%s: %q, want %s: %q", r.Outcome, r.Finding.String(), tc.want, tc.say)
			}
		})
	}
}

// TestHistory: a fault found on one visit and put right on another stays told.
func TestHistory(t *testing.T) {
	rec := fixture()
	alter(seen(rec).Cabinets, "C1", func(c *schema.CabinetSeen) { *c.Bearing.BL = false })
	alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Bearing.FR = false })
	yes, no := true, false
	visit := func(date schema.Date, seen map[string]schema.CabinetSeen) {
		rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{Date: date, People: []schema.Party{{Name: "I"}}, Rooms: map[string]schema.RoomSeen{"R1": {Cabinets: seen}}})
	}
	visit("2026-09-20", map[string]schema.CabinetSeen{"C1": {Bearing: schema.CornerAnswers{BL: &yes}}})
	visit("2026-09-25", map[string]schema.CabinetSeen{"C1": {Bearing: schema.CornerAnswers{BL: &no}}})
	faults, err := History(source(t, rec))
	if err != nil {
		t.Fatal(err)
	}
	type told struct {
		item            string
		found, putRight int
	}
	var got []told
	for _, f := range faults {
		got = append(got, told{f.Subject.Item, f.FoundOn, f.PutRightOn})
	}
	want := []told{{"C1", 0, 1}, {"C2", 0, -1}, {"C1", 2, -1}}
	if len(got) != len(want) || got[0] != want[0] || got[1] != want[1] || got[2] != want[2] {
		t.Errorf("%v, want %v", got, want)
	}
}

// TestReinspection: an open building is a notice where a date is agreed.
func TestReinspection(t *testing.T) {
	for date, want := range map[schema.Date]Outcome{"2026-11-01": Notice, "2026-09-10": Fail} {
		rec := fixture()
		*rec.Measured.Visits[0].Site.SlabCured = false
		rec.Agreed.Reinspections = []schema.Reinspection{{Room: "R1", Date: date}}
		if r := result(t, judge(t, rec), "site settled", "site"); r.Outcome != want {
			t.Errorf("re-inspection on %s: %s, want %s", date, r.Outcome, want)
		}
	}
}
