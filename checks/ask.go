package checks

import (
	"cmp"
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Ask is one thing that a person can observe and that rules need.
type Ask struct {
	// Subject is where it is: a unit, a joint, an elevation; or the visit itself,
	// for which Room is "".
	Subject Subject
	// Place leads to it within a visit of the record, step by step:
	// "rooms", "S-104", "cabinets", "A3", "tops", "FL".
	Place []string
	// Thing is its kind, nil where it is of the visit alone; Key says which it is
	// where its owner has several: "FL", "drawer 1".
	Thing *Thing
	Key   string
	// Words say what it is: "Top, front-left". Short says it where the kind is
	// known: "upper rear".
	Words, Short say.Text
	// Blanks are what is to be filled in, most often one. The first that is
	// Required must be filled for any of them to count.
	Blanks []Blank
	// Again are those of Blanks that decide anew what does not hold, nil where that
	// takes all of them.
	Again []Blank
	// Rules are those that need it, in the order in which the work goes. There
	// are none for what no rule needs and is yet worth recording.
	Rules []*Rule
	// Limit is what it will be held against; nothing where it is not judged by
	// itself.
	Limit say.Text
	// SeenOn is when it was last observed; "" where nobody did.
	SeenOn schema.Date
	// Open says that it is to be looked at: nobody observed what a rule needs, or
	// what was observed does not hold.
	Open bool
	// Optional says that every rule can do without.
	Optional bool
	// Covers is how many other asks it answers at once: "all of it, except"; 0
	// where it asks for itself alone. Covered says that another answers this one.
	Covers  int
	Covered bool
	// Past says that no sheet asks it any more, and one of before may have.
	Past bool
}

// Blank is one value to be filled in.
type Blank struct {
	// Steps lead to it within its ask; there are none where it is the whole.
	Steps []string
	Kind  Kind
	// Words say which of several it is: "off", "over". Nothing where it is the only one.
	Words say.Text
	// Choices are the answers that can be given, for [Choice] and [Several], as the
	// record has them; [AnswerWords] says them.
	Choices []string
	// Usual is written there before anybody fills it in, and says nothing alone:
	// where along the floor to read, over what a level is laid.
	Usual string
	// Printed says that Usual stands there and takes no box of its own: it goes with
	// what is written beside it.
	Printed bool
	// Short says that what is written there is short.
	Short bool
	// Required says that the ask's other blanks mean nothing without it.
	Required bool
}

// Kind is a kind of answer.
type Kind string

// The kinds of answer.
const (
	LengthKind Kind = "length"
	YesNo      Kind = "yes or no"
	CountKind  Kind = "count"
	Choice     Kind = "choice"  // one of Choices
	Several    Kind = "several" // any of Choices, also none of them
	Words      Kind = "words"
	DateKind   Kind = "date" // YYYY-MM-DD
	Drawer     Kind = "drawer"
	Used       Kind = "used" // a tick or none
)

// Name writes the ask's place, or that of one of its blanks, as a path whose
// steps are percent-encoded (RFC 3986, 2.1): "rooms/S-104/cabinets/A3/tops/FL".
// Beside reserved characters "." is encoded, since it parts the names of fields
// in a PDF (ISO 32000-1, 12.7.3.2), and so is everything that is not ASCII.
func (a *Ask) Name(b *Blank) string {
	steps := a.Place
	if b != nil {
		steps = slices.Concat(a.Place, b.Steps)
	}
	return PlaceName(steps...)
}

// PlaceName writes the steps of a place as [Ask.Name] does.
func PlaceName(steps ...string) string {
	var room [128]byte // as most have no more
	b := room[:0]
	for i, s := range steps {
		if i > 0 {
			b = append(b, '/')
		}
		b = appendEncoded(b, s)
	}
	return string(b)
}

func appendEncoded(b []byte, s string) []byte {
	const hex = "0123456789ABCDEF"
	for i := range len(s) {
		c := s[i]
		switch {
		case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z', '0' <= c && c <= '9', c == '-', c == '_', c == '~':
			b = append(b, c)
		default:
			b = append(b, '%', hex[c>>4], hex[c&15])
		}
	}
	return b
}

// AsksOf returns everything that the rules need and that a person can observe on
// a visit, and what else is worth recording, in walking order: what is of the
// visit first, then room by room, in each unit by unit from the left, a joint
// behind its left unit, and for each in the order of the work. What is found is
// what [Run] says of the record.
//
// Where rules take one of several, the one that a crew would do is asked for
// and the others are Optional: the tops by laser rather than a level laid on
// every side.
func AsksOf(rec *schema.Record, src *schema.Source, found *Findings) []Ask {
	w := NewWalk(rec, src, found)
	var all []Ask
	for i := range rec.Planned.Rooms {
		all = append(all, w.Room(i)...)
	}
	return append(w.Visit(AnyOpen(all)), all...)
}

// AnyOpen reports whether anything is to be looked at.
func AnyOpen(asks []Ask) bool {
	return slices.ContainsFunc(asks, func(a Ask) bool { return a.Open })
}

// Walk makes what [AsksOf] returns room by room, for those who want to keep no
// more than one room's at a time. It can be used from several goroutines.
type Walk struct {
	job    *facts
	limits map[string]limitChange
	found  *Findings
}

// NewWalk begins to ask of a record in which [Run] found these.
func NewWalk(rec *schema.Record, src *schema.Source, found *Findings) *Walk {
	limits, _ := contractLimits(rec, src) // Run has looked at them
	return &Walk{job: newJob(rec, rec.Measured.VisitsInTime()), limits: limits, found: found}
}

// asker begins to ask of some rooms.
func (w *Walk) asker(rooms ...*room) *asker {
	own := *w.job
	own.rooms = rooms
	return &asker{facts: &own, at: map[string]*ask{}}
}

// observe lets rules say what they need.
func (w *Walk) observe(a *asker, rules []*Rule) {
	for _, rule := range rules {
		if rule.observe != nil {
			a.rule, a.limit = rule, limitOf(w.limits, rule)
			rule.observe(a)
		}
	}
	a.rule = nil
}

// asked asks of one room, by its position in the plan, and looks up who saw what.
func (w *Walk) asked(i int) *asker {
	a := w.asker(newRoom(w.job.rec, i, w.job.visits))
	w.observe(a, rules())
	a.worthRecording()
	a.asks = slices.DeleteFunc(a.asks, func(x *ask) bool { return x.Subject.room < 0 }) // of the visit
	name := w.job.rec.Planned.Rooms[i].Name
	a.lookUp(func(v *schema.Visit) *schema.Visit {
		seen, ok := v.Rooms[name]
		if !ok {
			return nil
		}
		return &schema.Visit{Rooms: map[string]schema.RoomSeen{name: seen}}
	})
	return a
}

// Room asks of one room, by its position in the plan.
func (w *Walk) Room(i int) []Ask {
	a := w.asked(i)
	a.lists, a.widest = w.found.Rooms[i].Turns, length.Length(limitOf(w.limits, surveyCoverage).limit.N)
	a.open(w.found.Rooms[i].Results)
	a.tieRooms()
	a.leastOfLines()
	a.offerAll()
	return a.sorted()
}

// Visit asks what is of the visit itself. Instruments are needed where anything
// is open in a room.
func (w *Walk) Visit(open bool) []Ask {
	rec := w.job.rec
	rooms := make([]*room, len(rec.Planned.Rooms))
	for i := range rooms {
		rooms[i] = &room{plan: &rec.Planned.Rooms[i], index: i} // nothing of what stands there
	}
	a := w.asker(rooms...)
	w.observe(a, visitRules)
	a.visitWorthRecording()
	a.lookUp(func(v *schema.Visit) *schema.Visit {
		own := *v
		own.Rooms = nil
		return &own
	})
	a.open(w.found.Results)
	a.openVisit(open)
	return a.sorted()
}

// visitRules are those that ask for something of the visit itself.
var visitRules = []*Rule{instrumentChecked, siteSettled}

// sorted gives what is asked in walking order.
func (a *asker) sorted() []Ask {
	slices.SortStableFunc(a.asks, func(x, y *ask) int {
		return cmp.Or(
			cmp.Compare(x.Subject.room, y.Subject.room),
			cmp.Compare(x.Subject.elevation, y.Subject.elevation),
			cmp.Compare(x.Subject.unit, y.Subject.unit),
		)
	})
	all := make([]Ask, len(a.asks))
	for i, x := range a.asks {
		all[i] = x.Ask
	}
	return all
}
