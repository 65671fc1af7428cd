package compare

import (
	"slices"
	"strings"

	"setline.example/schema"
)

// changes compares two lists of items. An item that only one side has is one
// change; of one that both have, every value that differs is.
func changes(then, now []item) []Change {
	a, b := byName(then, item.key), byName(now, item.key)
	all := []Change{}
	for _, path := range merged(then, now, item.key) {
		old, was := a[path]
		new, is := b[path]
		switch {
		case !was:
			all = append(all, new.came())
		case !is:
			all = append(all, old.went())
		default:
			all = append(all, old.differs(new)...)
		}
	}
	return all
}

// key is the path as one string.
func (i item) key() string { return pointer(i.path) }

// change is one of an item, or of a value within it.
func (i item) change(within []step, then, now string) Change {
	path := slices.Concat(i.path[i.skip:], within)
	return Change{Field: pointer(path), What: inWordsOf(path), Then: then, Now: now}
}

func (i item) came() Change { return i.change(nil, "", i.text()) }
func (i item) went() Change { return i.change(nil, i.text(), "") }

// differs says which values of an item are others in another state of it.
func (i item) differs(now item) []Change {
	var all []Change
	was, is := byName(i.leaves, leaf.key), byName(now.leaves, leaf.key)
	for _, name := range merged(i.leaves, now.leaves, leaf.key) {
		old, new := was[name], is[name]
		if old.exact == new.exact {
			continue
		}
		if old.shown == new.shown {
			old.shown, new.shown = old.exact, new.exact // they differ by less than is usually shown
		}
		path := old.path
		if path == nil {
			path = new.path
		}
		all = append(all, i.change(path, old.shown, new.shown))
	}
	return all
}

// planned compares the two plans: the job, then room by room.
func (p pair) planned() []Change {
	a, b := p.then.Record.Planned, p.now.Record.Planned
	order := orderChange(a.Rooms, b.Rooms, roomName)
	then, now := byName(a.Rooms, roomName), byName(b.Rooms, roomName)
	a.Rooms, b.Rooms = nil, nil
	all := append(changes(items(a, p.sys), items(b, p.sys)), order.named("order of rooms")...)
	for _, name := range p.roomNames() {
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
		both := byName(in, name)
		var all []string
		for _, t := range of {
			if _, ok := both[name(t)]; ok {
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
	return []Change{{Field: "/order", What: what, Then: strings.Join(o.then, ", "), Now: strings.Join(o.now, ", ")}}
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

func byName[T any, K comparable](list []T, name func(T) K) map[K]T {
	m := make(map[K]T, len(list))
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
		all = append(all, Change{Field: "/elevation", What: "elevation", Then: u.fromE, Now: u.toE})
	}
	a, b := *u.then, *u.now
	a.Tag, b.Tag = "", ""
	// The tag has no omitempty, and is the same on both sides.
	return append(all, changes(items(a, p.sys), items(b, p.sys))...)
}
