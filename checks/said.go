package checks

import (
	"slices"
	"strconv"

	"setline.example/schema"
)

// What is said of all of an elevation is an observation of each unit or joint
// of it that is not excepted. It is made into what the visit would have seen of
// each; what was seen of one by itself on that visit goes before it.

// What can be said of all, as the record names it.
const (
	saidLabels    = "labels"
	saidBearing   = "bearing"
	saidFastened  = "fastened"
	saidInSight   = "in_sight"
	saidHeld      = "held_from"
	saidTopOn     = "top_on"
	saidComesOff  = "comes_off"
	saidAlignment = "alignment"
	saidWorks     = "works"
	saidDrawers   = "drawers"
	saidClosing   = schema.SaidOfClosing
)

// addClosed adds what a visit said of all that closes the elevation out. What it
// said of one of it by itself goes before, and is added after.
func (e *elevation) addClosed(from sighting[schema.ElevationSeen]) {
	for i, said := range from.seen.All {
		if said.Of == saidClosing && said.Answer {
			e.seen.add(sighting[schema.ElevationSeen]{from.when, from.visit, from.day, schema.Pointer(from.at, "all", i), closedBut(said.Except), said.Of})
		}
	}
}

// closedBut is what a visit saw of an elevation that said so of all but these.
func closedBut(except []string) *schema.ElevationSeen {
	seen := &schema.ElevationSeen{}
	c := &seen.Closing
	for i, answer := range []**bool{&c.ServicesClear, &c.Anchored, &c.TopsReleased, &c.Undamaged, &c.LooseParts, &c.Clean, &c.Protected} {
		if yes := true; !slices.Contains(except, schema.ClosesOut()[i]) {
			*answer = &yes
		}
	}
	return seen
}

// addSaid adds what a visit said of all of the elevation.
func (e *elevation) addSaid(rec *schema.Record, from sighting[schema.ElevationSeen]) {
	for i, said := range from.seen.All {
		if !said.Answer || said.Of == saidClosing {
			continue
		}
		at := schema.Pointer(from.at, "all", i)
		for k, u := range e.units {
			if j := e.joints[k]; j != nil && !slices.Contains(said.Except, j.name) {
				if seen := j.allSo(rec, said.Of); seen != nil {
					j.seen.add(sighting[schema.JointSeen]{from.when, from.visit, from.day, at, seen, said.Of})
				}
			}
			switch {
			case slices.Contains(said.Except, u.plan.Tag):
			case u.cabinet != nil:
				u.asCab.add(sighting[schema.CabinetSeen]{from.when, from.visit, from.day, at, u.cabinetAllSo(said.Of), said.Of})
			default:
				u.asFill.add(sighting[schema.FillerSeen]{from.when, from.visit, from.day, at, u.fillerAllSo(rec, said.Of), said.Of})
			}
		}
	}
}

// cabinetAllSo is what a visit saw of a cabinet that said so of all. Labels and
// alignment are told by the sighting alone, see [saidLast].
func (u *unit) cabinetAllSo(of string) *schema.CabinetSeen {
	seen := &schema.CabinetSeen{}
	yes, none := true, 0
	switch of {
	case saidBearing:
		seen.Bearing = schema.CornerAnswers{FL: &yes, FR: &yes, BL: &yes, BR: &yes}
	case saidInSight:
		seen.InSight = schema.InSight{Closed: &none, Standing: &none}
	case saidWorks:
		seen.Works = map[string]bool{}
		for _, front := range u.fronts {
			seen.Works[front] = true
		}
	case saidDrawers:
		seen.Drawers = map[string]string{}
		for n := range u.cabinet.Drawers() {
			slot := strconv.Itoa(n + 1)
			seen.Drawers[slot] = slot
		}
	}
	return seen
}

func (u *unit) fillerAllSo(rec *schema.Record, of string) *schema.FillerSeen {
	seen := &schema.FillerSeen{}
	yes, none := true, 0
	switch of {
	case saidInSight:
		seen.InSight = schema.InSight{Closed: &none, Standing: &none}
	case saidHeld:
		seen.HeldFrom = []string{"inside"}
	case saidTopOn:
		seen.TopOn = &yes
	case saidComesOff:
		seen.ComesOff = &yes
	case saidFastened:
		seen.Fastening = screwsAsPlanned(rec, "filler", "side")
	}
	return seen
}

// allSo is nil for a joint of which nothing of that is said.
func (j *joint) allSo(rec *schema.Record, of string) *schema.JointSeen {
	if of != saidFastened || !j.cabinets() {
		return nil
	}
	seen := &schema.JointSeen{}
	for _, p := range j.places() {
		if p.key == "front" {
			seen.Fastened.Front = screwsAsPlanned(rec, p.use, p.through)
		} else {
			seen.Fastened.UpperRear = screwsAsPlanned(rec, p.use, p.through)
		}
	}
	return seen
}

// screwsAsPlanned is how something is fastened for a use, as planned: nil where no
// screw is planned for it, since then "as planned" says nothing.
func screwsAsPlanned(rec *schema.Record, use, through string) *schema.Fastening {
	for _, name := range sortedNames(rec.Planned.Fasteners) {
		if screw := rec.Planned.Fasteners[name]; slices.Contains(screw.Use, use) {
			shows := false
			return &schema.Fastening{Fastener: name, Count: max(screw.Each, 1), Through: through, TipShows: &shows}
		}
	}
	return nil
}

// saidLast is the last time that something was said of all of which there is no
// value: that a label is as drawn, that fronts are in line.
func saidLast[S any](sightings *sightings[S], of string) observed[bool] {
	i := sightings.last(sought{key: of}, func(s *sighting[S]) bool { return s.of == of })
	if i < 0 {
		return observed[bool]{when: -1, visit: -1}
	}
	s := &sightings.all[i]
	return observed[bool]{true, true, s.when, s.visit, origin{seen: s.at}}
}
