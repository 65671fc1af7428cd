package checks

import (
	"math"
	"slices"
	"strings"
	"testing"

	"setline.example/checks/floor"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// setTops sets the readings of a cabinet's top corners; "" leaves one unread.
func setTops(rec *schema.Record, tag, fl, fr, bl, br string) {
	read := func(s string) *length.Length {
		if s == "" {
			return nil
		}
		return in(s)
	}
	alter(seen(rec).Cabinets, tag, func(c *schema.CabinetSeen) {
		c.Tops = schema.CornerLengths{FL: read(fl), FR: read(fr), BL: read(bl), BR: read(br)}
	})
}

// setLevel sets readings of 0 with a level on all lines of a cabinet.
func setLevel(rec *schema.Record, tag string) {
	level := func() *schema.Deviation { return &schema.Deviation{Over: *in("22 in")} }
	alter(seen(rec).Cabinets, tag, func(c *schema.CabinetSeen) {
		c.Level = schema.LevelSeen{Front: level(), Back: level(), Left: level(), Right: level(), FLBR: level(), FRBL: level()}
	})
}

// readAgain adds a later visit that read tops and, unless it is "", the mark.
func readAgain(rec *schema.Record, date schema.Date, mark string, tops map[string]schema.CornerLengths) {
	e := schema.ElevationSeen{}
	if mark != "" {
		e.Mark = in(mark)
	}
	cabinets := map[string]schema.CabinetSeen{}
	for tag, t := range tops {
		cabinets[tag] = schema.CabinetSeen{Tops: t}
	}
	rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
		Date: date, People: []schema.Party{{Name: "I"}}, Instruments: map[string]schema.InstrumentUse{"laser": {Checked: date}},
		Rooms: map[string]schema.RoomSeen{"R1": {Elevations: map[string]schema.ElevationSeen{"A": e}, Cabinets: cabinets}},
	})
}

// TestSetting: what is known to be wrong is wrong whatever was not read, only a
// pass needs everything, and a rate is read as a rate.
func TestSetting(t *testing.T) {
	mm := func(s string) *length.Length { return in(s + " mm") }
	for _, tc := range []struct {
		name, rule, item string
		edit             func(*schema.Record)
		want             Outcome
		finding          string // a part of it
	}{
		{"pitched 3 mm front to back", "level and plumb", "C1", func(r *schema.Record) {
			setTops(r, "C1", "9 1/2 in", "9 1/2 in", "238.3 mm", "238.3 mm")
		}, Fail, "out by"},
		{"3 mm out of plumb over 800 mm", "level and plumb", "C1", func(r *schema.Record) {
			alter(seen(r).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Plumb.Left = &schema.Deviation{Off: *mm("3"), Over: *mm("800")} })
		}, Fail, "Plumb on the left side out by"},
		{"a corner 6 mm low, another not read, level by a level", "level and plumb", "C2", func(r *schema.Record) {
			setTops(r, "C2", "230 mm", "236 mm", "230 mm", "")
			setLevel(r, "C2")
		}, Fail, "Along the front out by"},
		{"a corner 6 mm low, another not read", "level and plumb", "C2", func(r *schema.Record) {
			setTops(r, "C2", "230 mm", "236 mm", "230 mm", "")
		}, Fail, "; along the back, along the right side and from front-left to back-right not observed"},
		{"level as far as it was read", "level and plumb", "C2", func(r *schema.Record) {
			setTops(r, "C2", "9 1/2 in", "9 1/2 in", "9 1/2 in", "")
		}, NotObserved, "Along the back, along the right side and from front-left to back-right not observed; the rest within the limit"},
		{"level by tops, not by a level", "level and plumb", "C2", func(r *schema.Record) {
			alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) {
				c.Level.FLBR = &schema.Deviation{Off: *in("3/64 in"), Over: *in("24 in")}
			})
		}, Fail, "From front-left to back-right out by 3/64 in over 24 in"},
		{"level by a level, not by tops", "level and plumb", "C2", func(r *schema.Record) {
			setTops(r, "C2", "9 1/2 in", "9 1/2 in", "9 1/2 in", "9 35/64 in")
			setLevel(r, "C2")
		}, Fail, "Along the back out by 3/64 in over 24 in"},
		{"a step of 10 mm in a run of which one corner was not read", "level and plumb", "run C1 to C3", func(r *schema.Record) {
			setTops(r, "C1", "9 1/2 in", "9 1/2 in", "9 1/2 in", "")
			setTops(r, "C3", "251.3 mm", "251.3 mm", "251.3 mm", "251.3 mm")
		}, Fail, "; top corners of C1 not observed"},
		{"a run level as far as it was read", "level and plumb", "run C1 to C3", func(r *schema.Record) {
			setTops(r, "C1", "9 1/2 in", "9 1/2 in", "9 1/2 in", "")
		}, NotObserved, "Top corners of C1 not observed; the rest within the limit"},
		{"no plane for those that were read", "tops in one plane", "run C1 to C3", func(r *schema.Record) {
			setTops(r, "C1", "9 1/2 in", "", "9 1/2 in", "")
			setTops(r, "C2", "9 3/8 in", "9 3/8 in", "9 3/8 in", "9 3/8 in")
		}, Fail, "that hold the 10 top corners read are 1/8 in apart"},
		{"a plane for those that were read", "tops in one plane", "run C1 to C3", func(r *schema.Record) {
			setTops(r, "C1", "9 1/2 in", "", "9 1/2 in", "")
		}, NotObserved, "Top corners of C1 not observed; the rest within the limit"},
		{"twist needs all four", "cabinet twist", "C1", func(r *schema.Record) {
			setTops(r, "C1", "9 1/2 in", "9 3/4 in", "9 1/2 in", "")
		}, NotObserved, "Top corner back-right not observed"},
		{"a corner low, another not read", "set height held", "C1", func(r *schema.Record) {
			setTops(r, "C1", "9 1/2 in", "9 19/32 in", "9 1/2 in", "")
		}, Fail, "C1 front-right stands below the set height by 3/32 in; top corner back-right not observed"},

		{"a surface too high over the one line that was read", "work height", "elevation A", func(r *schema.Record) {
			r.Planned.Rooms[0].Elevations[0].WorkHeight = in("30 in")
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Back = nil })
		}, NotObserved, "Floor not observed along the whole elevation"}, // the other may have a higher point
		{"a surface too low over the one line that was read", "work height", "elevation A", func(r *schema.Record) {
			r.Planned.Rooms[0].Elevations[0].WorkHeight = in("40 in")
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Back = nil })
		}, Fail, "drawn 40 in"},
		{"the same without a mark, whose tops may be set higher", "work height", "elevation A", func(r *schema.Record) {
			r.Planned.Rooms[0].Elevations[0].WorkHeight = in("40 in")
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Back, e.Mark = nil, nil })
		}, NotObserved, "Floor not observed along the whole elevation"},

		{"a run of two visits without a mark, wrong within one of them", "level and plumb", "run C1 to C3", func(r *schema.Record) {
			readAgain(r, "2026-09-20", "", map[string]schema.CornerLengths{"C3": {FL: in("12 in"), FR: in("12 1/8 in"), BL: in("12 in"), BR: in("12 1/8 in")}})
		}, Fail, "; a set-height mark that ties the visits on which the tops were read not observed"},
		{"a run of two visits without a mark, right within each", "level and plumb", "run C1 to C3", func(r *schema.Record) {
			readAgain(r, "2026-09-20", "", map[string]schema.CornerLengths{"C3": {FL: in("12 in"), FR: in("12 in"), BL: in("12 in"), BR: in("12 in")}})
		}, NotObserved, "A set-height mark that ties the visits"},
		{"a run of two visits tied by the mark, wrong between them", "level and plumb", "run C1 to C3", func(r *schema.Record) {
			readAgain(r, "2026-09-20", "12 1/8 in", map[string]schema.CornerLengths{"C3": {FL: in("12 in"), FR: in("12 in"), BL: in("12 in"), BR: in("12 in")}})
		}, Fail, "out by 1/8 in over"},
		{"a plane of two visits without a mark, wrong within one", "tops in one plane", "run C1 to C3", func(r *schema.Record) {
			setTops(r, "C2", "9 3/8 in", "9 3/8 in", "9 3/8 in", "9 3/8 in")
			readAgain(r, "2026-09-20", "", map[string]schema.CornerLengths{"C3": {FL: in("12 in"), FR: in("12 in"), BL: in("12 in"), BR: in("12 in")}})
		}, Fail, "that hold the 8 top corners read are 1/8 in apart"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			tc.edit(rec)
			r := result(t, judge(t, rec), tc.rule, tc.item)
			if r.Outcome != tc.want || !strings.Contains(r.Finding.String(), tc.finding) {
				t.Errorf("%s: %q, want %s: %q", r.Outcome, r.Finding.String(), tc.want, tc.finding)
			}
		})
	}
}

// TestLevelBetweenCabinets: two corners that meet at a joint may be as far
// apart as "tops flush" allows, also where the contract says so, and within a
// cabinet no more than the least.
func TestLevelBetweenCabinets(t *testing.T) {
	for _, tc := range []struct {
		name         string
		limits       map[string]schema.LimitChange
		rate, per    string // of the limit within a cabinet, 24 in wide
		least, joint length.Length
	}{
		{"default", nil, "1/8 in", "96 in", length.Inch / 32, length.Inch / 16},
		{"tops less flush", map[string]schema.LimitChange{"tops flush": {Limit: "1/8 in", Source: "c"}}, "1/8 in", "96 in", length.Inch / 32, length.Inch / 8},
		{"tops more flush", map[string]schema.LimitChange{"tops flush": {Limit: "1 mm", Source: "c"}}, "1/8 in", "96 in", length.Inch / 32, length.Millimetre},
		{"a least", map[string]schema.LimitChange{"level and plumb": {Limit: "1/8 in", Least: in("1 mm"), Source: "c"}}, "1/8 in", "96 in", length.Millimetre, length.Inch / 16},
		{"no least", map[string]schema.LimitChange{"level and plumb": {Limit: "1/16 in", Least: in("0 in"), Source: "c"}}, "1/16 in", "96 in", 0, length.Inch / 16},
		{"a rate", map[string]schema.LimitChange{"level and plumb": {Limit: "2 mm", Over: in("1 m"), Source: "c"}}, "2 mm", "1 m", length.Inch / 32, length.Inch / 16},
	} {
		within := max(mulDiv(*in(tc.rate), 24*length.Inch, *in(tc.per)), tc.least)
		for _, by := range []length.Length{-1, 0, 1} {
			want := Pass
			if by > 0 {
				want = Fail
			}
			rec := fixture()
			rec.Planned.Limits = tc.limits
			alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Tops.FL, *c.Tops.BL = *c.Tops.FL+within+by, *c.Tops.BL+within+by })
			if r := result(t, judge(t, rec), "level and plumb", "C2"); r.Outcome != want || r.Limit.N != int64(within) {
				t.Errorf("%s, within a cabinet, %+d nm: %s of %d nm against %d, want %s against %d", tc.name, by, r.Outcome, r.Value.N, r.Limit.N, want, within)
			}
			rec = fixture()
			rec.Planned.Limits = tc.limits
			for _, tag := range []string{"C2", "C3"} { // a step at the first joint
				alter(seen(rec).Cabinets, tag, func(c *schema.CabinetSeen) {
					for _, top := range []*length.Length{c.Tops.FL, c.Tops.FR, c.Tops.BL, c.Tops.BR} {
						*top += tc.joint + by
					}
				})
			}
			if r := result(t, judge(t, rec), "level and plumb", "run C1 to C3"); r.Outcome != want || r.Limit.N != int64(tc.joint) {
				t.Errorf("%s, between two, %+d nm: %s of %d nm against %d, want %s against %d", tc.name, by, r.Outcome, r.Value.N, r.Limit.N, want, tc.joint)
			}
		}
	}
}

// TestEachReadingIsDecided: under the guarded rule a fine reading does not hide
// a coarse one that is too near the limit, nor a coarse one a fault.
func TestEachReadingIsDecided(t *testing.T) {
	level := func(rec *schema.Record, date schema.Date, with string, edit func(*schema.LevelSeen)) {
		c := schema.CabinetSeen{}
		edit(&c.Level)
		rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
			Date: date, People: []schema.Party{{Name: "I"}}, Instruments: map[string]schema.InstrumentUse{with: {Checked: date}},
			Rooms: map[string]schema.RoomSeen{"R1": {Cabinets: map[string]schema.CabinetSeen{"C1": c}}},
		})
	}
	reading := func(off string) *schema.Deviation { return &schema.Deviation{Off: *in(off), Over: *in("96 in")} }
	for _, tc := range []struct {
		name        string
		back, front string // read coarse and fine, against 3.175 mm
		want        Outcome
	}{
		{"near the limit, coarse", "2.5 mm", "", Undecided},
		{"and another within it, fine", "2.5 mm", "2.6 mm", Undecided},
		{"and another beyond it, fine", "3.2 mm", "3.3 mm", Fail},
		{"and another beyond it, nearer by value", "3.6 mm", "3.3 mm", Fail},
		{"both within it", "2 mm", "2.6 mm", Pass},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			rec.Planned.DecisionRule = Guarded
			// The rest is read fine, so that nothing else is undecided.
			rec.Planned.Instruments["laser"] = schema.Instrument{Kind: "laser", Resolution: in("0.01 mm")}
			rec.Planned.Instruments["coarse"] = schema.Instrument{Kind: "level", Resolution: in("1.42 mm")} // U = 0.82 mm
			rec.Planned.Instruments["fine"] = schema.Instrument{Kind: "level", Resolution: in("0.1 mm")}    // U = 0.06 mm
			level(rec, "2026-09-11", "coarse", func(l *schema.LevelSeen) { l.Back = reading(tc.back) })
			if tc.front != "" {
				level(rec, "2026-09-12", "fine", func(l *schema.LevelSeen) { l.Front = reading(tc.front) })
			}
			if r := result(t, judge(t, rec), "level and plumb", "C1"); r.Outcome != tc.want {
				t.Errorf("%s: %s, want %s", r.Outcome, r.Finding.String(), tc.want)
			}
		})
	}
}

// TestSetHeightWithoutAMark: tops are held against the floor's high point only
// where it was surveyed all along the elevation, on the same visit, and nobody
// has made a mark.
func TestSetHeightWithoutAMark(t *testing.T) {
	unmarked := func(r *schema.Record) {
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Mark = nil })
	}
	survey := func(r *schema.Record, edit func(*schema.FloorSeen)) {
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { edit(&e.Floor) })
	}
	for _, tc := range []struct {
		name string
		edit func(*schema.Record)
		want Outcome
	}{
		{"surveyed", func(*schema.Record) {}, Pass},
		{"surveyed, and a corner low", func(r *schema.Record) { setTops(r, "C1", "9 1/2 in", "9 5/8 in", "9 1/2 in", "9 1/2 in") }, Fail},
		{"one line only", func(r *schema.Record) { survey(r, func(f *schema.FloorSeen) { f.Back = nil }) }, NotObserved},
		{"not to the right end", func(r *schema.Record) { survey(r, func(f *schema.FloorSeen) { f.Front = f.Front[:3] }) }, NotObserved},
		{"not to the left end, and a corner low", func(r *schema.Record) {
			survey(r, func(f *schema.FloorSeen) { f.Front = f.Front[1:] })
			setTops(r, "C1", "9 1/2 in", "9 5/8 in", "9 1/2 in", "9 1/2 in")
		}, NotObserved},
		{"a gap too wide", func(r *schema.Record) {
			survey(r, func(f *schema.FloorSeen) { f.Back = []schema.FloorReading{f.Back[0], f.Back[2], f.Back[3]} })
		}, NotObserved},
		{"a gap that the contract allows", func(r *schema.Record) {
			survey(r, func(f *schema.FloorSeen) { f.Back = []schema.FloorReading{f.Back[0], f.Back[2], f.Back[3]} })
			r.Planned.Limits = map[string]schema.LimitChange{"survey coverage": {Limit: "60 in", Source: "c"}}
		}, Pass},
		{"a mark on another visit", func(r *schema.Record) { readAgain(r, "2026-09-20", "9 1/2 in", nil) }, NotObserved},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			unmarked(rec)
			tc.edit(rec)
			if r := result(t, judge(t, rec), "set height held", "C1"); r.Outcome != tc.want {
				t.Errorf("%s: %s, want %s", r.Outcome, r.Finding.String(), tc.want)
			}
		})
	}
}

// TestUncertaintyOfHeights: by hand, for a laser read to 1/64 in and stated as
// 1/16 in over 600 in (JCGM 100:2008, F.2.2.1 and 4.3.7), on the fixture, which
// is 75 in wide with C1 from 3 in to 27 in and C2 to 51 in, 22 in deep.
func TestUncertaintyOfHeights(t *testing.T) {
	r := 1. / 64 / math.Sqrt(12)
	tilt := func(inches float64) float64 { return 1. / 16 / math.Sqrt(3) * inches / 600 }
	sum := func(terms ...float64) float64 {
		s := 0.0
		for _, x := range terms {
			s += x * x
		}
		return math.Sqrt(s)
	}
	apart := func(c *schema.CabinetSeen) { // both sides are nearest to the limit
		*c.Tops.BL += length.Inch / 64
		*c.Tops.BR += length.Inch / 64
	}
	on := func(r *schema.Record, e func(*schema.ElevationSeen)) { alter(seen(r).Elevations, "A", e) }
	for _, tc := range []struct {
		name, rule, item string
		edit             func(*schema.Record)
		want             float64 // u in inches
	}{
		{"two corners 22 in apart", "level and plumb", "C1", func(rec *schema.Record) { alter(seen(rec).Cabinets, "C1", apart) },
			sum(r, r, tilt(22))},
		{"wherever the laser stood", "level and plumb", "C1", func(rec *schema.Record) {
			alter(seen(rec).Cabinets, "C1", apart)
			on(rec, func(e *schema.ElevationSeen) {
				e.Laser = &schema.Station{Along: 15 * length.Inch, Out: 11 * length.Inch}
			})
		}, sum(r, r, tilt(22))},
		{"against a mark, nobody knows where", "set height held", "C2", func(rec *schema.Record) {
			setTops(rec, "C2", "9 33/64 in", "9 1/2 in", "9 1/2 in", "9 1/2 in")
		}, sum(r, r, tilt(48))}, // 27 in from the left end, 48 in from the right one
		{"against a mark at 20 in", "set height held", "C2", func(rec *schema.Record) {
			setTops(rec, "C2", "9 33/64 in", "9 1/2 in", "9 1/2 in", "9 1/2 in")
			on(rec, func(e *schema.ElevationSeen) { e.MarkAt = in("20 in") })
		}, sum(r, r, tilt(7))},
		// C1 front-left sets the height, on the floor between readings at 0 in and 27 in.
		{"against the floor, where nobody made a mark", "set height held", "C2", func(rec *schema.Record) {
			setTops(rec, "C2", "9 33/64 in", "9 1/2 in", "9 1/2 in", "9 1/2 in")
			on(rec, func(e *schema.ElevationSeen) { e.Mark = nil })
		}, sum(r, r*24/27, r*3/27, tilt(24))},
		{"twist has no part of the line", "cabinet twist", "C2", func(*schema.Record) {}, sum(r, r, r, r)},
		{"two visits, each with its distance to the mark", "level and plumb", "C1", func(rec *schema.Record) {
			on(rec, func(e *schema.ElevationSeen) { e.MarkAt = in("40 in") })
			readAgain(rec, "2026-09-20", "10 in", map[string]schema.CornerLengths{"C1": {FR: in("10 1/64 in")}})
			alter(rec.Measured.Visits[1].Rooms["R1"].Elevations, "A", func(e *schema.ElevationSeen) { e.MarkAt = in("30 in") })
		}, sum(r, r, r, r, tilt(37), tilt(3))}, // FL on the first at 3 in, FR on the second at 27 in
		{"a level", "level and plumb", "C3", func(rec *schema.Record) {
			rec.Planned.Instruments["level"] = schema.Instrument{Kind: "level", Resolution: in("1/64 in"), Accuracy: in("1/64 in"), Over: in("48 in")}
			alter(seen(rec).Cabinets, "C3", func(c *schema.CabinetSeen) {
				c.Plumb.Front = &schema.Deviation{Off: *in("1/32 in"), Over: *in("30 in")}
			})
		}, sum(r, 1./64/math.Sqrt(3)*30/48)},
		// The corner at 3 in stands between readings of the floor at 0 in and 27 in.
		{"an extension between two readings of the floor", "extension agrees", "C1", func(*schema.Record) {}, sum(r, r, r*24/27, r*3/27)},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			tc.edit(rec)
			res := result(t, judge(t, rec), tc.rule, tc.item)
			got := res.Uncertainty / 2 / float64(length.Inch)
			if tc.rule == "extension agrees" {
				got = float64(res.Limit.N) / 2 / float64(length.Inch)
			}
			if math.Abs(got-tc.want) > 1e-6 {
				t.Errorf("u = %.6f in, want %.6f in: %s", got, tc.want, res.Finding.String())
			}
		})
	}
}

// TestUncertaintyOfAZone: four corners of a twisted top carry its zone, each
// with half its height; a middle row over two ends is carried by three.
func TestUncertaintyOfAZone(t *testing.T) {
	in := &schema.Instrument{Resolution: of(length.Inch / 64), Accuracy: of(length.Inch), Over: of(10 * length.Foot)}
	b := &bench{facts: &facts{rec: &schema.Record{}, readers: readers{reading{0, "heights"}: in}}, limit: LengthOf(0)}
	r := resolutionUncertainty(length.Inch / 64)
	at := func(x, y, down length.Length) point {
		return point{unit: &unit{plan: &schema.Unit{Tag: "C1"}}, x: x * length.Inch, y: y * length.Inch, down: down * length.Inch / 64}
	}
	for _, tc := range []struct {
		name   string
		points []point
		width  float64 // 64ths
		u      float64
	}{
		{"twisted", []point{at(0, 0, 0), at(24, 0, 4), at(0, 22, 4), at(24, 22, 0)}, 4, r},
		{"a line, the middle up", []point{at(0, 0, 0), at(24, 0, 4), at(48, 0, 0)}, 4, r * math.Sqrt(1.5)},
		{"a line, up at a quarter", []point{at(0, 0, 0), at(12, 0, 4), at(48, 0, 0)}, 4, r * math.Sqrt(1+9./16+1./16)},
		{"a point over three", []point{at(0, 0, 0), at(30, 0, 0), at(0, 30, 0), at(10, 10, 3)}, 3, r * math.Sqrt(1+3./9)},
		{"one spot", []point{at(5, 5, 0), at(5, 5, 3)}, 3, r * math.Sqrt2},
	} {
		trial, ok := b.zoneTrial(&elevation{}, tc.points)
		if !ok || math.Abs(float64(trial.value)-tc.width*float64(length.Inch)/64) > 1 || math.Abs(trial.doubt.u-tc.u) > 1 {
			t.Errorf("%s: %v nm with u = %v nm, want %v 64ths with %v", tc.name, trial.value, trial.doubt.u, tc.width, tc.u)
		}
	}
}

// TestUncertaintyOfAGap: the reading below a straightedge counts whole, the two
// that carry it share one by how near they are; a laser however bad adds nothing.
func TestUncertaintyOfAGap(t *testing.T) {
	in := &schema.Instrument{Resolution: of(length.Inch / 64), Accuracy: of(length.Inch), Over: of(10 * length.Foot)}
	b := &bench{facts: &facts{rec: &schema.Record{}, readers: readers{reading{0, "heights"}: in}}}
	r := resolutionUncertainty(length.Inch / 64)
	for _, tc := range []struct{ left, at, right, want float64 }{
		{0, 24, 48, math.Sqrt(1.5)},
		{12, 24, 60, math.Sqrt(1 + 9./16 + 1./16)},
		{0, 10, 100, math.Sqrt(1 + .81 + .01)},
	} {
		read := func(x float64) floor.Reading { return floor.Reading{At: length.Length(x) * length.Inch} }
		gap := floor.Gap{At: read(tc.at), From: read(tc.left), To: read(tc.right)}
		e := &elevation{floor: surveyed{front: []floorSpot{{Reading: gap.From}, {Reading: gap.At}, {Reading: gap.To}}}}
		got := b.gapDoubt(e, gap, true)
		if !got.known || math.Abs(got.u/r-tc.want) > 1e-9 {
			t.Errorf("%v: %v readings, want %v", tc, got.u/r, tc.want)
		}
	}
}

// TestUndecidedSaysWhichInstrument: what the guarded rule lacks is named.
func TestUndecidedSaysWhichInstrument(t *testing.T) {
	for _, tc := range []struct {
		name string
		edit func(*schema.Record)
		want string
	}{
		{"none named", func(r *schema.Record) { delete(r.Measured.Visits[0].Instruments, "laser") },
			"Name the instrument that read heights on 2026-09-10, with its resolution"},
		{"without a resolution", func(r *schema.Record) { r.Planned.Instruments["laser"] = schema.Instrument{Kind: "laser"} },
			"Give the resolution of laser, which read heights on 2026-09-10"},
		{"two of them", func(r *schema.Record) {
			r.Planned.Instruments["dot laser"] = schema.Instrument{Kind: "laser", Resolution: in("1 mm")}
			r.Measured.Visits[0].Instruments["dot laser"] = schema.InstrumentUse{Checked: "2026-09-09"}
		}, "Say which one of dot laser and laser read heights on 2026-09-10, with its resolution"},
	} {
		rec := fixture()
		rec.Planned.DecisionRule = Guarded
		tc.edit(rec)
		for _, rule := range []string{"level and plumb", "set height held", "cabinet twist"} {
			if r := result(t, judge(t, rec), rule, "C1"); r.Outcome != Undecided || !strings.Contains(r.Remedy.String(), tc.want) {
				t.Errorf("%s, %s: %s, %q", tc.name, rule, r.Outcome, r.Remedy.String())
			}
		}
	}
}

// TestForgettingACorner: a top corner taken away improves nothing, and makes a
// fault unknown only where the corner was part of every fault.
func TestForgettingACorner(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	settled := []*Rule{levelAndPlumb, setHeightHeld, topsInOnePlane, cabinetTwist}
	changed := map[string]int{}
	for range 150 {
		rec := scattered(rng)
		rec.Measured.Visits = rec.Measured.Visits[:1]
		for room := range rec.Measured.Visits[0].Rooms {
			for tag := range rec.Measured.Visits[0].Rooms[room].Cabinets {
				alter(rec.Measured.Visits[0].Rooms[room].Cabinets, tag, func(c *schema.CabinetSeen) { c.Level = schema.LevelSeen{} })
			}
		}
		before := judge(t, rec)
		cabinets := rec.Measured.Visits[0].Rooms[rec.Planned.Rooms[0].Name].Cabinets
		tags := sortedNames(cabinets)
		tag, c := tags[rng.IntN(len(tags))], corners[rng.IntN(len(corners))]
		alter(cabinets, tag, func(s *schema.CabinetSeen) {
			*map[string]**length.Length{"FL": &s.Tops.FL, "FR": &s.Tops.FR, "BL": &s.Tops.BL, "BR": &s.Tops.BR}[c.key] = nil
		})
		after := judge(t, rec)
		gone := tag + " " + c.key
		for i, was := range before.Results {
			is := after.Results[i]
			if !slices.Contains(settled, was.Rule) || is.Outcome == was.Outcome {
				continue
			}
			change := string(was.Outcome) + " to " + string(is.Outcome)
			changed[change]++
			switch change {
			case "pass to not observed", "undecided to not observed":
			case "fail to not observed", "fail to undecided":
				for _, f := range was.faults {
					failed := f.value > f.limit && rec.Planned.DecisionRule != Guarded
					if failed && f.of.what == "top" && f.of.where != gone && f.of.to != gone {
						t.Errorf("%s of %s: %s without %s, though %v failed too", was.Rule.Name, was.Subject, change, gone, f.of)
					}
				}
			default:
				t.Errorf("%s of %s: %s without %s", was.Rule.Name, was.Subject, change, gone)
			}
		}
	}
	if changed["pass to not observed"] == 0 || changed["fail to not observed"] == 0 {
		t.Errorf("%v; the comparison says little", changed)
	}
}

// TestCoarserIsNeverBetter: read with a coarser instrument, nothing that the
// guarded rule left undecided or failed passes.
func TestCoarserIsNeverBetter(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	coarser := 0
	for range 150 {
		rec := scattered(rng)
		rec.Planned.DecisionRule = Guarded
		before := judge(t, rec)
		for name, in := range rec.Planned.Instruments {
			if in.Resolution != nil {
				*in.Resolution *= 3
			}
			if in.Accuracy != nil {
				*in.Accuracy *= 2
			}
			rec.Planned.Instruments[name] = in
		}
		for i, is := range judge(t, rec).Results {
			was := before.Results[i]
			if was.Rule == extensionAgrees || was.Rule == movement {
				continue // their limit is an uncertainty
			}
			if is.Outcome == Pass && was.Outcome != Pass || is.Outcome == Fail && was.Outcome != Fail {
				t.Errorf("%s of %s: %s became %s", was.Rule.Name, was.Subject, was.Outcome, is.Outcome)
			}
			if is.Outcome != was.Outcome {
				coarser++
			}
		}
	}
	if coarser == 0 {
		t.Errorf("%d results changed; the comparison says little", coarser)
	}
}
