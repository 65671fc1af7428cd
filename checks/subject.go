package checks

import "cmp"

// Subject is what a result judges: a unit, a joint, or a part number of a room.
type Subject struct {
	Room      string // room as planned
	Elevation string // elevation as planned; "" where it is the whole room
	Item      string // tag "A3", joint "A3+A4", or "part BD24"

	// Positions in the plan, which give walking order: of the room, of the
	// elevation in it, and along that elevation.
	room, elevation, unit int
}

// String writes the subject as a concession names it: "S-104/A3".
func (s Subject) String() string { return s.Room + "/" + s.Item }

// Compare puts subjects of one record in walking order.
func (s *Subject) Compare(o *Subject) int {
	return cmp.Or(
		cmp.Compare(s.room, o.room),
		cmp.Compare(s.elevation, o.elevation),
		cmp.Compare(s.unit, o.unit),
	)
}
