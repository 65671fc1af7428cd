package compare

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// source writes rec as JSON and reads it back.
func source(t *testing.T, rec *schema.Record) (*schema.Record, *schema.Source) {
	t.Helper()
	again, src, err := rooms.Read(rec)
	if err != nil {
		t.Fatalf("the record of this test is not one: %v", err)
	}
	return again, src
}

// of is a length that can be pointed to.
func of(l length.Length) *length.Length { return &l }

// seen is what the small record's first visit saw.
func seen(rec *schema.Record) schema.RoomSeen { return rec.Measured.Visits[0].Rooms["R1"] }

// place is where a random record is changed.
type place struct{ *rooms.Place }

// withEdits is a random record in which something was changed.
func withEdits(rng *rand.Rand) *schema.Record {
	rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1 + rng.IntN(2)})
	used := map[string]bool{}
	for range rng.IntN(5) {
		edits[rng.IntN(len(edits))](place{rooms.NewPlace(rng, rec)}, used)
	}
	return rec
}

// known is all of a record, as read from a file.
func known(t *testing.T, rec *schema.Record) checks.Known {
	t.Helper()
	return checks.AllKnown(source(t, rec))
}

func compare(t *testing.T, then, now checks.Known) *Comparison {
	t.Helper()
	c, err := Compare(then, now)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// clone is a copy that shares nothing.
func clone(t *testing.T, rec *schema.Record) *schema.Record {
	t.Helper()
	again, _ := source(t, rec)
	return again
}

// said is all that a comparison says of the records themselves, sorted.
func (c *Comparison) said() []string {
	var all []string
	for _, list := range [][]Change{c.Planned, c.Arrived, c.Visits, c.Agreed} {
		for _, h := range list {
			all = append(all, fmt.Sprintf("%s/%s/%s %s: %s -> %s", h.Room, h.Elevation, h.Item, h.What, h.Then, h.Now))
		}
	}
	for _, o := range c.Observed {
		all = append(all, fmt.Sprintf("%s/%s/%s %s: %s -> %s (%s)", o.Room, o.Elevation, o.Item, o.What, o.Then, o.Now, o.Kind))
	}
	slices.Sort(all)
	return all
}

// edits change one thing of a record, told twice: in the record, and in words.
// An edit returns "" where there is nothing for it to change, or where what it
// picks was changed already.
var edits = []func(p place, used map[string]bool) string{
	func(p place, used map[string]bool) string { // another part of a unit
		u := &p.Elevation.Units[p.Rand.IntN(len(p.Elevation.Units))]
		was := u.Part
		// With as many drawers and doors at least, so that what was seen stays possible.
		part := map[string]string{"E2": "F3", "F3": "E2", "D24": "D18", "T36": "T30"}[was]
		if part == "" || strings.Contains(u.Tag, "new") || !p.once(used, "part "+u.Tag) {
			return ""
		}
		u.Part = part
		return p.says(u.Tag, "part", was, part, "")
	},
	func(p place, used map[string]bool) string { // one unit more
		tag := p.Elevation.Name + "new" + strconv.Itoa(len(p.Elevation.Units))
		p.Elevation.Units = append(p.Elevation.Units, schema.Unit{Tag: tag, Part: "D24"})
		return p.says(tag, "unit", "", "part D24", "")
	},
	func(p place, used map[string]bool) string { // the drawing asks for another height
		was := *p.Elevation.WorkHeight
		if !p.once(used, "work height") {
			return ""
		}
		p.Elevation.WorkHeight = of(was + length.Inch/2)
		return p.says("", "work height", was.In(p.sys()), (was + length.Inch/2).In(p.sys()), "")
	},
	func(p place, used map[string]bool) string { // another drawing of all cabinets
		was := p.Record.Planned.Usual.Leveler.Greatest
		if !p.once(used, "leveler") {
			return ""
		}
		p.Record.Planned.Usual.Leveler.Greatest += length.Inch / 4
		return "// every cabinet leveler greatest: " + was.In(p.sys()) + " -> " + (was + length.Inch/4).In(p.sys())
	},
	func(p place, used map[string]bool) string { // the contract changes a limit
		if !p.once(used, "limit") {
			return ""
		}
		p.Record.Planned.Limits = map[string]schema.LimitChange{"fronts flush": {Limit: "1/8 in", Source: "addendum 2"}}
		return "// limit of fronts flush:  -> limit 1/8 in, source addendum 2"
	},
	func(p place, used map[string]bool) string { // a corner read otherwise
		tag := p.Cabinet()
		if strings.Contains(tag, "new") || !p.once(used, "top "+tag) {
			return ""
		}
		was := *p.Seen.Cabinets[tag].Tops.BL
		p.AlterCabinet(tag, func(c *schema.CabinetSeen) { c.Tops.BL = of(was + 1) }) // by one nanometre
		then, now := was.In(p.sys()), (was + 1).In(p.sys())
		if then == now {
			then, now = was.String(), (was + 1).String()
		}
		return p.says(tag, "top back-left", then, now, Corrected)
	},
	func(p place, used map[string]bool) string { // a leveler does not bear
		tag := p.Cabinet()
		if strings.Contains(tag, "new") || !p.once(used, "bearing "+tag) {
			return ""
		}
		p.AlterCabinet(tag, func(c *schema.CabinetSeen) { c.Bearing.FR = new(bool) })
		return p.says(tag, "bearing front-right", "yes", "no", Corrected)
	},
	func(p place, used map[string]bool) string { // a label not read
		tag := p.Filler()
		f := p.Seen.Fillers[tag]
		if !p.once(used, "label "+tag) {
			return ""
		}
		l := f.Label
		f.Label = nil
		p.Seen.Fillers[tag] = f
		return p.says(tag, "label", fmt.Sprintf("order %s, part %s, line %s, room %s", l.Order, l.Part, l.Line, l.Room), "", Corrected)
	},
	func(p place, used map[string]bool) string { // a joint measured otherwise
		j := p.Joint()
		if strings.Contains(j, "new") || j == "" || !p.once(used, "joint "+j) {
			return ""
		}
		s := p.Seen.Joints[j]
		was := s.Fastened.UpperRear.Count
		rear := *s.Fastened.UpperRear
		rear.Count = was + 3
		s.Fastened.UpperRear = &rear
		p.Seen.Joints[j] = s
		return p.says(j, "fastened upper rear count", strconv.Itoa(was), strconv.Itoa(was+3), Corrected)
	},
	func(p place, used map[string]bool) string { // a floor reading
		e := p.Seen.Elevations[p.Elevation.Name]
		r := &e.Floor.Front[1]
		was := r.Down()
		if !p.once(used, "floor") {
			return ""
		}
		r[1] += length.Inch
		return p.says("", "floor front at "+r.At().In(p.sys()), was.In(p.sys()), r.Down().In(p.sys()), Corrected)
	},
	func(p place, used map[string]bool) string { // fewer came
		lines := p.Record.Arrived.Receipts[0].Lines
		n := slices.Sorted(maps.Keys(lines))[p.Rand.IntN(len(lines))]
		if !p.once(used, "line "+n) {
			return ""
		}
		was := lines[n].Good
		lines[n] = schema.Received{Good: was - 1}
		return fmt.Sprintf("// count of P1 on 2026-09-01 by R. Maker line %s good: %d -> %d", n, was, was-1)
	},
	func(p place, used map[string]bool) string { // something left to do
		what := fmt.Sprintf("thing %d", len(p.Record.Agreed.OpenItems))
		p.Record.Agreed.OpenItems = append(p.Record.Agreed.OpenItems, schema.OpenItem{Room: p.Room, What: what})
		return fmt.Sprintf("// open item in %s, %s:  -> recorded", p.Room, what)
	},
	func(p place, used map[string]bool) string { // another instrument check
		if !p.once(used, "level") {
			return ""
		}
		p.Record.Measured.Visits[0].Instruments["level"] = schema.InstrumentUse{Checked: "2026-09-03"}
		return "// visit of 2026-09-10, instrument level checked: 2026-09-02 -> 2026-09-03"
	},
}

// once reports whether a thing of this elevation, or of the job, is changed
// for the first time.
func (p place) once(used map[string]bool, what string) bool {
	key := p.Room + "/" + p.Elevation.Name + "/" + what
	if slices.Contains([]string{"leveler", "limit", "level"}, what) || len(what) > 5 && what[:5] == "line " {
		key = what
	}
	was := used[key]
	used[key] = true
	return !was
}

func (p place) sys() length.System { return p.Record.Planned.LengthsIn }

func (p place) says(item, what, then, now, kind string) string {
	s := fmt.Sprintf("%s/%s/%s %s: %s -> %s", p.Room, p.Elevation.Name, item, what, then, now)
	if kind != "" {
		s += " (" + kind + ")"
	}
	return s
}

// TestCompareNamesWhatChanged: of a random record and a copy in which so many
// things were changed, exactly these are told, and the other way round their
// opposites.
func TestCompareNamesWhatChanged(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	told := 0
	for range 15 {
		then := clone(t, rooms.New(rng, rooms.Size{}))
		now := clone(t, then)
		var want []string
		used := map[string]bool{}
		for range rng.IntN(9) {
			if s := edits[rng.IntN(len(edits))](place{rooms.NewPlace(rng, now)}, used); s != "" {
				want = append(want, s)
			}
		}
		told += len(want)
		slices.Sort(want)
		a, b := known(t, then), known(t, now)
		c := compare(t, a, b)
		if got := c.said(); !slices.Equal(got, want) {
			t.Fatalf("told\n%q\nchanged were\n%q", got, want)
		}
		if c.Same() != (len(want) == 0) {
			t.Errorf("same: %v, with %d things changed", c.Same(), len(want))
		}
		back := compare(t, b, a)
		if len(back.said()) != len(want) {
			t.Errorf("the other way round told\n%q\nchanged were\n%q", back.said(), want)
		}
		againstRun(t, a, b, c)
		if !slices.EqualFunc(c.Opened, back.Closed, sameFault) || !slices.EqualFunc(c.Closed, back.Opened, sameFault) {
			t.Errorf("opened %v, closed %v; the other way round closed %v, opened %v", c.Opened, c.Closed, back.Closed, back.Opened)
		}
	}
	if told < 15 {
		t.Errorf("only %d changes were made", told)
	}
}

// sameFault leaves out when a fault was put right, which only the one way
// round has.
func sameFault(a, b FaultNote) bool {
	a.PutRightOn, b.PutRightOn = "", ""
	return a == b
}

// againstRun holds faults and outcomes against what [checks.Run] says of each record
// on its own: in records of one visit without concessions, a fault is a result
// that fails.
func againstRun(t *testing.T, a, b checks.Known, c *Comparison) {
	t.Helper()
	then, now := runs(t, a), runs(t, b)
	var opened, closed, changed []string
	for k, o := range now {
		if o == checks.Fail && then[k] != checks.Fail {
			opened = append(opened, k)
		}
		if was, ok := then[k]; ok && was != o || !ok && !o.Holds() {
			changed = append(changed, k)
		}
	}
	for k, o := range then {
		if o == checks.Fail && now[k] != checks.Fail {
			closed = append(closed, k)
		}
		if _, ok := now[k]; !ok && !o.Holds() {
			changed = append(changed, k)
		}
	}
	notes := func(all []FaultNote) []string {
		var s []string
		for _, f := range all {
			s = append(s, f.Rule+" "+f.Room+"/"+f.Item)
		}
		return s
	}
	var judged []string
	for _, j := range c.Judged {
		judged = append(judged, j.Rule+" "+j.Room+"/"+j.Item)
	}
	for _, m := range []struct {
		what      string
		got, want []string
	}{{"opened", notes(c.Opened), opened}, {"closed", notes(c.Closed), closed}, {"changed outcome", judged, changed}} {
		slices.Sort(m.got)
		slices.Sort(m.want)
		if !slices.Equal(m.got, m.want) {
			t.Errorf("%s: %q, want %q", m.what, m.got, m.want)
		}
	}
}

func runs(t *testing.T, k checks.Known) map[string]checks.Outcome {
	t.Helper()
	found, err := checks.Run(k.Record, k.Source)
	if err != nil {
		t.Fatal(err)
	}
	m := map[string]checks.Outcome{}
	for _, r := range found.Results {
		m[r.Rule.Name+" "+r.Subject.String()] = r.Outcome
	}
	return m
}

// TestCompareWithItself: nothing has changed, of whatever record.
func TestCompareWithItself(t *testing.T) {
	rng := chance.Source(t)
	for range 10 {
		k := known(t, withEdits(rng))
		c := compare(t, k, k)
		if !c.Same() || !c.SameJob() || len(c.Moved)+len(c.Judged)+len(c.Opened)+len(c.Closed)+len(c.Passing) > 0 {
			t.Fatalf("%+v", c)
		}
	}
}

// TestCompareMissesNothing: whatever one value of a record is taken away from
// it, as JSON and knowing nothing of its meaning, the comparison tells of it.
func TestCompareMissesNothing(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	tried := 0
	for range 100 {
		rec := clone(t, rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 3}))
		rest(rec)
		data, err := json.Marshal(rec)
		if err != nil {
			t.Fatal(err)
		}
		var tree map[string]any
		if err := json.Unmarshal(data, &tree); err != nil {
			t.Fatal(err)
		}
		at := takeAway(rng, tree, "")
		less, err := json.Marshal(tree)
		if err != nil {
			t.Fatal(err)
		}
		short, src, err := schema.Read("short.json", less)
		if err != nil {
			continue // what is left is no record
		}
		if c, err := Compare(known(t, rec), checks.AllKnown(short, src)); err == nil {
			tried++
			if c.Same() {
				t.Errorf("without %s nothing has changed", at)
			}
		}
	}
	if tried < 25 {
		t.Errorf("only %d records were left", tried)
	}
}

// rest adds to a random record what such records lack.
func rest(rec *schema.Record) {
	rec.Agreed = schema.Agreed{
		OpenItems:     []schema.OpenItem{{Room: "R101", What: "clean", Owner: "GC", Due: "2026-10-01"}},
		Reinspections: []schema.Reinspection{{Room: "R101", Date: "2026-11-01", Reason: "settling"}},
		SignOff:       schema.SignOff{Inspector: &schema.Signer{Name: "I", Firm: "F"}},
	}
	rec.Planned.Limits = map[string]schema.LimitChange{"joint gap": {Limit: "1/16 in", Source: "contract"}}
	room := rec.Measured.Visits[0].Rooms["R101"]
	room.Remarks = []string{"one", "two"}
	room.Photos = []schema.Photo{{File: "a.jpg", SHA256: fmt.Sprintf("%064d", 1), Of: "A1", Caption: "c", By: "b"}}
	rec.Measured.Visits[0].Rooms["R101"] = room
}

// takeAway removes a random value that holds no other.
func takeAway(rng *rand.Rand, object map[string]any, path string) string {
	names := slices.Sorted(maps.Keys(object))
	name := names[rng.IntN(len(names))]
	switch v := object[name].(type) {
	case map[string]any:
		if len(v) > 0 {
			return takeAway(rng, v, path+"/"+name)
		}
	case []any:
		i := rng.IntN(max(1, len(v)))
		if i < len(v) {
			if inner, ok := v[i].(map[string]any); ok {
				return takeAway(rng, inner, fmt.Sprintf("%s/%s/%d", path, name, i))
			}
		}
	}
	delete(object, name)
	return path + "/" + name
}

// again adds a visit to the fixture that reads the tops of all cabinets, so
// much lower.
func again(rec *schema.Record, date schema.Date, lower map[string]length.Length) {
	room := schema.RoomSeen{
		Elevations: map[string]schema.ElevationSeen{"A": {Mark: rooms.Length("12 in")}}, // another reference line
		Cabinets:   map[string]schema.CabinetSeen{},
	}
	for _, tag := range []string{"C1", "C2", "C3"} {
		down := of(*rooms.Length("12 in") + lower[tag])
		room.Cabinets[tag] = schema.CabinetSeen{Tops: schema.CornerLengths{FL: down, BL: down, FR: down, BR: down}}
	}
	rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
		Date: date, Purpose: "re-inspection", People: []schema.Party{{Name: "I"}}, Instruments: map[string]schema.InstrumentUse{"laser": {Checked: date}},
		Rooms: map[string]schema.RoomSeen{"R1": room},
	})
}

// TestCompareMovement: how far corners moved, with the uncertainty of the four
// readings of 1/64 in and of the lines of both visits, 1/16 in over 50 ft, worked
// by hand: u² = 4 x (1/64)² / 12 + 2 x ((1/16 s / 600) / sqrt 3)² in², where s is the
// distance to the farther end of 75 in, since nobody wrote down where the mark is.
func TestCompareMovement(t *testing.T) {
	rec := rooms.Small()
	again(rec, "2026-10-20", map[string]length.Length{"C2": length.Inch / 8, "C3": length.Inch / 64})
	r, src := source(t, rec)
	c := compare(t, checks.KnownAfter(r, src, 1), checks.KnownAfter(r, src, 2))
	if len(c.Moved) != 1 || len(c.Moved[0].Corners) != 12 {
		t.Fatalf("moved: %+v", c.Moved)
	}
	for _, m := range c.Moved[0].Corners {
		at := map[string]float64{"C1": 3, "C2": 27, "C3": 51}[m.Unit]
		if strings.HasSuffix(m.Corner, "right") {
			at += 24
		}
		u := 2 * math.Sqrt(4./(64*64*12)+2./3*math.Pow(max(at, 75-at)/16/600, 2))
		up := map[string]length.Length{"C1": 0, "C2": -length.Inch / 8, "C3": -length.Inch / 64}[m.Unit]
		if m.Up != up || m.Within != (m.Unit != "C2") || math.Abs(m.U.Inches()-u) > 1e-6 || !m.Known || !m.Tied {
			t.Errorf("%+v, want %s within %v, uncertainty %.6f in", m, up, m.Unit != "C2", u)
		}
		if m.ThenVisit != string(r.Measured.Visits[0].Date) || m.NowVisit != "2026-10-20" {
			t.Errorf("between %s and %s", m.ThenVisit, m.NowVisit)
		}
	}
	if want := "C2 changed, and what was read beside it did not: that is the cabinet, not the floor"; c.Moved[0].Cause != want {
		t.Errorf("cause %q, want %q", c.Moved[0].Cause, want)
	}
	back := compare(t, checks.KnownAfter(r, src, 2), checks.KnownAfter(r, src, 1))
	for i, m := range back.Moved[0].Corners {
		if m.Up != -c.Moved[0].Corners[i].Up {
			t.Errorf("the other way round %s %s came up by %s", m.Unit, m.Corner, m.Up)
		}
	}
	other := clone(t, rec)
	other.Planned.Cabinets["BD24X"] = other.Planned.Cabinets["BD24"]
	other.Planned.Rooms[0].Elevations[0].Units[2].Part = "BD24X"
	if c := compare(t, checks.KnownAfter(r, src, 1), known(t, other)); len(c.Moved) != 1 || len(c.Moved[0].Corners) != 8 {
		t.Errorf("a cabinet in place of another has moved: %+v", c.Moved)
	}
}

// TestComparePermissionOfAnotherTime: a concession of less than what the second
// visit found keeps nobody from asking what was known then.
func TestComparePermissionOfAnotherTime(t *testing.T) {
	rec := rooms.Small()
	for i, off := range []length.Length{length.Inch / 8, length.Inch * 3 / 16, 0} {
		seen := map[string]schema.CabinetSeen{"C2": {Alignment: map[string]length.Length{"drawer 1": off}}}
		rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
			Date: schema.Date(fmt.Sprintf("2026-10-%d", 10+2*i)), People: []schema.Party{{Name: "I"}}, Rooms: map[string]schema.RoomSeen{"R1": {Cabinets: seen}},
		})
	}
	rec.Agreed.Concessions = []schema.Concession{{Rule: "fronts aligned", Subject: "R1/C2", Reason: "behind a door", By: schema.Party{Name: "GC"}, Date: "2026-10-11"}}
	r, src := source(t, rec)
	for n, want := range map[int]checks.Outcome{1: checks.Pass, 2: checks.Conceded, 3: checks.Fail, 4: checks.Pass} {
		c := compare(t, checks.KnownAfter(r, src, n), checks.AllKnown(r, src))
		if ready := c.Rooms[0].Then.Ready; ready != want.Holds() {
			t.Errorf("after %d visits ready: %v, want %s", n, ready, want)
		}
	}
}

// TestCompareFaultsKeepTheirNumbers over three visits of one record, and
// between files of which one goes on from the other.
func TestCompareFaultsKeepTheirNumbers(t *testing.T) {
	rec := rooms.Small()
	rooms.Alter(seen(rec).Cabinets, "C1", func(c *schema.CabinetSeen) { *c.Bearing.BL = false })
	rooms.Alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Alignment["drawer 1"] = length.Inch / 8 })
	for i, bears := range []bool{true, false, true} {
		rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
			Date: schema.Date(fmt.Sprintf("2026-10-%02d", 10+i)), People: []schema.Party{{Name: "I"}},
			Rooms: map[string]schema.RoomSeen{"R1": {Cabinets: map[string]schema.CabinetSeen{"C1": {Bearing: schema.CornerAnswers{BL: &bears}}}}},
		})
	}
	rec.Arrived.Receipts[0].Lines["1"] = schema.Received{Good: 2}
	rec.Arrived.Receipts = append(rec.Arrived.Receipts, schema.Receipt{PackingList: "P1", Date: "2026-10-11", By: "B. Counter", Lines: map[string]schema.Received{"1": {Good: 1}}})
	rec.Agreed.Concessions = []schema.Concession{{Rule: "fronts aligned", Subject: "R1/C2", Reason: "behind a door", By: schema.Party{Name: "GC"}, Date: "2026-10-11"}}
	r, src := source(t, rec)
	short := func(n int) checks.Known { // a file as it was after n visits
		k := checks.KnownAfter(r, src, n)
		file := *k.Record
		file.Measured.Visits = file.Measured.Visits[:n]
		return known(t, &file)
	}
	for _, tc := range []struct {
		from, to                int
		opened, closed, passing []int
		agreed, arrived         int
	}{
		{1, 1, nil, nil, nil, 0, 0},
		{1, 2, nil, []int{1}, nil, 0, 0},
		{2, 3, []int{3}, []int{0, 2}, nil, 1, 1}, // 0: the part short, since counted; 2: conceded
		{1, 3, []int{3}, []int{0, 1, 2}, nil, 1, 1},
		{2, 4, nil, []int{0, 2}, []int{3}, 1, 1},
		{4, 1, []int{0, 1, 2}, nil, nil, 1, 1},
	} {
		t.Run(fmt.Sprintf("%d to %d", tc.from, tc.to), func(t *testing.T) {
			numbers := func(all []FaultNote) (n []int) {
				for _, f := range all {
					n = append(n, f.Number)
				}
				return n
			}
			c := compare(t, checks.KnownAfter(r, src, tc.from), checks.KnownAfter(r, src, tc.to))
			for _, m := range []struct {
				what      string
				got, want []int
			}{{"opened", numbers(c.Opened), tc.opened}, {"closed", numbers(c.Closed), tc.closed}, {"passing", numbers(c.Passing), tc.passing}} {
				if slices.Sort(m.got); !slices.Equal(m.got, m.want) {
					t.Errorf("%s %v, want %v", m.what, m.got, m.want)
				}
			}
			if len(c.Agreed) != tc.agreed || len(c.Arrived) != tc.arrived {
				t.Errorf("agreed %v, arrived %v", c.Agreed, c.Arrived)
			}
			files := compare(t, short(tc.from), short(tc.to))
			if !slices.Equal(files.said(), c.said()) || len(files.Opened) != len(c.Opened) || len(files.Closed) != len(c.Closed) {
				t.Errorf("as two files\n%q\nas one\n%q", files.said(), c.said())
			}
		})
	}
	if c := compare(t, checks.KnownBefore(r, src, "2026-10-12"), checks.AllKnown(r, src)); len(c.Visits) != 1 || len(c.Observed) != 1 || c.Observed[0].Kind != ObservedAgain {
		t.Errorf("since the last visit: visits %v, observed %v", c.Visits, c.Observed)
	}
}

// TestCompareOrder: what moves in the plan is told, and what a later visit
// confirms.
func TestCompareOrder(t *testing.T) {
	then := rooms.Small()
	now := clone(t, then)
	units := now.Planned.Rooms[0].Elevations[0].Units
	units[1], units[2] = units[2], units[1]
	for _, visits := range []*schema.Record{then, now} {
		for _, joint := range slices.Collect(maps.Keys(seen(visits).Joints)) {
			delete(seen(visits).Joints, joint)
		}
	}
	again(now, "2026-10-20", nil)
	now.Planned.Project.Number = "7"
	c := compare(t, known(t, then), known(t, now))
	if c.SameJob() {
		t.Error("two numbers are one job")
	}
	want := []Change{
		{Field: "/project/number", What: "project number", Now: "7"},
		{Room: "R1", Elevation: "A", Field: "/order", What: "order of units", Then: "F1, C1, C2, C3", Now: "F1, C2, C1, C3"},
	}
	if !slices.Equal(c.Planned, want) {
		t.Errorf("planned %+v, want %+v", c.Planned, want)
	}
	if want := []Change{{Field: "/visits/2026-10-20", What: "visit of 2026-10-20", Now: "re-inspection by I"}}; !slices.Equal(c.Visits, want) {
		t.Errorf("visits %+v, want %+v", c.Visits, want)
	}
	if len(c.Observed) != 13 || c.Observed[0].What != "mark" || c.Observed[1].Item != "C2" || c.Observed[1].Kind != ObservedAgain {
		t.Errorf("observed %+v", c.Observed)
	}
}

// TestCompareUnitElsewhere: a unit that is planned in another elevation is told
// as that, not as gone and come.
func TestCompareUnitElsewhere(t *testing.T) {
	then := rooms.Small()
	delete(seen(then).Joints, "C2+C3")
	now := clone(t, then)
	room := &now.Planned.Rooms[0]
	c3 := room.Elevations[0].Units[3]
	room.Elevations[0].Units = room.Elevations[0].Units[:3]
	room.Elevations = append(room.Elevations, schema.Elevation{Name: "B", Units: []schema.Unit{c3}})
	room.Use = "store"
	c := compare(t, known(t, then), known(t, now))
	want := []Change{
		{Room: "R1", Field: "/use", What: "use", Now: "store"},
		{Room: "R1", Elevation: "B", What: "elevation", Now: "planned"},
		{Room: "R1", Elevation: "B", Item: "C3", Field: "/elevation", What: "elevation", Then: "A", Now: "B"},
	}
	if !slices.Equal(c.Planned, want) {
		t.Errorf("planned %+v\nwant %+v", c.Planned, want)
	}
	if len(c.Observed) > 0 {
		t.Errorf("observed %+v", c.Observed)
	}
}

// TestCompareManyVisitsOfADay: the tenth visit of a day comes after the second.
func TestCompareManyVisitsOfADay(t *testing.T) {
	rec := rooms.Small()
	for i := range 11 {
		bears := i%2 == 0
		rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
			Date: "2026-10-20", People: []schema.Party{{Name: "I"}},
			Rooms: map[string]schema.RoomSeen{"R1": {Cabinets: map[string]schema.CabinetSeen{"C1": {Bearing: schema.CornerAnswers{FL: &bears}}}}},
		})
	}
	r, src := source(t, rec)
	c := compare(t, checks.KnownAfter(r, src, 1), checks.KnownAfter(r, src, 11))
	if len(c.Observed) != 1 || c.Observed[0].NowVisit != "2026-10-20 (10)" || c.Observed[0].Now != "no" {
		t.Errorf("observed %+v", c.Observed)
	}
	if len(c.Opened) != 1 || len(c.Passing) != 4 {
		t.Errorf("opened %v, passing %v", c.Opened, c.Passing)
	}
}

// TestWordsDecideNothing: where the fields of a record all have one and the same
// name for people, what changed is told apart as before.
func TestWordsDecideNothing(t *testing.T) {
	rng := chance.Source(t)
	then := clone(t, rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 2}))
	now := clone(t, then)
	used := map[string]bool{}
	for _, edit := range edits {
		edit(place{rooms.NewPlace(rng, now)}, used)
	}
	a, b := known(t, then), known(t, now)
	told := func() (all []string) {
		c := compare(t, a, b)
		for _, list := range [][]Change{c.Planned, c.Arrived, c.Visits, c.Agreed} {
			for _, h := range list {
				all = append(all, fmt.Sprint(h.Room, "/", h.Elevation, "/", h.Item, h.Field))
			}
		}
		for _, o := range c.Observed {
			all = append(all, fmt.Sprint(o.Room, "/", o.Elevation, "/", o.Item, o.Field, o.Kind, o.Same))
		}
		return all
	}
	want := told()
	before := maps.Clone(trade)
	defer func() { trade = before }()
	for _, said := range want {
		for _, step := range strings.Split(said, "/") {
			trade[step] = "thing"
		}
	}
	for field := range trade {
		trade[field] = "thing"
	}
	if got := told(); !slices.Equal(got, want) || len(want) < 5 {
		t.Errorf("with one word for all\n%q\nwith words of their own\n%q", got, want)
	}
}

// BenchmarkCompare compares two states of a large job.
func BenchmarkCompare(b *testing.B) {
	rec := rooms.New(rand.New(rand.NewPCG(1, 1)), rooms.Size{Rooms: 10, Elevations: 4, Cabinets: 25})
	data, err := json.Marshal(rec)
	if err != nil {
		b.Fatal(err)
	}
	r, src, err := schema.Read("large.json", data)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Compare(checks.KnownAfter(r, src, 0), checks.AllKnown(r, src)); err != nil {
			b.Fatal(err)
		}
	}
}
