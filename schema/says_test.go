package schema

import (
	"encoding/json"
	"os"
	"slices"
	"strconv"
	"testing"
)

// TestVisitSays: of every place of every visit of the examples, and of places beside
// it that are none, the visit says what a search through its JSON finds.
func TestVisitSays(t *testing.T) {
	found := 0
	for _, name := range []string{"annex", "metric", "soil", "clinic"} {
		data, err := os.ReadFile("../examples/" + name + "/job.json")
		if os.IsNotExist(err) {
			continue
		} else if err != nil {
			t.Fatal(err)
		}
		rec, _, err := Read(name, data)
		if err != nil {
			t.Fatal(err)
		}
		for i := range rec.Measured.Visits {
			v := &rec.Measured.Visits[i]
			v.Corrections = nil // what was there before can be any JSON
			text, err := json.Marshal(v)
			if err != nil {
				t.Fatal(err)
			}
			var tree any
			if err := json.Unmarshal(text, &tree); err != nil {
				t.Fatal(err)
			}
			hold := func(steps []string) {
				_, want := Lookup(tree, steps)
				if v.Says(steps) != want {
					t.Errorf("%s, visit %d: says %t of %q", name, i, !want, steps)
				} else if want {
					found++
				}
			}
			everyPlace(tree, nil, func(steps []string) {
				hold(steps)
				for _, beside := range []string{"0", "1", "-1", "01", "99", "FL", "front", "notes", "tops", "all", "packing", "entered", "withdrawn", ""} {
					hold(append(slices.Clone(steps), beside))
					if n := len(steps); n > 0 {
						hold(append(slices.Clone(steps[:n-1]), beside))
					}
				}
			})
		}
	}
	if found < 1000 {
		t.Errorf("%d places were found, which tries too little", found)
	}
}

func everyPlace(tree any, steps []string, do func([]string)) {
	do(steps)
	switch v := tree.(type) {
	case map[string]any:
		for name, inner := range v {
			everyPlace(inner, append(slices.Clone(steps), name), do)
		}
	case []any:
		for i, inner := range v {
			everyPlace(inner, append(slices.Clone(steps), strconv.Itoa(i)), do)
		}
	}
}
