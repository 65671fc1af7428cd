package checks

import (
	"fmt"
	"maps"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// A second opinion on level and plumb, set height and twist: from the record
// alone, every pair of corners, with formulas of its own in numbers of 300
// bits. It knows nothing of facts, trials, groups or bounds.

type second struct {
	rec    *schema.Record
	visits []int // in time order
}

// judged is one reading: how far off, what is allowed and how well it is known.
type judged struct {
	off, limit, u *big.Float // u nil where it is not known
}

func num(l length.Length) *big.Float { return big.NewFloat(float64(l)).SetPrec(300).SetInt64(int64(l)) }
func flt(x float64) *big.Float       { return new(big.Float).SetPrec(300).SetFloat64(x) }
func mul(x, y *big.Float) *big.Float { return flt(0).Mul(x, y) }
func add(x, y *big.Float) *big.Float { return flt(0).Add(x, y) }
func minus(x, y *big.Float) *big.Float {
	return flt(0).Sub(x, y)
}
func over(x, y *big.Float) *big.Float { return flt(0).Quo(x, y) }
func sqrt(x *big.Float) *big.Float    { return flt(0).Sqrt(x) }
func larger(x, y *big.Float) *big.Float {
	if x.Cmp(y) > 0 {
		return x
	}
	return y
}

// decide says what the worst of the readings is, and whether any of them is so
// near an edge that a nanometre of rounding may decide.
func (s second) decide(all []judged, complete bool) (worst Outcome, near bool) {
	fail, undecided := false, false
	for _, j := range all {
		margin := minus(j.limit, j.off)
		if s.rec.Planned.DecisionRule != Guarded {
			fail = fail || margin.Sign() < 0
			continue
		}
		if j.u == nil {
			undecided = true
			continue
		}
		guard := mul(flt(2), j.u)
		inside, outside := minus(margin, guard), add(margin, guard)
		for _, edge := range []*big.Float{inside, outside} {
			near = near || flt(0).Abs(edge).Cmp(flt(1.5)) < 0
		}
		fail = fail || outside.Sign() < 0
		undecided = undecided || inside.Sign() < 0 && outside.Sign() >= 0
	}
	switch {
	case fail:
		return Fail, near
	case undecided:
		return Undecided, near
	case !complete:
		return NotObserved, near
	}
	return Pass, near
}

// with names the one instrument of a visit that reads a kind, nil where there is not one.
func (s second) with(visit int, kind string) *schema.Instrument {
	usual := map[string]string{"heights": "laser", "level and plumb": "level"}
	var one *schema.Instrument
	n := 0
	for name := range s.rec.Measured.Visits[visit].Instruments {
		in := s.rec.Planned.Instruments[name]
		if slices.Contains(in.Reads, kind) || len(in.Reads) == 0 && in.Kind == usual[kind] {
			n++
			one = &in
		}
	}
	if n != 1 {
		return nil
	}
	return one
}

// squares is what so many readings of a visit and a tilt over a distance add to u².
func (s second) squares(visit int, kind string, readings int, distance *big.Float) *big.Float {
	in := s.with(visit, kind)
	if in == nil || in.Resolution == nil {
		return nil
	}
	reading := over(mul(num(*in.Resolution), num(*in.Resolution)), flt(12))
	sum := mul(flt(float64(readings)), reading)
	if in.Accuracy != nil {
		tilt := over(mul(num(*in.Accuracy), distance), num(*in.Over))
		sum = add(sum, over(mul(tilt, tilt), flt(3)))
	}
	return sum
}

// spotted is a top corner as last read.
type spotted struct {
	ok          bool
	tag         string
	x, y, down  length.Length
	visit       int
	mark        *length.Length
	fromMark    *big.Float // along the elevation
	room, elevn string
}

func (s second) elevationSeen(visit int, room, elevation string) schema.ElevationSeen {
	return s.rec.Measured.Visits[visit].Rooms[room].Elevations[elevation]
}

func (s second) spot(room string, e schema.Elevation, tag string, x, y, width length.Length, of func(schema.CornerLengths) *length.Length) spotted {
	p := spotted{tag: tag, x: x, y: y, room: room, elevn: e.Name}
	for _, v := range s.visits {
		if l := of(s.rec.Measured.Visits[v].Rooms[room].Cabinets[tag].Tops); l != nil {
			p.ok, p.down, p.visit = true, *l, v
		}
	}
	if !p.ok {
		return p
	}
	p.mark = s.elevationSeen(p.visit, room, e.Name).Mark
	at := s.elevationSeen(p.visit, room, e.Name).MarkAt
	for _, v := range s.visits {
		if own := s.elevationSeen(v, room, e.Name).MarkAt; own != nil && s.elevationSeen(p.visit, room, e.Name).MarkAt == nil {
			at = own
		}
	}
	if at != nil {
		p.fromMark = flt(0).Abs(minus(num(x), num(*at)))
	} else {
		p.fromMark = larger(num(x), minus(num(width), num(x)))
	}
	return p
}

// pair judges two corners, ok false where nothing ties them.
func (s second) pair(p, q spotted, rate, per, within, between length.Length) (j judged, ok bool) {
	if !p.ok || !q.ok || p.visit != q.visit && (p.mark == nil || q.mark == nil) {
		return j, false
	}
	a, b := num(p.down), num(q.down)
	dx, dy := minus(num(p.x), num(q.x)), minus(num(p.y), num(q.y))
	d := sqrt(add(mul(dx, dx), mul(dy, dy)))
	var square *big.Float
	if p.visit == q.visit {
		square = s.squares(p.visit, "heights", 2, d)
	} else {
		a, b = minus(a, num(*p.mark)), minus(b, num(*q.mark))
		one, two := s.squares(p.visit, "heights", 2, p.fromMark), s.squares(q.visit, "heights", 2, q.fromMark)
		if one != nil && two != nil {
			square = add(one, two)
		}
	}
	least := between
	if p.tag == q.tag {
		least = within
	}
	j.off = flt(0).Abs(minus(a, b))
	j.limit = larger(over(mul(num(rate), d), num(per)), num(least))
	if square != nil {
		j.u = sqrt(square)
	}
	return j, true
}

// second gives the outcomes of the three rules, and the results that are too
// near an edge to be compared.
func (s second) outcomes(t *testing.T) (all map[string]Outcome, near map[string]bool) {
	all, near = map[string]Outcome{}, map[string]bool{}
	limit := func(rule string, usual length.Length) length.Length {
		if c, ok := s.rec.Planned.Limits[rule]; ok {
			return *in(c.Limit)
		}
		return usual
	}
	rate, per, within := limit("level and plumb", length.Inch/8), 96*length.Inch, length.Inch/32
	if c, ok := s.rec.Planned.Limits["level and plumb"]; ok {
		if c.Over != nil {
			per = *c.Over
		}
		if c.Least != nil {
			within = *c.Least
		}
	}
	between, sixteenth := limit("tops flush", length.Inch/16), length.Inch/16
	put := func(rule, room, item string, readings []judged, complete bool) {
		key := rule + " of " + room + "/" + item
		all[key], near[key] = s.decide(readings, complete)
	}
	for _, room := range s.rec.Planned.Rooms {
		for _, e := range room.Elevations {
			width := newElevationWidth(s.rec, &e)
			x := length.Length(0)
			var run []spotted
			first, last, cabinets := "", "", 0
			closeRun := func() {
				if cabinets > 1 {
					var readings []judged
					complete := true
					for i := range run {
						for k := range i {
							j, ok := s.pair(run[i], run[k], rate, per, within, between)
							complete = complete && ok
							if ok {
								readings = append(readings, j)
							}
						}
					}
					put("level and plumb", room.Name, "run "+first+" to "+last, readings, complete)
				}
				run, cabinets = nil, 0
			}
			for _, u := range e.Units {
				if u.SpaceBefore != nil {
					closeRun()
					x += *u.SpaceBefore
				}
				c, ok := s.rec.Planned.Cabinets[u.Part]
				if !ok {
					x += s.rec.Planned.Fillers[u.Part].Width
					continue
				}
				depth := *s.rec.Planned.Usual.Depth
				four := []spotted{
					s.spot(room.Name, e, u.Tag, x, depth, width, func(c schema.CornerLengths) *length.Length { return c.FL }),
					s.spot(room.Name, e, u.Tag, x+c.Width, depth, width, func(c schema.CornerLengths) *length.Length { return c.FR }),
					s.spot(room.Name, e, u.Tag, x, 0, width, func(c schema.CornerLengths) *length.Length { return c.BL }),
					s.spot(room.Name, e, u.Tag, x+c.Width, 0, width, func(c schema.CornerLengths) *length.Length { return c.BR }),
				}
				if cabinets == 0 {
					first = u.Tag
				}
				last = u.Tag
				cabinets++
				run = append(run, four...)
				readings, complete := s.cabinet(room.Name, u.Tag, four, rate, per, within)
				put("level and plumb", room.Name, u.Tag, readings, complete)

				marks := false
				for _, v := range s.visits {
					marks = marks || s.elevationSeen(v, room.Name, e.Name).Mark != nil
				}
				readings, complete = nil, true
				for _, p := range four {
					if !p.ok || p.mark == nil {
						complete = false
						continue
					}
					j := judged{off: flt(0).Abs(minus(num(p.down), num(*p.mark))), limit: num(limit("set height held", sixteenth))}
					if sq := s.squares(p.visit, "heights", 2, p.fromMark); sq != nil {
						j.u = sqrt(sq)
					}
					readings = append(readings, j)
				}
				if marks { // without, the floor decides
					put("set height held", room.Name, u.Tag, readings, complete)
				}
				x += c.Width
			}
			closeRun()
		}
	}
	return all, near
}

// cabinet gives every reading of level and plumb of a cabinet.
func (s second) cabinet(room, tag string, four []spotted, rate, per, within length.Length) (readings []judged, complete bool) {
	complete = true
	// latest is the last reading with a level of one line or face.
	latest := func(of func(schema.CabinetSeen) *schema.Deviation) bool {
		var last *schema.Deviation
		visit := 0
		for _, v := range s.visits {
			if d := of(s.rec.Measured.Visits[v].Rooms[room].Cabinets[tag]); d != nil {
				last, visit = d, v
			}
		}
		if last == nil {
			return false
		}
		j := judged{off: num(last.Off.Abs()), limit: larger(over(mul(num(rate), num(last.Over)), num(per)), num(within))}
		if sq := s.squares(visit, "level and plumb", 1, num(last.Over)); sq != nil {
			j.u = sqrt(sq)
		}
		readings = append(readings, j)
		return true
	}
	for _, line := range []struct {
		p, q int
		of   func(schema.CabinetSeen) *schema.Deviation
	}{
		{0, 1, func(c schema.CabinetSeen) *schema.Deviation { return c.Level.Front }},
		{2, 3, func(c schema.CabinetSeen) *schema.Deviation { return c.Level.Back }},
		{0, 2, func(c schema.CabinetSeen) *schema.Deviation { return c.Level.Left }},
		{1, 3, func(c schema.CabinetSeen) *schema.Deviation { return c.Level.Right }},
		{0, 3, func(c schema.CabinetSeen) *schema.Deviation { return c.Level.FLBR }},
		{1, 2, func(c schema.CabinetSeen) *schema.Deviation { return c.Level.FRBL }},
	} {
		j, tied := s.pair(four[line.p], four[line.q], rate, per, within, within)
		if tied {
			readings = append(readings, j)
		}
		read := latest(line.of)
		complete = complete && (tied || read)
	}
	front := latest(func(c schema.CabinetSeen) *schema.Deviation { return c.Plumb.Front })
	left := latest(func(c schema.CabinetSeen) *schema.Deviation { return c.Plumb.Left })
	right := latest(func(c schema.CabinetSeen) *schema.Deviation { return c.Plumb.Right })
	return readings, complete && front && (left || right)
}

// scattered makes a record of which the setting was observed in bits, on up to
// three visits: with and without marks, by two means, with coarse and fine
// instruments and some of which nothing is known, near every limit.
func scattered(rng *rand.Rand) *schema.Record {
	rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 1 + rng.IntN(5)})
	if rng.IntN(2) == 0 {
		rec.Planned.DecisionRule = Guarded
	}
	if rng.IntN(3) == 0 {
		c := schema.LimitChange{Limit: fmt.Sprintf("%d.%d mm", 1+rng.IntN(4), rng.IntN(10)), Source: "contract"}
		if rng.IntN(2) == 0 {
			c.Over = of(length.Length(1+rng.IntN(3000)) * length.Millimetre)
		}
		if rng.IntN(2) == 0 {
			c.Least = of(length.Length(rng.IntN(3_000_000)))
		}
		rec.Planned.Limits = map[string]schema.LimitChange{"level and plumb": c}
		if rng.IntN(2) == 0 {
			rec.Planned.Limits["tops flush"] = schema.LimitChange{Limit: "0.4 mm", Source: "contract"}
		}
	}
	for _, kind := range []string{"laser", "level"} {
		for _, how := range []string{"fine", "coarse", "bare"} {
			in := schema.Instrument{Kind: kind}
			if how != "bare" {
				in.Resolution = of(map[string]length.Length{"fine": 50_000, "coarse": 500_000}[how])
			}
			if rng.IntN(2) == 0 {
				in.Accuracy, in.Over = of(length.Millimetre), of(10*length.Metre)
			}
			rec.Planned.Instruments[how+" "+kind] = in
		}
	}
	whole := rec.Measured.Visits[0]
	roomName := rec.Planned.Rooms[0].Name
	e := rec.Planned.Rooms[0].Elevations[0]
	rec.Measured.Visits = nil
	complete := rng.IntN(3) == 0
	spread := []int{1, 600_000, 1_200_000, 4_000_000}[rng.IntN(4)]
	for day := range 1 + rng.IntN(3) {
		v := whole
		v.Date = schema.Date(fmt.Sprintf("2026-09-%d", 10+day))
		v.Instruments = map[string]schema.InstrumentUse{"rule": {}}
		for _, kind := range []string{"laser", "level"} {
			how := []string{"fine ", "fine ", "coarse ", "bare "}[rng.IntN(4)]
			v.Instruments[how+kind] = schema.InstrumentUse{Checked: "2026-09-01"}
		}
		line := length.Length(rng.IntN(300)) * length.Millimetre
		some := func(l length.Length) *length.Length {
			if !complete && rng.IntN(5) == 0 {
				return nil
			}
			return of(l + line + length.Length(rng.IntN(spread)))
		}
		tilted := func() *schema.Deviation {
			if rng.IntN(4) > 0 {
				return nil
			}
			return &schema.Deviation{Off: length.Length(rng.IntN(2*spread) - spread), Over: length.Length(100+rng.IntN(900)) * length.Millimetre}
		}
		es := schema.ElevationSeen{Floor: whole.Rooms[roomName].Elevations[e.Name].Floor}
		if complete || rng.IntN(3) > 0 {
			es.Mark = of(240*length.Millimetre + line)
		}
		if rng.IntN(2) == 0 {
			es.MarkAt = of(length.Length(rng.IntN(2000)) * length.Millimetre)
		}
		seen := schema.RoomSeen{Elevations: map[string]schema.ElevationSeen{e.Name: es}, Cabinets: map[string]schema.CabinetSeen{}}
		for _, tag := range slices.Sorted(maps.Keys(whole.Rooms[roomName].Cabinets)) {
			c := schema.CabinetSeen{}
			if complete || rng.IntN(4) > 0 {
				at := 240 * length.Millimetre
				c.Tops = schema.CornerLengths{FL: some(at), FR: some(at), BL: some(at), BR: some(at)}
			}
			c.Level = schema.LevelSeen{Front: tilted(), Back: tilted(), Left: tilted(), Right: tilted(), FLBR: tilted(), FRBL: tilted()}
			c.Plumb = schema.PlumbSeen{Front: tilted(), Left: tilted(), Right: tilted()}
			if complete && c.Plumb.Front == nil {
				c.Plumb.Front = &schema.Deviation{Over: length.Metre}
			}
			if complete && c.Plumb.Left == nil {
				c.Plumb.Left = &schema.Deviation{Over: length.Metre}
			}
			seen.Cabinets[tag] = c
		}
		v.Rooms = map[string]schema.RoomSeen{roomName: seen}
		rec.Measured.Visits = append(rec.Measured.Visits, v)
	}
	rng.Shuffle(len(rec.Measured.Visits), func(i, j int) {
		v := rec.Measured.Visits
		v[i], v[j] = v[j], v[i]
	})
	return rec
}

// TestSecondOpinionOnSetting: the second opinion agrees on every result.
func TestSecondOpinionOnSetting(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	counts := map[string]int{}
	for range 500 {
		rec, src := source(t, scattered(rng))
		found, err := Run(rec, src)
		if err != nil {
			t.Fatal(err)
		}
		got := outcomesOf(found)
		want, near := second{rec, rec.Measured.VisitsInTime()}.outcomes(t)
		for _, key := range slices.Sorted(maps.Keys(want)) {
			if near[key] {
				continue
			}
			counts[string(want[key])]++
			if got[key] != want[key] {
				t.Fatalf("%s: %s, the second opinion is %s\n%s", key, got[key], want[key], summary(found))
			}
		}
	}
	t.Log(counts)
	for _, o := range []Outcome{Pass, Fail, Undecided, NotObserved} {
		if counts[string(o)] < 80 {
			t.Errorf("%d results compared that are %s; the comparison says little", counts[string(o)], o)
		}
	}
}

// TestLimitOfLevelIsExact: for readings just at the limit and a nanometre to
// either side, over distances whose root is no whole number, as off² over² <=
// rate² (dx² + dy²) in whole numbers has it.
func TestLimitOfLevelIsExact(t *testing.T) {
	rng := chance.Source(t)
	for range 20_000 {
		l := levelLimit{rate: length.Length(rng.IntN(10_000_000)), over: length.Length(1 + rng.Int64N(3_000_000_000))}
		dx, dy := length.Length(rng.Int64N(4_000_000_000)), length.Length(rng.IntN(600_000_000))
		if rng.IntN(4) == 0 { // 3, 4, 5: the limit is a whole number
			n := length.Length(1 + rng.IntN(100_000_000))
			dx, dy, l.over = 3*n, 4*n, 5*n
		}
		got := l.overDistance(dx, dy, 0)
		holds := func(off length.Length) bool {
			square := func(n *big.Int) *big.Int { return n.Mul(n, n) }
			sum := square(big.NewInt(int64(dx)))
			sum.Add(sum, square(big.NewInt(int64(dy)))).Mul(sum, square(big.NewInt(int64(l.rate))))
			left := new(big.Int).Mul(big.NewInt(int64(off)), big.NewInt(int64(l.over)))
			return square(left).Cmp(sum) <= 0
		}
		if !holds(got) || holds(got+1) {
			t.Fatalf("%d over %d, %d and %d apart: at most %d nm", l.rate, l.over, dx, dy, got)
		}
	}
	for _, huge := range []levelLimit{{rate: math.MaxInt64, over: 1}, {rate: math.MaxInt64, over: math.MaxInt64}} {
		if got := huge.overDistance(math.MaxInt64, math.MaxInt64, 0); got != math.MaxInt64 {
			t.Errorf("%+v: %d", huge, got)
		}
	}
}
