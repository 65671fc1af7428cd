package schema

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"setline.example/schema/length"
)

// What visits say they saw, held against the plan.

func (m *meaningCheck) visit(i int) {
	v := &m.rec.Measured.Visits[i]
	at := Pointer("/measured/visits", i)
	for _, name := range sortedKeys(v.Instruments) {
		at := Pointer(at, "instruments", name)
		if _, ok := m.rec.Planned.Instruments[name]; !ok {
			m.wrongName(at, "instrument", name, sortedKeys(m.rec.Planned.Instruments))
		}
		use := v.Instruments[name]
		if use.Checked > v.Date {
			m.wrong(at+"/checked", "a check on "+string(use.Checked), "a check on or before the visit, "+string(v.Date), "correct one of the two dates")
		}
		if t := use.TwoPeg; t != nil && t.Distances[0] == t.Distances[1] {
			m.wrong(at+"/two_peg/distances", "two equal distances", "unequal distances, from which the error can be told", "correct them; a two-peg test needs one near and one far mark")
		}
	}
	for _, name := range sortedKeys(v.Rooms) {
		at := Pointer(at, "rooms", name)
		plan, ok := m.rooms[name]
		if !ok {
			m.wrongName(at, "room", name, sortedKeys(m.rooms))
			continue
		}
		room := v.Rooms[name]
		m.roomSeen(at, plan, &room)
	}
}

func (m *meaningCheck) roomSeen(at string, plan *plannedRoom, seen *RoomSeen) {
	for _, name := range sortedKeys(seen.Elevations) {
		at := Pointer(at, "elevations", name)
		if !plan.elevations[name] {
			m.wrongName(at, "elevation", name, sortedKeys(plan.elevations))
		}
		m.elevationSeen(at, seen.Elevations[name])
	}
	drawers := map[string]string{} // where each drawer was found, by its home
	for _, tag := range sortedKeys(seen.Cabinets) {
		if cabinet, ok := m.seenUnit(Pointer(at, "cabinets", tag), plan, tag, true); ok {
			m.cabinetSeen(Pointer(at, "cabinets", tag), plan, tag, cabinet, seen.Cabinets[tag], drawers)
		}
	}
	for _, tag := range sortedKeys(seen.Fillers) {
		at, f := Pointer(at, "fillers", tag), seen.Fillers[tag]
		m.seenUnit(at, plan, tag, false)
		m.fastening(at+"/fastening", f.Fastening)
		m.positive(at+"/cut", "width", f.Cut)
	}
	for _, name := range sortedKeys(seen.Joints) {
		at, j := Pointer(at, "joints", name), seen.Joints[name]
		m.joint(at, plan, name)
		m.notNegative(at+"/gap", "gap", j.Gap)
		m.fastening(at+"/fastened/front", j.Fastened.Front)
		m.fastening(at+"/fastened/upper_rear", j.Fastened.UpperRear)
	}
	for i, photo := range seen.Photos {
		_, unit := plan.parts[photo.Of]
		if photo.Of != "" && !unit && !plan.joints[photo.Of] {
			m.wrongName(Pointer(at, "photos", i, "of"), "unit or joint", photo.Of, append(sortedKeys(plan.parts), sortedKeys(plan.joints)...))
		}
	}
}

func (m *meaningCheck) elevationSeen(at string, e ElevationSeen) {
	for _, line := range []struct {
		name     string
		readings []FloorReading
	}{{"front", e.Floor.Front}, {"back", e.Floor.Back}} {
		for i := 1; i < len(line.readings); i++ {
			if before, here := line.readings[i-1].At(), line.readings[i].At(); here <= before {
				m.wrong(Pointer(at, "floor", line.name, i, 0), here.String(), "a distance beyond the one before, "+before.String(), "write the readings from left to right, each place once")
			}
		}
	}
	m.positive(at+"/opening/bottom", "clear opening", e.Opening.Bottom)
	m.positive(at+"/opening/middle", "clear opening", e.Opening.Middle)
	m.positive(at+"/opening/top", "clear opening", e.Opening.Top)
}

// seenUnit checks that tag is planned and is a cabinet, or else a filler.
func (m *meaningCheck) seenUnit(at string, plan *plannedRoom, tag string, wantCabinet bool) (Cabinet, bool) {
	part, ok := plan.parts[tag]
	if !ok {
		m.wrongName(at, "unit", tag, sortedKeys(plan.parts))
		return Cabinet{}, false
	}
	c, isCabinet := m.rec.Planned.Cabinets[part]
	_, isFiller := m.rec.Planned.Fillers[part]
	switch {
	case wantCabinet && isFiller:
		m.wrong(at, fmt.Sprintf("filler %q among the cabinets", tag), "cabinets here", `move it to "fillers"`)
	case !wantCabinet && isCabinet:
		m.wrong(at, fmt.Sprintf("cabinet %q among the fillers", tag), "fillers here", `move it to "cabinets"`)
	}
	return c, isCabinet
}

func (m *meaningCheck) cabinetSeen(at string, plan *plannedRoom, tag string, c Cabinet, seen CabinetSeen, found map[string]string) {
	fronts := c.FrontNames()
	for _, name := range sortedKeys(seen.Alignment) {
		if !slices.Contains(fronts, name) {
			m.wrongName(Pointer(at, "alignment", name), "front", name, fronts)
		}
	}
	for _, name := range sortedKeys(seen.Works) {
		if !slices.Contains(fronts, name) {
			m.wrongName(Pointer(at, "works", name), "front", name, fronts)
		}
	}
	for _, slot := range sortedKeys(seen.Drawers) {
		m.drawer(Pointer(at, "drawers", slot), plan, tag, c, slot, seen.Drawers[slot], found)
	}
	for _, e := range []struct {
		corner string
		l      *length.Length
	}{{"FL", seen.Extension.FL}, {"FR", seen.Extension.FR}, {"BL", seen.Extension.BL}, {"BR", seen.Extension.BR}} {
		m.notNegative(at+"/extension/"+e.corner, "extension", e.l)
	}
	lv, pl := seen.Level, seen.Plumb
	for _, d := range []struct {
		where string
		d     *Deviation
	}{
		{"level/front", lv.Front}, {"level/back", lv.Back}, {"level/left", lv.Left}, {"level/right", lv.Right},
		{"level/FL-BR", lv.FLBR}, {"level/FR-BL", lv.FRBL},
		{"plumb/front", pl.Front}, {"plumb/left", pl.Left}, {"plumb/right", pl.Right},
	} {
		if d.d != nil {
			m.positive(at+"/"+d.where+"/over", "distance", &d.d.Over)
		}
	}
}

func (m *meaningCheck) drawer(at string, plan *plannedRoom, tag string, c Cabinet, slot, text string, found map[string]string) {
	n := c.Drawers()
	if s, err := strconv.Atoi(slot); err != nil || s < 1 || s > n || strconv.Itoa(s) != slot {
		m.wrongName(at, "drawer slot", slot, numbers(n))
	}
	if text == NoDrawer {
		return
	}
	home, number, ok := DrawerHome(tag, text)
	owner, planned := m.rec.Planned.Cabinets[plan.parts[home]]
	if !ok || !planned || number > owner.Drawers() {
		m.wrong(at, fmt.Sprintf("drawer %q", text), "the number of a drawer's home slot, with its cabinet's tag before it where that is another, or "+strconv.Quote(NoDrawer),
			fmt.Sprintf(`write "2" for a drawer of %s itself, "TAG/2" for one of another cabinet`, tag))
		return
	}
	key := home + "/" + strconv.Itoa(number)
	if where, twice := found[key]; twice {
		m.wrong(at, fmt.Sprintf("drawer %s here and in %s", key, where), "each drawer in one place", "look again at the two and correct one")
	}
	found[key] = tag + "/" + slot
}

func numbers(n int) []string {
	all := make([]string, n)
	for i := range all {
		all[i] = strconv.Itoa(i + 1)
	}
	return all
}

func (m *meaningCheck) joint(at string, plan *plannedRoom, name string) {
	if plan.joints[name] {
		return
	}
	if right, ok := plan.reversed[name]; ok {
		m.wrong(at, fmt.Sprintf("joint %q", name), "the left unit first: "+right, "turn it round, and the signs of its offsets with it")
		return
	}
	left, right, two := strings.Cut(name, "+")
	_, a := plan.parts[left]
	_, b := plan.parts[right]
	if two && a && b {
		m.wrong(at, fmt.Sprintf("joint %q between units that are not neighbours", name), "two units side by side with no space between", "name the units that meet there")
		return
	}
	m.wrongName(at, "joint", name, sortedKeys(plan.joints))
}

func (m *meaningCheck) fastening(at string, f *Fastening) {
	if f == nil {
		return
	}
	if _, ok := m.rec.Planned.Fasteners[f.Fastener]; !ok {
		m.wrongName(at+"/fastener", "fastener", f.Fastener, sortedKeys(m.rec.Planned.Fasteners))
	}
}
