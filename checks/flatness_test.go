package checks

import (
	"math"
	"math/rand/v2"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// spotRead is one place of a floor as read last, from the mark.
type spotRead struct {
	at, down length.Length
	fine     bool
}

// TestEveryGapIsDecided: under the guarded rule the answer for a floor is the
// gravest of all gaps under the straightedge, each with what is known of it: a
// coarse reading near the limit is another answer than a fine one that is lower.
func TestEveryGapIsDecided(t *testing.T) {
	rng := chance.Source(t)
	seen := map[Outcome]int{}
	for range 150 {
		rec, lines := unevenFloor(rng)
		r := result(t, judge(t, rec), "floor within contract", "elevation A")
		want := Pass
		for _, l := range lines {
			if !surelyFlat(l) {
				want = Notice
			}
		}
		if r.Outcome != want {
			t.Fatalf("%s, want %s, of %v: %s", r.Outcome, want, lines, r.Finding.String())
		}
		seen[want]++
	}
	if seen[Pass] < 10 || seen[Notice] < 10 {
		t.Errorf("too few of a kind: %v", seen)
	}
}

// unevenFloor is a floor near its limit, of which half was read again more finely.
func unevenFloor(rng *rand.Rand) (*schema.Record, [2][]spotRead) {
	rec := fixture()
	rec.Planned.DecisionRule = "guarded"
	rec.Planned.Instruments["laser"] = schema.Instrument{Kind: "laser", Resolution: in("1/16 in")}
	rec.Planned.Instruments["fine"] = schema.Instrument{Kind: "laser", Resolution: in("1/64 in")}
	again := schema.Visit{
		Date: "2026-12-01", People: rec.Measured.Visits[0].People, Instruments: map[string]schema.InstrumentUse{"fine": {}},
		Rooms: map[string]schema.RoomSeen{"R1": {Elevations: map[string]schema.ElevationSeen{}}},
	}
	var lines [2][]spotRead
	var first, last [2][]schema.FloorReading
	for line := range lines {
		for _, at := range []length.Length{0, 9, 20, 31, 44, 56, 68, 75} {
			s := spotRead{at * length.Inch, 35*length.Inch + length.Length(rng.IntN(8))*length.Inch/32, rng.IntN(2) == 0}
			lines[line] = append(lines[line], s)
			reading := schema.FloorReading{s.at, s.down + 9*length.Inch + length.Inch/2}
			first[line] = append(first[line], reading)
			if s.fine {
				last[line] = append(last[line], reading)
			}
		}
	}
	mark := in("9 1/2 in")
	alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) {
		e.Mark, e.Floor = mark, schema.FloorSeen{Front: first[0], Back: first[1]}
	})
	again.Rooms["R1"].Elevations["A"] = schema.ElevationSeen{Mark: mark, Floor: schema.FloorSeen{Front: last[0], Back: last[1]}}
	rec.Measured.Visits = append(rec.Measured.Visits, again)
	return rec, lines
}

// surelyFlat reports whether every gap is within 1/4 in by its expanded
// uncertainty: of every reading below a straight line between two others that
// nothing stands above. The line is shorter than a straightedge.
func surelyFlat(l []spotRead) bool {
	for i := range l {
		for k := i + 2; k < len(l); k++ {
			right := func(j int) float64 { return float64(l[j].at-l[i].at) / float64(l[k].at-l[i].at) }
			gap := func(j int) float64 {
				return float64(l[j].down) - float64(l[i].down)*(1-right(j)) - float64(l[k].down)*right(j)
			}
			carried := true
			for j := range l {
				carried = carried && gap(j) > -0.5
			}
			for j := i + 1; carried && j < k; j++ {
				u := gapKnown([3]spotRead{l[i], l[j], l[k]}, [3]float64{right(j) - 1, 1, -right(j)})
				if gap(j) > float64(length.Inch/4)-2*u {
					return false
				}
			}
		}
	}
	return true
}

// gapKnown is the standard uncertainty of a weighted sum of readings: of each,
// and of the mark of a visit where its readings do not balance.
func gapKnown(spots [3]spotRead, weights [3]float64) float64 {
	sum := 0.0
	for _, fine := range []bool{false, true} {
		resolution, rest := float64(length.Inch)/16, 0.0
		if fine {
			resolution = float64(length.Inch) / 64
		}
		squares := 0.0
		for i, s := range spots {
			if s.fine == fine {
				squares += weights[i] * weights[i]
				rest += weights[i]
			}
		}
		sum += (squares + rest*rest) * resolution * resolution / 12
	}
	return math.Sqrt(sum)
}

// TestPlaneOfOneCabinet: a run may be a cabinet alone. The minimum zone of the four
// corners of a rectangle is half of |FL + BR - FR - BL|: the plane of least squares
// leaves a quarter of it at each, in turn above and below, and no plane leaves less.
func TestPlaneOfOneCabinet(t *testing.T) {
	for _, tc := range []struct {
		limit, down string
		want        Outcome
	}{
		{"1/16 in", "9 9/16 in", Pass}, // twisted by 1/16 in
		{"1/32 in", "9 9/16 in", Pass},
		{"0.7937 mm", "9 9/16 in", Fail},
		{"0.1985 mm", "9 33/64 in", Pass},
		{"0.1984 mm", "9 33/64 in", Fail},
	} {
		rec := fixture()
		rec.Planned.Limits = map[string]schema.LimitChange{"tops in one plane": {Limit: tc.limit, Source: "12 35 53, 3.4"}}
		rec.Planned.Rooms[0].Elevations[0].Units[3].SpaceBefore = in("2 in")
		delete(seen(rec).Joints, "C2+C3")
		alter(seen(rec).Cabinets, "C3", func(c *schema.CabinetSeen) { c.Tops.FR = in(tc.down) })
		found := judge(t, rec)
		r := result(t, found, "tops in one plane", "C3")
		if r.Outcome != tc.want {
			t.Errorf("%s against %s: %s %q", tc.down, tc.limit, r.Outcome, r.Finding.String())
		}
	}
	rec := fixture()
	rec.Planned.Rooms[0].Elevations[0].Units[3].SpaceBefore = in("2 in")
	delete(seen(rec).Joints, "C2+C3")
	alter(seen(rec).Cabinets, "C3", func(c *schema.CabinetSeen) { c.Tops.BL = nil })
	if r := result(t, judge(t, rec), "tops in one plane", "C3"); r.Outcome != NotObserved {
		t.Errorf("a corner nobody read: %s %q", r.Outcome, r.Finding.String())
	}
}
