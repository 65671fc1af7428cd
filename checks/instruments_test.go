package checks

import (
	"encoding/json"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// TestInstrumentChecked: a check is dated or a two-peg test on the visit. The
// fixture's laser is stated as 1/16 in over 50 ft: over the 25 m between the
// two distances of the test that is 1/16 in x 25 m / 50 ft, worked by hand
// 1 587 500 nm x 25 000 / 15 240 = 2 604 166.67 nm.
func TestInstrumentChecked(t *testing.T) {
	yes, no := true, false
	peg := func(off length.Length) *schema.TwoPeg {
		return &schema.TwoPeg{
			Midway:  [2]length.Length{*in("1 m"), *in("0.37 m")},
			Unequal: [2]length.Length{*in("1 m") + off, *in("0.37 m")}, Distances: [2]length.Length{*in("50 m"), *in("25 m")},
		}
	}
	const atMost = 2_604_166
	unstated := func(r *schema.Record) {
		r.Planned.Instruments["laser"] = schema.Instrument{Kind: "laser", Resolution: in("1/64 in")}
	}
	for _, tc := range []struct {
		name    string
		use     schema.InstrumentUse
		edit    func(*schema.Record)
		want    Outcome
		finding string
	}{
		{"dated", schema.InstrumentUse{Checked: "2026-09-02"}, nil, Pass, "Checked on 2026-09-02, 8 days before the visit"},
		{"too long ago", schema.InstrumentUse{Checked: "2026-08-10"}, nil, Fail, "31 days before the visit"},
		{"not at all", schema.InstrumentUse{}, nil, NotObserved, "Date of its last check not observed"},
		{"a good test with no date", schema.InstrumentUse{TwoPeg: peg(atMost)}, nil, Pass, "Two-peg test shows an error of 1/16 in over 600 in, within the stated 1/16 in"},
		{"the other way", schema.InstrumentUse{TwoPeg: peg(-atMost)}, nil, Pass, "within the stated 1/16 in"},
		{"a bad test with no date", schema.InstrumentUse{TwoPeg: peg(atMost + 1)}, nil, Fail, "stated is 1/16 in"},
		{"a bad test whatever the date", schema.InstrumentUse{Checked: "2026-09-10", TwoPeg: peg(-atMost - 1)}, nil, Fail, "stated is 1/16 in"},
		{"a good test whatever the date", schema.InstrumentUse{Checked: "2026-01-01", TwoPeg: peg(0)}, nil, Pass, "within the stated"},
		{"dropped since", schema.InstrumentUse{Checked: "2026-09-02", Dropped: &yes}, nil, Fail, "Dropped since its check"},
		{"dropped since a good test", schema.InstrumentUse{TwoPeg: peg(0), Dropped: &yes}, nil, Fail, "Dropped since its check"},
		{"dropped, and no check known", schema.InstrumentUse{Dropped: &yes}, nil, Fail, "Dropped since its check"},
		{"not dropped", schema.InstrumentUse{Checked: "2026-09-02", Dropped: &no}, nil, Pass, "Checked on"},
		{"not dropped says no date", schema.InstrumentUse{Dropped: &no}, nil, NotObserved, "Date of its last check"},
		{"a test with nothing to hold it against", schema.InstrumentUse{TwoPeg: peg(atMost)}, unstated, NotObserved,
			"no stated accuracy is planned to hold it against. Date of its last check not observed"},
		{"and with a date", schema.InstrumentUse{Checked: "2026-09-02", TwoPeg: peg(atMost)}, unstated, Pass, "no stated accuracy is planned to hold it against"},
	} {
		rec := fixture()
		rec.Measured.Visits[0].Instruments["laser"] = tc.use
		if tc.edit != nil {
			tc.edit(rec)
		}
		r := result(t, judge(t, rec), "instrument checked", "laser on 2026-09-10")
		if r.Outcome != tc.want || !strings.Contains(r.Finding.String(), tc.finding) {
			t.Errorf("%s: %s: %q; want %s: %q", tc.name, r.Outcome, r.Finding.String(), tc.want, tc.finding)
		}
	}
}

// TestOutOnAnEarlierDay: what an earlier day knew of an instrument holds until a check
// that came after it.
func TestOutOnAnEarlierDay(t *testing.T) {
	yes, no := true, false
	bad := &schema.TwoPeg{
		Midway: [2]length.Length{0, 0}, Unequal: [2]length.Length{*in("1 in"), 0}, Distances: [2]length.Length{*in("50 m"), *in("25 m")},
	}
	good := &schema.TwoPeg{Distances: bad.Distances}
	for _, tc := range []struct {
		name         string
		first, later schema.InstrumentUse
		day          schema.Date
		want         Outcome
		finding      string
	}{
		{"dropped, the same check", schema.InstrumentUse{Checked: "2026-09-02", Dropped: &yes}, schema.InstrumentUse{Checked: "2026-09-02"}, "2026-09-12", Fail, "Dropped since, as was known on 2026-09-10"},
		{"dropped, an earlier check", schema.InstrumentUse{Checked: "2026-09-02", Dropped: &yes}, schema.InstrumentUse{Checked: "2026-09-01"}, "2026-09-12", Fail, "Dropped since"},
		{"dropped, said not to be", schema.InstrumentUse{Checked: "2026-09-02", Dropped: &yes}, schema.InstrumentUse{Checked: "2026-09-02", Dropped: &no}, "2026-09-12", Fail, "Dropped since"},
		{"dropped, checked again", schema.InstrumentUse{Checked: "2026-09-02", Dropped: &yes}, schema.InstrumentUse{Checked: "2026-09-11"}, "2026-09-12", Pass, "1 day before"},
		{"dropped, nobody knows when", schema.InstrumentUse{Checked: "2026-09-02", Dropped: &yes}, schema.InstrumentUse{Checked: "2026-09-03"}, "2026-09-12", Pass, "9 days before"},
		{"dropped, tested on the visit", schema.InstrumentUse{Checked: "2026-09-02", Dropped: &yes}, schema.InstrumentUse{Checked: "2026-09-02", TwoPeg: good}, "2026-09-12", Pass, "within the stated"},
		{"dropped, on the same day", schema.InstrumentUse{Checked: "2026-09-02", Dropped: &yes}, schema.InstrumentUse{Checked: "2026-09-02"}, "2026-09-10", Pass, "8 days before"},
		{"dropped, no check known", schema.InstrumentUse{Checked: "2026-09-02", Dropped: &yes}, schema.InstrumentUse{}, "2026-09-12", NotObserved, "Date of its last check"},
		{"out, the same check", schema.InstrumentUse{Checked: "2026-09-02", TwoPeg: bad}, schema.InstrumentUse{Checked: "2026-09-02"}, "2026-09-12", Fail, "Shown to be out since by a two-peg test on 2026-09-10"},
		{"out, a check before the test", schema.InstrumentUse{TwoPeg: bad}, schema.InstrumentUse{Checked: "2026-09-09"}, "2026-09-12", Fail, "Shown to be out since"},
		{"out, checked on the day of the test", schema.InstrumentUse{TwoPeg: bad}, schema.InstrumentUse{Checked: "2026-09-10"}, "2026-09-12", Pass, "2 days before"},
		{"out, tested on the visit", schema.InstrumentUse{TwoPeg: bad}, schema.InstrumentUse{TwoPeg: good}, "2026-09-12", Pass, "within the stated"},
		{"good", schema.InstrumentUse{Checked: "2026-09-02", TwoPeg: good}, schema.InstrumentUse{Checked: "2026-09-02"}, "2026-09-12", Pass, "10 days before"},
	} {
		rec := fixture()
		rec.Measured.Visits = append(rec.Measured.Visits, rec.Measured.Visits[0])
		first, later := &rec.Measured.Visits[0], &rec.Measured.Visits[1]
		first.Instruments = map[string]schema.InstrumentUse{"laser": tc.first, "level": first.Instruments["level"]}
		later.Instruments = map[string]schema.InstrumentUse{"laser": tc.later, "level": first.Instruments["level"]}
		later.Date = tc.day
		item := "laser on " + string(tc.day)
		if tc.day == first.Date {
			item += " (2)"
		}
		r := result(t, judge(t, rec), "instrument checked", item)
		if r.Outcome != tc.want || !strings.Contains(r.Finding.String(), tc.finding) {
			t.Errorf("%s: %s: %q; want %s: %q", tc.name, r.Outcome, r.Finding.String(), tc.want, tc.finding)
		}
	}
}

// TestEqualDistancesAreRefused: they would divide by nothing.
func TestEqualDistancesAreRefused(t *testing.T) {
	rec := fixture()
	rec.Measured.Visits[0].Instruments["laser"] = schema.InstrumentUse{TwoPeg: &schema.TwoPeg{Distances: [2]length.Length{*in("20 m"), *in("20 m")}}}
	if test := twoPegTest(rec.Planned.Instruments["laser"], rec.Measured.Visits[0].Instruments["laser"].TwoPeg); test.outcome != "" {
		t.Errorf("%+v", test)
	}
	text, err := json.Marshal(rec)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := schema.Read("equal.json", text); err == nil || !strings.Contains(err.Error(), "two equal distances") {
		t.Errorf("read as %v", err)
	}
}

// TestStraightedge: what is said where nothing can lie under a straightedge.
func TestStraightedge(t *testing.T) {
	at := func(places ...string) func(*schema.Record) {
		return func(r *schema.Record) {
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) {
				e.Floor = schema.FloorSeen{}
				for _, p := range places {
					e.Floor.Front = append(e.Floor.Front, schema.FloorReading{*in(p), *in("44 in")})
					e.Floor.Back = append(e.Floor.Back, schema.FloorReading{*in(p), *in("44 in")})
				}
			})
		}
	}
	wide := func(r *schema.Record, width string) {
		r.Planned.Cabinets["BD24"] = schema.Cabinet{Width: *in(width), Front: r.Planned.Cabinets["BD24"].Front}
	}
	for _, tc := range []struct {
		name    string
		edit    func(*schema.Record)
		want    Outcome
		finding string
	}{
		{"two readings", at("0 in", "75 in"), NotObserved, "Readings too far apart: on neither line do three lie within 120 in"},
		{"three within 10 ft", at("0 in", "30 in", "75 in"), Pass, "Greatest gap under the straightedge 0 in"},
		{"no readings", at(), NotObserved, "Floor not observed"},
		{"three over more than 10 ft", func(r *schema.Record) { wide(r, "48 in"); at("0 in", "100 in", "147 in")(r) }, NotObserved, "Readings too far apart"},
		{"under 36 in", func(r *schema.Record) { wide(r, "10 in"); at("0 in", "33 in")(r) }, NotApplicable, "An elevation of under 36 in needs no straightedge"},
		{"36 in", func(r *schema.Record) { wide(r, "11 in"); at("0 in", "36 in")(r) }, NotObserved, "Readings too far apart"},
		{"undecided is a notice", func(r *schema.Record) {
			r.Planned.DecisionRule = "guarded"
			at("0 in", "30 in", "75 in")(r)
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Front[1][1] = *in("44 1/4 in") })
		}, Notice, "Greatest gap under the straightedge 1/4 in"},
	} {
		rec := fixture()
		tc.edit(rec)
		r := result(t, judge(t, rec), "floor within contract", "elevation A")
		if r.Outcome != tc.want || !strings.Contains(r.Finding.String(), tc.finding) {
			t.Errorf("%s: %s: %q; want %s: %q", tc.name, r.Outcome, r.Finding.String(), tc.want, tc.finding)
		}
	}
}
