package checks

import (
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// TurnList is what to turn so that a run, or a cabinet on its own, comes within
// level, set height, plane and twist. There is one for every run that does not
// pass by the tops as they were read.
type TurnList struct {
	Room, Elevation string
	// Of is the run, or the cabinet.
	Of       Subject
	from, to Subject // its first and its last cabinet

	// Bolts is how many levelers it has of which the top was read.
	Bolts int
	// Turns are those to turn, in walking order. There are none where NotBearing,
	// Untied or Why say what comes first.
	Turns []Turn
	// Fewest says that no fewer serve: AtLeast faults have no corner in common.
	Fewest  bool
	AtLeast int
	// Stays are the corners that stay as they are though off the mark.
	Stays []OffMark
	// Marked says that there is a mark, or a set height, that they are held to.
	// Without one the run is only brought level, at the height most of it has.
	Marked bool
	// Loosen are joints that are to be loosened first, by their names.
	Loosen []string
	// Spends says that a leveler is left with less than its reserve.
	Spends bool
	// Untold are corners of which nobody knows how far their bolts still go.
	Untold []CornerName
	// Unread are corners of which nobody read the top.
	Unread []CornerName

	// NotBearing are feet that do not bear: what is read above them says nothing
	// of their bolts, so that nothing is computed.
	NotBearing []CornerName
	// Untied says that the tops were read from lines that no mark ties.
	Untied bool
	// Why says why turning does not serve, nothing where it does.
	Why say.Text
	// Short are corners whose bolts do not reach, and Packing what to put under
	// the feet for a mark that is higher by Raise.
	Short   []ShortBolt
	Packing []Packed
	Raise   length.Length
	// Serve says that marks from Least to Most higher than this one are in reach
	// of every bolt.
	Serve       bool
	Least, Most length.Length
	// Stiff are corners that moved less than half of what they were turned.
	Stiff []Stiff
}

// CornerName is a corner of a cabinet.
type CornerName struct {
	Unit  string    // "A3"
	Key   string    // "FL"
	Place say.Words // "front-left"
}

// Words say which corner it is: "A3 front-left".
func (c CornerName) Words() say.Text { return say.That("%[1]s %[2]s", say.Name(c.Unit), c.Place) }

// Turn is how far a leveler is turned.
type Turn struct {
	CornerName
	// Eighths of a turn, up above zero; 0 where no threads are planned.
	Eighths int
	// Rise is how far the corner comes up, to the nearest nanometre.
	Rise length.Length
}

// OffMark is how high a corner stands above the mark; below it under zero.
type OffMark struct {
	CornerName
	Off length.Length
}

// ShortBolt is a corner that its bolt does not bring to the mark: by so much it
// would have to come up, or down where By is below zero.
type ShortBolt struct {
	CornerName
	By length.Length
}

// Packed is how much more packing has to be under a foot than is there.
type Packed struct {
	CornerName
	More, There length.Length
}

// Stiff is a corner that moved less than half of what it was turned.
type Stiff struct {
	CornerName
	// Turned is how far it should have come up, and Moved how far it did.
	Turned, Moved length.Length
	// Listed is the day of the list that asks for it; "" where two recorded
	// extensions show how far it was turned.
	Listed schema.Date
}

// Nothing reports whether the list has nothing to turn.
func (l *TurnList) Nothing() bool { return len(l.Turns) == 0 }

// Move is by how much higher another set height would serve, where bolts do not
// reach this one; lower below zero. ok is false where none does.
func (l *TurnList) Move() (by length.Length, ok bool) {
	by = max(0, l.Least) + min(0, l.Most)
	return by, l.Serve && by != 0
}

// Touched are the cabinets that are turned, in walking order.
func (l *TurnList) Touched() (units []string) {
	for _, t := range l.Turns {
		if n := len(units); n == 0 || units[n-1] != t.Unit {
			units = append(units, t.Unit)
		}
	}
	return units
}
