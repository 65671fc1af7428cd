package checks

import (
	"regexp"
	"strings"
	"testing"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// tooLate are words of what can be done only before a cabinet stands.
var tooLate = regexp.MustCompile(`before setting|setting begins|before the set height is marked`)

// TestNobodyIsSentBack: where a top corner was read setting has begun, and no
// remedy speaks of what comes before it; where none was, remedies still do.
func TestNobodyIsSentBack(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	before := map[string]bool{}
	look := func(rec *schema.Record, begun bool) {
		t.Helper()
		for _, r := range judge(t, rec).Results {
			if !tooLate.MatchString(r.Remedy.String()) {
				continue
			}
			if before[r.Rule.Name] = true; begun {
				t.Errorf("%s of %s, with tops read: %s", r.Rule.Name, r.Subject, r.Remedy.String())
			}
		}
	}
	for _, f := range oneFault {
		rec := fixture()
		f.edit(rec)
		look(rec, len(seen(rec).Cabinets) > 0)
		for tag := range seen(rec).Cabinets {
			alter(seen(rec).Cabinets, tag, func(c *schema.CabinetSeen) { c.Tops = schema.CornerLengths{} })
		}
		look(rec, false)
	}
	for range 40 {
		look(withFaults(rng), true)
	}
	for _, name := range []string{"parts received", "survey coverage", "run closes", "work height", "accessible height"} {
		if !before[name] {
			t.Errorf("%q says nothing of what is to be done before setting", name)
		}
	}
}

// TestPhaseOfAnElevation: setting on one wall is not setting on another, and a
// part belongs to the room.
func TestPhaseOfAnElevation(t *testing.T) {
	rec := fixture()
	other := rec.Planned.Rooms[0].Elevations[0]
	other.Name, other.Units = "B", []schema.Unit{{Tag: "D1", Part: "BD24"}}
	rec.Planned.Rooms[0].Elevations = append(rec.Planned.Rooms[0].Elevations, other)
	alter(seen(rec).Elevations, "B", func(e *schema.ElevationSeen) {
		e.Opening = schema.OpeningSeen{Bottom: in("20 in"), Middle: in("20 in"), Top: in("20 in")}
	})
	found := judge(t, rec)
	if r := result(t, found, "run closes", "elevation B"); r.Remedy.String() != tooWide.in(layingOut).String() {
		t.Errorf("elevation B: %q", r.Remedy.String())
	}
	if r := result(t, found, "parts received", "part BD24"); r.Remedy.String() != notListed.in(setting).String() {
		t.Errorf("part: %q", r.Remedy.String())
	}
}

// sourced are the forms that a source may have: a standard with its edition and
// clause, or an honest word that there is none.
var sourced = regexp.MustCompile(`^(common practice, no source(; .+)?` +
	`|(ANSI/AWI 0620-20\d\d|ACI 117-10|2010 ADA Standards for Accessible Design|JCGM 100:2008|AISI S200)[ ,].+)$`)

func TestEverySourceSaysWhatItIs(t *testing.T) {
	for _, r := range All() {
		if !sourced.MatchString(string(r.Source)) {
			t.Errorf("%q has the source %q, expected a standard with edition and clause, or %q first", r.Name, r.Source, "common practice, no source")
		}
	}
}

// TestLimitsAsSaid: a default that is whole in inches is told in millimetres as
// a person says it, beside what it is; what is whole in millimetres stays.
func TestLimitsAsSaid(t *testing.T) {
	for name, want := range map[string]string{
		"level and plumb":       "at most 3.2 mm over 2438 mm, or 0.8 mm if that is more (exactly 1/8 in over 96 in, or 1/32 in if that is more)",
		"tops flush":            "at most 1.6 mm (exactly 1/16 in)",
		"joint gap":             "at most 1.6 mm",
		"survey coverage":       "at most 914 mm (exactly 36 in)",
		"floor within contract": "at most 6.4 mm over 3048 mm (exactly 1/4 in over 120 in)",
		"instrument checked":    "at most 30 days",
	} {
		if got := (say.Writer{Lengths: length.Metric}).Text(Find(name).LimitIn(length.Metric)); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	rec := fixture()
	rec.Planned.LengthsIn = length.Metric
	_, asks := asksOf(t, rec)
	said := false
	for _, a := range asks {
		limit := say.Writer{Lengths: length.Metric}.Text(a.Limit)
		if strings.Contains(limit, "≈") {
			t.Errorf("%s asks for %q", a.Words, limit)
		}
		said = said || strings.Contains(limit, "at most 1.6 mm (exactly 1/16 in)")
	}
	if !said {
		t.Error("no box says its limit as a person does")
	}
}
