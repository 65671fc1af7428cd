package checks

import (
	"sync"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// read is one length that a visit wrote down. Nearly every one is as it should
// be and asked neither for its way nor for its words, so that neither is put
// together before.
type read struct {
	thing *Thing
	key   string // which of the thing it is
	near  nearness
	whose whose
	seen  string // pointer to what the visit saw of whose it is
	line  int    // of a reading along a line its number, from 1
	part  string // the last step of the way to one of two lengths
	value length.Length
}

func (x *read) pointer() string {
	steps := []any{x.thing.Field}
	if x.key != "" {
		steps = append(steps, x.key)
	}
	if x.line > 0 {
		steps = append(steps, x.line-1)
	}
	if x.part != "" {
		steps = append(steps, x.part)
	}
	return schema.Pointer(x.seen, steps...)
}

// words say which reading of its subject it is.
func (x *read) words() say.Text {
	words := x.thing.words(x.key)
	switch {
	case x.line > 0 && x.near == nearEnds:
		return say.That("%[1]s, reading %[2]s, at", words, x.line)
	case x.line > 0:
		return say.That("%[1]s, reading %[2]s", words, x.line)
	case x.near == nearOver:
		return say.That("%[1]s, over", words)
	}
	return words
}

// nearness says what a length is plausible beside.
type nearness int

const (
	nearUnsaid    nearness = iota // of what is no length
	nearTops                      // down to a top corner or to the mark
	nearFloor                     // down to the floor; how far along is nearEnds
	nearEnds                      // along the elevation
	nearOpening                   // a clear opening
	nearNothing                   // off a line or a neighbour; over what it was read is nearOver
	nearNoGap                     // a gap
	nearJoint                     // over how much of a joint there is a gap
	nearOver                      // along what a level is laid
	nearTravel                    // of a leveler
	nearNoPacking                 // under a leveler
	nearFiller                    // the width a filler was cut to
)

// measuredOf are the things of an owner that are lengths.
var measuredOf = sync.OnceValue(func() map[Owner][]observable {
	all := map[Owner][]observable{}
	for _, o := range things() {
		if t := o.what(); t.near != nearUnsaid {
			all[t.Of] = append(all[t.Of], o)
		}
	}
	return all
})

// reads gives every length that the visit at a place in time wrote down of an
// elevation, its units and joints. What is given is good until the next one is.
func (e *elevation) reads(when int, yield func(*read)) {
	readsOf(e.seen.on(when), whose{e: e}, yield)
	for i, u := range e.units {
		if j := e.joints[i]; j != nil {
			readsOf(j.seen.on(when), whose{e: e, j: j}, yield)
		}
		readsOf(u.asCab.on(when), whose{e: e, u: u}, yield)
		readsOf(u.asFill.on(when), whose{e: e, u: u}, yield)
	}
}

func readsOf[S any](seen []sighting[S], w whose, yield func(*read)) {
	if len(seen) == 0 {
		return
	}
	x := &read{whose: w}
	all := measuredOf()[w.owner()]
	for i := range seen {
		x.seen = seen[i].at
		for _, o := range all {
			o.lengths(seen[i].seen, x, yield)
		}
	}
}

// lengths gives those that a visit wrote down of a thing.
func (t thing[S, T]) lengths(seen any, x *read, yield func(*read)) {
	s, of := seen.(*S)
	if !of {
		return
	}
	x.thing = t.Thing
	if t.keys == nil {
		x.key = t.only
		x.lengths(any(t.read(s, x.key)), yield)
		return
	}
	for _, x.key = range t.keys(x.whose) {
		x.lengths(any(t.read(s, x.key)), yield)
	}
}

// lengths gives those of a value.
func (x *read) lengths(value any, yield func(*read)) {
	give := func(near nearness, l length.Length, part string) {
		x.near, x.value, x.part = near, l, part
		yield(x)
	}
	switch v := value.(type) {
	case *length.Length:
		if v != nil {
			give(x.thing.near, *v, "")
		}
	case *schema.Deviation:
		if v != nil {
			give(x.thing.near, v.Off, "off")
			give(nearOver, v.Over, "over")
		}
	case *[]schema.FloorReading:
		if v != nil {
			for i, r := range *v {
				x.line = i + 1
				give(nearEnds, r.At(), "0")
				give(x.thing.near, r.Down(), "1")
			}
			x.line = 0
		}
	}
}
