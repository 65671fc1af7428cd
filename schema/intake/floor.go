package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"setline.example/schema"
	"setline.example/schema/length"
	"setline.example/schema/table"
)

// surveyed is what a table says of the floor of one elevation.
type surveyed struct {
	room, name string
	first      *reader                   // of its rows
	lines      map[string][]floorReading // by "front", "back" and "mark"
	says       subject                   // beside its readings
}

// floorReading is a row: a reading of the floor, or of the set-height mark, of
// which nobody has to say where along the elevation it is.
type floorReading struct {
	at, down         length.Length
	atText, downText string
	row              *reader
}

func (r floorReading) value() []byte { return listOf([][]byte{quote(r.atText), quote(r.downText)}) }

// floor brings in a table of floor readings, as one visit.
func (b *build) floor(t *table.Table, v Visit) error {
	var all []*surveyed
	index := map[[2]string]*surveyed{}
	for r := range b.rows(t) {
		room, name := r.needed("room"), r.needed("elevation")
		r.needed("line")
		line := r.choice("line", "front", "back", markLine)
		if line == "front" || line == "back" {
			r.needed("at")
		}
		at, alongIn, _ := r.length("at")
		r.needed("reading")
		down, downIn, _ := r.length("reading")
		if r.bad {
			continue
		}
		s, ok := index[[2]string{room, name}]
		if !ok {
			s = &surveyed{room, name, r, map[string][]floorReading{}, subject{what: fmt.Sprintf("elevation %q of room %q", name, room)}}
			index[[2]string{room, name}] = s
			all = append(all, s)
		}
		if line == markLine && s.markedTwice(r) {
			continue
		}
		if r.sayText(&s.says, "reference", "reference line", r.text("reference line")); r.bad {
			continue
		}
		s.lines[line] = append(s.lines[line], floorReading{alongIn, downIn, at, down, r})
	}
	for _, s := range all {
		for line := range s.lines {
			slices.SortStableFunc(s.lines[line], func(x, y floorReading) int { return cmp.Compare(x.at, y.at) })
		}
	}
	all, err := b.notYet(all, v)
	if err != nil || len(all) == 0 {
		return err
	}
	return b.visit(v, all)
}

// notYet leaves out what the record has of a visit of that day and those people;
// a mark that it has not is added there.
func (b *build) notYet(all []*surveyed, v Visit) (rest []*surveyed, err error) {
	marks := 0
	for _, s := range all {
		at := b.surveyedBefore(s, v)
		if at < 0 {
			rest = append(rest, s)
			continue
		}
		added, err := b.lateMark(s, at)
		if err != nil {
			return nil, err
		}
		if added {
			marks++
		}
	}
	b.sayMarks(marks)
	return rest, nil
}

// surveyedBefore gives the visit of that day and those people with the same
// readings, by its position in the record; -1 where there is none.
func (b *build) surveyedBefore(s *surveyed, v Visit) int {
	same := func(line string, old []schema.FloorReading) bool {
		return slices.EqualFunc(s.lines[line], old, func(x floorReading, y schema.FloorReading) bool { return x.at == y.At() && x.down == y.Down() })
	}
	return slices.IndexFunc(b.base.Record.Measured.Visits, func(old schema.Visit) bool {
		seen, ok := old.Rooms[s.room].Elevations[s.name]
		return ok && string(old.Date) == v.Date &&
			slices.EqualFunc(old.People, v.People, func(x, y schema.Party) bool { return x.Name == y.Name }) &&
			same("front", seen.Floor.Front) && same("back", seen.Floor.Back)
	})
}

// visit adds the visit.
func (b *build) visit(v Visit, all []*surveyed) error {
	at := schema.Pointer("/measured/visits", len(b.base.Record.Measured.Visits))
	readings, marks := 0, 0
	var rooms []string // in the order of the table
	elevations := map[string]*object{}
	for _, s := range all {
		here := schema.Pointer(at, "rooms", s.room)
		if elevations[s.room] == nil {
			rooms = append(rooms, s.room)
			elevations[s.room] = new(object)
			b.origin[here] = s.first.Cell("room")
		}
		here = schema.Pointer(here, "elevations", s.name)
		b.origin[here] = s.first.Cell("elevation")
		var floor object
		for _, line := range []string{"front", "back"} {
			var values [][]byte
			for i, r := range s.lines[line] {
				here := schema.Pointer(here, "floor", line, i)
				b.origin[here], b.origin[here+"/0"], b.origin[here+"/1"] = r.row.Cell("line"), r.row.Cell("at"), r.row.Cell("reading")
				values = append(values, r.value())
			}
			readings += len(values)
			if len(values) > 0 {
				floor.put(line, listOf(values))
			}
		}
		var o object
		if f, ok := s.says.get("reference"); ok {
			o.put(f.member, f.value)
			b.origin[schema.Pointer(here, f.member)] = f.cell
		}
		for _, mark := range s.lines[markLine] {
			b.putFacts(&o, here, mark.members())
		}
		marks += len(s.lines[markLine])
		if len(floor) > 0 {
			o.put("floor", floor.json())
		}
		elevations[s.room].put(s.name, o.json())
	}
	var inRooms object
	for _, room := range rooms {
		inRooms.put(room, object{{Name: "elevations", Value: elevations[room].json()}}.json())
	}
	b.say(readings, "floor reading", "floor readings")
	b.sayMarks(marks)
	var o object
	o.text("date", v.Date)
	o.text("purpose", v.Purpose)
	o.put("people", jsonOf(v.People))
	if len(v.Instruments) > 0 {
		var used object
		for _, in := range v.Instruments {
			if in.use == nil {
				var use object
				use.text("checked", in.Checked)
				in.use = use.json()
			} else {
				b.origin[schema.Pointer(at, "instruments", in.Name)] = in.cell
			}
			used.put(in.Name, in.use)
		}
		o.put("instruments", used.json())
	}
	o.put("rooms", inRooms.json())
	o.put("entered", b.entry())
	return b.append("/measured/visits", true, elements([][]byte{o.json()}))
}

// ParseInstrument reads how a call names an instrument: its name, and where
// wanted the date of its last check, as "line laser checked 2026-09-04".
func ParseInstrument(s string) (Instrument, error) {
	name, date, checked := strings.Cut(s, " checked ")
	in := Instrument{Name: strings.TrimSpace(name), Checked: strings.TrimSpace(date)}
	switch {
	case in.Name == "":
		return in, fmt.Errorf("found no instrument in %q, expected its name", s)
	case checked && !IsDate(in.Checked):
		return in, fmt.Errorf("found %q behind %q, expected the date of its check, YYYY-MM-DD", in.Checked, "checked")
	}
	return in, nil
}
