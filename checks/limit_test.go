package checks

import (
	"errors"
	"math"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

func TestFrontsFlushSaysWhichStandsProud(t *testing.T) {
	for offset, want := range map[length.Length]string{
		length.Inch / 8:  "C2 stands 1/8 in proud of C1",
		-length.Inch / 8: "C1 stands 1/8 in proud of C2",
	} {
		rec := fixture()
		alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = &offset })
		if r := result(t, judge(t, rec), "fronts flush", "C1+C2"); r.Finding.String() != want {
			t.Errorf("%q, want %q", r.Finding.String(), want)
		}
	}
}

// TestContractLimit: a limit that the contract sets counts in place of the
// default one, and is named with its source.
func TestContractLimit(t *testing.T) {
	rec := fixture()
	rec.Planned.Limits = map[string]schema.LimitChange{"fronts flush": {Limit: "0.8 mm", Source: "Section 12 35 53, 3.4"}}
	offset := length.Inch / 16
	alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = &offset })
	r := result(t, judge(t, rec), "fronts flush", "C1+C2")
	if r.Outcome != Fail || r.Limit != (Quantity{Length, 800_000}) || r.Source.String() != "Section 12 35 53, 3.4" {
		t.Errorf("%s, limit %v from %q", r.Outcome, r.Limit, r.Source)
	}
}

func TestLimitsThatAreNone(t *testing.T) {
	for _, tc := range []struct{ name, rule, limit, over, least, want string }{
		{"unknown rule", "front flush", "1/32 in", "", "", `unknown rule "front flush"`},
		{"rule that asks for a yes", "levelers bearing", "1", "", "", "limits only for rules that measure"},
		{"no unit", "fronts flush", "0.03", "", "", "a limit like the default, 1/16 in"},
		{"negative", "fronts flush", "-1/32 in", "", "", "a limit of zero or more"},
		{"over nothing", "level and plumb", "1/8 in", "0 in", "", "a distance above zero"},
		{"over less than nothing", "level and plumb", "1/8 in", "-1 in", "", "a distance above zero"},
		{"a least below nothing", "level and plumb", "1/8 in", "", "-0.000001 mm", "a length of zero or more"},
		{"a distance for a rule that has none", "fronts flush", "1/32 in", "96 in", "", `"over" only for "level and plumb"`},
		{"a distance that is part of the rule", "floor within contract", "1/4 in", "12 in", "", `"over" only for "level and plumb"`},
		{"a least for a rule that has none", "tops flush", "1/32 in", "", "1 mm", `"least" only for "level and plumb"`},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			change := schema.LimitChange{Limit: tc.limit, Source: "none"}
			if tc.over != "" {
				change.Over = in(tc.over)
			}
			if tc.least != "" {
				change.Least = in(tc.least)
			}
			rec.Planned.Limits = map[string]schema.LimitChange{tc.rule: change}
			_, err := Run(source(t, rec))
			var problems schema.Problems
			if !errors.As(err, &problems) || len(problems) != 1 {
				t.Fatalf("%v, want one problem", err)
			}
			if p := problems[0]; !strings.Contains(p.Error(), tc.want) || p.Line == 0 || p.Mend == "" {
				t.Errorf("%v (mend: %s)", p, p.Mend)
			}
		})
	}
}

// TestConformity compares with published values of the standard normal
// distribution: NIST/SEMATECH e-Handbook of Statistical Methods, table
// 1.3.6.7.1 (area from 0 to z, plus one half). The first is the example of
// JCGM 106:2012 as remembered: a margin of 0.07 with u = 0.05 gives 0.92.
func TestConformity(t *testing.T) {
	for _, tc := range []struct {
		margin, u length.Length
		want      float64
	}{
		{70_000, 50_000, 0.91924},
		{0, 1000, 0.5},
		{1000, 1000, 0.84134},
		{1960, 1000, 0.97500},
		{2580, 1000, 0.99506},
		{-1000, 1000, 1 - 0.84134},
		{-2000, 1000, 1 - 0.97725},
	} {
		got := conformity(1_000_000-tc.margin, 1_000_000, float64(tc.u))
		if math.Abs(got-tc.want) > 0.00001 {
			t.Errorf("margin %d, u %d: %.5f, want %.5f", tc.margin, tc.u, got, tc.want)
		}
	}
}

// TestResolutionUncertainty compares with JCGM 100:2008 (GUM), F.2.2.1: a
// resolution dx contributes a standard uncertainty of 0.29 dx.
func TestResolutionUncertainty(t *testing.T) {
	if got := resolutionUncertainty(length.Millimetre) / float64(length.Millimetre); math.Abs(got-0.29) > 0.005 {
		t.Errorf("%.4f of the resolution, want 0.29", got)
	}
}

// TestGuarded: under the guarded rule (JCGM 106:2012, 8.3.2) a value passes
// only where it is within the limit by U, fails only where it is beyond by
// more than U, and is undecided between.
func TestGuarded(t *testing.T) {
	const limit = 1_587_500
	guard := length.Length(math.Ceil(coverage * resolutionUncertainty(length.Inch/64))) // nm, rounded up
	for _, tc := range []struct {
		name  string
		value length.Length
		want  Outcome
	}{
		{"clear of the guard band", limit - guard, Pass},
		{"just in the guard band", limit - guard + 1, Undecided},
		{"at the limit", limit, Undecided},
		{"beyond, in the guard band", limit + guard - 1, Undecided},
		{"beyond the guard band", limit + guard, Fail},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			rec.Planned.DecisionRule = Guarded
			alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = &tc.value })
			found := judge(t, rec)
			r := result(t, found, "fronts flush", "C1+C2")
			if r.Outcome != tc.want {
				t.Errorf("%s, want %s", r.Outcome, tc.want)
			}
			if found.Ready() != (tc.want == Pass) {
				t.Errorf("ready is %v with an outcome of %s", found.Ready(), r.Outcome)
			}
		})
	}
}

func TestGuardedWithoutUncertaintyIsUndecided(t *testing.T) {
	rec := fixture()
	rec.Planned.DecisionRule = Guarded
	rec.Measured.Visits[0].Instruments = nil
	r := result(t, judge(t, rec), "fronts flush", "C1+C2")
	if r.Outcome != Undecided || !strings.Contains(r.Remedy.String(), "resolution") {
		t.Errorf("%s, %q", r.Outcome, r.Remedy.String())
	}
}

func TestConcessions(t *testing.T) {
	offset := length.Inch / 8
	good := schema.Concession{Rule: "fronts flush", Subject: "R1/C1+C2", Reason: "behind a column", By: schema.Party{Name: "G. Contractor"}, Date: "2026-09-11"}
	for _, tc := range []struct {
		name string
		edit func(*schema.Record, *schema.Concession)
		want string // part of the problem; "" for a good concession
	}{
		{"good", func(*schema.Record, *schema.Concession) {}, ""},
		{"on the day of the finding", func(_ *schema.Record, c *schema.Concession) { c.Date = "2026-09-10" }, ""},
		{"before the finding", func(_ *schema.Record, c *schema.Concession) { c.Date = "2026-09-09" }, "on or after the finding"},
		{"unknown rule", func(_ *schema.Record, c *schema.Concession) { c.Rule = "fronts flash" }, "unknown rule"},
		{"unknown subject", func(_ *schema.Record, c *schema.Concession) { c.Subject = "R1/C1+C9" }, "a subject that"},
		{"not observed", func(r *schema.Record, _ *schema.Concession) { delete(seen(r).Joints, "C1+C2") }, "nobody has fully observed"},
		{"may not be conceded", func(r *schema.Record, c *schema.Concession) {
			alter(seen(r).Cabinets, "C1", func(s *schema.CabinetSeen) { *s.Bearing.FL = false })
			c.Rule, c.Subject = "levelers bearing", "R1/C1"
		}, "a rule that can be conceded"},
		{"twice", func(r *schema.Record, c *schema.Concession) {
			r.Agreed.Concessions = append(r.Agreed.Concessions, *c)
		}, "a second concession"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec, c := fixture(), good
			alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = &offset })
			tc.edit(rec, &c)
			rec.Agreed.Concessions = append(rec.Agreed.Concessions, c)
			found, err := Run(source(t, rec))
			if tc.want == "" {
				if err != nil {
					t.Fatal(err)
				}
				if r := result(t, found, "fronts flush", "C1+C2"); r.Outcome != Conceded || r.Concession != 0 || !found.Ready() {
					t.Errorf("%s by concession %d, room ready: %v", r.Outcome, r.Concession, found.Ready())
				}
				return
			}
			if err == nil || !strings.Contains(err.Error(), tc.want) {
				t.Errorf("%v, want a problem with %q", err, tc.want)
			}
		})
	}
}

func TestConcessionOfWhatWasPutRight(t *testing.T) {
	rec := fixture()
	rec.Agreed.Concessions = []schema.Concession{{Rule: "fronts flush", Subject: "R1/C1+C2", Reason: "r", By: schema.Party{Name: "G"}, Date: "2026-09-11"}}
	if r := result(t, judge(t, rec), "fronts flush", "C1+C2"); r.Outcome != Pass {
		t.Errorf("%s, want pass: what passes needs no permission", r.Outcome)
	}
}

// TestLaterVisitSupersedes: item by item, and only what it mentions.
func TestLaterVisitSupersedes(t *testing.T) {
	rec := fixture()
	alter(seen(rec).Cabinets, "C1", func(c *schema.CabinetSeen) { *c.Bearing.BL, *c.InSight.Closed = false, 1 })
	yes := true
	later := schema.Visit{Date: "2026-09-20", People: []schema.Party{{Name: "I. Looker"}}, Rooms: map[string]schema.RoomSeen{
		"R1": {Cabinets: map[string]schema.CabinetSeen{"C1": {Bearing: schema.CornerAnswers{BL: &yes}}}},
	}}
	// Put in front, so that the date and not the place in the list decides.
	rec.Measured.Visits = append([]schema.Visit{later}, rec.Measured.Visits...)
	found := judge(t, rec)
	if r := result(t, found, "levelers bearing", "C1"); r.Outcome != Pass || r.Visit != 0 || r.Pointer != "/measured/visits/0/rooms/R1/cabinets/C1/bearing/BL" {
		t.Errorf("%s on visit %d at %s, want pass by the later visit", r.Outcome, r.Visit, r.Pointer)
	}
	if r := result(t, found, "fasteners hidden", "C1"); r.Outcome != Fail || r.Visit != 1 {
		t.Errorf("%s on visit %d; what the later visit does not mention stays as it was", r.Outcome, r.Visit)
	}
}

// TestConformityOfTheGreatest: lengths so great that their sum is none.
func TestConformityOfTheGreatest(t *testing.T) {
	const most = length.Length(math.MaxInt64)
	if p := conformityBothSides(most, most, 1); math.Abs(p-0.5) > 1e-9 {
		t.Errorf("at the limit: %v, want one half", p)
	}
	if p := conformityBothSides(most, 0, 1); p != 0 {
		t.Errorf("far beyond it: %v, want 0", p)
	}
}

// TestExactlyAsRead: what the report says of the rules that the guarded decision rule
// leaves alone. At their limits they pass under either, and a nanometre beyond fail,
// or are a notice.
func TestExactlyAsRead(t *testing.T) {
	opening := func(by length.Length) func(*schema.Record) {
		return func(rec *schema.Record) {
			alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) {
				wide := *in("76 in") + by // three cabinets, and a filler of 3 in with 1 in of scribe
				e.Opening = schema.OpeningSeen{Bottom: &wide, Middle: &wide, Top: &wide}
			})
		}
	}
	greatest := func(by length.Length) func(*schema.Record) {
		return func(rec *schema.Record) {
			l := *rec.Planned.Usual.Leveler
			l.Least, l.Greatest = 0, *in("1/2 in")-by // as every leveler of the fixture is out
			rec.Planned.Usual.Leveler = &l
		}
	}
	apart := func(by length.Length) func(*schema.Record) {
		return func(rec *schema.Record) {
			rec.Planned.Limits = map[string]schema.LimitChange{"survey coverage": {Limit: "27 in", Source: "addendum 1"}}
			alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Front[1][0] += by })
		}
	}
	lower := func(by length.Length) func(*schema.Record) {
		return func(rec *schema.Record) {
			l := *rec.Planned.Usual.Leveler
			l.Reserve = in("1/4 in")
			rec.Planned.Usual.Leveler = &l
			alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) { *e.Mark = *in("9 1/4 in") + by })
		}
	}
	for _, tc := range []struct {
		rule   string
		edit   func(by length.Length) func(*schema.Record)
		beyond Outcome
	}{{"run closes", opening, Fail}, {"floor within travel", greatest, Fail}, {"survey coverage", apart, Fail}, {"reserve left", lower, Notice}} {
		for _, decision := range []string{Simple, Guarded} {
			for by, want := range map[length.Length]Outcome{0: Pass, 1: tc.beyond} {
				rec := fixture()
				rec.Planned.DecisionRule = decision
				tc.edit(by)(rec)
				if r := result(t, judge(t, rec), tc.rule, "elevation A"); r.Outcome != want {
					t.Errorf("%s, %s, %d nm beyond: %s %q", tc.rule, decision, by, r.Outcome, r.Finding.String())
				}
			}
		}
	}
}
