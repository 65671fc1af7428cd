package checks

import (
	"maps"
	"slices"

	"setline.example/schema"
)

// spot is a place of a room that observations are made at, in walking order.
type spot struct {
	name      string // one of a kind within the room
	elevation string // "" for the room as a whole
	item      string // unit or joint, "" for the elevation as a whole
}

// spots are the places of a room, as planned on either side.
func (p pair) spots(room string) []spot {
	a, b := p.then.spots(room), p.now.spots(room)
	name := func(s spot) string { return s.name }
	then, now := byName(a, name), byName(b, name)
	var all []spot
	for _, n := range merged(a, b, name) {
		if s, ok := now[n]; ok {
			all = append(all, s)
		} else {
			all = append(all, then[n])
		}
	}
	return all
}

func (s *side) spots(name string) []spot {
	all := []spot{{}}
	for _, r := range s.facts.rooms {
		if r.plan.Name != name {
			continue
		}
		for _, e := range r.elevations {
			all = append(all, spot{"elevation " + e.plan.Name, e.plan.Name, ""})
			for i, u := range e.units {
				if j := e.joints[i]; j != nil {
					all = append(all, spot{j.name, e.plan.Name, j.name})
				}
				all = append(all, spot{u.plan.Tag, e.plan.Name, u.plan.Tag})
			}
		}
	}
	return all
}

// bySpot takes apart what a visit saw in a room, place by place.
func (p pair) bySpot(v *schema.Visit, room string) map[string][]item {
	if v == nil {
		return nil
	}
	all := map[string][]item{}
	for _, i := range items(v.Rooms[room], p.sys) {
		name := ""
		switch i.path[0] {
		case "elevation":
			name, i.skip = "elevation "+i.path[1], 2
		case "cabinet", "joint", "filler":
			name, i.skip = i.path[1], 2
		}
		all[name] = append(all[name], i)
	}
	return all
}

func spotsOf(m map[string][]item) []string { return slices.Sorted(maps.Keys(m)) }
