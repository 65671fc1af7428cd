package checks

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// doubtsOf are the doubts of all visits of a record that tests made.
func doubtsOf(t *testing.T, rec *schema.Record) (all []Doubt) {
	t.Helper()
	again, _ := source(t, rec)
	for v := range again.Measured.Visits {
		all = append(all, Doubts(again, v)...)
	}
	return all
}

// TestPlausibleBesideSaidOfAll: a visit that says something of all of an
// elevation has its readings doubted as if it had not.
func TestPlausibleBesideSaidOfAll(t *testing.T) {
	rec := rooms.New(rand.New(rand.NewPCG(1, 2)), rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 4})
	room := rec.Planned.Rooms[0]
	at := rec.Measured.Visits[0].Rooms[room.Name]
	wall := room.Elevations[0].Name
	*at.Cabinets[slices.Min(slices.Collect(maps.Keys(at.Cabinets)))].Tops.FL += 10 * length.Inch
	alone := doubtsOf(t, rec)
	for _, of := range []string{saidLabels, saidBearing, saidFastened, saidInSight, saidHeld} {
		alter(at.Elevations, wall, func(e *schema.ElevationSeen) {
			e.All = append(e.All, schema.SaidOfAll{Of: of, Answer: true})
		})
	}
	if beside := doubtsOf(t, rec); len(alone) != 1 || !slices.EqualFunc(alone, beside, sameDoubt) {
		t.Errorf("found the doubts %+v, and with things said of all %+v; expected the same one", alone, beside)
	}
}

func sameDoubt(a, b Doubt) bool {
	return a.Pointer == b.Pointer && a.sentence().Equal(b.sentence())
}

// TestPlausibleAtTheThreshold: a reading at its threshold is not doubted, one a
// nanometre beyond is, whatever else was read.
func TestPlausibleAtTheThreshold(t *testing.T) {
	const nm = length.Length(1)
	inches := func(n length.Length) length.Length { return n * length.Inch }
	cabinet := func(edit func(*schema.CabinetSeen, length.Length)) func(*schema.Record, length.Length) {
		return func(r *schema.Record, l length.Length) {
			alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { edit(c, l) })
		}
	}
	joint := func(edit func(*schema.JointSeen, length.Length)) func(*schema.Record, length.Length) {
		return func(r *schema.Record, l length.Length) {
			alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { edit(j, l) })
		}
	}
	filler := func(edit func(*schema.FillerSeen, length.Length)) func(*schema.Record, length.Length) {
		return func(r *schema.Record, l length.Length) {
			alter(seen(r).Fillers, "F1", func(f *schema.FillerSeen) { edit(f, l) })
		}
	}
	wall := func(edit func(*schema.ElevationSeen, length.Length)) func(*schema.Record, length.Length) {
		return func(r *schema.Record, l length.Length) {
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { edit(e, l) })
		}
	}
	for _, c := range []struct {
		name        string
		least, most length.Length // 0 where a lesser one is refused or nothing is too small
		set         func(*schema.Record, length.Length)
	}{
		{"top", *in("6 1/2 in"), *in("12 1/2 in"), cabinet(func(c *schema.CabinetSeen, l length.Length) { c.Tops.BR = &l })},
		{"mark", *in("6 1/2 in"), *in("12 1/2 in"), wall(func(e *schema.ElevationSeen, l length.Length) { e.Mark = &l })},
		{"floor", inches(38), inches(50), wall(func(e *schema.ElevationSeen, l length.Length) { e.Floor.Back[2][1] = l })},
		{"front offset", -inches(2), inches(2), joint(func(j *schema.JointSeen, l length.Length) { j.FrontOffset = &l })},
		{"top offset", -inches(2), inches(2), joint(func(j *schema.JointSeen, l length.Length) { j.TopOffset = &l })},
		{"gap", 0, inches(2), joint(func(j *schema.JointSeen, l length.Length) { j.Gap = &l })},
		{"plumb", -inches(2), inches(2), cabinet(func(c *schema.CabinetSeen, l length.Length) { c.Plumb.Left.Off = l })},
		{"over what it is plumb", inches(3), inches(37), cabinet(func(c *schema.CabinetSeen, l length.Length) { c.Plumb.Left.Over = l })},
		{"level", -inches(2), inches(2), cabinet(func(c *schema.CabinetSeen, l length.Length) {
			c.Level.Front = &schema.Deviation{Off: l, Over: *in("24 in")}
		})},
		{"over what it is level", inches(3), inches(27), cabinet(func(c *schema.CabinetSeen, l length.Length) {
			c.Level.Front = &schema.Deviation{Over: l}
		})},
		{"offset of fronts", -inches(2), inches(2), cabinet(func(c *schema.CabinetSeen, l length.Length) { c.FrontOffset = &l })},
		{"alignment", -inches(2), inches(2), cabinet(func(c *schema.CabinetSeen, l length.Length) { c.Alignment["drawer 2"] = l })},
		{"extension", 0, inches(3), cabinet(func(c *schema.CabinetSeen, l length.Length) { c.Extension.FL = &l })},
		{"packing", 0, inches(3), cabinet(func(c *schema.CabinetSeen, l length.Length) { c.Packing.FL = &l })},
		{"side offset", -inches(2), inches(2), filler(func(f *schema.FillerSeen, l length.Length) { f.SideOffset = &l })},
		{"cut", 0, inches(5), filler(func(f *schema.FillerSeen, l length.Length) { f.Cut = &l })},
		{"opening", *in("69 1/2 in"), *in("81 1/2 in"), wall(func(e *schema.ElevationSeen, l length.Length) { e.Opening.Middle = &l })},
		{"end of the floor", 0, inches(75 + 120), wall(func(e *schema.ElevationSeen, l length.Length) { e.Floor.Front[3][0] = l })},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, x := range []struct {
				value length.Length
				doubt bool
			}{{c.least, false}, {c.most, false}, {c.least - nm, true}, {c.most + nm, true}} {
				if c.least == 0 && x.value <= 0 {
					continue
				}
				rec := fixture()
				c.set(rec, x.value)
				if got := doubtsOf(t, rec); len(got) > 0 != x.doubt || len(got) > 1 {
					t.Errorf("%d nm: doubts %v, want any: %v", x.value, got, x.doubt)
				}
			}
		})
	}
}

// slipOfHand is a slip that makes another length of one.
type slipOfHand struct {
	name string
	make func(length.Length) length.Length
}

var slipsOfHand = []slipOfHand{
	{"inches for millimetres", func(l length.Length) length.Length { return l * 254 / 10 }},
	{"millimetres for inches", func(l length.Length) length.Length { return l * 10 / 254 }},
	{"feet for inches", func(l length.Length) length.Length { return l * 12 }},
	{"a point too far right", func(l length.Length) length.Length { return l * 10 }},
	{"a point too far left", func(l length.Length) length.Length { return l / 10 }},
	{"a digit dropped", dropDigit(1)},
	{"the last digit dropped", dropDigit(10)},
	{"a foot misread", func(l length.Length) length.Length { return l + length.Foot }},
	{"another line", func(l length.Length) length.Length { return l + 80*length.Inch }},
}

// dropDigit leaves out the first digit of the whole inches, or with 10 the last.
func dropDigit(which length.Length) func(length.Length) length.Length {
	return func(l length.Length) length.Length {
		whole, rest := l/length.Inch, l%length.Inch
		if which == 10 {
			return whole/10*length.Inch + rest
		}
		text := strconv.FormatInt(int64(whole), 10)
		n, _ := strconv.ParseInt("0"+text[1:], 10, 64)
		return length.Length(n)*length.Inch + rest
	}
}

// threshold is how far a reading may be from what it should be near, by its
// place in a visit, as the trade's page has it; ok is false where it has none.
func threshold(path []string) (off length.Length, own bool, ok bool) {
	last := path[len(path)-1]
	switch {
	case slices.Contains(path, "tops"), last == "mark":
		return 3 * length.Inch, false, true
	case slices.Contains(path, "floor") && last == "1":
		return 6 * length.Inch, false, true
	case strings.HasSuffix(last, "_offset"), last == "gap", last == "off", slices.Contains(path, "alignment"):
		return 2 * length.Inch, true, true
	}
	return 0, false, false
}

// TestEverySlipIsCaught plants one slip in random rooms, at any reading that
// has a threshold: it is doubted where it is beyond that and not otherwise, and
// nothing else is.
func TestEverySlipIsCaught(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	caught := map[string]int{}
	for range 150 {
		rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1 + rng.IntN(2), Cabinets: 1 + rng.IntN(4)})
		data, err := json.Marshal(rec)
		if err != nil {
			t.Fatal(err)
		}
		var tree map[string]any
		if err := json.Unmarshal(data, &tree); err != nil {
			t.Fatal(err)
		}
		visit := tree["measured"].(map[string]any)["visits"].([]any)[0]
		var all []writtenLength
		lengthsOf(visit, nil, func(string) {}, &all)
		x := all[rng.IntN(len(all))]
		within, own, ok := threshold(x.path)
		if !ok {
			continue
		}
		slip := slipsOfHand[rng.IntN(len(slipsOfHand))]
		value := slip.make(x.value)
		off := value - x.value // the rest of the line lies within half an inch of it
		slack := length.Inch / 2
		if own {
			off, slack = value, 0
		}
		if off = off.Abs(); (off - within).Abs() <= slack {
			continue
		}
		x.set(value.String())
		data, err = json.Marshal(tree)
		if err != nil {
			t.Fatal(err)
		}
		again, _, err := schema.Read("slip.json", data)
		if err != nil {
			continue // no gap below nothing
		}
		got, at := Doubts(again, 0), "/measured/visits/0/"+strings.Join(x.path, "/")
		switch {
		case off > within && (len(got) != 1 || got[0].Pointer != at):
			t.Fatalf("%s at %s, %s for %s: %v", slip.name, at, value, x.value, got)
		case off <= within && len(got) > 0:
			t.Fatalf("%s at %s, %s for %s is within %s: %v", slip.name, at, value, x.value, within, got)
		case off > within:
			caught[slip.name]++
		}
	}
	if len(caught) < len(slipsOfHand)/2 {
		t.Errorf("caught only %v", caught)
	}
}

// writtenLength is a length somewhere in the plain JSON of a visit.
type writtenLength struct {
	path  []string
	value length.Length
	set   func(string)
}

func lengthsOf(v any, path []string, set func(string), all *[]writtenLength) {
	switch v := v.(type) {
	case string:
		if l, err := length.Parse(v); err == nil {
			*all = append(*all, writtenLength{slices.Clone(path), l, set})
		}
	case []any:
		for i := range v {
			lengthsOf(v[i], append(path, strconv.Itoa(i)), func(s string) { v[i] = s }, all)
		}
	case map[string]any:
		for _, k := range sortedNames(v) {
			lengthsOf(v[k], append(path, k), func(s string) { v[k] = s }, all)
		}
	}
}

// TestNothingDoubtedInPlausibleRooms: random rooms, seen again from another
// reference line, in part, and with one cabinet.
func TestNothingDoubtedInPlausibleRooms(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 60 {
		rec := rooms.New(rng, rooms.Size{Cabinets: rng.IntN(4)})
		rec.Measured.Visits = append(rec.Measured.Visits, fromAnotherLine(rng, copied(t, rec).Measured.Visits[0]))
		if got := doubtsOf(t, rec); len(got) > 0 {
			t.Fatalf("%v", got)
		}
		if found := judge(t, rec); slices.ContainsFunc(found.Results, func(r Result) bool { return r.Rule == readingsPlausible && r.Outcome != Pass }) {
			t.Fatal(summary(found))
		}
	}
}

// TestEveryLengthIsDoubted: whatever length the record can hold of what was seen
// of an elevation, its units and joints, one that cannot be is doubted, so that
// a new one is not forgotten.
func TestEveryLengthIsDoubted(t *testing.T) {
	for _, of := range []struct {
		field, name string
		seen        reflect.Type
	}{
		{"elevations", "A", reflect.TypeFor[schema.ElevationSeen]()},
		{"joints", "C1+C2", reflect.TypeFor[schema.JointSeen]()},
		{"cabinets", "C2", reflect.TypeFor[schema.CabinetSeen]()},
		{"fillers", "F1", reflect.TypeFor[schema.FillerSeen]()},
	} {
		for _, way := range waysToLengths(of.seen) {
			if way[0] == "laser" {
				continue // accepted and ignored
			}
			way = append([]string{"measured", "visits", "0", "rooms", "R1", of.field, of.name}, way...)
			pointer := "/" + strings.Join(way, "/")
			if got := Doubts(withWritten(t, fixture(), way, "900 m"), 0); len(got) != 1 || got[0].Pointer != pointer || got[0].Words.Empty() {
				t.Errorf("%s: doubts %+v, want one there", pointer, got)
			}
		}
	}
}

// waysToLengths are the ways to all lengths in a type of the record: at the end
// of the four readings of a line, and in a map of fronts.
func waysToLengths(t reflect.Type) (ways [][]string) {
	below := func(step string, t reflect.Type) {
		for _, way := range waysToLengths(t) {
			ways = append(ways, append([]string{step}, way...))
		}
	}
	switch {
	case t == reflect.TypeFor[length.Length]():
		return [][]string{nil}
	case t.Kind() == reflect.Pointer:
		return waysToLengths(t.Elem())
	case t.Kind() == reflect.Struct:
		for _, f := range reflect.VisibleFields(t) {
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			below(name, f.Type)
		}
	case t.Kind() == reflect.Map:
		below("drawer 2", t.Elem())
	case t.Kind() == reflect.Slice:
		below("3", t.Elem())
	case t.Kind() == reflect.Array:
		for i := range t.Len() {
			below(strconv.Itoa(i), t.Elem())
		}
	}
	return ways
}

// withWritten is a record with a text written at a place, and beside it where
// nothing is yet what a level needs.
func withWritten(t *testing.T, rec *schema.Record, way []string, text string) *schema.Record {
	t.Helper()
	data, err := json.Marshal(rec)
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(data, &tree); err != nil {
		t.Fatal(err)
	}
	at := tree
	for _, step := range way[:len(way)-1] {
		switch of := at.(type) {
		case []any:
			n, _ := strconv.Atoi(step)
			at = of[n]
		case map[string]any:
			if of[step] == nil {
				of[step] = map[string]any{}
			}
			at = of[step]
		}
	}
	last := way[len(way)-1]
	switch of := at.(type) {
	case []any:
		n, _ := strconv.Atoi(last)
		of[n] = text
	case map[string]any:
		if of["off"] == nil && (last == "off" || last == "over") {
			of["off"], of["over"] = "0 in", "24 in"
		}
		of[last] = text
	}
	if data, err = json.Marshal(tree); err != nil {
		t.Fatal(err)
	}
	again, _, err := schema.Read("written.json", data)
	if err != nil {
		t.Fatal(err)
	}
	return again
}

// fromAnotherLine is a visit with its line up to a metre higher, and some of it not read.
func fromAnotherLine(rng *rand.Rand, v schema.Visit) schema.Visit {
	v.Date = "2026-10-01"
	up := length.Length(rng.IntN(1_000_000_000))
	higher := func(l **length.Length) {
		if *l = of(**l + up); rng.IntN(3) == 0 {
			*l = nil
		}
	}
	for _, room := range v.Rooms {
		for name := range room.Elevations {
			alter(room.Elevations, name, func(e *schema.ElevationSeen) {
				higher(&e.Mark)
				for _, line := range []*[]schema.FloorReading{&e.Floor.Front, &e.Floor.Back} {
					for i := range *line {
						(*line)[i][1] += up
					}
					*line = (*line)[:rng.IntN(len(*line)+1)]
				}
			})
		}
		for tag := range room.Cabinets {
			alter(room.Cabinets, tag, func(c *schema.CabinetSeen) {
				for _, l := range []**length.Length{&c.Tops.FL, &c.Tops.FR, &c.Tops.BL, &c.Tops.BR} {
					higher(l)
				}
			})
		}
	}
	return v
}

// TestSlipIsNamed: what the likely slip is called.
func TestSlipIsNamed(t *testing.T) {
	for _, c := range []struct {
		name string
		edit func(*schema.Record)
		want string // part of the expectation and the slip
	}{
		{"a top from another line", func(r *schema.Record) {
			alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Tops.FL = in("80 in") })
		}, "6 1/2 in to 12 1/2 in, since the median of the 13 tops and marks along elevation A on this visit is 9 1/2 in (likely a digit or the decimal point: 8 in)"},
		{"a mark where a top should read", func(r *schema.Record) {
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Mark = in("34 in") })
		}, "likely a foot read wrong on the tape: 10 in"},
		{"a top read at the floor", func(r *schema.Record) {
			alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Tops.FL = in("44 in") })
		}, "likely read at the floor"},
		{"a floor reading in millimetres", func(r *schema.Record) {
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Front[1][1] = *in("1118 in") })
		}, "likely millimetres written as inches: ≈ 44 1/64 in"},
		{"a gap without its denominator", func(r *schema.Record) {
			alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.Gap = in("3 in") })
		}, "0 in to 2 in (likely a fraction without its denominator: 3/16 in)"},
		{"a digit left out", func(r *schema.Record) {
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Opening.Top = in("7 1/2 in") })
		}, "69 1/2 in to 81 1/2 in, since what is drawn is 75 1/2 in (likely a digit left out: 75 1/2 in)"},
		{"a year", func(r *schema.Record) { r.Measured.Visits[0].Date = "2062-09-10" }, "(likely the year: 2026-09-10)"},
		{"tops and floor that cannot belong together", func(r *schema.Record) {
			for tag := range seen(r).Cabinets {
				alter(seen(r).Cabinets, tag, func(c *schema.CabinetSeen) {
					c.Tops = schema.CornerLengths{FL: in("241 in"), FR: in("241 in"), BL: in("241 in"), BR: in("241 in")}
				})
			}
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Mark = in("241 in") })
		}, "since what the tops should read by the median of the floor is 8 3/4 in (likely millimetres written as inches: ≈ 9 31/64 in)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			rec := fixture()
			c.edit(rec)
			got := doubtsOf(t, rec)
			if len(got) != 1 || !strings.Contains(got[0].sentence().String(), c.want) {
				t.Fatalf("%v, want one with %q", got, c.want)
			}
			if found := judge(t, rec); !slices.ContainsFunc(found.Results, func(r Result) bool {
				return r.Rule == readingsPlausible && r.Outcome == Notice && strings.Contains(r.Finding.String(), c.want)
			}) {
				t.Errorf("no notice of it:\n%s", summary(found))
			}
		})
	}
}

// TestFewReadings: what is doubted where there is no median to speak of.
func TestFewReadings(t *testing.T) {
	for _, c := range []struct {
		name string
		tops []string // of C2, from front-left on
		mark string
		also bool // the floor of the fixture was read too
		want int
	}{
		{"one", []string{"80 in"}, "", false, 0},
		{"one over a floor", []string{"80 in"}, "", true, 1},
		{"one of two is wrong, and nobody can say which", []string{"80 in"}, "9 1/2 in", false, 2},
		{"the floor says which", []string{"80 in"}, "9 1/2 in", true, 1},
		{"one of three", []string{"9 1/2 in", "80 in"}, "9 1/2 in", false, 1},
		{"two that agree", []string{"9 1/2 in"}, "9 in", false, 0},
		{"one, above the line that it is read down from", []string{"-9 1/2 in"}, "", false, 1},
		{"one, at that line", []string{"0 in"}, "", false, 0},
		{"one, a nanometre above it", []string{"-0.000001 mm"}, "", false, 1},
		{"one, lower than any wall", []string{"145 in"}, "", false, 1},
		{"two, both above the line", []string{"-9 1/2 in"}, "-9 1/4 in", false, 2},
		{"of two, one above the line", []string{"-9 1/2 in"}, "9 1/4 in", false, 1},
		{"over a floor, above the line", []string{"-9 1/2 in"}, "", true, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			rec := fixture()
			tops := schema.CornerLengths{}
			for i, text := range c.tops {
				*[]**length.Length{&tops.FL, &tops.FR, &tops.BL, &tops.BR}[i] = in(text)
			}
			e := schema.ElevationSeen{}
			if c.mark != "" {
				e.Mark = in(c.mark)
			}
			if c.also {
				e.Floor = seen(rec).Elevations["A"].Floor
			}
			rec.Measured.Visits[0].Rooms["R1"] = schema.RoomSeen{
				Elevations: map[string]schema.ElevationSeen{"A": e},
				Cabinets:   map[string]schema.CabinetSeen{"C2": {Tops: tops}},
			}
			if got := doubtsOf(t, rec); len(got) != c.want {
				t.Errorf("%v, want %d", got, c.want)
			}
		})
	}
}

// TestFloorReadUpwards: a floor of which every reading has the wrong sign is high
// where it is low; no median tells, and its line cannot lie under it.
func TestFloorReadUpwards(t *testing.T) {
	for _, readings := range []int{1, 2, 3, 100} {
		rec := fixture()
		e := seen(rec).Elevations["A"]
		e.Mark = nil
		line := e.Floor.Front[:min(readings, len(e.Floor.Front))]
		e.Floor = schema.FloorSeen{Front: line}
		for i := range line {
			line[i][1] = -line[i][1]
		}
		rec.Measured.Visits[0].Rooms["R1"] = schema.RoomSeen{Elevations: map[string]schema.ElevationSeen{"A": e}}
		got := doubtsOf(t, rec)
		if len(got) != len(line) || !strings.Contains(got[0].sentence().String(), "since it is read down from the reference line (likely a sign: ") {
			t.Errorf("of %d readings %v", len(line), got)
		}
	}
}

// TestReadAgain: what was read again is told no more.
func TestReadAgain(t *testing.T) {
	rec := fixture()
	alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.Gap = in("12 in") })
	rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
		Date: "2026-09-20", People: []schema.Party{{Name: "I"}},
		Rooms: map[string]schema.RoomSeen{"R1": {Joints: map[string]schema.JointSeen{"C1+C2": {Gap: in("1/64 in")}}}},
	})
	if r := result(t, judge(t, rec), "readings plausible", "elevation A"); r.Outcome != Pass {
		t.Errorf("%s: %s", r.Outcome, r.Finding.String())
	}
	// And a line may be named, so that another elevation's readings stand in.
	if got := fmt.Sprint(doubtsOf(t, rec)); !strings.Contains(got, "12 in") {
		t.Errorf("the visit itself is not doubted: %s", got)
	}
}

// copied is a record that shares nothing with rec.
func copied(t *testing.T, rec *schema.Record) *schema.Record {
	t.Helper()
	again, _ := source(t, rec)
	return again
}
