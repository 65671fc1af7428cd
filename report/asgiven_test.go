package report

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"setline.example/checks"
)

// TestAsGiven: what an instrument can do stands in a report as it was given, letter
// for letter, and no front of a room marks a figure as rounded that is compared
// with nothing there.
func TestAsGiven(t *testing.T) {
	long(t)
	given, fronts := 0, 0
	look := func(t *testing.T, found *checks.Findings, _ []checks.Fault, r *Report) {
		var record struct {
			Planned struct {
				Instruments map[string]struct{ Accuracy, Over string }
			}
		}
		if err := json.Unmarshal(r.record, &record); err != nil {
			t.Fatal(err)
		}
		text := strings.ReplaceAll(markdown(t, r), `\`, "")
		for name, in := range record.Planned.Instruments {
			row := fmt.Sprintf("| ± %s at %s |", in.Accuracy, in.Over)
			if in.Accuracy == "" || !strings.Contains(text, "\n| "+name+" |") {
				continue // it says none, or no visit used it
			}
			given++
			if !strings.Contains(text, row) {
				t.Errorf("no %q of %s", row, name)
			}
		}
		for name, p := range r.pictures {
			if !strings.HasPrefix(name, "places-") && !strings.HasPrefix(name, "drawing-") || !strings.HasSuffix(name, "-1") {
				continue
			}
			fronts++
			for _, s := range wholeDrawing(t, p).Shapes {
				if strings.Contains(s.Text, "≈") && !strings.Contains(s.Text, "overall") {
					t.Errorf("%s: %q", name, s.Text)
				}
			}
		}
	}
	for _, example := range []string{annex, "../examples/metric/job.json", "../examples/soil/job.json"} {
		found, faults, data := findings(t, example)
		r, err := New(found, faults, data, options(nil))
		if err != nil {
			t.Fatal(err)
		}
		look(t, found, faults, r)
	}
	madeOf(t, 6, look)
	if given < 5 || fronts < 10 {
		t.Errorf("%d accuracies, %d fronts", given, fronts)
	}
}
