package checks

import (
	"strings"
	"testing"

	"setline.example/checks/forecast"
	"setline.example/schema"
	"setline.example/schema/length"
)

// sinking is the small room read again on some days, its floor falling to the
// right by so much more over 24 in from day to day.
func sinking(days []schema.Date, falls []string, edit func(*schema.Record)) *schema.Record {
	rec := fixture()
	first := rec.Measured.Visits[0]
	for i, day := range days {
		fall := *in(falls[i])
		tops := map[string]schema.CornerLengths{}
		for n, tag := range []string{"C1", "C2", "C3"} {
			was := first.Rooms["R1"].Cabinets[tag].Tops
			left, right := fall*length.Length(n), fall*length.Length(n+1)
			tops[tag] = schema.CornerLengths{FL: of(*was.FL + left), FR: of(*was.FR + right), BL: of(*was.BL + left), BR: of(*was.BR + right)}
		}
		readAgain(rec, day, "10 in", tops)
	}
	if edit != nil {
		edit(rec)
	}
	return rec
}

func movementOf(t *testing.T, rec *schema.Record) Result {
	t.Helper()
	return result(t, judge(t, rec), "movement between visits", "elevation A")
}

// TestForecast: a floor that falls steadily gives a date, one that stands still
// none, and the first is no earlier than the day not before which.
func TestForecast(t *testing.T) {
	fine := func(r *schema.Record) {
		for name, i := range r.Planned.Instruments {
			if i.Kind == "laser" {
				i.Resolution, i.Accuracy, i.Over = of(length.Inch/256), nil, nil
				r.Planned.Instruments[name] = i
			}
		}
	}
	r := movementOf(t, sinking([]schema.Date{"2026-10-05", "2026-10-26", "2026-11-16"}, []string{"0.004 in", "0.008 in", "0.012 in"}, fine))
	f := r.Forecast
	if f == nil || f.Why != forecast.Dated || f.About == "" || f.NotBefore > f.About || f.Again > f.NotBefore || f.Again <= f.To {
		t.Fatalf("%+v, %s", f, r.Finding)
	}
	for _, part := range []string{"If it goes on as between ", " leaves level about " + string(f.About) + "; not before " + string(f.NotBefore) + "; measure again by " + string(f.Again) + "; nothing here says that it will"} {
		if !strings.Contains(r.Finding.String(), part) {
			t.Errorf("%q does not say %q", r.Finding, part)
		}
	}
	if r.Outcome != Notice || !strings.Contains(r.Remedy.String(), "Measure again by "+string(f.Again)) {
		t.Errorf("%s %q", r.Outcome, r.Remedy)
	}
	for _, never := range []string{"stable", "settled"} {
		if strings.Contains(r.Finding.String(), never) {
			t.Errorf("%q says %s", r.Finding, never)
		}
	}
	still := movementOf(t, sinking([]schema.Date{"2026-10-05", "2026-11-16"}, []string{"0 in", "0 in"}, nil))
	if f := still.Forecast; f == nil || f.Why != forecast.Faint || f.About != "" || f.NotBefore <= f.To {
		t.Errorf("standing still: %+v, %s", f, still.Finding)
	}
}

// TestForecastRefused: what was read too seldom, or not along a line, gives no
// date, and what was turned counts no more.
func TestForecastRefused(t *testing.T) {
	if f := movementOf(t, sinking([]schema.Date{"2026-11-16"}, []string{"1/8 in"}, nil)).Forecast; f == nil || f.Why != forecast.FewDays {
		t.Errorf("two days: %+v", f)
	}
	bent := movementOf(t, sinking([]schema.Date{"2026-10-05", "2026-11-16", "2026-12-28"}, []string{"1/8 in", "1/8 in", "1/8 in"}, nil))
	if f := bent.Forecast; f == nil || f.Why != forecast.NotStraight || f.About != "" || f.NotBefore != "" {
		t.Errorf("bent: %+v, %s", f, bent.Finding)
	}
	turned := sinking([]schema.Date{"2026-10-05", "2026-10-26", "2026-11-16"}, []string{"0.004 in", "0.008 in", "0.012 in"}, func(r *schema.Record) {
		for v := range r.Measured.Visits[1:] {
			alter(r.Measured.Visits[1+v].Rooms["R1"].Cabinets, "C2", func(c *schema.CabinetSeen) {
				c.Extension.FL = in([]string{"1 in", "1 in", "1 1/2 in"}[v])
			})
		}
	})
	if f := movementOf(t, turned).Forecast; f != nil && f.From != "2026-11-16" && f.Why != forecast.FewDays {
		t.Errorf("turned: %+v", f)
	}
}
