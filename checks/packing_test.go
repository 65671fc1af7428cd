package checks

import (
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// TestPackingIsAsked: where a corner is beyond its travel at the set height a
// sheet asks what was packed under it, and under no other.
func TestPackingIsAsked(t *testing.T) {
	for _, deeper := range []length.Length{0, 3 * length.Inch} {
		rec := copyOf(fixture())
		for v := range rec.Measured.Visits {
			for _, room := range rec.Measured.Visits[v].Rooms {
				for name := range room.Elevations {
					alter(room.Elevations, name, func(e *schema.ElevationSeen) {
						if n := len(e.Floor.Front); n > 0 {
							e.Floor.Front[n-1][1] += deeper
						}
					})
				}
			}
		}
		again, src := source(t, rec)
		asks, err := Asks(again, src)
		if err != nil {
			t.Fatal(err)
		}
		var at []string
		for _, a := range asks {
			if a.Thing == thePacking.Thing && a.Open {
				at = append(at, strings.Join(a.Place, "/"))
			}
		}
		if deeper == 0 && len(at) > 0 || deeper > 0 && (len(at) == 0 || len(at) > 2) {
			t.Errorf("the last front reading %s deeper: packing is asked at %q", deeper.In(length.InchSystem), at)
		}
	}
}
