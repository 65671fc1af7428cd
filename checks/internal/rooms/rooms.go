// Package rooms makes job records of random, plausible rooms in which
// everything was observed and all is right, for tests and benchmarks.
package rooms

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"setline.example/checks/floor"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Size says how large a job to make; zero values are chosen at random.
type Size struct {
	Rooms      int // 1 to 3
	Elevations int // of each room, 1 to 3
	Cabinets   int // of each elevation, 2 to 9
}

const (
	sixtyFourth = length.Inch / 64
	body        = 34 * length.Inch
	depth       = 22 * length.Inch
	least       = length.Inch / 2
	reserve     = length.Inch / 8
	greatest    = 2 * length.Inch
)

// maker makes one record.
type maker struct {
	rng  *rand.Rand
	rec  *schema.Record
	line int // of the packing list
}

// New makes a record from rng. The same rng gives the same record.
func New(rng *rand.Rand, size Size) *schema.Record {
	m := &maker{rng: rng, rec: &schema.Record{Setline: schema.Version}}
	m.plan()
	m.rec.Arrived.PackingLists = map[string]schema.PackingList{"P1": {Order: "O1", Lines: map[string]schema.PackingLine{}}}
	received := map[string]schema.Received{}
	visit := schema.Visit{
		Date: "2026-09-10", Purpose: "inspection",
		People:      []schema.Party{{Name: "R. Maker", Role: "inspector"}},
		Instruments: map[string]schema.InstrumentUse{"laser": {Checked: "2026-09-02"}, "level": {Checked: "2026-09-02"}, "rule": {}},
		Site:        &schema.Site{SlabCured: yes(), ClosedIn: yes(), FloorFinishKnown: yes()},
		Rooms:       map[string]schema.RoomSeen{},
	}
	for i := range m.or(size.Rooms, 1, 3) {
		room := schema.Room{Name: fmt.Sprintf("R%d", 101+i)}
		seen := schema.RoomSeen{
			Handover:   Handed(),
			Elevations: map[string]schema.ElevationSeen{}, Cabinets: map[string]schema.CabinetSeen{},
			Joints: map[string]schema.JointSeen{}, Fillers: map[string]schema.FillerSeen{},
		}
		lines := map[string]string{} // of each part
		for j := range m.or(size.Elevations, 1, 3) {
			e := m.elevation(string(rune('A'+j%26)) + suffix(j/26))
			e.Units = m.units(e, m.or(size.Cabinets, 2, 9))
			e.Tops = m.tops(e)
			m.list(room.Name, e, lines, received)
			m.look(room.Name, &e, lines, &seen)
			room.Elevations = append(room.Elevations, e)
		}
		m.rec.Planned.Rooms = append(m.rec.Planned.Rooms, room)
		visit.Rooms[room.Name] = seen
	}
	m.rec.Arrived.Receipts = []schema.Receipt{{PackingList: "P1", Date: "2026-09-01", By: "R. Maker", Lines: received}}
	m.rec.Measured.Visits = []schema.Visit{visit}
	return m.rec
}

func suffix(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// or returns n, or where that is zero a number from lo to hi.
func (m *maker) or(n, lo, hi int) int {
	if n > 0 {
		return n
	}
	return lo + m.rng.IntN(hi-lo+1)
}

func (m *maker) plan() {
	p := &m.rec.Planned
	p.Project.Name = "Random job"
	p.ClosingOut = true
	if m.rng.IntN(2) == 0 {
		p.LengthsIn = length.Metric
	}
	p.Instruments = map[string]schema.Instrument{
		"laser": {Kind: "laser", Resolution: of(sixtyFourth), Accuracy: of(length.Inch / 16), Over: of(50 * length.Foot)},
		"level": {Kind: "level", Resolution: of(sixtyFourth)},
		"rule":  {Kind: "rule", Reads: []string{"offsets", "extensions", "gaps"}, Resolution: of(sixtyFourth)},
	}
	p.Fasteners = map[string]schema.Fastener{
		"long":  {Size: "#8", Length: length.Inch * 5 / 4, Point: "self-tapping", Use: []string{"front of door cabinet"}, Each: 2},
		"short": {Size: "#8", Length: length.Inch / 2, Point: "self-tapping", Use: []string{"front of drawer cabinet", "upper rear", "filler"}, Each: 2},
	}
	p.Usual = schema.Body{
		Height: of(body), Depth: of(depth), Gauge: 18, FrontRailDepth: of(length.Inch * 7 / 8),
		Leveler: &schema.Leveler{Least: least, Greatest: greatest, ThreadsPerInch: 16},
	}
	p.Cabinets = map[string]schema.Cabinet{
		"D18": {Width: 18 * length.Inch, Front: []schema.FrontRow{{Drawers: 1}, {Drawers: 1}, {Drawers: 1}, {Drawers: 1}}},
		"D24": {Width: 24 * length.Inch, Front: []schema.FrontRow{{Drawers: 1}, {Drawers: 1}, {Drawers: 1}}},
		"T30": {Width: 30 * length.Inch, Front: []schema.FrontRow{{Drawers: 2}, {Doors: 2}}},
		"T36": {Width: 36 * length.Inch, Front: []schema.FrontRow{{Panels: 1}, {Doors: 2}}},
	}
	p.Fillers = map[string]schema.Filler{
		"F3": {Width: 3 * length.Inch, Scribe: of(length.Inch), Gauge: 18},
		"E2": {Width: 2 * length.Inch, Gauge: 18},
	}
}

func (m *maker) elevation(name string) schema.Elevation {
	ends := []string{"wall", "exposed"}
	return schema.Elevation{
		Name: name, Left: ends[m.rng.IntN(2)], Right: ends[m.rng.IntN(2)],
		WorkHeight: of(least + reserve + body + length.Inch), TopThickness: of(length.Inch),
	}
}

func (m *maker) units(e schema.Elevation, cabinets int) []schema.Unit {
	var units []schema.Unit
	add := func(part string) {
		units = append(units, schema.Unit{Tag: e.Name + strconv.Itoa(len(units)), Part: part})
	}
	end := map[string]string{"wall": "F3", "exposed": "E2"}
	add(end[e.Left])
	parts := []string{"D18", "D24", "T30", "T36"}
	for i := range cabinets {
		add(parts[m.rng.IntN(len(parts))])
		if i > 1 && i < cabinets-2 && m.rng.IntN(8) == 0 {
			units[len(units)-1].SpaceBefore = of(30 * length.Inch)
		}
	}
	add(end[e.Right])
	return units
}

// tops are a top on each run: two pieces that meet on a long one.
func (m *maker) tops(e schema.Elevation) (tops []schema.Top) {
	overhang := of(length.Inch / 2 * length.Length(m.rng.IntN(3)))
	var run []string
	end := func() {
		from, to := run[0], run[len(run)-1]
		if n := len(run) / 2; n > 1 {
			tops = append(tops, schema.Top{From: from, To: run[n-1], Overhang: overhang})
			from = run[n]
		}
		tops = append(tops, schema.Top{From: from, To: to, Overhang: overhang})
		run = nil
	}
	for _, u := range e.Units[1 : len(e.Units)-1] { // but for the fillers
		if u.SpaceBefore != nil {
			end()
		}
		run = append(run, u.Tag)
	}
	end()
	return tops
}

// list puts the parts of an elevation on the packing list, a line for each
// part of a room, and counts them as they come.
func (m *maker) list(room string, e schema.Elevation, lines map[string]string, received map[string]schema.Received) {
	list := m.rec.Arrived.PackingLists["P1"].Lines
	for _, u := range e.Units {
		number, ok := lines[u.Part]
		if !ok {
			m.line++
			number = strconv.Itoa(m.line)
			lines[u.Part] = number
			list[number] = schema.PackingLine{Part: u.Part, Room: room}
		}
		l := list[number]
		l.Quantity++
		list[number] = l
		received[number] = schema.Received{Good: l.Quantity}
	}
}

// look observes everything of an elevation.
func (m *maker) look(room string, e *schema.Elevation, lines map[string]string, seen *schema.RoomSeen) {
	p := &m.rec.Planned
	width := length.Length(0)
	for _, u := range e.Units {
		if u.SpaceBefore != nil {
			width += *u.SpaceBefore
		}
		width += p.Cabinets[u.Part].Width + p.Fillers[u.Part].Width
	}
	front, back := m.floor(width, 0), m.floor(width, sixtyFourth*4)
	survey := floor.Survey{Front: front, Back: back}
	high, _ := survey.High(0, width)
	mark := high.Down - least - reserve - body
	es := schema.ElevationSeen{
		Closing: Closed(),
		Mark:    of(mark),
		MarkAt:  of(width / 3),
		Floor:   schema.FloorSeen{Front: readings(front), Back: readings(back)},
	}
	if e.Left == "wall" && e.Right == "wall" {
		e.Opening = of(width + length.Inch/2)
		es.Opening = schema.OpeningSeen{Bottom: of(width + length.Inch/2), Middle: of(width + length.Inch*3/8), Top: of(width + length.Inch/4)}
	}
	seen.Elevations[e.Name] = es

	x := length.Length(0)
	for i, u := range e.Units {
		if u.SpaceBefore != nil {
			x += *u.SpaceBefore
		}
		label := &schema.Label{Order: "O1", Part: u.Part, Line: lines[u.Part], Room: room}
		none := schema.InSight{Closed: new(int), Standing: new(int)}
		if c, ok := p.Cabinets[u.Part]; ok {
			seen.Cabinets[u.Tag] = m.cabinet(c, label, none, x, front, back, mark)
			x += c.Width
		} else {
			f := schema.FillerSeen{Label: label, HeldFrom: []string{"inside"}, TopOn: yes(), ComesOff: yes(), SideOffset: m.small(2), TopOffset: m.small(2), InSight: none}
			f.Fastening = &schema.Fastening{Fastener: "short", Count: 2, Through: "side", TipShows: new(bool)}
			if u.Part == "E2" {
				f.SetFirst = yes()
			}
			seen.Fillers[u.Tag] = f
			x += p.Fillers[u.Part].Width
		}
		if i > 0 && u.SpaceBefore == nil {
			left := e.Units[i-1]
			seen.Joints[schema.JointName(left.Tag, u.Tag)] = m.joint(p.Cabinets[left.Part], p.Cabinets[u.Part])
		}
	}
}

func (m *maker) cabinet(c schema.Cabinet, label *schema.Label, none schema.InSight, x length.Length, front, back floor.Line, mark length.Length) schema.CabinetSeen {
	s := schema.CabinetSeen{
		Label:   label,
		Bearing: schema.CornerAnswers{FL: yes(), FR: yes(), BL: yes(), BR: yes()},
		Plumb: schema.PlumbSeen{
			Front: &schema.Deviation{Off: *m.small(2), Over: 30 * length.Inch},
			Left:  &schema.Deviation{Off: *m.small(2), Over: 30 * length.Inch},
		},
		Alignment: map[string]length.Length{}, Works: map[string]bool{}, Drawers: map[string]string{},
		InSight: none,
	}
	for _, corner := range []struct {
		line           floor.Line
		x              length.Length
		top, extension **length.Length
	}{
		{front, x, &s.Tops.FL, &s.Extension.FL},
		{front, x + c.Width, &s.Tops.FR, &s.Extension.FR},
		{back, x, &s.Tops.BL, &s.Extension.BL},
		{back, x + c.Width, &s.Tops.BR, &s.Extension.BR},
	} {
		// One corner in three is a 64th off the mark.
		top := mark
		if m.rng.IntN(3) == 0 {
			top += sixtyFourth * length.Length(m.rng.IntN(3)-1)
		}
		down, _ := corner.line.DownAt(corner.x)
		*corner.top = of(top)
		*corner.extension = of(rounded(down - top - body))
	}
	for _, name := range c.FrontNames() {
		s.Alignment[name], s.Works[name] = *m.small(3), true
	}
	if len(c.FrontNames()) > 1 {
		s.FrontOffset = m.small(3)
	}
	for n := range c.Drawers() {
		s.Drawers[strconv.Itoa(n+1)] = strconv.Itoa(n + 1)
	}
	return s
}

func (m *maker) joint(left, right schema.Cabinet) schema.JointSeen {
	j := schema.JointSeen{FrontOffset: m.small(3), TopOffset: m.small(2), Gap: m.small(3)}
	if *j.Gap < 0 {
		*j.Gap = -*j.Gap
	}
	if left.Width == 0 || right.Width == 0 {
		return j // a filler has its own fastening
	}
	front := schema.Fastening{Fastener: "short", Count: 2, Through: "behind front rail", TipShows: new(bool)}
	if left.Doors()+right.Doors() > 0 {
		front.Fastener, front.Through = "long", "vacated hinge hole"
	}
	j.Fastened = schema.FastenedSeen{Front: &front, UpperRear: &schema.Fastening{Fastener: "short", Count: 2, Through: "side", TipShows: new(bool)}}
	return j
}

// floor makes readings each 12 in along a floor that waves gently, lower by
// so much than the front.
func (m *maker) floor(width, lower length.Length) floor.Line {
	amplitude, phase := m.rng.Float64()*float64(length.Inch)/8, m.rng.Float64()
	var l floor.Line
	for x := length.Length(0); ; x += length.Foot {
		x = min(x, width)
		wave := float64(amplitude * bend(phase+float64(x)/float64(500*length.Inch)))
		l = append(l, floor.Reading{At: x, Down: rounded(44*length.Inch + lower + length.Length(wave))})
		if x == width {
			return l
		}
	}
}

// bend is a wave from -1 to 1 with a period of 1. It is made of parabolas: a
// sine is not the same on every processor.
func bend(x float64) float64 {
	half, sign := x-math.Floor(x), 16.0
	if half >= 0.5 {
		half, sign = half-0.5, -16
	}
	return float64(sign * half * (0.5 - half))
}

func readings(l floor.Line) []schema.FloorReading {
	out := make([]schema.FloorReading, len(l))
	for i, r := range l {
		out[i] = schema.FloorReading{r.At, r.Down}
	}
	return out
}

// small is a reading of up to n 64ths either way.
func (m *maker) small(n int) *length.Length {
	return of(sixtyFourth * length.Length(m.rng.IntN(2*n+1)-n))
}

// rounded gives l as a rule with 64ths reads it.
func rounded(l length.Length) length.Length {
	return (l + sixtyFourth/2) / sixtyFourth * sixtyFourth
}

func of(l length.Length) *length.Length { return &l }

func yes() *bool { b := true; return &b }
