package intake

import (
	"fmt"

	"github.com/go-json-experiment/json"
	"setline.example/schema"
	"setline.example/schema/table"
)

// drawn is what a table of units says: rooms, their elevations and units, in
// the order of the table, and the parts they are.
type drawn struct {
	rooms  []*drawnRoom
	byName map[string]*drawnRoom
	parts  []*drawnPart
	byPart map[string]*drawnPart
}

type drawnRoom struct {
	subject
	name       string
	elevations []*drawnElevation
	byName     map[string]*drawnElevation
}

type drawnElevation struct {
	subject
	name  string
	units []drawnUnit
}

type drawnUnit struct {
	tag, part     string
	space         []byte // as typed; nil for none
	sameSpace     string // however it was typed
	row           *reader
	room, element table.Cell // of the room's and the elevation's name
}

type drawnPart struct {
	subject
	name  string
	width table.Cell // of its first row
}

// units brings in a table of units.
func (b *build) units(t *table.Table) error {
	d := &drawn{byName: map[string]*drawnRoom{}, byPart: map[string]*drawnPart{}}
	for r := range b.rows(t) {
		d.row(r)
	}
	if err := b.catalog(d); err != nil {
		return err
	}
	return b.rooms(d)
}

// row reads one row.
func (d *drawn) row(r *reader) {
	u := drawnUnit{tag: r.needed("tag"), part: r.needed("part"), row: r, room: r.Cell("room"), element: r.Cell("elevation")}
	roomName, elevationName := r.needed("room"), r.needed("elevation")
	room, ok := d.byName[roomName]
	if !ok {
		room = &drawnRoom{subject: subject{what: fmt.Sprintf("room %q", roomName), first: u.room}, name: roomName, byName: map[string]*drawnElevation{}}
	}
	elevation, oldElevation := room.byName[elevationName]
	if !oldElevation {
		elevation = &drawnElevation{subject: subject{what: fmt.Sprintf("elevation %q of room %q", elevationName, roomName), first: u.element}, name: elevationName}
	}
	part, oldPart := d.byPart[u.part]
	if !oldPart {
		part = &drawnPart{subject: subject{what: fmt.Sprintf("part %q", u.part), first: r.Cell("part")}, name: u.part, width: r.Cell("width")}
	}

	r.sayText(&room.subject, "use", "use", r.text("use"))
	room.finish(r)
	elevation.read(r)
	part.read(r)
	if text, l, ok := r.length("space before"); ok {
		u.space, u.sameSpace = quote(text), string(quote(l.String()))
	}
	if r.bad {
		return
	}
	if !ok {
		d.rooms = append(d.rooms, room)
		d.byName[roomName] = room
	}
	if !oldElevation {
		room.elevations = append(room.elevations, elevation)
		room.byName[elevationName] = elevation
	}
	if !oldPart {
		d.parts = append(d.parts, part)
		d.byPart[u.part] = part
	}
	elevation.units = append(elevation.units, u)
	part.rows = append(part.rows, rowOf(u.room))
}

// read notes what a row says of its elevation, in the order of the record.
func (e *drawnElevation) read(r *reader) {
	r.sayText(&e.subject, "left", "left end", r.choice("left end", "wall", "exposed", "abutting"))
	r.sayText(&e.subject, "right", "right end", r.choice("right end", "wall", "exposed", "abutting"))
	r.sayLength(&e.subject, "opening", "opening")
	r.sayLength(&e.subject, "work_height", "work height")
	r.sayLength(&e.subject, "top_thickness", "top thickness")
	if r.yes("accessible") {
		r.say(&e.subject, "accessible", "accessible", []byte("true"), "true")
	}
}

// finish notes what a row says of its room's floor finish.
func (room *drawnRoom) finish(r *reader) {
	text, l, ok := r.length("floor finish")
	under := r.yes("finish under cabinets")
	if !ok {
		if under {
			r.wrong(schema.Missing, r.Cell("floor finish"), "no thickness of a finish that runs under the cabinets", "its thickness in column floor finish", "write it with its unit, such as 1/8 in")
		}
		return
	}
	finish := schema.FloorFinish{Thickness: l, UnderCabinets: under}
	value := object{{Name: "thickness", Value: quote(text)}, {Name: "under_cabinets", Value: jsonOf(under)}}.json()
	r.say(&room.subject, "floor_finish", "floor finish", value, string(jsonOf(finish)))
}

// rooms adds what is new of rooms, elevations and units.
func (b *build) rooms(d *drawn) error {
	var fresh [][]byte
	was := b.base.Record.Planned.Rooms
	had := map[string]int{}
	for i, room := range was {
		had[room.Name] = i
	}
	units, elevations := 0, 0
	for _, room := range d.rooms {
		at := schema.Pointer("/planned/rooms", len(was)+len(fresh))
		if old, ok := had[room.name]; ok {
			at = schema.Pointer("/planned/rooms", old)
			b.origin[at] = room.first
			u, e, err := b.oldRoom(at, &was[old], room)
			if err != nil {
				return err
			}
			units += u
			elevations += e
			continue
		}
		for _, e := range room.elevations {
			units += len(e.units)
			elevations++
		}
		fresh = append(fresh, b.newRoom(at, room))
	}
	b.say(len(fresh), "room", "rooms")
	b.say(elevations, "elevation", "elevations")
	b.say(units, "unit", "units")
	return b.append("/planned/rooms", true, elements(fresh))
}

// newRoom gives a room that will stand at pointer.
func (b *build) newRoom(at string, room *drawnRoom) []byte {
	b.origin[at] = room.first
	var o object
	o.text("name", room.name)
	b.putFacts(&o, at, room.facts)
	values := make([][]byte, len(room.elevations))
	for j, e := range room.elevations {
		values[j] = b.newElevation(schema.Pointer(at, "elevations", j), e)
	}
	o.put("elevations", rowsOf(values))
	return o.json()
}

func indexOf[T any](all []T, is func(*T) bool) (int, bool) {
	for i := range all {
		if is(&all[i]) {
			return i, true
		}
	}
	return 0, false
}

// putFacts puts facts into o, which will stand at pointer.
func (b *build) putFacts(o *object, pointer string, facts []fact) {
	for _, f := range facts {
		o.put(f.member, f.value)
		b.origin[schema.Pointer(pointer, f.member)] = f.cell
	}
}

// newElevation gives an elevation that will stand at pointer.
func (b *build) newElevation(at string, e *drawnElevation) []byte {
	b.origin[at] = e.first
	var o object
	o.text("name", e.name)
	b.putFacts(&o, at, e.facts)
	values := make([][]byte, len(e.units))
	for i, u := range e.units {
		values[i] = b.unit(schema.Pointer(at, "units", i), u)
	}
	o.put("units", rowsOf(values))
	return o.json()
}

// unit gives a unit that will stand at pointer.
func (b *build) unit(at string, u drawnUnit) []byte {
	b.origin[at] = u.row.Cell("tag")
	b.origin[at+"/part"] = u.row.Cell("part")
	var o object
	o.text("tag", u.tag)
	o.text("part", u.part)
	if u.space != nil {
		b.origin[at+"/space_before"] = u.row.Cell("space before")
		o.put("space_before", u.space)
	}
	return o.json()
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

// jsonOf writes a value of the record's types.
func jsonOf(v any) []byte {
	out, err := json.Marshal(v, json.Deterministic(true))
	if err != nil {
		panic("a value of the record that cannot be written: " + err.Error())
	}
	return out
}
