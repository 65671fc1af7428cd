package checks

import (
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
)

// FuzzRun: whatever a record says, as long as it is one, every rule judges it
// without a panic, the verdicts agree with the results, and its history ends
// where the record stands.
func FuzzRun(f *testing.F) {
	for _, record := range rooms.Seeds(f, "..") {
		f.Add(record)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		rec, src, err := schema.Read("fuzz.json", data)
		if err != nil {
			return
		}
		found, err := Run(rec, src)
		if err != nil {
			return
		}
		agrees(t, found)
		faults, err := History(rec, src)
		if err != nil {
			t.Fatal(err)
		}
		open, failing := 0, 0
		for _, fault := range faults {
			if !fault.PutRight && !fault.Empty() {
				open++
			}
		}
		for _, r := range found.Results {
			if r.Outcome == Fail {
				failing++
			}
		}
		if failing > open {
			t.Errorf("%d results fail, the history has %d open faults", failing, open)
		}
		Layouts(rec, found)
		newFacts(rec, nil).takeoffs(nil)
	})
}

// agrees holds the verdicts against the results.
func agrees(t *testing.T, found *Findings) {
	t.Helper()
	n := 0
	for _, v := range found.Rooms {
		n += len(v.Results)
		if v.Ready != (len(v.Reasons()) == 0 && len(v.Results) > 0) {
			t.Errorf("room %q: ready %v with %d reasons", v.Room.Name, v.Ready, len(v.Reasons()))
		}
	}
	if n != len(found.Results) {
		t.Errorf("%d results in rooms, %d in all", n, len(found.Results))
	}
}
