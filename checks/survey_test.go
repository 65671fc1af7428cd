package checks

import (
	"math/big"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// sawMore adds a visit to the fixture that saw only so much of its elevation
// and its cabinets.
func sawMore(r *schema.Record, e schema.ElevationSeen, cabinets map[string]schema.CabinetSeen) {
	r.Measured.Visits = append(r.Measured.Visits, schema.Visit{
		Date: "2026-09-12", People: []schema.Party{{Name: "I. Looker"}},
		Instruments: map[string]schema.InstrumentUse{"laser": {Checked: "2026-09-01"}, "rule": {}},
		Rooms:       map[string]schema.RoomSeen{"R1": {Elevations: map[string]schema.ElevationSeen{"A": e}, Cabinets: cabinets}},
	})
}

// TestFloorOfTwoVisits: one corner is read again, or packed, without reading
// all of the floor.
func TestFloorOfTwoVisits(t *testing.T) {
	low := func(r *schema.Record) { // C3 back-right stands 1/2 in too far out
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Back[3][1] = *in("46 in") })
		alter(seen(r).Cabinets, "C3", func(c *schema.CabinetSeen) { c.Extension = schema.CornerLengths{} })
	}
	again := func(down string) []schema.FloorReading { return []schema.FloorReading{{*in("75 in"), *in(down)}} }
	pack := func(p string) map[string]schema.CabinetSeen {
		return map[string]schema.CabinetSeen{"C3": {Packing: schema.CornerLengths{BR: in(p)}}}
	}
	for _, tc := range []struct {
		name    string
		edit    func(*schema.Record)
		rule    string
		want    Outcome
		finding string // part of it
	}{
		{"as first read", func(*schema.Record) {}, "floor within travel", Fail, "C3 back-right too much by 1/2 in"},
		{"read again from a line 3 in higher", func(r *schema.Record) {
			sawMore(r, schema.ElevationSeen{Mark: in("12 1/2 in"), Floor: schema.FloorSeen{Back: again("48 in")}}, nil)
		}, "floor within travel", Pass, ""},
		{"read again, still too low by a little", func(r *schema.Record) {
			sawMore(r, schema.ElevationSeen{Mark: in("12 1/2 in"), Floor: schema.FloorSeen{Back: again("48 5/8 in")}}, nil)
		}, "floor within travel", Fail, "C3 back-right too much by 1/8 in"},
		{"all of the floor still counts", func(r *schema.Record) {
			sawMore(r, schema.ElevationSeen{Mark: in("12 1/2 in"), Floor: schema.FloorSeen{Back: again("48 in")}}, nil)
		}, "survey coverage", Pass, "27 in"},
		{"read again with nothing that ties", func(r *schema.Record) {
			sawMore(r, schema.ElevationSeen{Floor: schema.FloorSeen{Back: again("48 in")}}, nil)
		}, "survey coverage", NotObserved, "no mark ties them to those of 2026-09-12"},
		{"the same, from lines tied by the mark of another elevation", func(r *schema.Record) {
			other := r.Planned.Rooms[0].Elevations[0]
			other.Name, other.Units = "B", []schema.Unit{{Tag: "D1", Part: "BD24"}}
			r.Planned.Rooms[0].Elevations = append(r.Planned.Rooms[0].Elevations, other)
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Reference = "door side" })
			seen(r).Elevations["B"] = schema.ElevationSeen{Reference: "door side", Mark: in("10 in")}
			sawMore(r, schema.ElevationSeen{Reference: "north", Floor: schema.FloorSeen{Back: again("48 in")}}, nil)
			r.Measured.Visits[1].Rooms["R1"].Elevations["B"] = schema.ElevationSeen{Reference: "north", Mark: in("13 in")}
		}, "survey coverage", Pass, "27 in"},
		{"the other elevation's line was another", func(r *schema.Record) {
			other := r.Planned.Rooms[0].Elevations[0]
			other.Name, other.Units = "B", []schema.Unit{{Tag: "D1", Part: "BD24"}}
			r.Planned.Rooms[0].Elevations = append(r.Planned.Rooms[0].Elevations, other)
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Reference = "door side" })
			seen(r).Elevations["B"] = schema.ElevationSeen{Reference: "door side", Mark: in("10 in")}
			sawMore(r, schema.ElevationSeen{Reference: "north", Floor: schema.FloorSeen{Back: again("48 in")}}, nil)
			r.Measured.Visits[1].Rooms["R1"].Elevations["B"] = schema.ElevationSeen{Reference: "south", Mark: in("13 in")}
		}, "survey coverage", NotObserved, "left out"},
		{"another place is added", func(r *schema.Record) {
			sawMore(r, schema.ElevationSeen{Mark: in("12 1/2 in"), Floor: schema.FloorSeen{Front: []schema.FloorReading{{*in("63 in"), *in("46 in")}}}}, nil)
		}, "floor within contract", Notice, "≈ 13/16 in, on the front line at 51 in"},
		{"packed and not read again", func(r *schema.Record) {
			sawMore(r, schema.ElevationSeen{Mark: in("12 1/2 in")}, pack("1/2 in"))
		}, "floor within travel", Pass, ""},
		{"packed too little by a nanometre", func(r *schema.Record) {
			sawMore(r, schema.ElevationSeen{Mark: in("12 1/2 in")}, pack("12.699999 mm"))
		}, "floor within travel", Fail, "C3 back-right too much"},
		{"packed and read on its packing", func(r *schema.Record) {
			sawMore(r, schema.ElevationSeen{Mark: in("12 1/2 in"), Floor: schema.FloorSeen{Back: again("48 1/2 in")}}, pack("1/2 in"))
		}, "floor within travel", Pass, ""},
		{"packed and read, on less than was said", func(r *schema.Record) {
			sawMore(r, schema.ElevationSeen{Mark: in("12 1/2 in"), Floor: schema.FloorSeen{Back: again("48 9/16 in")}}, pack("1/2 in"))
		}, "floor within travel", Fail, "C3 back-right too much by 1/16 in"},
		{"the packing taken out again", func(r *schema.Record) {
			sawMore(r, schema.ElevationSeen{Mark: in("12 1/2 in"), Floor: schema.FloorSeen{Back: again("48 1/2 in")}}, pack("1/2 in"))
			sawMore(r, schema.ElevationSeen{}, pack("0 in"))
			r.Measured.Visits[2].Date = "2026-09-13"
		}, "floor within travel", Fail, "C3 back-right too much by 1/2 in"},
		{"packing is no hill in the floor", func(r *schema.Record) {
			sawMore(r, schema.ElevationSeen{Mark: in("12 1/2 in"), Floor: schema.FloorSeen{Front: []schema.FloorReading{{*in("51 in"), *in("46 1/2 in")}}}},
				map[string]schema.CabinetSeen{"C2": {Packing: schema.CornerLengths{FR: in("1/2 in")}}})
		}, "floor within contract", Pass, "straightedge 0 in"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			low(rec)
			tc.edit(rec)
			r := result(t, judge(t, rec), tc.rule, "elevation A")
			if r.Outcome != tc.want || !strings.Contains(r.Finding.String(), tc.finding) {
				t.Errorf("%s %q, want %s and %q", r.Outcome, r.Finding.String(), tc.want, tc.finding)
			}
		})
	}
}

// TestExtensionOnPacking: an extension is held against what the corner stood on
// when it was read.
func TestExtensionOnPacking(t *testing.T) {
	rec := fixture()
	alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Packing.FR, c.Extension.FR = in("1/4 in"), in("1/4 in") })
	rec.Planned.Usual.Leveler.Least = 0
	// The floor there was read on the packing, the neighbour's beside it is not packed.
	alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Front[2][1] = *in("43 3/4 in") })
	found := judge(t, rec)
	for _, item := range []string{"C2", "C3"} {
		if r := result(t, found, "extension agrees", item); r.Outcome != Pass {
			t.Errorf("%s: %s %s", item, r.Outcome, r.Finding.String())
		}
	}
	// Taken out on a later visit it still was there when the extension was read.
	sawMore(rec, schema.ElevationSeen{}, map[string]schema.CabinetSeen{"C2": {Packing: schema.CornerLengths{FR: in("0 in")}}})
	if r := result(t, judge(t, rec), "extension agrees", "C2"); r.Outcome != Pass {
		t.Errorf("%s %s", r.Outcome, r.Finding.String())
	}
}

// TestMergingSecondWay merges random visits in rational arithmetic, place by
// place, and compares every corner.
func TestMergingSecondWay(t *testing.T) {
	rng := chance.Source(t)
	for range 60 {
		rec := fixture()
		rec.Measured.Visits = nil
		days := []schema.Date{"2026-09-01", "2026-09-02", "2026-09-03", "2026-09-04"}
		for i := range 1 + rng.IntN(4) {
			e := schema.ElevationSeen{Floor: schema.FloorSeen{Front: someFloor(rng), Back: someFloor(rng)}}
			if rng.IntN(4) > 0 {
				e.Mark = of(length.Length(rng.IntN(300_000_000)))
			}
			sawMore(rec, e, nil)
			rec.Measured.Visits[i].Date = days[i]
		}
		again, _ := source(t, rec)
		f := newFacts(again, again.Measured.VisitsInTime())
		e := f.rooms[0].elevations[0]
		for i, u := range cabinetsOf(e.units) {
			for j, c := range corners {
				x, _ := u.place(c)
				want, known := mergedAt(again.Measured.Visits, c.front, x)
				got := e.floor.corners[4*i+j]
				if got.Known != known || known && new(big.Rat).Sub(big.NewRat(int64(got.Floor), 1), want).Abs(new(big.Rat).Sub(big.NewRat(int64(got.Floor), 1), want)).Cmp(big.NewRat(1, 2)) > 0 {
					t.Fatalf("%s: %d, %v; want %v, %v", got.Name, got.Floor, got.Known, want, known)
				}
			}
		}
	}
}

// someFloor reads the floor at some of the places where the fixture has corners,
// and between.
func someFloor(rng *rand.Rand) []schema.FloorReading {
	var l []schema.FloorReading
	for x := length.Length(0); x <= 75*length.Inch; x += 3 * length.Inch {
		if rng.IntN(5) == 0 {
			l = append(l, schema.FloorReading{x, 44*length.Inch + length.Length(rng.IntN(10_000_000))})
		}
	}
	return l
}

// mergedAt is the floor at x down from the line of the last visit that read any.
func mergedAt(visits []schema.Visit, front bool, x length.Length) (*big.Rat, bool) {
	at := func(v *schema.Visit) schema.ElevationSeen { return v.Rooms["R1"].Elevations["A"] }
	last := -1
	for i := range visits {
		if f := at(&visits[i]).Floor; len(f.Front)+len(f.Back) > 0 {
			last = i
		}
	}
	if last < 0 {
		return nil, false
	}
	down := map[length.Length]*big.Rat{}
	for i := range last + 1 {
		e, base := at(&visits[i]), at(&visits[last])
		shift := new(big.Rat)
		switch {
		case i == last:
		case e.Mark == nil || base.Mark == nil:
			continue
		default:
			shift.Sub(big.NewRat(int64(*base.Mark), 1), big.NewRat(int64(*e.Mark), 1))
		}
		l := e.Floor.Back
		if front {
			l = e.Floor.Front
		}
		for _, r := range l {
			down[r.At()] = new(big.Rat).Add(big.NewRat(int64(r.Down()), 1), shift)
		}
	}
	var places []length.Length
	for p := range down {
		places = append(places, p)
	}
	slices.Sort(places)
	for i, p := range places {
		if p == x {
			return down[p], true
		}
		if i > 0 && places[i-1] < x && x < p {
			a, b := places[i-1], p
			part := big.NewRat(int64(x-a), int64(b-a))
			fall := new(big.Rat).Sub(down[b], down[a])
			return fall.Add(down[a], fall.Mul(fall, part)), true
		}
	}
	return nil, false
}

// TestFloorTiedByWay: the last visit is tied to the second by the mark of another
// elevation from the same reference line, and the second to the first by the
// elevation's own; so the last is tied to the first, as if it had read that mark
// too. Where the visit between is not there, nothing ties them.
func TestFloorTiedByWay(t *testing.T) {
	build := func(between, own bool) *schema.Record {
		rec := fixture()
		p := &rec.Planned.Rooms[0]
		p.Elevations = append(p.Elevations, schema.Elevation{Name: "B", Units: []schema.Unit{{Tag: "D1", Part: "BD24"}}})
		first := seen(rec).Elevations["A"]
		visit := func(day schema.Date, a, b schema.ElevationSeen) {
			rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
				Date: day, People: rec.Measured.Visits[0].People, Instruments: map[string]schema.InstrumentUse{"laser": {Checked: day}},
				Rooms: map[string]schema.RoomSeen{"R1": {Elevations: map[string]schema.ElevationSeen{"A": a, "B": b}}},
			})
		}
		lowered := func(l *length.Length, by string) *length.Length { return of(*l + *in(by)) }
		if between {
			visit("2026-12-01",
				schema.ElevationSeen{Reference: "L", Mark: lowered(first.Mark, "1 in")},
				schema.ElevationSeen{Reference: "L", Mark: in("20 in")})
		}
		last := schema.ElevationSeen{Reference: "L", Floor: schema.FloorSeen{Front: []schema.FloorReading{{*in("3 in"), *in("46 1/2 in")}}}}
		if own {
			last.Mark = lowered(first.Mark, "2 in")
		}
		visit("2026-12-02", last, schema.ElevationSeen{Reference: "L", Mark: in("21 in")})
		return rec
	}
	floorOf := func(rec *schema.Record) Layout { return Layouts(rec, judge(t, rec))[0] }
	got, want := floorOf(build(true, false)), floorOf(build(true, true))
	if !reflect.DeepEqual(got.Floor, want.Floor) || len(got.Visits) != 2 || len(got.Apart) != 0 {
		t.Errorf("by way of another visit %+v of %v without %v, want %+v", got.Floor, got.Visits, got.Apart, want.Floor)
	}
	if alone := floorOf(build(false, false)); len(alone.Visits) != 1 || len(alone.Apart) != 1 {
		t.Errorf("with nothing between: %v without %v", alone.Visits, alone.Apart)
	}
}
