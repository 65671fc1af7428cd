package checks

import (
	"cmp"

	"setline.example/checks/say"
)

// Subject is what a result judges: a unit, a joint, or a part number of a room.
type Subject struct {
	Room      string // room as planned
	Elevation string // elevation as planned; "" where it is the whole room
	Kind      SubjectKind
	// Item names it within its room, the same for ever: tag "A3", joint "A3+A4",
	// "run A1 to A5", "part BD24". Concessions and baselines hold it. It is no
	// words, and nothing is read out of it: Kind, First and Last say what it is.
	Item string
	// First is the tag, part, elevation, instrument or kind of readings that it is
	// of, or the tag of its first unit; Last that of its last one, or the visit.
	First, Last string

	// Positions in the plan, which give walking order: of the room, of the
	// elevation in it, and along that elevation.
	room, elevation, unit int
}

// SubjectKind is what a subject is.
type SubjectKind string

// The kinds of subjects.
const (
	SubjectUnit       SubjectKind = "unit"
	SubjectJoint      SubjectKind = "joint"
	SubjectRun        SubjectKind = "run"
	SubjectElevation  SubjectKind = "elevation"
	SubjectPart       SubjectKind = "part"
	SubjectInstrument SubjectKind = "instrument" // on a visit
	SubjectReadings   SubjectKind = "readings"   // that an instrument gave on a visit
	SubjectSite       SubjectKind = "site"
	SubjectRoom       SubjectKind = "room"
	SubjectVisit      SubjectKind = "visit"
)

// unitSubject is a unit, wherever it stands.
func unitSubject(room, elevation, tag string) Subject {
	return Subject{Room: room, Elevation: elevation, Kind: SubjectUnit, Item: tag, First: tag}
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

// Words say which it is, with its room: "S-104/A3".
func (s Subject) Words() say.Text { return say.That("%[1]s/%[2]s", say.Name(s.Room), s.ItemWords()) }

// ItemWords say which it is within its room.
func (s Subject) ItemWords() say.Text {
	first, last := say.Name(s.First), say.Name(s.Last)
	switch s.Kind {
	case SubjectRun:
		return say.That("run %[1]s to %[2]s", first, last)
	case SubjectElevation:
		return say.That("elevation %[1]s", first)
	case SubjectPart:
		return say.That("part %[1]s", first)
	case SubjectInstrument:
		if last == "" {
			return first.Text() // whatever the visit
		}
		return say.That("%[1]s on %[2]s", first, last)
	case SubjectReadings:
		return say.That("%[1]s on %[2]s", AnswerWords(s.First), last)
	case SubjectSite:
		return say.That("site")
	case SubjectRoom:
		return say.That("room %[1]s", first)
	case SubjectVisit:
		return visitOf(first, last)
	}
	return say.Name(s.Item).Text()
}

// visitOf name a visit by its number, or by its date.
func visitOf(number, date say.Name) say.Text {
	if number == "" {
		return say.That("visit of %[1]s", date)
	}
	return say.That("visit %[1]s", number)
}
