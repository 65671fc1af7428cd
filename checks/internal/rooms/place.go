package rooms

import (
	"math/rand/v2"

	"setline.example/schema"
)

// Place is a random cabinet or joint of a record, to plant a fault at.
type Place struct {
	Rand      *rand.Rand
	Record    *schema.Record
	Room      string
	Seen      schema.RoomSeen // by the first visit
	Elevation *schema.Elevation
}

// NewPlace picks a place of a record.
func NewPlace(rng *rand.Rand, rec *schema.Record) *Place {
	room := &rec.Planned.Rooms[rng.IntN(len(rec.Planned.Rooms))]
	return &Place{rng, rec, room.Name, rec.Measured.Visits[0].Rooms[room.Name], &room.Elevations[rng.IntN(len(room.Elevations))]}
}

// Tag picks a unit of the elevation that want wants, "" where there is none.
func (p *Place) Tag(want func(schema.Cabinet, bool) bool) string {
	var tags []string
	for _, u := range p.Elevation.Units {
		c, ok := p.Record.Planned.Cabinets[u.Part]
		if want(c, ok) {
			tags = append(tags, u.Tag)
		}
	}
	if len(tags) == 0 {
		return ""
	}
	return tags[p.Rand.IntN(len(tags))]
}

// Cabinet picks a cabinet.
func (p *Place) Cabinet() string { return p.Tag(func(_ schema.Cabinet, ok bool) bool { return ok }) }

// Filler picks a filler.
func (p *Place) Filler() string { return p.Tag(func(_ schema.Cabinet, ok bool) bool { return !ok }) }

// Joint picks a joint between two cabinets of the elevation.
func (p *Place) Joint() string {
	var names []string
	for i := 1; i < len(p.Elevation.Units); i++ {
		a, b := p.Elevation.Units[i-1], p.Elevation.Units[i]
		_, left := p.Record.Planned.Cabinets[a.Part]
		_, right := p.Record.Planned.Cabinets[b.Part]
		if left && right && b.SpaceBefore == nil {
			names = append(names, schema.JointName(a.Tag, b.Tag))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return names[p.Rand.IntN(len(names))]
}

// AlterCabinet edits what the first visit saw of a cabinet.
func (p *Place) AlterCabinet(tag string, edit func(*schema.CabinetSeen)) string {
	Alter(p.Seen.Cabinets, tag, edit)
	return tag
}
