// Package compare says what changed in a job between two records, or between two
// visits of one: the plan, what arrived, what was seen, what moved, how that is
// judged, and what was agreed.
//
// Values are told apart by the fields of the record that hold them, and by their
// exact values. The words that people read are made of both at the end, and
// nothing compares them.
package compare

import (
	"cmp"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Change is one thing that is not as it was. Lengths are as people read them.
type Change struct {
	Room      string `json:"room,omitempty"`
	Elevation string `json:"elevation,omitempty"`
	Item      string `json:"item,omitempty"` // unit or joint
	// Field leads there from the place above, as a JSON Pointer of the record's
	// fields and names; "" is the place itself. What says it in words.
	Field string `json:"field,omitempty"`
	What  string `json:"what"`
	Then  string `json:"then,omitempty"` // "" where there was none
	Now   string `json:"now,omitempty"`  // "" where there is none any more
}

// Comparison is what changed in a job from one time to another. Lists are in
// walking order.
type Comparison struct {
	// Then and Now name the two jobs.
	Then schema.Project `json:"then"`
	Now  schema.Project `json:"now"`

	Planned  []Change      `json:"planned"`  // of the job first, then room by room
	Arrived  []Change      `json:"arrived"`  // packing lists and counts
	Visits   []Change      `json:"visits"`   // made, gone, or told otherwise
	Observed []Observation `json:"observed"` // newly made, superseded, corrected, gone
	Moved    []Moved       `json:"moved"`    // by elevation
	Judged   []Judged      `json:"judged"`   // results whose outcome changed
	Opened   []FaultNote   `json:"opened"`   // faults open now that were not then
	Closed   []FaultNote   `json:"closed"`   // faults told then, and told otherwise now: open no more, or never were
	Passing  []FaultNote   `json:"passing"`  // found after then, and put right or conceded by now
	Agreed   []Change      `json:"agreed"`   // concessions, open items, who signs

	// Rooms are the verdicts then and now, of every room planned then or now.
	Rooms []RoomVerdicts `json:"rooms"`
}

// RoomVerdicts are the verdicts of one room. One is nil where the room was
// not planned, or is not any more.
type RoomVerdicts struct {
	Room string    `json:"room"`
	Then *Standing `json:"then"`
	Now  *Standing `json:"now"`
}

// Standing is a verdict in numbers.
type Standing struct {
	Ready  bool                   `json:"ready"`
	Counts map[checks.Outcome]int `json:"results"`
}

// SameJob reports whether the two are of one job: name and number agree.
func (c *Comparison) SameJob() bool {
	return c.Then.Name == c.Now.Name && c.Then.Number == c.Now.Number
}

// Same reports whether nothing changed. All else follows from what these hold.
func (c *Comparison) Same() bool {
	return len(c.Planned)+len(c.Arrived)+len(c.Visits)+len(c.Observed)+len(c.Agreed) == 0
}

// Compare says what changed from then to now. The error is that of [checks.Run].
func Compare(then, now checks.Known) (*Comparison, error) {
	states, err := checks.Judge(then, now)
	if err != nil {
		return nil, err
	}
	a, b := newSide(states[0]), newSide(states[1])
	c := &Comparison{Then: then.Record.Planned.Project, Now: now.Record.Planned.Project}
	p := pair{then: a, now: b, sys: cmp.Or(now.Record.Planned.LengthsIn, length.InchSystem)}
	c.Planned = p.planned()
	c.Arrived = changes(items(then.Record.Arrived, p.sys), items(now.Record.Arrived, p.sys))
	c.Visits = p.visits()
	c.Observed = p.observed()
	c.Moved = p.moved()
	c.Judged = p.judged()
	c.Opened, c.Closed, c.Passing = p.faults()
	c.Agreed = changes(items(then.Record.Agreed, p.sys), items(now.Record.Agreed, p.sys))
	c.Rooms = p.verdicts()
	return c, nil
}

// side is one of the two that are compared.
type side struct {
	*checks.State
	visits   []namedVisit       // in time order
	names    map[int]string     // of visits, by their position in the record
	conceded map[judgedKey]bool // what may stay, by written permission
}

func newSide(state *checks.State) *side {
	s := &side{State: state, visits: namedVisits(state.Known), names: map[int]string{}, conceded: map[judgedKey]bool{}}
	for _, v := range s.visits {
		s.names[v.at] = v.name
	}
	for _, r := range state.Results {
		if r.Outcome == checks.Conceded {
			s.conceded[keyOf(r)] = true
		}
	}
	return s
}

// pair is the two sides of a comparison.
type pair struct {
	then, now *side
	sys       length.System // how lengths are written
}

// write writes a text as it is said here.
func (p pair) write(t say.Text) string { return p.words().Text(t) }

func (p pair) words() say.Writer { return say.Writer{Lengths: p.sys} }

func (p pair) verdicts() []RoomVerdicts {
	room := func(v checks.Verdict) string { return v.Room.Name }
	then, now := byName(p.then.Rooms, room), byName(p.now.Rooms, room)
	standing := func(v checks.Verdict, ok bool) *Standing {
		if !ok {
			return nil
		}
		return &Standing{v.Ready, v.Counts}
	}
	var all []RoomVerdicts
	for _, name := range p.roomNames() {
		was, had := then[name]
		is, has := now[name]
		all = append(all, RoomVerdicts{name, standing(was, had), standing(is, has)})
	}
	return all
}

// roomNames are the rooms of both, in walking order.
func (p pair) roomNames() []string {
	return merged(p.then.Record.Planned.Rooms, p.now.Record.Planned.Rooms, roomName)
}

func roomName(r schema.Room) string { return r.Name }

// merged gives the names of both lists in the order of the second; what only
// the first has stands behind what it followed there.
func merged[T any, K comparable](then, now []T, name func(T) K) []K {
	inBoth := make(map[K]bool, len(now))
	for _, t := range now {
		inBoth[name(t)] = true
	}
	var all, first []K
	behind := map[K][]K{} // what only the first has, by what it follows
	var follows K
	some := false
	for _, t := range then {
		switch n := name(t); {
		case inBoth[n]:
			follows, some = n, true
		case some:
			behind[follows] = append(behind[follows], n)
		default:
			first = append(first, n)
		}
	}
	all = append(all, first...)
	for _, t := range now {
		all = append(append(all, name(t)), behind[name(t)]...)
	}
	return all
}
