package checks

import (
	"slices"

	"setline.example/schema"
	"setline.example/schema/length"
)

// Known is what is known of a job at some time: a record, or what it held
// until one of its visits.
type Known struct {
	Record *schema.Record
	Source *schema.Source
	// Visits that count, positions in the record in time order.
	Visits []int
	// full is the record with nothing left out.
	full *schema.Record
}

// AllKnown is all that a record holds.
func AllKnown(rec *schema.Record, src *schema.Source) Known {
	return Known{rec, src, rec.Measured.VisitsInTime(), rec}
}

// KnownAfter is what a record held after the first n visits in time, until the
// next one began: what was counted and conceded on the date of the next visit
// or later is not known yet. What has no date, the plan and open items, is as
// it is now.
func KnownAfter(rec *schema.Record, src *schema.Source, n int) Known {
	order := rec.Measured.VisitsInTime()
	if n >= len(order) {
		return AllKnown(rec, src)
	}
	return until(rec, src, order[:n], rec.Measured.Visits[order[n]].Date)
}

// KnownBefore is what a record held before a date.
func KnownBefore(rec *schema.Record, src *schema.Source, date schema.Date) Known {
	order := rec.Measured.VisitsInTime()
	n := 0
	for n < len(order) && rec.Measured.Visits[order[n]].Date < date {
		n++
	}
	return until(rec, src, order[:n], date)
}

func until(rec *schema.Record, src *schema.Source, visits []int, date schema.Date) Known {
	then := *rec
	then.Arrived.Receipts = slices.DeleteFunc(slices.Clone(rec.Arrived.Receipts), func(r schema.Receipt) bool { return r.Date >= date })
	then.Agreed.Concessions = slices.DeleteFunc(slices.Clone(rec.Agreed.Concessions), func(c schema.Concession) bool { return c.Date >= date })
	return Known{&then, src, visits, rec}
}

// Change is one thing that is not as it was. Lengths are as people read them.
type Change struct {
	Room      string `json:"room,omitempty"`
	Elevation string `json:"elevation,omitempty"`
	Item      string `json:"item,omitempty"` // unit or joint
	What      string `json:"what"`
	Then      string `json:"then,omitempty"` // "" where there was none
	Now       string `json:"now,omitempty"`  // "" where there is none any more
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
	Closed   []FaultNote   `json:"closed"`   // faults open then that are not now
	Passing  []FaultNote   `json:"passing"`  // found after then, and put right by now
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
	Ready  bool            `json:"ready"`
	Counts map[Outcome]int `json:"results"`
}

// SameJob reports whether the two are of one job: name and number agree.
func (c *Comparison) SameJob() bool {
	return c.Then.Name == c.Now.Name && c.Then.Number == c.Now.Number
}

// Same reports whether nothing changed. All else follows from what these hold.
func (c *Comparison) Same() bool {
	return len(c.Planned)+len(c.Arrived)+len(c.Visits)+len(c.Observed)+len(c.Agreed) == 0
}

// Compare says what changed from then to now. The error is that of [Run].
func Compare(then, now Known) (*Comparison, error) {
	a, err := newSide(then)
	if err != nil {
		return nil, err
	}
	b, err := newSide(now)
	if err != nil {
		return nil, err
	}
	c := &Comparison{Then: then.Record.Planned.Project, Now: now.Record.Planned.Project}
	p := pair{then: a, now: b, sys: b.sys}
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
	Known
	*facts
	results []Result
	verdict []Verdict
	faults  []Fault
	names   map[int]string // of visits, by their position in the record
}

func newSide(k Known) (*side, error) {
	limits, problems := contractLimits(k.Record, k.Source)
	if len(problems) > 0 {
		return nil, problems
	}
	s := &side{Known: k, facts: newFacts(k.Record, k.Visits), results: evaluate(k.Record, limits, k.Visits)}
	// A permission may have been given for what was found later; it did not
	// apply then, and that is no problem of the record.
	if problems := concede(k.Record, k.Source, limits, k.Visits, s.results); k.Record == k.full && len(problems) > 0 {
		return nil, problems
	}
	s.verdict = verdicts(k.Record, s.results)
	s.faults = s.history(limits)
	s.names = map[int]string{}
	_, at := s.visitNames()
	for name, visit := range at {
		s.names[visit] = name
	}
	return s, nil
}

// pair is the two sides of a comparison.
type pair struct {
	then, now *side
	sys       length.System // how lengths are written
}

func (p pair) verdicts() []RoomVerdicts {
	standing := func(s *side, room string) *Standing {
		for _, v := range s.verdict {
			if v.Room.Name == room {
				return &Standing{v.Ready, v.Counts}
			}
		}
		return nil
	}
	var all []RoomVerdicts
	for _, name := range p.roomNames() {
		all = append(all, RoomVerdicts{name, standing(p.then, name), standing(p.now, name)})
	}
	return all
}

// roomNames are the rooms of both, in walking order.
func (p pair) roomNames() []string {
	name := func(r schema.Room) string { return r.Name }
	return merged(p.then.rec.Planned.Rooms, p.now.rec.Planned.Rooms, name)
}

// merged gives the names of both lists in the order of the second; what only
// the first has stands behind what it followed there.
func merged[T any](then, now []T, name func(T) string) []string {
	inBoth := make(map[string]bool, len(now))
	for _, t := range now {
		inBoth[name(t)] = true
	}
	var all, first []string
	behind := map[string][]string{} // what only the first has, by what it follows
	follows, some := "", false
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
