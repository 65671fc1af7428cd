package compare

import (
	"testing"

	"setline.example/checks"
	"setline.example/checks/internal/rooms"
	"setline.example/schema"
)

// FuzzCompare: whatever a record says, as long as it is one, compared with
// itself it has not changed, and what opened from an earlier state of it to a
// later one closed the other way round.
func FuzzCompare(f *testing.F) {
	for _, record := range rooms.Seeds(f, "../..") {
		f.Add(record)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		rec, src, err := schema.Read("fuzz.json", data)
		if err != nil {
			return
		}
		before, now := checks.KnownAfter(rec, src, len(rec.Measured.Visits)/2), checks.AllKnown(rec, src)
		same, err := Compare(now, now)
		if err != nil {
			return // a limit or a concession that is none
		}
		if !same.Same() {
			t.Errorf("compared with itself: %+v", same)
		}
		there, back := compare(t, before, now), compare(t, now, before)
		if there.Same() != back.Same() || len(there.Opened) != len(back.Closed) || len(there.Closed) != len(back.Opened) {
			t.Errorf("there %+v, back %+v", there, back)
		}
	})
}
