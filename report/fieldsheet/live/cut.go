package live

import (
	"encoding/json"
	"fmt"

	"setline.example/schema"
)

// OfRoom gives the text of a record that holds of rec what judges one room: that
// room, the parts that stand in it, what visits saw of it and what was agreed of
// it. What was withdrawn, corrected or planned otherwise before is left out: it
// is history, and changes no verdict. What arrived stays whole, since labels are
// held against it.
func OfRoom(rec *schema.Record, room string) ([]byte, error) {
	cut := schema.Record{Setline: rec.Setline, Planned: planOf(&rec.Planned, room), Arrived: rec.Arrived}
	if cut.Planned.Rooms == nil {
		return nil, fmt.Errorf("found room %q, expected one that is planned", room)
	}
	for i := range rec.Measured.Visits {
		v := rec.Measured.Visits[i]
		seen, ok := v.Rooms[room]
		if !ok || v.Withdrawn != nil {
			continue
		}
		v.Rooms = map[string]schema.RoomSeen{room: seen}
		v.Undone, v.Corrections, v.Former = nil, nil, nil
		cut.Measured.Visits = append(cut.Measured.Visits, v)
	}
	for _, c := range rec.Agreed.Concessions {
		if schema.RoomOf(c.Subject) == room {
			cut.Agreed.Concessions = append(cut.Agreed.Concessions, c)
		}
	}
	for _, r := range rec.Agreed.Reinspections {
		if r.Room == room {
			cut.Agreed.Reinspections = append(cut.Agreed.Reinspections, r)
		}
	}
	return json.Marshal(cut)
}

// planOf is the plan of one room.
func planOf(p *schema.Planned, room string) schema.Planned {
	own := *p
	own.Rooms, own.Changes = nil, nil
	own.Cabinets, own.Fillers = map[string]schema.Cabinet{}, map[string]schema.Filler{}
	for _, r := range p.Rooms {
		if r.Name != room {
			continue
		}
		own.Rooms = append(own.Rooms, r)
		for _, e := range r.Elevations {
			for _, u := range e.Units {
				if c, ok := p.Cabinets[u.Part]; ok {
					own.Cabinets[u.Part] = c
				}
				if f, ok := p.Fillers[u.Part]; ok {
					own.Fillers[u.Part] = f
				}
			}
		}
	}
	return own
}
