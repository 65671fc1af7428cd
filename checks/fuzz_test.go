package checks

import (
	"encoding/json"
	"math/rand/v2"
	"os"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
)

// FuzzRun: whatever a record says, as long as it is one, every rule judges it
// without a panic, the verdicts agree with the results, its history ends where
// the record stands, and compared with itself it has not changed.
func FuzzRun(f *testing.F) {
	for _, path := range []string{"../examples/annex/job.json", "../examples/metric/job.json"} {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	for seed := range uint64(4) {
		data, err := json.Marshal(rooms.New(rand.New(rand.NewPCG(seed, 3)), rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 3}))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
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
		faults, err := History(rec, src)
		if err != nil {
			t.Fatal(err)
		}
		open := 0
		for _, fault := range faults {
			if fault.PutRightOn < 0 {
				open++
			}
		}
		failing := 0
		for _, r := range found.Results {
			if r.Outcome == Fail {
				failing++
			}
		}
		if failing > open {
			t.Errorf("%d results fail, the history has %d open faults", failing, open)
		}
		before, now := KnownAfter(rec, src, len(rec.Measured.Visits)/2), AllKnown(rec, src)
		if c, err := Compare(now, now); err != nil || !c.Same() {
			t.Errorf("compared with itself: %+v, %v", c, err)
		}
		there, err := Compare(before, now)
		if err != nil {
			t.Fatal(err)
		}
		back, err := Compare(now, before)
		if err != nil {
			t.Fatal(err)
		}
		if there.Same() != back.Same() || len(there.Opened) != len(back.Closed) || len(there.Closed) != len(back.Opened) {
			t.Errorf("there %+v, back %+v", there, back)
		}
		Layouts(rec, found)
		Takeoffs(rec)
	})
}
