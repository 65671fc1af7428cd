package checks

import (
	"testing"

	"setline.example/schema"
)

// TestLoosened: a limit is looser where it is greater than ours, a rate where
// it is more for the same distance, and excessive beyond four times ours.
func TestLoosened(t *testing.T) {
	for _, c := range []struct {
		name, rule        string
		change            schema.LimitChange
		loosened, exceeds bool
	}{
		{"as ours", "tops flush", schema.LimitChange{Limit: "1/16 in"}, false, false},
		{"tighter", "tops flush", schema.LimitChange{Limit: "1/32 in"}, false, false},
		{"a nanometre looser", "tops flush", schema.LimitChange{Limit: "1.587501 mm"}, true, false},
		{"four times ours", "tops flush", schema.LimitChange{Limit: "1/4 in"}, true, false},
		{"a nanometre beyond", "tops flush", schema.LimitChange{Limit: "6.350001 mm"}, true, true},
		{"absurd", "tops flush", schema.LimitChange{Limit: "1000 in"}, true, true},
		{"days", "instrument checked", schema.LimitChange{Limit: "60 days"}, true, false},
		{"a year", "instrument checked", schema.LimitChange{Limit: "365 days"}, true, true},
		{"the same rate", "level and plumb", schema.LimitChange{Limit: "1/16 in", Over: in("48 in")}, false, false},
		{"a rate over less", "level and plumb", schema.LimitChange{Limit: "1/8 in", Over: in("48 in")}, true, false},
		{"a rate over much less", "level and plumb", schema.LimitChange{Limit: "1/8 in", Over: in("1 in")}, true, true},
		{"a least", "level and plumb", schema.LimitChange{Limit: "1/8 in", Least: in("1/16 in")}, true, false},
		{"a great least", "level and plumb", schema.LimitChange{Limit: "1/8 in", Least: in("1/4 in")}, true, true},
		{"the greatest there is", "level and plumb", schema.LimitChange{Limit: "9000000000 m", Over: in("9000000000 m")}, true, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			rec := fixture()
			c.change.Source = "letter"
			rec.Planned.Limits = map[string]schema.LimitChange{c.rule: c.change}
			got := judge(t, rec).Loosened
			if (len(got) == 1) != c.loosened || len(got) == 1 && (got[0].Excessive != c.exceeds || got[0].Rule.Name != c.rule) {
				t.Errorf("%+v, want loosened %v, excessive %v", got, c.loosened, c.exceeds)
			}
		})
	}
	if got := judge(t, fixture()).Loosened; got != nil {
		t.Errorf("%v without a contract's limit", got)
	}
}
