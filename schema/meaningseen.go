package schema

import (
	"fmt"
	"strconv"
	"strings"

	"setline.example/schema/length"
)

// What visits say they saw, held against the plan.

func (m *meaningCheck) visit(i int) {
	v := &m.rec.Measured.Visits[i]
	measured := way{field: "measured"}
	at := measured.at("visits", i)
	for name, use := range v.Instruments {
		at := at.member("instruments", name)
		if _, ok := m.rec.Planned.Instruments[name]; !ok {
			m.wrongName(at.pointer(), "instrument", name, sortedKeys(m.rec.Planned.Instruments))
		}
		if use.Checked > v.Date {
			m.wrong(Contradiction, at.pointer("checked"), "a check on "+string(use.Checked), "a check on or before the visit, "+string(v.Date), "correct one of the two dates")
		}
		if t := use.TwoPeg; t != nil && t.Distances[0] == t.Distances[1] {
			m.wrong(Impossible, at.pointer("two_peg/distances"), "two equal distances", "unequal distances, from which the error can be told", "correct them; a two-peg test needs one near and one far mark")
		}
	}
	for name, room := range v.Rooms {
		at := at.member("rooms", name)
		plan, ok := m.rooms[name]
		if !ok {
			m.wrongName(at.pointer(), "room", name, sortedKeys(m.rooms))
			continue
		}
		m.roomSeen(&at, plan, &room)
	}
}

func (m *meaningCheck) roomSeen(at *way, plan *plannedRoom, seen *RoomSeen) {
	for name, e := range seen.Elevations {
		at := at.member("elevations", name)
		if !plan.elevations[name] {
			m.wrongName(at.pointer(), "elevation", name, sortedKeys(plan.elevations))
		}
		m.elevationSeen(&at, e)
		m.saidOfAll(&at, plan, name, e.All)
		m.released(&at, plan, name, e.Closing.ReleasedRuns)
	}
	// In order, so that of a drawer found twice always the same place counts as the first.
	found := map[drawer]drawer{}
	for _, tag := range sortedKeys(seen.Cabinets) {
		at := at.member("cabinets", tag)
		if cabinet, ok := m.seenUnit(&at, plan, tag, true); ok {
			m.cabinetSeen(&at, plan, tag, cabinet, seen.Cabinets[tag], found)
		}
	}
	for tag, f := range seen.Fillers {
		at := at.member("fillers", tag)
		m.seenUnit(&at, plan, tag, false)
		m.fastening(&at, "fastening", f.Fastening)
		m.positive(&at, "cut", "width", f.Cut)
	}
	for name, j := range seen.Joints {
		at := at.member("joints", name)
		m.joint(&at, plan, name)
		m.notNegative(&at, "gap", "gap", j.Gap)
		m.notNegative(&at, "gap_length", "length", j.GapLength)
		m.fastening(&at, "fastened/front", j.Fastened.Front)
		m.fastening(&at, "fastened/upper_rear", j.Fastened.UpperRear)
	}
	for i, photo := range seen.Photos {
		_, unit := plan.parts[photo.Of]
		if photo.Of != "" && !unit && !plan.joints[photo.Of] {
			at := at.at("photos", i)
			m.wrongName(at.pointer("of"), "unit or joint", photo.Of, append(sortedKeys(plan.parts), sortedKeys(plan.joints)...))
		}
	}
}

func (m *meaningCheck) elevationSeen(at *way, e ElevationSeen) {
	for _, line := range []struct {
		name     string
		readings []FloorReading
	}{{"front", e.Floor.Front}, {"back", e.Floor.Back}} {
		for i := 1; i < len(line.readings); i++ {
			if before, here := line.readings[i-1].At(), line.readings[i].At(); here <= before {
				m.wrong(Impossible, Pointer(at.pointer("floor", line.name), i, 0), here.String(), "a distance beyond the one before, "+before.String(), "write the readings from left to right, each place once")
			}
		}
	}
	m.positive(at, "opening/bottom", "clear opening", e.Opening.Bottom)
	m.positive(at, "opening/middle", "clear opening", e.Opening.Middle)
	m.positive(at, "opening/top", "clear opening", e.Opening.Top)
	m.distance(at, "walls/left/over", e.Walls.Left)
	m.distance(at, "walls/right/over", e.Walls.Right)
}

// distance looks at the distance over which something is out.
func (m *meaningCheck) distance(at *way, where string, d *Deviation) {
	if d != nil {
		m.positive(at, where, "distance", &d.Over)
	}
}

// seenUnit checks that tag is planned and is a cabinet, or else a filler.
func (m *meaningCheck) seenUnit(at *way, plan *plannedRoom, tag string, wantCabinet bool) (Cabinet, bool) {
	part, ok := plan.parts[tag]
	if !ok {
		m.wrongName(at.pointer(), "unit", tag, sortedKeys(plan.parts))
		return Cabinet{}, false
	}
	c, isCabinet := m.rec.Planned.Cabinets[part]
	_, isFiller := m.rec.Planned.Fillers[part]
	switch {
	case wantCabinet && isFiller:
		m.wrong(Contradiction, at.pointer(), fmt.Sprintf("filler %q among the cabinets", tag), "cabinets here", `move it to "fillers"`)
	case !wantCabinet && isCabinet:
		m.wrong(Contradiction, at.pointer(), fmt.Sprintf("cabinet %q among the fillers", tag), "fillers here", `move it to "cabinets"`)
	}
	return c, isCabinet
}

// drawer is a drawer by its home, or a slot: a number on the unit with a tag.
type drawer struct {
	tag    string
	number string
}

func (d drawer) String() string { return d.tag + "/" + d.number }

// cabinetSeen looks at what was seen of the cabinet c. found is where each
// drawer of the room was found so far, by its home.
func (m *meaningCheck) cabinetSeen(at *way, plan *plannedRoom, tag string, c Cabinet, seen CabinetSeen, found map[drawer]drawer) {
	for name := range seen.Alignment {
		m.front(at, "alignment", c, name)
	}
	for name := range seen.Works {
		m.front(at, "works", c, name)
	}
	for _, slot := range sortedKeys(seen.Drawers) {
		at := at.member("drawers", slot)
		m.drawer(&at, plan, c, drawer{tag, slot}, seen.Drawers[slot], found)
	}
	for _, e := range []struct {
		corner string
		l      *length.Length
	}{
		{"extension/FL", seen.Extension.FL}, {"extension/FR", seen.Extension.FR},
		{"extension/BL", seen.Extension.BL}, {"extension/BR", seen.Extension.BR},
	} {
		m.notNegative(at, e.corner, "extension", e.l)
	}
	for _, p := range []struct {
		corner string
		l      *length.Length
	}{
		{"packing/FL", seen.Packing.FL}, {"packing/FR", seen.Packing.FR},
		{"packing/BL", seen.Packing.BL}, {"packing/BR", seen.Packing.BR},
	} {
		m.notNegative(at, p.corner, "thickness of packing", p.l)
	}
	lv, pl := seen.Level, seen.Plumb
	for _, d := range []struct {
		where string
		d     *Deviation
	}{
		{"level/front/over", lv.Front}, {"level/back/over", lv.Back}, {"level/left/over", lv.Left}, {"level/right/over", lv.Right},
		{"level/FL-BR/over", lv.FLBR}, {"level/FR-BL/over", lv.FRBL},
		{"plumb/front/over", pl.Front}, {"plumb/left/over", pl.Left}, {"plumb/right/over", pl.Right},
	} {
		m.distance(at, d.where, d.d)
	}
}

// front looks whether the cabinet c has a door or drawer called name.
func (m *meaningCheck) front(at *way, field string, c Cabinet, name string) {
	if !c.hasFront(name) {
		at := at.member(field, name)
		m.wrongName(at.pointer(), "front", name, c.FrontNames())
	}
}

func (m *meaningCheck) drawer(at *way, plan *plannedRoom, c Cabinet, slot drawer, text string, found map[drawer]drawer) {
	n := c.Drawers()
	if !isNumber(slot.number, n) {
		m.wrongName(at.pointer(), "drawer slot", slot.number, numbers(n))
	}
	if text == NoDrawer {
		return
	}
	home, number, ok := DrawerHome(slot.tag, text)
	owner, planned := m.rec.Planned.Cabinets[plan.parts[home]]
	if !ok || !planned || number > owner.Drawers() {
		m.wrong(WrongForm, at.pointer(), fmt.Sprintf("drawer %q", text), "the number of a drawer's home slot, with its cabinet's tag before it where that is another, or "+strconv.Quote(NoDrawer),
			fmt.Sprintf(`write "2" for a drawer of %s itself, "TAG/2" for one of another cabinet`, slot.tag))
		return
	}
	key := drawer{home, strconv.Itoa(number)}
	if where, twice := found[key]; twice {
		m.wrong(Twice, at.pointer(), fmt.Sprintf("drawer %s here and in %s", key, where), "each drawer in one place", "look again at the two and correct one")
	}
	found[key] = slot
}

func numbers(n int) []string {
	all := make([]string, n)
	for i := range all {
		all[i] = strconv.Itoa(i + 1)
	}
	return all
}

func (m *meaningCheck) joint(at *way, plan *plannedRoom, name string) {
	if plan.joints[name] {
		return
	}
	if right, ok := plan.reversed[name]; ok {
		m.wrong(Impossible, at.pointer(), fmt.Sprintf("joint %q", name), "the left unit first: "+right, "turn it round, and the signs of its offsets with it")
		return
	}
	left, right, two := strings.Cut(name, "+")
	_, a := plan.parts[left]
	_, b := plan.parts[right]
	if two && a && b {
		m.wrong(Impossible, at.pointer(), fmt.Sprintf("joint %q between units that are not neighbours", name), "two units side by side with no space between", "name the units that meet there")
		return
	}
	m.wrongName(at.pointer(), "joint", name, sortedKeys(plan.joints))
}

func (m *meaningCheck) fastening(at *way, field string, f *Fastening) {
	if f == nil {
		return
	}
	if _, ok := m.rec.Planned.Fasteners[f.Fastener]; !ok {
		m.wrongName(at.pointer(field, "fastener"), "fastener", f.Fastener, sortedKeys(m.rec.Planned.Fasteners))
	}
}
