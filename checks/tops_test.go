package checks

import (
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// topsAt reads the tops of the fixture's cabinets anew, in 64ths above where they
// were: C1 FL, FR, BL, BR, C2 and C3 likewise.
func topsAt(rec *schema.Record, up ...int) {
	for i, tag := range []string{"C1", "C2", "C3"} {
		alter(seen(rec).Cabinets, tag, func(c *schema.CabinetSeen) {
			read := func(k int) *length.Length {
				l := *in("9 1/2 in") - length.Length(up[4*i+k])*length.Inch/64
				return &l
			}
			c.Tops = schema.CornerLengths{FL: read(0), FR: read(1), BL: read(2), BR: read(3)}
		})
	}
}

func planTops(tops ...schema.Top) func(*schema.Record) {
	return func(r *schema.Record) { r.Planned.Rooms[0].Elevations[0].Tops = tops }
}

// TestTopBears: what is said of tops that do not fall.
func TestTopBears(t *testing.T) {
	whole := schema.Top{From: "C1", To: "C3"}
	out := schema.Top{From: "C1", To: "C3", Overhang: in("1 in")}
	level := []int{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}
	for _, tc := range []struct {
		name    string
		tops    []schema.Top
		up      []int
		outcome Outcome
		finding string
	}{
		{"level", []schema.Top{whole}, level, Pass, "1 top rests steadily"},
		{"one corner low, its middle on the diagonal", []schema.Top{whole}, []int{-4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, Pass,
			"1 top rests steadily; widest gap 1/16 in, at C1 front-left"},
		{"two corners high across", []schema.Top{whole}, []int{4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 4}, Notice,
			"Top C1 to C3 rocks by 1/8 in at C1 back-left, on C1 front-left and C3 back-right"},
		{"likewise, but standing out in front", []schema.Top{out}, []int{4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 4}, Pass,
			"1 top rests steadily; widest gap 1/8 in, at C1 back-left"},
		{"two that meet, one rocks", []schema.Top{{From: "C1", To: "C1"}, {From: "C2", To: "C3"}}, []int{-4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, Notice,
			"Top C1 to C1 rocks by 1/16 in at C1 front-left, on C1 front-right and C1 back-left"},
		{"ending within a cabinet, on its rails", []schema.Top{{From: "3 in", To: "39 in"}}, []int{0, 0, 0, 0, 0, -8, 0, 0, 0, 0, 0, 0}, Pass,
			"1 top rests steadily; widest gap 1/16 in, at C2 front rail at 39 in"},
		{"on the rails of one cabinet alone", []schema.Top{{From: "30 in", To: "48 in"}}, []int{0, 0, 0, 0, 0, -8, 0, 0, 0, 0, 0, 0}, Notice,
			"Top 30 in to 48 in rocks by 3/32 in at C2 front rail at 48 in, on C2 front rail at 30 in and C2 back rail at 48 in"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			planTops(tc.tops...)(rec)
			topsAt(rec, tc.up...)
			r := result(t, judge(t, rec), "top bears", "elevation A")
			if r.Outcome != tc.outcome || r.Finding.String() != tc.finding {
				t.Errorf("%s %q, want %s %q", r.Outcome, r.Finding.String(), tc.outcome, tc.finding)
			}
			if r.Outcome == Notice && r.Remedy.Empty() {
				t.Error("no word of what to do")
			}
		})
	}
}

// TestTopsOfUntiedVisits: corners of two visits that no mark ties tell nothing.
func TestTopsOfUntiedVisits(t *testing.T) {
	rec := fixture()
	planTops(schema.Top{From: "C1", To: "C3"})(rec)
	again := rec.Measured.Visits[0]
	again.Date = "2026-09-12"
	again.Rooms = map[string]schema.RoomSeen{"R1": {Cabinets: map[string]schema.CabinetSeen{"C2": {Tops: seen(rec).Cabinets["C2"].Tops}}}}
	rec.Measured.Visits = append(rec.Measured.Visits, again)
	r := result(t, judge(t, rec), "top bears", "elevation A")
	if want := "A set-height mark that ties the visits on which the tops were read not observed"; r.Outcome != NotObserved || r.Finding.String() != want {
		t.Errorf("%s %q, want %q", r.Outcome, r.Finding.String(), want)
	}
}

// TestNoTopsPlanned: without tops planned nothing is said of how they bear, and a
// release is asked for only where the contract asks for what closes a room out.
func TestNoTopsPlanned(t *testing.T) {
	rec := fixture()
	rec.Planned.ClosingOut = false
	for _, r := range judge(t, rec).Results {
		if r.Rule == topBears || r.Rule == topsReleased {
			t.Errorf("%s: %s", r.Rule.Name, r.Finding.String())
		}
	}
}

// TestTopsReleased: a hold point is released run by run, by whom is named or by
// the people of the visit, and the last word counts.
func TestTopsReleased(t *testing.T) {
	no := new(bool)
	released := func(closing schema.ClosingSeen) schema.Visit {
		return schema.Visit{Date: "2026-09-20", People: []schema.Party{{Name: "A. Lead"}, {Name: "B. Second"}}, Rooms: map[string]schema.RoomSeen{
			"R1": {Elevations: map[string]schema.ElevationSeen{"A": {Closing: closing}}},
		}}
	}
	for _, tc := range []struct {
		name    string
		apart   bool // C3 stands in a run of its own
		visits  []schema.Visit
		outcome Outcome
		finding string
	}{
		{"by nobody", false, nil, NotObserved, "Release for the top not observed"},
		{"by the people of the visit", false, []schema.Visit{released(schema.ClosingSeen{TopsReleased: yes()})}, Pass,
			"Released for its top by A. Lead and B. Second on 2026-09-20"},
		{"by somebody named", false, []schema.Visit{released(schema.ClosingSeen{TopsReleased: yes(), ReleasedBy: "C. Engineer"})}, Pass,
			"Released for its top by C. Engineer on 2026-09-20"},
		{"not", false, []schema.Visit{released(schema.ClosingSeen{TopsReleased: no})}, Fail, "Not released for its top"},
		{"first, and not any more", false, []schema.Visit{released(schema.ClosingSeen{TopsReleased: yes()}), released(schema.ClosingSeen{TopsReleased: no})}, Fail, "Not released for its top"},
		{"one run of two", true, []schema.Visit{released(schema.ClosingSeen{TopsReleased: yes(), ReleasedRuns: []string{"C3"}})}, NotObserved,
			"Release for the top of run C1 to C2 not observed"},
		{"one run of two, and not the other", true, []schema.Visit{
			released(schema.ClosingSeen{TopsReleased: yes(), ReleasedRuns: []string{"C3"}}),
			released(schema.ClosingSeen{TopsReleased: no, ReleasedRuns: []string{"C2"}}),
		}, Fail, "Not released for their tops: run C1 to C2"},
		{"one run after the other", true, []schema.Visit{
			released(schema.ClosingSeen{TopsReleased: yes(), ReleasedRuns: []string{"C3"}}),
			released(schema.ClosingSeen{TopsReleased: yes(), ReleasedRuns: []string{"C2"}, ReleasedBy: "C. Engineer"}),
		}, Pass, "Released for their tops: run C1 to C2 by C. Engineer on 2026-09-20 and run C3 to C3 by A. Lead and B. Second on 2026-09-20"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			rec.Planned.ClosingOut = false
			planTops(schema.Top{From: "C1", To: "C3"})(rec)
			if tc.apart {
				rec.Planned.Rooms[0].Elevations[0].Units[3].SpaceBefore = in("20 in")
				delete(seen(rec).Joints, "C2+C3")
			}
			closing(func(c *schema.ClosingSeen) { *c = schema.ClosingSeen{} })(rec)
			rec.Measured.Visits = append(rec.Measured.Visits, tc.visits...)
			r := result(t, judge(t, rec), "tops released", "elevation A")
			if r.Outcome != tc.outcome || r.Finding.String() != tc.finding {
				t.Errorf("%s %q, want %s %q", r.Outcome, r.Finding.String(), tc.outcome, tc.finding)
			}
		})
	}
}
