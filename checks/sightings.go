package checks

import (
	"slices"

	"setline.example/schema"
)

// sighting is what one visit saw of something.
type sighting[T any] struct {
	when  int // the visit's place in time, from 0
	visit int // its position in the record
	day   schema.Date
	at    string // pointer to what it saw
	seen  *T
	of    string // what was said of all, where it was seen by that; "" where by itself
}

// sightings are all sightings of something, in time order. They are only added
// to: where each thing was last observed is found by what came since it was
// looked for last, so that a long history costs a visit no more than a short one.
type sightings[T any] struct {
	all   []sighting[T]
	found map[sought]lastFound // nil while there are few
}

func (l *sightings[T]) add(s sighting[T]) { l.all = append(l.all, s) }

// from is the position of the first sighting at a place in time or after it.
func (l *sightings[T]) from(when int) int {
	i, _ := slices.BinarySearchFunc(l.all, when, func(s sighting[T], when int) int { return s.when - when })
	return i
}

// on are the sightings of the visit at a place in time: of what it saw, and of
// what it said of all.
func (l *sightings[T]) on(when int) []sighting[T] {
	return l.all[l.from(when):l.from(when+1)]
}

// sought is what is looked for among sightings: one of a thing, or without a
// thing what was said of all.
type sought struct {
	thing *Thing
	key   string
}

// lastFound is where something was last observed, of so many sightings; at is
// -1 where it never was.
type lastFound struct{ of, at int }

// few sightings are looked through sooner than anything is kept of them.
const few = 8

// last is the position of the last sighting of which something is so, -1 where
// it is of none.
func (l *sightings[T]) last(what sought, is func(*sighting[T]) bool) int {
	known, kept := l.found[what]
	at := known.at
	if !kept {
		at = -1
	}
	for i := len(l.all) - 1; i >= known.of; i-- {
		if is(&l.all[i]) {
			at = i
			break
		}
	}
	if len(l.all) > few {
		if l.found == nil {
			l.found = map[sought]lastFound{}
		}
		l.found[what] = lastFound{len(l.all), at}
	}
	return at
}

// observed is the last that was observed of one item.
type observed[T any] struct {
	ok    bool
	value T
	when  int // the visit's place in time, from 0; -1 where there is none
	visit int // its position in the record; -1 where there is none
	at    origin
}
