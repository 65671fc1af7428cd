package schema

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"setline.example/schema/length"
)

// meaning finds what a schema cannot see: names used twice, names of things
// that are not there, lengths that cannot be.
func meaning(src *Source, rec *Record) Problems {
	m := &meaningCheck{src: src, rec: rec}
	m.planned()
	m.arrived()
	for i := range rec.Measured.Visits {
		m.visit(i)
	}
	m.trail()
	m.standing()
	m.agreed()
	return m.problems
}

// planned looks at the catalog and the rooms.
func (m *meaningCheck) planned() {
	m.rooms = make(map[string]*plannedRoom, len(m.rec.Planned.Rooms))
	m.catalog()
	for i := range m.rec.Planned.Rooms {
		m.room(i)
	}
}

// planChecked is ready to look at visits of a record that is right.
func planChecked(rec *Record) *meaningCheck {
	m := &meaningCheck{src: NewSource("", nil), rec: rec}
	m.planned()
	return m
}

// agreesWithLast reports whether a record in which only the last visit is new is
// still right: nothing else that [meaning] looks at hangs on a visit of its own.
func (m *meaningCheck) agreesWithLast(rec *Record) bool {
	own := *m
	own.rec = rec
	own.visit(len(rec.Measured.Visits) - 1)
	own.trail()
	return len(own.problems) == 0
}

type meaningCheck struct {
	src      *Source
	rec      *Record
	rooms    map[string]*plannedRoom
	problems Problems
}

// plannedRoom is a room as drawn, ready to be referred to.
type plannedRoom struct {
	elevations map[string]bool
	parts      map[string]string // part of each unit, by tag
	joints     map[string]bool
	along      map[string]string // elevation of each unit and joint, by tag and name
	reversed   map[string]string // the right name of a joint, by its name the wrong way round
}

func (m *meaningCheck) wrong(kind ProblemKind, pointer, found, expected, mend string) {
	m.problems = append(m.problems, m.src.Problem(kind, pointer, found, expected, mend))
}

// wrongName is for a member whose name is wrong: a name of something that is
// not there.
func (m *meaningCheck) wrongName(pointer, kind, name string, known []string) {
	mend := "correct the name, or plan it"
	if near := Nearest(name, known); near != "" {
		mend = fmt.Sprintf("write %q if that is meant", near)
	}
	m.wrong(Unknown, pointer, fmt.Sprintf("%s %q, which is not planned", kind, name), oneOf(kind, known), mend)
	p := &m.problems[len(m.problems)-1]
	p.Line, p.Column = m.src.PlaceOfName(pointer)
}

func oneOf(kind string, known []string) string {
	const most = 12
	switch {
	case len(known) == 0:
		return fmt.Sprintf("no %s here, since none is planned", kind)
	case len(known) > most:
		return fmt.Sprintf("a planned %s: %s and %d more", kind, strings.Join(known[:most], ", "), len(known)-most)
	}
	return fmt.Sprintf("a planned %s: %s", kind, strings.Join(known, ", "))
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// positive and notNegative judge the length l that stands in field.
func (m *meaningCheck) positive(at *way, field, what string, l *length.Length) {
	if l != nil && *l <= 0 {
		m.wrong(Impossible, at.pointer(field), l.String(), "a "+what+" above zero", "correct the value")
	}
}

func (m *meaningCheck) notNegative(at *way, field, what string, l *length.Length) {
	if l != nil && *l < 0 {
		m.wrong(Impossible, at.pointer(field), l.String(), "a "+what+" of zero or more", "correct the value")
	}
}

func (m *meaningCheck) catalog() {
	p := &m.rec.Planned
	m.body(&way{field: "planned/usual"}, p.Usual)
	planned := way{field: "planned"}
	for part, c := range p.Cabinets {
		at := planned.member("cabinets", part)
		m.positive(&at, "width", "width", &c.Width)
		m.body(&at, c.Body)
		body := p.BodyOf(c)
		for _, need := range []struct {
			name string
			ok   bool
		}{{"height", body.Height != nil}, {"depth", body.Depth != nil}, {"leveler", body.Leveler != nil}} {
			if !need.ok {
				m.wrong(Missing, at.pointer(), fmt.Sprintf("cabinet %q without %q", part, need.name),
					need.name+" here or under planned/usual", fmt.Sprintf("add %q to planned/usual if all cabinets share it, else here", need.name))
			}
		}
		for i, row := range c.Front {
			kinds := 0
			for _, n := range []int{row.Drawers, row.Doors, row.Panels} {
				if n > 0 {
					kinds++
				}
			}
			at := at.at("front", i)
			if kinds != 1 {
				m.wrong(Impossible, at.pointer(), fmt.Sprintf("a row with %d kinds of front", kinds), "one kind: drawers, doors or panels", "give each kind a row of its own")
			}
			m.positive(&at, "height", "height", row.Height)
		}
		if _, ok := p.Fillers[part]; ok {
			m.wrong(Twice, at.pointer(), fmt.Sprintf("part %q as a cabinet and as a filler", part), "each part number once", "rename one of the two")
		}
	}
	for part, f := range p.Fillers {
		at := planned.member("fillers", part)
		m.positive(&at, "width", "width", &f.Width)
		m.notNegative(&at, "scribe", "scribe", f.Scribe)
	}
	for name, f := range p.Fasteners {
		at := planned.member("fasteners", name)
		m.positive(&at, "length", "length", &f.Length)
	}
	for name, in := range p.Instruments {
		at := planned.member("instruments", name)
		m.positive(&at, "resolution", "resolution", in.Resolution)
		m.notNegative(&at, "accuracy", "accuracy", in.Accuracy)
		m.positive(&at, "over", "distance", in.Over)
		if (in.Accuracy == nil) != (in.Over == nil) {
			m.wrong(Missing, at.pointer(), "one of accuracy and over without the other", "both, since accuracy is stated over a distance", `write both, as in "accuracy": "1/8 in", "over": "100 ft"`)
		}
	}
}

func (m *meaningCheck) body(at *way, b Body) {
	m.positive(at, "height", "height", b.Height)
	m.positive(at, "depth", "depth", b.Depth)
	m.positive(at, "front_rail_depth", "depth", b.FrontRailDepth)
	m.notNegative(at, "width_tolerance", "tolerance", b.WidthTolerance)
	m.leveler(at, b.Leveler)
}

func (m *meaningCheck) leveler(at *way, l *Leveler) {
	if l == nil {
		return
	}
	m.notNegative(at, "leveler/least", "least extension", &l.Least)
	m.notNegative(at, "leveler/reserve", "reserve", l.Reserve)
	m.positive(at, "leveler/pitch", "pitch", l.Pitch)
	switch travel := l.Greatest - l.Least; {
	case travel < 0:
		m.wrong(Contradiction, at.pointer("leveler/greatest"), l.Greatest.String(), "no less than the least extension, "+l.Least.String(), "correct one of the two")
	case l.Reserve != nil && *l.Reserve > travel:
		m.wrong(Impossible, at.pointer("leveler/reserve"), l.Reserve.String(), "no more than the leveler's whole travel, "+travel.String(), "correct the reserve, or the least or greatest extension")
	}
	if l.Pitch != nil && l.ThreadsPerInch != 0 {
		m.wrong(Contradiction, at.pointer("leveler/pitch"), "pitch and threads per inch of one bolt", "one of the two", `remove "threads_per_inch" for a metric bolt, else "pitch"`)
	}
}

func (m *meaningCheck) room(i int) {
	room := &m.rec.Planned.Rooms[i]
	planned := way{field: "planned"}
	at := planned.at("rooms", i)
	plan := &plannedRoom{
		elevations: map[string]bool{},
		parts:      map[string]string{},
		joints:     map[string]bool{},
		along:      map[string]string{},
		reversed:   map[string]string{},
	}
	if _, ok := m.rooms[room.Name]; ok {
		m.wrong(Twice, at.pointer("name"), fmt.Sprintf("a second room %q", room.Name), "each room name once", "rename it, or put its elevations under the first")
	} else {
		m.rooms[room.Name] = plan
	}
	if f := room.FloorFinish; f != nil {
		m.notNegative(&at, "floor_finish/thickness", "thickness", &f.Thickness)
	}
	for j := range room.Elevations {
		e := &room.Elevations[j]
		at := at.at("elevations", j)
		if plan.elevations[e.Name] {
			m.wrong(Twice, at.pointer("name"), fmt.Sprintf("a second elevation %q in room %q", e.Name, room.Name), "each elevation name once in a room", "rename it")
		}
		plan.elevations[e.Name] = true
		m.positive(&at, "opening", "clear opening", e.Opening)
		m.positive(&at, "work_height", "work height", e.WorkHeight)
		m.notNegative(&at, "top_thickness", "thickness", e.TopThickness)
		for k := range e.Units {
			m.unit(plan, room, e, k, &at)
		}
		m.tops(e, &at)
	}
}

// notInTag says of a character that no tag has it. The schema, whose patterns
// have to be read by engines that know no classes of Unicode, refuses only those
// of ASCII.
func notInTag(r rune) bool {
	return !unicode.In(r, unicode.L, unicode.N) && r != '-' && r != '.' && r != '_'
}

func (m *meaningCheck) unit(plan *plannedRoom, room *Room, e *Elevation, k int, elevation *way) {
	u, at := &e.Units[k], elevation.at("units", k)
	if _, twice := plan.parts[u.Tag]; twice {
		m.wrong(Twice, at.pointer("tag"), fmt.Sprintf("a second unit %q in room %q", u.Tag, room.Name), "each tag once in a room", "give it a tag of its own")
	}
	if bad := strings.IndexFunc(u.Tag, notInTag); bad >= 0 {
		m.wrong(WrongForm, at.pointer("tag"), fmt.Sprintf("%q, with %q", u.Tag, []rune(u.Tag[bad:])[0]), `letters, digits, "-", "." and "_"`, "write the tag without it")
	}
	plan.parts[u.Tag], plan.along[u.Tag] = u.Part, e.Name
	p := &m.rec.Planned
	_, cabinet := p.Cabinets[u.Part]
	_, filler := p.Fillers[u.Part]
	if !cabinet && !filler {
		known := append(sortedKeys(p.Cabinets), sortedKeys(p.Fillers)...)
		mend := "add it to planned/cabinets or planned/fillers"
		if near := Nearest(u.Part, known); near != "" {
			mend = fmt.Sprintf("write %q if that is meant, else %s", near, mend)
		}
		m.wrong(Unknown, at.pointer("part"), fmt.Sprintf("part %q, which is not in the catalog", u.Part), oneOf("part", known), mend)
	}
	if u.SpaceBefore != nil {
		m.positive(&at, "space_before", "space", u.SpaceBefore)
	} else if k > 0 {
		left := e.Units[k-1].Tag
		plan.joints[JointName(left, u.Tag)], plan.along[JointName(left, u.Tag)] = true, e.Name
		plan.reversed[JointName(u.Tag, left)] = JointName(left, u.Tag)
	}
}

func (m *meaningCheck) arrived() {
	a := &m.rec.Arrived
	for i, r := range a.Receipts {
		arrived := way{field: "arrived"}
		at := arrived.at("receipts", i)
		list, ok := a.PackingLists[r.PackingList]
		if !ok {
			m.wrongName(at.pointer("packing_list"), "packing list", r.PackingList, sortedKeys(a.PackingLists))
			continue
		}
		for line := range r.Lines {
			if _, ok := list.Lines[line]; !ok {
				at := at.member("lines", line)
				m.wrongName(at.pointer(), "line", line, sortedKeys(list.Lines))
			}
		}
	}
}

func (m *meaningCheck) agreed() {
	for i, o := range m.rec.Agreed.OpenItems {
		if _, ok := m.rooms[o.Room]; !ok {
			m.wrongName(Pointer("/agreed/open_items", i, "room"), "room", o.Room, sortedKeys(m.rooms))
		}
	}
	for i, r := range m.rec.Agreed.Reinspections {
		if _, ok := m.rooms[r.Room]; !ok {
			m.wrongName(Pointer("/agreed/reinspections", i, "room"), "room", r.Room, sortedKeys(m.rooms))
		}
	}
}
