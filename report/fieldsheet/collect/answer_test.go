package collect

import "testing"

// TestPairIn: only a box that is named as one of a reading is one of it.
func TestPairIn(t *testing.T) {
	const floor = "rooms/S-104/elevations/A/floor/front"
	for _, c := range []struct {
		name, box, line string
		n               int
	}{
		{"the first", floor + "/0/0", floor, 0},
		{"the last", floor + "/999/1", floor, 999},
		{"beyond the last", floor + "/1000/1", "", -1},
		{"written otherwise", floor + "/01/1", "", -1},
		{"negative", floor + "/-1/1", "", -1},
		{"of a cabinet", "rooms/S-104/cabinets/A3/tops/FL", "", -1},
		{"of the visit", "date", "", -1},
		{"nothing", "", "", -1},
	} {
		if line, n := pairIn(c.box); line != c.line || n != c.n {
			t.Errorf("%s: %q, %d, want %q, %d", c.name, line, n, c.line, c.n)
		}
	}
}
