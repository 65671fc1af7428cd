package compare

import (
	"cmp"
	"fmt"
	"slices"

	"setline.example/checks"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// Kinds of change of an observation.
const (
	FirstObserved = "first observed" // nobody had looked before
	ObservedAgain = "observed again" // on a later visit, which supersedes; the value may be the same
	Corrected     = "corrected"      // told otherwise of one and the same visit
	Withdrawn     = "withdrawn"      // of a visit that is not in the record any more
)

// Observation is the change of one thing that is measured or seen.
type Observation struct {
	Change
	Kind string `json:"kind"`
	// Same says that another visit found what was known.
	Same bool `json:"same,omitempty"`
	// The visits that the two values are of, by date, "2026-09-15 (2)" for the
	// second of a day; "" where there is none.
	ThenVisit string `json:"then_visit,omitempty"`
	NowVisit  string `json:"now_visit,omitempty"`
}

// namedVisit is a visit by its date, and by its number on that day where that
// is above one.
type namedVisit struct {
	name string
	at   int // its position in the record
}

func nameOfVisit(v namedVisit) string { return v.name }

// namedVisits are the visits that are known, in time order.
func namedVisits(k checks.Known) (all []namedVisit) {
	day := map[schema.Date]int{}
	for _, v := range k.Visits {
		date := k.Record.Measured.Visits[v].Date
		name := string(date)
		if day[date]++; day[date] > 1 {
			name = fmt.Sprintf("%s (%d)", date, day[date])
		}
		all = append(all, namedVisit{name, v})
	}
	return all
}

// inTime compares two names of visits: their dates, then their numbers on that day.
func inTime(a, b string) int {
	const date = len("2026-09-15")
	return cmp.Or(cmp.Compare(a[:min(date, len(a))], b[:min(date, len(b))]), cmp.Compare(len(a), len(b)), cmp.Compare(a, b))
}

// visitName names one visit of a side, a position in the record; "" for none.
func (s *side) visitName(visit int) string { return s.names[visit] }

// bothVisits are the visits of both sides in time order, with their positions.
type bothVisit struct {
	name      string
	then, now *schema.Visit // nil where that side has no such visit
}

func (p pair) bothVisits() []bothVisit {
	was, is := byName(p.then.visits, nameOfVisit), byName(p.now.visits, nameOfVisit)
	names := merged(p.then.visits, p.now.visits, nameOfVisit)
	slices.SortFunc(names, inTime)
	all := make([]bothVisit, len(names))
	for i, name := range names {
		all[i].name = name
		if v, ok := was[name]; ok {
			all[i].then = &p.then.Record.Measured.Visits[v.at]
		}
		if v, ok := is[name]; ok {
			all[i].now = &p.now.Record.Measured.Visits[v.at]
		}
	}
	return all
}

// visits compares who visited when with what; what they saw is for observed.
func (p pair) visits() []Change {
	head := func(v *schema.Visit) []item {
		if v == nil {
			return nil
		}
		only := *v
		only.Rooms = nil
		return items(only, p.sys)
	}
	all := []Change{}
	for _, v := range p.bothVisits() {
		visit := item{path: []step{field("visits"), {[]string{v.name}, v.name}}}
		switch {
		case v.then == nil:
			all = append(all, visit.change(nil, "", visitWords(v.now)))
		case v.now == nil:
			is := ""
			if w := p.withdrawn(v.then); w != nil {
				is = "withdrawn by " + w.By.Name + " on " + string(w.Date) + ": " + w.Reason
			}
			all = append(all, visit.change(nil, visitWords(v.then), is))
		default:
			of := visit.change(nil, "", "")
			for _, c := range changes(head(v.then), head(v.now)) {
				c.Field, c.What = of.Field+c.Field, of.What+", "+c.What
				all = append(all, c)
			}
		}
	}
	return all
}

// withdrawn says who took back since what was a visit then, nil where nobody did.
func (p pair) withdrawn(v *schema.Visit) *schema.Withdrawn {
	all := p.now.Record.Measured.Visits
	for i := range all {
		if all[i].Withdrawn != nil && all[i].Date == v.Date && slices.Equal(all[i].People, v.People) {
			return all[i].Withdrawn
		}
	}
	return nil
}

func visitWords(v *schema.Visit) string {
	var people []string
	for _, p := range v.People {
		people = append(people, p.Name)
	}
	words := v.Purpose
	if words == "" {
		words = "visit"
	}
	return words + " by " + plaintext.List(people)
}

// observed compares what was measured and seen, room by room.
func (p pair) observed() []Observation {
	all := []Observation{}
	visits := p.bothVisits()
	then, now := byName(p.then.Record.Planned.Rooms, roomName), byName(p.now.Record.Planned.Rooms, roomName)
	for _, room := range p.roomNames() {
		seen := p.seenInRoom(room, visits)
		for _, s := range p.spots(then[room], now[room]) {
			for _, o := range seen[s.spot] {
				o.Room, o.Elevation, o.Item = room, s.in, s.item
				all = append(all, o)
			}
		}
	}
	return all
}

// standingItem is the last that was observed of an item.
type standingItem struct {
	item
	visit  string
	shared bool // both sides have that visit
}

func (p pair) seenInRoom(room string, visits []bothVisit) map[spot][]Observation {
	all := map[spot][]Observation{}
	then, now := newStanding(), newStanding()
	for _, v := range visits {
		a, b := p.bySpot(v.then, room), p.bySpot(v.now, room)
		shared := v.then != nil && v.now != nil
		for _, at := range spotsIn(a, b) {
			if shared {
				for _, c := range changes(a[at], b[at]) {
					all[at] = append(all[at], Observation{Change: c, Kind: Corrected, ThenVisit: v.name, NowVisit: v.name})
				}
			}
			then.supersede(at, a[at], v.name, shared)
			now.supersede(at, b[at], v.name, shared)
		}
	}
	for _, at := range spotsIn(then.items, now.items) {
		all[at] = append(all[at], superseded(then.items[at], now.items[at])...)
	}
	return all
}

// standing is what stands of a room, in the order in which it was first seen.
type standing struct {
	items  map[spot][]standingItem
	places map[spot]map[string]int // of items, by their keys
}

func newStanding() standing {
	return standing{map[spot][]standingItem{}, map[spot]map[string]int{}}
}

// supersede puts what a visit saw at a spot in place of what earlier ones saw.
func (s standing) supersede(at spot, seen []item, visit string, shared bool) {
	for _, i := range seen {
		if s.places[at] == nil {
			s.places[at] = map[string]int{}
		}
		n, known := s.places[at][i.key()]
		if !known {
			n = len(s.items[at])
			s.places[at][i.key()] = n
			s.items[at] = append(s.items[at], standingItem{})
		}
		s.items[at][n] = standingItem{i, visit, shared}
	}
}

// superseded compares what stands at a spot. What is of a visit that both
// sides have is left out on both: where it differs it was corrected.
func superseded(then, now []standingItem) []Observation {
	key := func(s standingItem) string { return s.key() }
	a, b := byName(then, key), byName(now, key)
	var all []Observation
	for _, k := range merged(then, now, key) {
		was, had := a[k]
		is, has := b[k]
		switch {
		case (!had || was.shared) && (!has || is.shared):
		case !had:
			all = append(all, Observation{Change: is.came(), Kind: FirstObserved, NowVisit: is.visit})
		case !has:
			all = append(all, Observation{Change: was.went(), Kind: Withdrawn, ThenVisit: was.visit})
		default:
			kind := ObservedAgain
			if inTime(is.visit, was.visit) < 0 {
				kind = Withdrawn
			}
			differs := was.differs(is.item)
			same := len(differs) == 0
			if same {
				differs = []Change{is.change(nil, was.text(), is.text())}
			}
			for _, c := range differs {
				all = append(all, Observation{Change: c, Kind: kind, Same: same, ThenVisit: was.visit, NowVisit: is.visit})
			}
		}
	}
	return all
}
