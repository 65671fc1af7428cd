package checks

import (
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance/jobs"
	"setline.example/schema/length"
)

// TestPackingIsAsked: where a corner is beyond its travel at the set height a
// sheet asks what was packed under it, and under no other.
func TestPackingIsAsked(t *testing.T) {
	for _, deeper := range []length.Length{0, 3 * length.Inch} {
		rec := jobs.Copy(fixture())
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
		asks, err := runAsks(again, src)
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

// TestSaidLabelsNeedAList: that all labels are as drawn and listed says nothing of
// a part that no packing list has.
func TestSaidLabelsNeedAList(t *testing.T) {
	for _, listed := range []bool{true, false} {
		rec := jobs.Copy(fixture())
		part := rec.Planned.Rooms[0].Elevations[0].Units[0].Part
		for v := range rec.Measured.Visits {
			for _, room := range rec.Measured.Visits[v].Rooms {
				for _, tag := range sortedNames(room.Cabinets) {
					alter(room.Cabinets, tag, func(c *schema.CabinetSeen) { c.Label = nil })
				}
				for _, tag := range sortedNames(room.Fillers) {
					alter(room.Fillers, tag, func(f *schema.FillerSeen) { f.Label = nil })
				}
				for _, name := range sortedNames(room.Elevations) {
					alter(room.Elevations, name, func(e *schema.ElevationSeen) {
						e.All = append(e.All, schema.SaidOfAll{Of: saidLabels, Answer: true})
					})
				}
			}
		}
		for _, list := range rec.Arrived.PackingLists {
			for number, line := range list.Lines {
				if line.Part == part && !listed {
					delete(list.Lines, number)
				}
			}
		}
		if !listed {
			rec.Arrived.Receipts = nil
		}
		for _, r := range judge(t, rec).Results {
			if r.Rule != labelComplete {
				continue
			}
			want := Pass
			for _, u := range rec.Planned.Rooms[0].Elevations[0].Units {
				if u.Tag == r.Subject.First && u.Part == part && !listed {
					want = NotObserved
				}
			}
			if r.Outcome != want {
				t.Errorf("listed %t: %s is %s (%s), expected %s", listed, r.Subject, r.Outcome, r.Finding, want)
			}
		}
	}
}
