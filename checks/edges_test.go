package checks

import (
	"math"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// TestComputedLimits holds the rules whose limit comes from the plan, from a
// table or from the uncertainty to that limit and one nanometre (or one day, or
// one piece) to either side.
func TestComputedLimits(t *testing.T) {
	const nm = length.Nanometre
	// Of the fixture's corner C2 front-right: rule and laser read to 1/64 in, one
	// reading each of extension, floor and top; the floor beside it is level.
	u := resolutionUncertainty(length.Inch / 64)
	agrees := length.Length(coverage * (doubt{u: u, known: true}).and(doubt{u: u, known: true}).and(doubt{u: u, known: true}).u)
	// Of a corner between two visits: corner and mark read on each, and the line
	// of each, 1/16 in over 50 ft, to the farther end: C2 front-left is 27 in from
	// the left of 75.
	line := float64(length.Inch) / 16 / math.Sqrt(3) * 48 / 600
	moved := length.Length(coverage * math.Sqrt(4*u*u+2*line*line))
	for _, tc := range []struct {
		name, rule, item string
		plant            func(r *schema.Record, by length.Length)
		inside, beyond   Outcome
	}{
		{"fillers come just as wide", "run closes", "elevation A", func(r *schema.Record, by length.Length) {
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { *e.Opening.Top = 76*length.Inch + by })
		}, Pass, Fail},
		{"an extension at its greatest", "floor within travel", "elevation A", func(r *schema.Record, by length.Length) {
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Back[3][1] = *in("45 1/2 in") + by })
		}, Pass, Fail},
		{"an extension at its least", "floor within travel", "elevation A", func(r *schema.Record, by length.Length) {
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Back[3][1] -= by })
		}, Pass, Fail},
		{"an accessible surface at 34 in", "accessible height", "elevation A", func(r *schema.Record, by length.Length) {
			surface(r, length.InchSystem, *in("34 in")+by)
		}, Pass, Fail},
		{"an accessible surface at 28 in", "accessible height", "elevation A", func(r *schema.Record, by length.Length) {
			surface(r, length.InchSystem, *in("28 in")-by)
		}, Pass, Fail},
		{"an accessible surface at 865 mm", "accessible height", "elevation A", func(r *schema.Record, by length.Length) {
			surface(r, length.Metric, *in("865 mm")+by)
		}, Pass, Fail},
		{"an accessible surface at 710 mm", "accessible height", "elevation A", func(r *schema.Record, by length.Length) {
			surface(r, length.Metric, *in("710 mm")-by)
		}, Pass, Fail},
		{"an accessible surface over a low spot", "accessible height", "elevation A", func(r *schema.Record, by length.Length) {
			surface(r, length.InchSystem, *in("33 in"))
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Back[2][1] = *in("45 in") + by })
		}, Pass, Fail},
		{"an accessible surface above a finish laid beside the levelers", "accessible height", "elevation A", func(r *schema.Record, by length.Length) {
			surface(r, length.InchSystem, *in("34 1/8 in"))
			r.Planned.Rooms[0].FloorFinish = &schema.FloorFinish{Thickness: *in("1/8 in") - by}
		}, Pass, Fail},
		{"an accessible surface above a finish under the levelers", "accessible height", "elevation A", func(r *schema.Record, by length.Length) {
			surface(r, length.InchSystem, *in("34 in")+by)
			r.Planned.Rooms[0].FloorFinish = &schema.FloorFinish{Thickness: *in("1/8 in"), UnderCabinets: true}
		}, Pass, Fail},
		{"a surface drawn above a finish", "work height", "elevation A", func(r *schema.Record, by length.Length) {
			// 35 1/2 in above the floor surveyed, drawn 35 1/2 in above the finish.
			r.Planned.Rooms[0].FloorFinish = &schema.FloorFinish{Thickness: *in("1/4 in") + by}
		}, Pass, Fail},
		{"a leveler with just its reserve", "reserve left", "elevation A", func(r *schema.Record, by length.Length) {
			r.Planned.Usual.Leveler.Reserve = nil // 1/8 in
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { *e.Mark = *in("9 3/8 in") + by })
		}, Pass, Notice},
		{"a leveler with the reserve planned", "reserve left", "elevation A", func(r *schema.Record, by length.Length) {
			r.Planned.Usual.Leveler.Reserve = in("1/4 in")
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { *e.Mark = *in("9 1/4 in") + by })
		}, Pass, Notice},
		{"an accessible surface over a top that stands high", "accessible height", "elevation A", func(r *schema.Record, by length.Length) {
			surface(r, length.InchSystem, *in("33 in"))
			topUp(r, *in("1 in")+by)
		}, Pass, Fail},
		{"an accessible surface over a top that stands low", "accessible height", "elevation A", func(r *schema.Record, by length.Length) {
			surface(r, length.Metric, *in("720 mm"))
			topUp(r, *in("-10 mm")-by)
		}, Pass, Fail},
		{"an accessible surface over a top that stands high and was read on another visit", "accessible height", "elevation A", func(r *schema.Record, by length.Length) {
			surface(r, length.InchSystem, *in("33 in"))
			again(r, *in("1 in")+by)
		}, Pass, Fail},
		{"a leveler out to its greatest by its top", "floor within travel", "elevation A", func(r *schema.Record, by length.Length) {
			topUp(r, *in("1 1/2 in")+by)
		}, Pass, Fail},
		{"a leveler out to its greatest by its top as read on another visit", "floor within travel", "elevation A", func(r *schema.Record, by length.Length) {
			again(r, *in("1 1/2 in")+by)
		}, Pass, Fail},
		{"an extension recorded at its greatest", "floor within travel", "elevation A", func(r *schema.Record, by length.Length) {
			alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Extension.FR = *in("2 in") + by })
		}, Pass, Fail},
		{"a gap over 30 % of the joint", "joint gap", "C1+C2", func(r *schema.Record, by length.Length) {
			alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.GapLength = of(*in("10.2 in") + by) })
		}, Pass, Fail},
		{"a filler's screw just long enough", "fastener fits", "F1", func(r *schema.Record, by length.Length) {
			sheet, _ := sheetThickness(18)
			thin, _ := sheetThickness(20)
			least, _ := leastScrew("#8", sheet+thin)
			r.Planned.Fillers["F3"] = schema.Filler{Width: *in("3 in"), Scribe: in("1 in"), Gauge: 20}
			r.Planned.Fasteners["stub"] = schema.Fastener{Size: "#8", Length: least - by, Point: "self-tapping"}
			alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) {
				f.Fastening = &schema.Fastening{Fastener: "stub", Count: 2, Through: "side", TipShows: new(bool)}
			})
		}, Pass, Fail},
		{"a screw just long enough", "fastener fits", "C1+C2", func(r *schema.Record, by length.Length) {
			sheet, _ := sheetThickness(18)
			least, _ := leastScrew("#8", 2*sheet)
			r.Planned.Fasteners["short"] = schema.Fastener{Size: "#8", Length: least - by, Point: "self-tapping"}
		}, Pass, Fail},
		{"an extension that agrees", "extension agrees", "C2", func(r *schema.Record, by length.Length) {
			alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Extension.FR += agrees + by })
		}, Pass, Fail},
		{"a corner that moved", "movement between visits", "elevation A", func(r *schema.Record, by length.Length) {
			r.Measured.Visits = append(r.Measured.Visits, schema.Visit{
				Date: "2026-10-20", People: []schema.Party{{Name: "I"}}, Instruments: map[string]schema.InstrumentUse{"laser": {Checked: "2026-10-19"}},
				Rooms: map[string]schema.RoomSeen{"R1": {
					Elevations: map[string]schema.ElevationSeen{"A": {Mark: in("9 1/2 in")}},
					Cabinets:   map[string]schema.CabinetSeen{"C2": {Tops: schema.CornerLengths{FL: of(*in("9 1/2 in") + moved + by)}}},
				}},
			})
		}, Pass, Notice},
	} {
		for _, c := range []struct {
			name string
			by   length.Length
			want Outcome
		}{{"just inside", -nm, tc.inside}, {"at the limit", 0, tc.inside}, {"just beyond", nm, tc.beyond}} {
			t.Run(tc.name+"/"+c.name, func(t *testing.T) {
				rec := fixture()
				tc.plant(rec, c.by)
				if r := result(t, judge(t, rec), tc.rule, tc.item); r.Outcome != c.want {
					t.Errorf("%s, want %s: %s", r.Outcome, c.want, r.Finding.String())
				}
			})
		}
	}
	for checked, want := range map[schema.Date]Outcome{"2026-08-12": Pass, "2026-08-11": Pass, "2026-08-10": Fail} {
		rec := fixture()
		rec.Measured.Visits[0].Instruments["laser"] = schema.InstrumentUse{Checked: checked}
		if r := result(t, judge(t, rec), "instrument checked", "laser on 2026-09-10"); r.Outcome != want {
			t.Errorf("checked on %s: %s, want %s", checked, r.Outcome, want)
		}
	}
}

// surface makes the fixture's elevation an accessible station whose surface
// stands so high above the floor as surveyed.
func surface(r *schema.Record, sys length.System, up length.Length) {
	e := &r.Planned.Rooms[0].Elevations[0]
	r.Planned.LengthsIn = sys
	e.WorkHeight, e.Accessible = nil, true
	mark := *in("44 in") - up + *e.TopThickness
	alter(seen(r).Elevations, "A", func(s *schema.ElevationSeen) { *s.Mark = mark })
	for tag := range seen(r).Cabinets {
		alter(seen(r).Cabinets, tag, func(c *schema.CabinetSeen) {
			c.Tops = schema.CornerLengths{FL: of(mark), FR: of(mark), BL: of(mark), BR: of(mark)}
		})
	}
}

// again adds a visit with another reference line, on which one top corner stood
// higher than the mark by so much.
func again(r *schema.Record, up length.Length) {
	topUp(r, 0)
	r.Measured.Visits = append(r.Measured.Visits, schema.Visit{
		Date: "2026-09-20", People: []schema.Party{{Name: "I. Looker"}},
		Instruments: map[string]schema.InstrumentUse{"laser": {Checked: "2026-09-01"}},
		Rooms: map[string]schema.RoomSeen{"R1": {
			Elevations: map[string]schema.ElevationSeen{"A": {Mark: in("13 in")}},
			Cabinets:   map[string]schema.CabinetSeen{"C2": {Tops: schema.CornerLengths{FR: of(*in("13 in") - up)}}},
		}},
	})
}

// topUp moves one top corner up, as read, from the mark it was set to, where the
// contract lets it.
func topUp(r *schema.Record, up length.Length) {
	r.Planned.Limits = map[string]schema.LimitChange{
		"set height held": {Limit: "2 in", Source: "addendum"}, "tops in one plane": {Limit: "2 in", Source: "addendum"},
	}
	alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Tops.FR -= up })
}

func of(l length.Length) *length.Length { return &l }
