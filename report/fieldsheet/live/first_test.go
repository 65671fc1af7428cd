package live

import (
	"encoding/json"
	"reflect"
	"testing"
)

// TestFirstVerdict: what a page says before its program has started is what the
// program says of the same room on any day, as a general reader of JSON reads it.
func TestFirstVerdict(t *testing.T) {
	for _, name := range []string{"annex", "metric", "soil"} {
		rec, _ := example(t, name)
		observed := 0
		for i := range rec.Planned.Rooms {
			text, err := OfRoom(rec, rec.Planned.Rooms[i].Name)
			if err != nil {
				t.Fatal(err)
			}
			first, err := FirstVerdict(text)
			if err != nil {
				t.Fatal(err)
			}
			var got Verdict
			if err := json.Unmarshal(first, &got); err != nil {
				t.Fatal(err)
			}
			for _, day := range []string{"1999-12-31", "2026-10-06", "2101-01-01"} {
				r, err := Open(text)
				if err != nil {
					t.Fatal(err)
				}
				want, err := r.Judge(Question{Today: day})
				if err != nil {
					t.Fatal(err)
				}
				if !reflect.DeepEqual(&got, want) {
					t.Errorf("%s, room %d on %s: %s", name, i, day, differs(t, &got, want))
				}
			}
			for _, r := range got.Results {
				if r.Outcome.Holds() {
					observed++
				}
			}
		}
		if observed == 0 {
			t.Errorf("%s: nothing holds, so the verdicts say too little", name)
		}
	}
	if _, err := FirstVerdict([]byte(`{"setline": 1}`)); err == nil {
		t.Error("a verdict of what is no room")
	}
}
