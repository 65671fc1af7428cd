package checks

import (
	"strconv"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// atLimit says for every rule that measures a length how to make the fixture
// measure exactly v, and the item at which it does. Each rule is held to its
// limit and to one nanometre on either side.
var atLimit = map[string]struct {
	item  string
	plant func(rec *schema.Record, v length.Length)
}{
	"survey coverage": {"elevation A", func(rec *schema.Record, v length.Length) {
		alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) {
			e.Floor.Back = []schema.FloorReading{{0, 44 * length.Inch}, {v, 44 * length.Inch}, {v + 35*length.Inch, 44 * length.Inch}, {75 * length.Inch, 44 * length.Inch}}
		})
	}},
	"floor within contract": {"elevation A", func(rec *schema.Record, v length.Length) {
		// A dip under a straightedge that rests on its two neighbours.
		alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Front[1][1] += v })
	}},
	"work height": {"elevation A", func(rec *schema.Record, v length.Length) {
		*rec.Planned.Rooms[0].Elevations[0].WorkHeight += v
	}},
	"level and plumb": {"C2", func(rec *schema.Record, v length.Length) {
		alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Plumb.Left = &schema.Deviation{Off: -v, Over: 96 * length.Inch} })
	}},
	"set height held": {"C2", func(rec *schema.Record, v length.Length) {
		alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Tops.FR -= v })
	}},
	"tops in one plane": {"run C1 to C3", func(rec *schema.Record, v length.Length) {
		// All corners of the middle cabinet stand up: no plane can follow.
		alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) {
			for _, top := range []*length.Length{c.Tops.FL, c.Tops.FR, c.Tops.BL, c.Tops.BR} {
				*top -= v
			}
		})
	}},
	"cabinet twist": {"C2", func(rec *schema.Record, v length.Length) {
		alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Tops.BR += v })
	}},
	"fronts flush": {"C1+C2", func(rec *schema.Record, v length.Length) {
		alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { *j.FrontOffset = -v })
	}},
	"tops flush": {"C1+C2", func(rec *schema.Record, v length.Length) {
		alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { *j.TopOffset = v })
	}},
	"joint gap": {"C1+C2", func(rec *schema.Record, v length.Length) {
		alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { *j.Gap = v })
	}},
	"filler flush": {"F1", func(rec *schema.Record, v length.Length) {
		alter(seen(rec).Fillers, "F1", func(f *schema.FillerSeen) { *f.TopOffset = -v })
	}},
	"fronts aligned": {"C1", func(rec *schema.Record, v length.Length) {
		seen(rec).Cabinets["C1"].Alignment["drawer 2"] = -v
	}},
}

func TestAtTheLimit(t *testing.T) {
	for _, rule := range All() {
		if rule.Limit.Unit != Length || rule.LimitWords != "" {
			continue
		}
		tc, ok := atLimit[rule.Name]
		if !ok {
			t.Errorf("no cases at the limit of %q", rule.Name)
			continue
		}
		beyond := Fail
		if rule.Advises {
			beyond = Notice
		}
		limit := length.Length(rule.Limit.N)
		for _, c := range []struct {
			name  string
			value length.Length
			want  Outcome
		}{
			{"just inside", limit - 1, Pass},
			{"at the limit", limit, Pass},
			{"just beyond", limit + 1, beyond},
		} {
			for _, sys := range []length.System{length.InchSystem, length.Metric} {
				t.Run(rule.Name+"/"+c.name+" "+string(sys), func(t *testing.T) {
					rec := fixture()
					rec.Planned.LengthsIn = sys
					tc.plant(rec, c.value)
					r := result(t, judge(t, rec), rule.Name, tc.item)
					if r.Outcome != c.want {
						t.Errorf("%s, want %s: %s", r.Outcome, c.want, r.Finding.String())
					}
					if r.Value != LengthOf(c.value) || r.Margin != LengthOf(limit-c.value) {
						t.Errorf("value %d nm, margin %d nm", r.Value.N, r.Margin.N)
					}
				})
			}
		}
	}
}

// TestLevelOverALongRun: over more than 96 in the limit grows in proportion,
// between any two corners of the run.
func TestLevelOverALongRun(t *testing.T) {
	// Six cabinets of 24 in: the first left corner and the last right one are 144 in apart.
	const limit = length.Inch * 144 / 96 / 8
	for _, c := range []struct {
		name string
		fall length.Length
		want Outcome
	}{{"just inside", limit - 1, Pass}, {"at the limit", limit, Pass}, {"just beyond", limit + 1, Fail}} {
		t.Run(c.name, func(t *testing.T) {
			rec := longRun(6, func(i int) length.Length {
				if i == 6 {
					return c.fall
				}
				return limit * length.Length(i) / 6 // falling evenly, right at the limit
			})
			r := result(t, judge(t, rec), "level and plumb", "run L0 to L5")
			if r.Outcome != c.want {
				t.Errorf("%s against %d nm: %s", r.Outcome, r.Limit.N, r.Finding.String())
			}
		})
	}
}

// longRun is a run of cabinets 24 in wide on one elevation, of which only the
// tops are observed. up gives by how much the corners at a distance of i
// widths from the left stand low; both the front and the back ones.
func longRun(n int, down func(i int) length.Length) *schema.Record {
	rec := fixture()
	e := schema.Elevation{Name: "L"}
	seen := schema.RoomSeen{Cabinets: map[string]schema.CabinetSeen{}}
	for i := range n {
		u := schema.Unit{Tag: "L" + strconv.Itoa(i), Part: "BD24"}
		e.Units = append(e.Units, u)
		left, right := 10*length.Inch+down(i), 10*length.Inch+down(i+1)
		seen.Cabinets[u.Tag] = schema.CabinetSeen{Tops: schema.CornerLengths{FL: &left, BL: &left, FR: &right, BR: &right}}
	}
	rec.Planned.Rooms = []schema.Room{{Name: "R1", Elevations: []schema.Elevation{e}}}
	rec.Arrived = schema.Arrived{}
	rec.Measured.Visits[0].Rooms = map[string]schema.RoomSeen{"R1": seen}
	return rec
}
