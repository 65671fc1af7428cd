package checks

import (
	"cmp"
	"fmt"
	"slices"

	"setline.example/schema"
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
	// The visits that the two values are of, by date, "2026-09-15 (2)" for the
	// second of a day; "" where there is none.
	ThenVisit string `json:"then_visit,omitempty"`
	NowVisit  string `json:"now_visit,omitempty"`
}

// visitNames names the visits of a side by their date, in time order, and by
// their number on that day where that is above one.
func (s *side) visitNames() (names []string, at map[string]int) {
	at = map[string]int{}
	day := map[schema.Date]int{}
	for _, v := range s.Visits {
		date := s.rec.Measured.Visits[v].Date
		name := string(date)
		if day[date]++; day[date] > 1 {
			name = fmt.Sprintf("%s (%d)", date, day[date])
		}
		names = append(names, name)
		at[name] = v
	}
	return names, at
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
	same := func(s string) string { return s }
	a, was := p.then.visitNames()
	b, is := p.now.visitNames()
	names := merged(a, b, same)
	slices.SortFunc(names, inTime)
	all := make([]bothVisit, len(names))
	for i, name := range names {
		all[i].name = name
		if v, ok := was[name]; ok {
			all[i].then = &p.then.rec.Measured.Visits[v]
		}
		if v, ok := is[name]; ok {
			all[i].now = &p.now.rec.Measured.Visits[v]
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
		what := "visit of " + v.name
		switch {
		case v.then == nil:
			all = append(all, Change{What: what, Now: visitWords(v.now)})
		case v.now == nil:
			all = append(all, Change{What: what, Then: visitWords(v.then)})
		default:
			for _, c := range changes(head(v.then), head(v.now)) {
				c.What = what + ", " + c.What
				all = append(all, c)
			}
		}
	}
	return all
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
	return words + " by " + listed(people)
}

// observed compares what was measured and seen, room by room.
func (p pair) observed() []Observation {
	all := []Observation{}
	visits := p.bothVisits()
	for _, room := range p.roomNames() {
		all = append(all, p.seenInRoom(room, visits)...)
	}
	return all
}

// standingItem is the last that was observed of an item.
type standingItem struct {
	item
	visit  string
	shared bool // both sides have that visit
}

func (p pair) seenInRoom(room string, visits []bothVisit) []Observation {
	corrected := map[string][]Observation{} // by spot
	then, now := map[string][]standingItem{}, map[string][]standingItem{}
	for _, v := range visits {
		a, b := p.bySpot(v.then, room), p.bySpot(v.now, room)
		shared := v.then != nil && v.now != nil
		for _, spot := range merged(spotsOf(a), spotsOf(b), func(s string) string { return s }) {
			if shared {
				for _, c := range changes(a[spot], b[spot]) {
					corrected[spot] = append(corrected[spot], Observation{c, Corrected, v.name, v.name})
				}
			}
			supersede(then, spot, a[spot], v.name, shared)
			supersede(now, spot, b[spot], v.name, shared)
		}
	}
	var all []Observation
	for _, s := range p.spots(room) {
		found := append(corrected[s.name], superseded(then[s.name], now[s.name])...)
		for _, o := range found {
			o.Room, o.Elevation, o.Item = room, s.elevation, s.item
			all = append(all, o)
		}
	}
	return all
}

// supersede puts what a visit saw at a spot in place of what earlier ones saw.
func supersede(standing map[string][]standingItem, spot string, seen []item, visit string, shared bool) {
	for _, i := range seen {
		list := standing[spot]
		at := slices.IndexFunc(list, func(s standingItem) bool { return slices.Equal(s.path, i.path) })
		if at < 0 {
			standing[spot] = append(list, standingItem{i, visit, shared})
		} else {
			list[at] = standingItem{i, visit, shared}
		}
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
			all = append(all, Observation{Change{What: is.what(), Now: is.text()}, FirstObserved, "", is.visit})
		case !has:
			all = append(all, Observation{Change{What: was.what(), Then: was.text()}, Withdrawn, was.visit, ""})
		default:
			kind := ObservedAgain
			if inTime(is.visit, was.visit) < 0 {
				kind = Withdrawn
			}
			differs := was.differs(is.item)
			if len(differs) == 0 {
				differs = []Change{{What: is.what(), Then: was.text(), Now: is.text()}}
			}
			for _, c := range differs {
				all = append(all, Observation{c, kind, was.visit, is.visit})
			}
		}
	}
	return all
}
