package checks

import (
	"slices"
	"strings"

	"setline.example/schema"
)

// changes compares two lists of items. An item that only one side has is one
// change; of one that both have, every value that differs is.
func changes(then, now []item) []Change {
	a, b := byPath(then), byPath(now)
	all := []Change{}
	for _, path := range merged(then, now, item.key) {
		old, was := a[path]
		new, is := b[path]
		switch {
		case !was:
			all = append(all, Change{What: new.what(), Now: new.text()})
		case !is:
			all = append(all, Change{What: old.what(), Then: old.text()})
		default:
			all = append(all, old.differs(new)...)
		}
	}
	return all
}

func byPath(all []item) map[string]item {
	m := make(map[string]item, len(all))
	for _, i := range all {
		m[i.key()] = i
	}
	return m
}

// key is the path as one string.
func (i item) key() string { return strings.Join(i.path, "\x00") }

// what is the path in words.
func (i item) what() string { return strings.Join(i.path[i.skip:], " ") }

// differs says which values of an item are others in another state of it.
func (i item) differs(now item) []Change {
	var all []Change
	find := func(leaves []leaf, name string) leaf {
		if n := slices.IndexFunc(leaves, func(l leaf) bool { return l.name == name }); n >= 0 {
			return leaves[n]
		}
		return leaf{}
	}
	for _, name := range merged(i.leaves, now.leaves, func(l leaf) string { return l.name }) {
		was, is := find(i.leaves, name), find(now.leaves, name)
		if was.exact == is.exact {
			continue
		}
		if was.shown == is.shown {
			was.shown, is.shown = was.exact, is.exact // they differ by less than is usually shown
		}
		all = append(all, Change{What: strings.TrimSpace(i.what() + " " + name), Then: was.shown, Now: is.shown})
	}
	return all
}

// planned compares the two plans: the job, then room by room.
func (p pair) planned() []Change {
	a, b := p.then.rec.Planned, p.now.rec.Planned
	rooms := func(planned *schema.Planned) map[string]schema.Room {
		m := map[string]schema.Room{}
		for _, r := range planned.Rooms {
			m[r.Name] = r
		}
		planned.Rooms = nil
		return m
	}
	names := p.roomNames()
	order := orderChange(a.Rooms, b.Rooms, func(r schema.Room) string { return r.Name })
	then, now := rooms(&a), rooms(&b)
	all := append(changes(items(a, p.sys), items(b, p.sys)), order.named("order of rooms")...)
	for _, name := range names {
		old, was := then[name]
		new, is := now[name]
		all = append(all, presence(was, is, "room", Change{Room: name})...)
		all = append(all, p.room(name, old, new)...)
	}
	return all
}

// presence is the change of something that is planned on one side only.
func presence(was, is bool, what string, c Change) []Change {
	c.What = what
	switch {
	case was && !is:
		c.Then = "planned"
	case is && !was:
		c.Now = "planned"
	default:
		return nil
	}
	return []Change{c}
}

// inOrder is how what both sides have is ordered on each, where that differs.
type inOrder struct{ then, now []string }

func orderChange[T any](then, now []T, name func(T) string) inOrder {
	names := func(of, in []T) []string {
		var all []string
		for _, t := range of {
			if slices.ContainsFunc(in, func(o T) bool { return name(o) == name(t) }) {
				all = append(all, name(t))
			}
		}
		return all
	}
	return inOrder{names(then, now), names(now, then)}
}

// named is the change, where there is one.
func (o inOrder) named(what string) []Change {
	if slices.Equal(o.then, o.now) {
		return nil
	}
	return []Change{{What: what, Then: strings.Join(o.then, ", "), Now: strings.Join(o.now, ", ")}}
}

// room compares a room as drawn; either may be empty.
func (p pair) room(name string, then, now schema.Room) []Change {
	order := orderChange(then.Elevations, now.Elevations, elevationName)
	all := order.named("order of elevations")
	elevations := merged(then.Elevations, now.Elevations, elevationName)
	a, b := byName(then.Elevations, elevationName), byName(now.Elevations, elevationName)
	then.Elevations, now.Elevations, then.Name, now.Name = nil, nil, "", ""
	all = append(all, changes(items(then, p.sys), items(now, p.sys))...)
	units := placed(a, b)
	for _, e := range elevations {
		old, was := a[e]
		new, is := b[e]
		all = append(all, at(presence(was, is, "elevation", Change{}), "", e, "")...)
		all = append(all, at(p.elevation(old, new), "", e, "")...)
		for _, tag := range merged(old.Units, new.Units, unitTag) {
			all = append(all, at(p.unit(units[tag], e), "", e, tag)...)
		}
	}
	return at(all, name, "", "")
}

func elevationName(e schema.Elevation) string { return e.Name }
func unitTag(u schema.Unit) string            { return u.Tag }

func byName[T any](list []T, name func(T) string) map[string]T {
	m := make(map[string]T, len(list))
	for _, t := range list {
		m[name(t)] = t
	}
	return m
}

// at fills in where changes are, where that is not said yet.
func at(all []Change, room, elevation, item string) []Change {
	for i := range all {
		c := &all[i]
		if room != "" {
			c.Room = room
		}
		if elevation != "" {
			c.Elevation = elevation
		}
		if item != "" {
			c.Item = item
		}
	}
	return all
}

func (p pair) elevation(then, now schema.Elevation) []Change {
	all := orderChange(then.Units, now.Units, unitTag).named("order of units")
	then.Units, now.Units, then.Name, now.Name = nil, nil, "", ""
	return append(changes(items(then, p.sys), items(now, p.sys)), all...)
}

// unitPlaces are a unit's elevation and plan on both sides, nil where it is not planned.
type unitPlaces struct {
	then, now  *schema.Unit
	fromE, toE string
}

// placed finds every unit of a room on both sides, by its tag.
func placed(then, now map[string]schema.Elevation) map[string]unitPlaces {
	m := map[string]unitPlaces{}
	for name, e := range then {
		for i := range e.Units {
			u := m[e.Units[i].Tag]
			u.then, u.fromE = &e.Units[i], name
			m[e.Units[i].Tag] = u
		}
	}
	for name, e := range now {
		for i := range e.Units {
			u := m[e.Units[i].Tag]
			u.now, u.toE = &e.Units[i], name
			m[e.Units[i].Tag] = u
		}
	}
	return m
}

// unit compares a unit as drawn, told where it stands now, or stood last.
func (p pair) unit(u unitPlaces, here string) []Change {
	switch {
	case u.then == nil:
		return []Change{{What: "unit", Now: "part " + u.now.Part}}
	case u.now == nil:
		return []Change{{What: "unit", Then: "part " + u.then.Part}}
	case here != u.toE:
		return nil
	}
	var all []Change
	if u.fromE != u.toE {
		all = append(all, Change{What: "elevation", Then: u.fromE, Now: u.toE})
	}
	a, b := *u.then, *u.now
	a.Tag, b.Tag = "", ""
	// The tag has no omitempty, and is the same on both sides.
	return append(all, changes(items(a, p.sys), items(b, p.sys))...)
}
