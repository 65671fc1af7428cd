package checks

import (
	"encoding/json"
	"math/rand/v2"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// severalWalls is a random room of elevations whose floors were read from one
// reference line, and on which each set-height mark was read.
func severalWalls(rng *rand.Rand, walls int) *schema.Record {
	rec := &schema.Record{Setline: 1}
	p := &rec.Planned
	p.Project.Name = "Several walls"
	p.Instruments = map[string]schema.Instrument{"laser": {Kind: "laser", Resolution: of(length.Inch / 32), Accuracy: of(length.Inch / 16), Over: of(30 * length.Foot)}}
	if rng.IntN(2) == 0 {
		p.DecisionRule = Guarded
	}
	if rng.IntN(2) == 0 {
		p.LengthsIn = length.Metric
	}
	p.Limits = map[string]schema.LimitChange{"work height": {Limit: []string{"1/4 in", "1/2 in", "1 in"}[rng.IntN(3)], Source: "09 10 00"}}
	nm := func(from, to length.Length) *length.Length {
		return of(from + length.Length(rng.Int64N(int64(to-from))))
	}
	p.Usual = schema.Body{Height: of(30 * length.Inch), Depth: of(22 * length.Inch),
		Leveler: &schema.Leveler{Least: length.Inch / 2, Greatest: *nm(2*length.Inch, 3*length.Inch), ThreadsPerInch: 16, Reserve: nm(0, length.Inch/4)}}
	p.Cabinets = map[string]schema.Cabinet{"B24": {Width: 24 * length.Inch}}
	room := schema.Room{Name: "R1"}
	if rng.IntN(2) == 0 {
		room.FloorFinish = &schema.FloorFinish{Thickness: *nm(1, length.Inch/2), UnderCabinets: rng.IntN(2) == 0}
	}
	seen := schema.RoomSeen{Elevations: map[string]schema.ElevationSeen{}}
	for n := range walls {
		name := string(rune('A' + n))
		e := schema.Elevation{Name: name, TopThickness: of(length.Inch)}
		if rng.IntN(2) == 0 {
			e.WorkHeight = nm(32*length.Inch, 34*length.Inch)
		}
		e.Accessible = rng.IntN(3) == 0
		for k := range 1 + rng.IntN(3) {
			e.Units = append(e.Units, schema.Unit{Tag: name + string(rune('1'+k)), Part: "B24"})
		}
		room.Elevations = append(room.Elevations, e)
		line := func() (l []schema.FloorReading) {
			for k := range len(e.Units) + 1 {
				l = append(l, schema.FloorReading{24 * length.Inch * length.Length(k), *nm(44*length.Inch, 45*length.Inch)})
			}
			return l
		}
		seen.Elevations[name] = schema.ElevationSeen{Reference: "L1", Mark: of(0), MarkAt: of(0), Floor: schema.FloorSeen{Front: line(), Back: line()}}
	}
	p.Rooms = []schema.Room{room}
	rec.Measured.Visits = []schema.Visit{{Date: "2026-09-10", People: []schema.Party{{Name: "L. Lead"}},
		Instruments: map[string]schema.InstrumentUse{"laser": {Checked: "2026-09-01"}}, Rooms: map[string]schema.RoomSeen{"R1": seen}}}
	return rec
}

// heightsOf are the heights of the first room of a record.
func heightsOf(t *testing.T, rec *schema.Record) *OneHeight {
	t.Helper()
	return Layouts(rec, judge(t, rec))[0].OneHeight
}

// markAt makes the tops of every elevation stand at a reading.
func markAt(rec *schema.Record, down length.Length) {
	for name := range seen(rec).Elevations {
		alter(seen(rec).Elevations, name, func(e *schema.ElevationSeen) { e.Mark = of(down) })
	}
}

// holdsAt reports whether the rules themselves hold with the tops there, of
// all elevations and of each by its position.
func holdsAt(t *testing.T, rec *schema.Record, down length.Length) (all bool, each []bool) {
	t.Helper()
	markAt(rec, down)
	found := judge(t, rec)
	all = true
	for range rec.Planned.Rooms[0].Elevations {
		each = append(each, true)
	}
	for _, r := range found.Results {
		switch r.Rule {
		case floorWithinTravel, reserveLeft, workHeight, accessibleHeight:
			if r.Outcome != Pass {
				all, each[r.Subject.elevation] = false, false
			}
		}
	}
	return all, each
}

// TestOneHeightByTheRules marks random rooms at the ends of what is said to
// serve, a nanometre beyond them and elsewhere, and lets the rules judge.
func TestOneHeightByTheRules(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	serve, none, own := 0, 0, 0
	for range 60 {
		rec := severalWalls(rng, 2+rng.IntN(2))
		l := heightsOf(t, rec).Lines[0]
		tries := []length.Length{l.Common.Highest, l.Common.Lowest, l.Common.Highest - 1, l.Common.Lowest + 1, 10*length.Inch + length.Length(rng.Int64N(int64(5*length.Inch)))}
		for _, e := range l.Elevations {
			tries = append(tries, e.Own.Highest, e.Own.Lowest, e.Own.Highest-1, e.Own.Lowest+1)
		}
		for _, down := range tries {
			all, each := holdsAt(t, rec, down)
			if said := l.Serves() && l.Common.Highest <= down && down <= l.Common.Lowest; all != said {
				t.Fatalf("%s: the rules hold is %v, said %v: %+v", down, all, said, l.Common)
			}
			for i, e := range l.Elevations {
				if said := e.Own.Highest <= down && down <= e.Own.Lowest; each[i] != said {
					t.Fatalf("%s, elevation %s: the rules hold is %v, said %v: %+v", down, e.Elevation, each[i], said, e.Own)
				}
				if each[i] {
					own++
				}
			}
		}
		if l.Serves() {
			serve++
		} else {
			none++
		}
	}
	if serve < 5 || none < 5 || own < 50 {
		t.Errorf("%d rooms are served and %d not, %d times one elevation was", serve, none, own)
	}
}

// TestPackingByTheRules packs what is said and lets the rules judge, and takes
// a nanometre off.
func TestPackingByTheRules(t *testing.T) {
	rng := chance.Source(t)
	tried := 0
	for tried < 20 {
		rec := severalWalls(rng, 2)
		l := heightsOf(t, rec).Lines[0]
		if l.Serves() || !l.Packing.Mends {
			continue
		}
		tried++
		if all, _ := holdsAt(t, rec, l.Packing.At); all {
			t.Fatalf("serves without packing: %+v", l.Packing)
		}
		packed := map[string]schema.CabinetSeen{}
		// A floor is read on the packing that is there: it was put there after.
		after := schema.Visit{Date: "2026-09-11", People: []schema.Party{{Name: "L. Lead"}}, Rooms: map[string]schema.RoomSeen{"R1": {Cabinets: packed}}}
		rec.Measured.Visits = append(rec.Measured.Visits, after)
		pack := func(n int, thickness length.Length) {
			tag, corner, _ := strings.Cut(l.limit(l.Packing.Under[n].Place, true).Of.String(), " ")
			c := packed[tag]
			for _, at := range corners {
				if string(at.word) == corner {
					*placeOfCorner(&c.Packing, at.key) = of(thickness)
				}
			}
			packed[tag] = c
		}
		for n, u := range l.Packing.Under {
			pack(n, u.Thickness)
		}
		if all, _ := holdsAt(t, rec, l.Packing.At); !all {
			t.Fatalf("does not serve though packed: %+v", l.Packing)
		}
		n := rng.IntN(len(l.Packing.Under))
		pack(n, l.Packing.Under[n].Thickness-1)
		if all, _ := holdsAt(t, rec, l.Packing.At); all {
			t.Fatalf("serves with a nanometre less under %d: %+v", n, l.Packing)
		}
	}
}

// placeOfCorner is where the length of a corner stands.
func placeOfCorner(c *schema.CornerLengths, key string) **length.Length {
	switch key {
	case "FL":
		return &c.FL
	case "FR":
		return &c.FR
	case "BL":
		return &c.BL
	}
	return &c.BR
}

// TestOneHeightMirrored: seen in a mirror, and in millimetres, the same heights
// serve.
func TestOneHeightMirrored(t *testing.T) {
	rng := chance.Source(t)
	for range 40 {
		rec := severalWalls(rng, 3)
		before, _ := json.Marshal(heightsOf(t, rec).Lines[0].Groups)
		mirror(rec)
		if after, _ := json.Marshal(heightsOf(t, rec).Lines[0].Groups); unplaced(string(after)) != unplaced(string(before)) {
			t.Fatalf("%s, in a mirror %s", before, after)
		}
	}
}

// unplaced drops which of several corners decides: a mirror changes it.
func unplaced(groups string) string {
	var all []map[string]any
	_ = json.Unmarshal([]byte(groups), &all)
	for _, g := range all {
		delete(g, "High")
		delete(g, "Low")
	}
	text, _ := json.Marshal(all)
	return string(text)
}

// TestOneHeightWords are rooms worked out by hand: bodies of 34 in on levelers
// from 1/2 to 2 in with 1/8 in of reserve, so that tops stand from 36 in to
// 34 5/8 in above the floor.
func TestOneHeightWords(t *testing.T) {
	const line = " down from reference line L1 as on 2026-09-10"
	for _, tc := range []struct {
		name  string
		floor map[string]string // the reading of all of an elevation's floor; the last one's is its low corner
		edit  func(*schema.Record)
		want  []string
		apart string
	}{
		{"they share a strip", map[string]string{"A": "44 in", "B": "44 1/4 in"}, nil,
			[]string{"One height serves elevations A and B: tops from 8 1/4 in to 9 3/8 in" + line + ". B1 front-left reaches no higher than 8 1/4 in, A1 front-left with its reserve comes no lower than 9 3/8 in"}, ""},
		{"they share one height", map[string]string{"A": "44 in", "B": "45 3/8 in"}, nil,
			[]string{"One height serves elevations A and B: tops from 9 3/8 in to 9 3/8 in" + line + ". B1 front-left reaches no higher than 9 3/8 in, A1 front-left with its reserve comes no lower than 9 3/8 in"}, ""},
		{"none but without reserve", map[string]string{"A": "44 in", "B": "45 7/16 in"}, nil,
			[]string{"No one height serves elevations A and B; 1/16 in is missing. B1 front-left reaches no higher than 9 7/16 in, A1 front-left with its reserve comes no lower than 9 3/8 in. Readings are" + line,
				"Without reserve one serves: tops from 9 7/16 in to 9 1/2 in",
				"With packing one serves, and nowhere with less than with tops at 9 3/8 in: under B1 front-left at least 1/16 in, B1 front-right at least 1/16 in, B1 back-left at least 1/16 in and B1 back-right at least 1/16 in",
				"No fewer than 2 heights serve, since none serves two of A and B: A with tops from 8 in to 9 3/8 in; B with tops from 9 7/16 in to 10 13/16 in"}, ""},
		{"the height drawn stands against packing", map[string]string{"A": "44 in", "B": "46 in"}, func(r *schema.Record) {
			e := &r.Planned.Rooms[0].Elevations[1]
			e.WorkHeight, e.TopThickness = in("36 in"), in("1 in")
		},
			[]string{"No one height serves elevations A and B; 1 3/8 in is missing. B's height drawn",
				"Packing makes none: the height drawn for B allows no higher than 10 3/4 in, and no leveler decides that"}, ""},
		{"one was read from another line", map[string]string{"A": "44 in", "B": "44 in", "C": "44 in"}, func(r *schema.Record) {
			alter(seen(r).Elevations, "C", func(e *schema.ElevationSeen) { e.Reference = "L2" })
		}, []string{"One height serves elevations A and B: tops from 8 in to 9 3/8 in" + line},
			"Not compared with others: C: its floor was read on 2026-09-10 from reference line L2, as no other. Heights compare where"},
		{"nobody wrote the line down", map[string]string{"A": "44 in", "B": "44 in"}, func(r *schema.Record) {
			for _, name := range []string{"A", "B"} {
				alter(seen(r).Elevations, name, func(e *schema.ElevationSeen) { e.Reference = "" })
			}
		}, nil, "Not compared with others: A and B: their floors were read on 2026-09-10, and from which reference lines nobody wrote down. "},
		{"the same name on another visit is another line", map[string]string{"A": "44 in", "B": "44 in"}, func(r *schema.Record) {
			b := seen(r).Elevations["B"]
			delete(seen(r).Elevations, "B")
			v := r.Measured.Visits[0]
			v.Date, v.Rooms = "2026-09-11", map[string]schema.RoomSeen{"R1": {Elevations: map[string]schema.ElevationSeen{"B": b}}}
			r.Measured.Visits = append(r.Measured.Visits, v)
		}, nil, "Not compared with others: A: its floor was read on 2026-09-10 from reference line L1, as no other; B: its floor was read on 2026-09-11 from"},
		{"one is not surveyed", map[string]string{"A": "44 in", "B": "44 in", "C": "44 in"}, func(r *schema.Record) {
			delete(seen(r).Elevations, "C")
		}, []string{"One height serves"}, "Not compared with others: C: floor not observed. "},
	} {
		t.Run(tc.name, func(t *testing.T) {
			o := heightsOf(t, walls(tc.floor, tc.edit))
			var got []string
			for i := range o.Lines {
				for _, text := range o.Lines[i].Words(length.InchSystem) {
					got = append(got, text.String())
				}
			}
			all := strings.Join(got, "\n")
			for _, want := range tc.want {
				if want = strings.Replace(want, "B's height drawn", "the height drawn for B allows no higher than 10 3/4 in", 1); !strings.Contains(strings.ToLower(all), strings.ToLower(want)) {
					t.Errorf("%q\ndoes not say %q", all, want)
				}
			}
			if apart := o.ApartWords().String(); !strings.HasPrefix(apart, tc.apart) || (apart == "") != (tc.apart == "") {
				t.Errorf("apart: %q, want %q", apart, tc.apart)
			}
		})
	}
}

// walls are elevations of one cabinet on level floors.
func walls(floors map[string]string, edit func(*schema.Record)) *schema.Record {
	rec := severalWalls(rand.New(rand.NewPCG(1, 1)), len(floors))
	p := &rec.Planned
	p.DecisionRule, p.LengthsIn, p.Limits = "", "", nil
	p.Usual.Height = in("34 in")
	p.Usual.Leveler = &schema.Leveler{Least: *in("1/2 in"), Greatest: *in("2 in"), ThreadsPerInch: 16}
	p.Rooms[0].FloorFinish = nil
	for i := range p.Rooms[0].Elevations {
		e := &p.Rooms[0].Elevations[i]
		*e = schema.Elevation{Name: e.Name, Units: e.Units[:1]}
		down := *in(floors[e.Name])
		line := []schema.FloorReading{{0, down}, {24 * length.Inch, down}}
		seen(rec).Elevations[e.Name] = schema.ElevationSeen{Reference: "L1", Floor: schema.FloorSeen{Front: line, Back: line}}
	}
	if edit != nil {
		edit(rec)
	}
	return rec
}

// TestOneHeightAsFarAsKnown: what is known limits, what is not is said, and an
// elevation alone has nothing to compare.
func TestOneHeightAsFarAsKnown(t *testing.T) {
	rec := walls(map[string]string{"A": "44 in", "B": "46 in"}, func(r *schema.Record) {
		alter(seen(r).Elevations, "B", func(e *schema.ElevationSeen) { e.Floor.Back = nil })
		e := &r.Planned.Rooms[0].Elevations[0]
		e.WorkHeight = in("36 in")
	})
	o := heightsOf(t, rec)
	l := o.Lines[0]
	if l.Serves() || l.Common.Missing() != *in("5/8 in") {
		t.Errorf("%+v", l.Common)
	}
	for i, want := range []string{"as far as is known: thickness of the top not planned", "as far as is known: floor not observed at B1 back-left and B1 back-right"} {
		if got := l.Elevations[i].Words().String(); !strings.Contains(got, want) {
			t.Errorf("%q does not say %q", got, want)
		}
	}
	one := walls(map[string]string{"A": "44 in"}, nil)
	if o := heightsOf(t, one); o != nil {
		t.Errorf("one elevation: %+v", o)
	}
}
