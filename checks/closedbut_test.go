package checks

import (
	"encoding/json"
	"maps"
	"slices"
	"testing"

	"setline.example/schema"
)

// TestClosedButIsByName: what is excepted of all that closes out, and nothing
// else, is not so, by the names that the record has for it.
func TestClosedButIsByName(t *testing.T) {
	for _, except := range append([]string{""}, schema.ClosesOut()...) {
		text, err := json.Marshal(closedBut([]string{except}).Closing)
		if err != nil {
			t.Fatal(err)
		}
		said := map[string]bool{}
		if err := json.Unmarshal(text, &said); err != nil {
			t.Fatal(err)
		}
		want := slices.DeleteFunc(schema.ClosesOut(), func(name string) bool { return name == except })
		slices.Sort(want)
		if got := slices.Sorted(maps.Keys(said)); !slices.Equal(got, want) {
			t.Errorf("all but %q says %v, want %v", except, got, want)
		}
		for name, so := range said {
			if !so {
				t.Errorf("all but %q says that %s is not so", except, name)
			}
		}
	}
}
