package compare

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"setline.example/schema"
)

// spot is a place of a room that observations are made at.
type spot struct {
	elevation string // "" for the room as a whole, and for units and joints
	item      string // unit or joint, "" for the elevation as a whole
}

func (s spot) compare(o spot) int {
	return cmp.Or(strings.Compare(s.elevation, o.elevation), strings.Compare(s.item, o.item))
}

// plannedSpot is a spot and the elevation that it is planned in.
type plannedSpot struct {
	spot
	in string
}

// spots are the places of a room as planned on either side, in walking order.
func (p pair) spots(then, now schema.Room) []plannedSpot {
	a, b := spotsOf(then), spotsOf(now)
	name := func(s plannedSpot) spot { return s.spot }
	was, is := byName(a, name), byName(b, name)
	var all []plannedSpot
	for _, n := range merged(a, b, name) {
		if s, ok := is[n]; ok {
			all = append(all, s)
		} else {
			all = append(all, was[n])
		}
	}
	return all
}

func spotsOf(room schema.Room) []plannedSpot {
	all := []plannedSpot{{}}
	for _, e := range room.Elevations {
		all = append(all, plannedSpot{spot{elevation: e.Name}, e.Name})
		for i, u := range e.Units {
			if i > 0 && u.SpaceBefore == nil {
				all = append(all, plannedSpot{spot{item: schema.JointName(e.Units[i-1].Tag, u.Tag)}, e.Name})
			}
			all = append(all, plannedSpot{spot{item: u.Tag}, e.Name})
		}
	}
	return all
}

// bySpot takes apart what a visit saw in a room, place by place.
func (p pair) bySpot(v *schema.Visit, room string) map[spot][]item {
	if v == nil {
		return nil
	}
	all := map[spot][]item{}
	for _, i := range items(v.Rooms[room], p.sys) {
		var at spot
		switch field := i.path[0].ids[0]; field {
		case "elevations":
			at.elevation, i.skip = i.path[1].ids[0], 2
		case "cabinets", "joints", "fillers":
			at.item, i.skip = i.path[1].ids[0], 2
		}
		all[at] = append(all[at], i)
	}
	return all
}

// spotsIn are the spots of both, in an order of their own.
func spotsIn[T any](then, now map[spot][]T) []spot {
	all := append(slices.SortedFunc(maps.Keys(then), spot.compare), slices.SortedFunc(maps.Keys(now), spot.compare)...)
	slices.SortFunc(all, spot.compare)
	return slices.Compact(all)
}
