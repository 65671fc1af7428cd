package intake

import (
	"encoding/json"
	"fmt"
	"testing"

	"setline.example/schema"
)

// TestFormerPlan: a patch gives the former plan, small or large, whatever stands
// elsewhere in the record, and is short where little changed.
func TestFormerPlan(t *testing.T) {
	units := func(n, without int) string {
		var all []schema.Unit
		for i := range n {
			if i != without {
				all = append(all, schema.Unit{Tag: fmt.Sprint("A", i), Part: "B24"})
			}
		}
		return string(jsonOf(all))
	}
	for name, c := range map[string]struct {
		before, now string
		steps       int // at most
	}{
		"the same":            {`{"planned": {"a": 1}}`, `{"planned": {"a": 1, "changes": [2]}, "measured": 3}`, 0},
		"written otherwise":   {`{"planned": {"a": "\u0041"}}`, `{ "planned":{"a":"A"}}`, 0},
		"one unit of many":    {`{"planned": {"units": ` + units(300, -1) + `}}`, `{"planned": {"units": ` + units(300, 7) + `}}`, 1},
		"one new":             {`{"planned": {"units": ` + units(30, 29) + `}}`, `{"planned": {"units": ` + units(30, -1) + `}}`, 1},
		"all others":          {`{"planned": {"a": 1, "units": ` + units(2000, 0) + `}}`, `{"planned": {"a": 1, "b": 2, "units": ["x"]}}`, 2000},
		"large, one of many":  {`{"planned": {"units": ` + units(40_000, -1) + `}}`, `{"planned": {"units": ` + units(40_000, 7) + `}}`, 1},
		"names with a slash":  {`{"planned": {"limits": {"a/b~c": 1}}}`, `{"planned": {"limits": {"a/b~c": 2, "": 3}}}`, 2},
		"numbers as written":  {`{"planned": {"a": 12345678901234567890, "b": 1.50}}`, `{"planned": {}}`, 2},
		"nothing was planned": {`{}`, `{"planned": {"a": 1}}`, 1},
	} {
		t.Run(name, func(t *testing.T) {
			if testing.Short() && len(c.now) > 1<<20 {
				t.Skip("it takes long, so this was not checked (-short)")
			}
			steps, err := FormerPlan([]byte(c.before), []byte(c.now))
			if err != nil || steps == nil || len(steps) > c.steps {
				t.Fatalf("found %d steps and %v, expected at most %d", len(steps), err, c.steps)
			}
			got, err := applied([]byte(c.now), steps)
			if err != nil || !samePlan(got, []byte(c.before)) {
				t.Fatalf("found %v and\n%.2000s\nexpected\n%.2000s", err, got, c.before)
			}
			again, err := FormerPlan([]byte(c.before), []byte(c.now))
			if text, other := mustText(t, steps), mustText(t, again); err != nil || text != other {
				t.Fatalf("found %s the second time, expected %s", other, text)
			}
		})
	}
}

func mustText(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
