package cut_test

import (
	"testing"

	"setline.example/checks/cut"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// TestLacks tries every place of the cabinets between walls that are known:
// nothing is lacking exactly where they stand clear at one, with each filler at
// least as wide as it is needed there at every height.
func TestLacks(t *testing.T) {
	rng := chance.Source(t)
	var seen [3]int
	for range 800 {
		r := randomRoom(rng, 12)
		if r.Cut().By == cut.ByNone {
			continue
		}
		if rng.IntN(2) == 0 { // as wide as the opening at its narrowest
			r.Units = min(r.Clear[0], r.Clear[1], r.Clear[2])
		}
		stands, closes := false, false
		for a := -r.Clear[0]; a <= r.Clear[0]; a++ {
			clear, closed := true, true
			for i := range r.Clear {
				left := a + r.left[i]
				right := r.Clear[i] - r.Units - left
				clear = clear && left >= 0 && right >= 0
				closed = closed && (!r.Left.Filler || left <= r.Left.Comes) && (!r.Right.Filler || right <= r.Right.Comes)
			}
			stands, closes = stands || clear, closes || clear && closed
		}
		room, fillers := r.Lacks()
		if (room == 0) != stands || (room == 0 && fillers == 0) != closes {
			t.Fatalf("%+v: lacks %d and %d, while cabinets stand: %t, and fillers reach: %t", r, room, fillers, stands, closes)
		}
		switch {
		case room > 0:
			seen[0]++
			checkRoom(t, r.Opening, room)
		case fillers > 0:
			seen[1]++
		default:
			seen[2]++
		}
	}
	for i, n := range seen {
		if n < 30 {
			t.Errorf("too few of a kind %d: %v", i, seen)
		}
	}
}

// checkRoom: cabinets narrower by what is lacking go in, and no wider ones do.
func checkRoom(t *testing.T, o cut.Opening, lacks length.Length) {
	t.Helper()
	o.Units -= lacks - 1
	if room, _ := o.Lacks(); room != 1 {
		t.Errorf("%+v: 1 should still be lacking, not %d", o, room)
	}
	o.Units--
	if room, _ := o.Lacks(); room != 0 {
		t.Errorf("%+v: nothing should be lacking, not %d", o, room)
	}
}
