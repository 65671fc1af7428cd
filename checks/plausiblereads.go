package checks

import (
	"strconv"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// read is one length that a visit wrote down.
type read struct {
	kind  readKind
	of    *Subject
	unit  *unit    // whose it is; of a joint the one on its right, nil of an elevation
	left  *unit    // of a joint, the one on its left
	seen  string   // pointer to what the visit saw of the subject
	steps readStep // the way on from there
	value length.Length

	words  func(*read) say.Text // say which reading it is
	place  say.Words            // at which corner, along which line or side
	number int                  // of a floor reading, from 1
	front  string               // of the alignment of a front
}

// readStep is the way to a reading, up to the first empty step. Nearly every
// reading is as it should be and asked neither for its way nor for its words, so
// that neither is put together before.
type readStep [4]string

func (x *read) pointer() string {
	var steps []any
	for _, s := range x.steps {
		if s == "" {
			break
		}
		steps = append(steps, s)
	}
	return schema.Pointer(x.seen, steps...)
}

// readKind is what a length is of, which says what makes it plausible.
type readKind int

const (
	topRead       readKind = iota // down to a top corner or to the mark
	floorRead                     // down to the floor
	alongRead                     // along the elevation
	openingRead                   // a clear opening
	offsetRead                    // off a line or a neighbour, level and plumb too
	gapRead                       // a gap
	gapLengthRead                 // over how much of a joint there is a gap
	overWidthRead                 // the distance of a level reading along a cabinet
	overDepthRead                 // from its front to its back
	overCrossRead                 // from corner to corner
	overPlumbRead                 // up a face
	extensionRead                 // of a leveler
	packingRead                   // under a leveler
	cutRead                       // width a filler was cut to
)

// reads gives every length that the visit at a place in time wrote down of an
// elevation, its units and joints, and returns how many. What is given is good
// until the next one is.
func (e *elevation) reads(when int, yield func(*read)) (n int) {
	each := func(x *read) {
		n++
		yield(x)
	}
	for _, s := range e.seen.on(when) {
		e.elevationReads(s, each)
	}
	for i, u := range e.units {
		if j := e.joints[i]; j != nil {
			for _, s := range j.seen.on(when) {
				j.reads(s, each)
			}
		}
		for _, s := range u.asCab.on(when) {
			u.cabinetReads(s, each)
		}
		for _, s := range u.asFill.on(when) {
			u.fillerReads(s, each)
		}
	}
	return n
}

// to gives a length that may not have been read.
func (x *read) to(yield func(*read), kind readKind, words func(*read) say.Text, l *length.Length, steps readStep) {
	if l != nil {
		x.kind, x.words, x.value, x.steps = kind, words, *l, steps
		yield(x)
	}
}

func (e *elevation) elevationReads(s sighting[schema.ElevationSeen], yield func(*read)) {
	x := &read{of: &e.subject, seen: s.at}
	x.to(yield, topRead, func(*read) say.Text { return say.That("set-height mark") }, s.seen.Mark, readStep{"mark"})
	x.to(yield, alongRead, func(*read) say.Text { return say.That("place of the mark") }, s.seen.MarkAt, readStep{"mark_at"})
	x.line(yield, "front", s.seen.Floor.Front)
	x.line(yield, "back", s.seen.Floor.Back)
	o := s.seen.Opening
	x.to(yield, openingRead, func(*read) say.Text { return say.That("clear opening at the floor") }, o.Bottom, readStep{"opening", "bottom"})
	x.to(yield, openingRead, func(*read) say.Text { return say.That("clear opening half way up") }, o.Middle, readStep{"opening", "middle"})
	x.to(yield, openingRead, func(*read) say.Text { return say.That("clear opening at the tops") }, o.Top, readStep{"opening", "top"})
}

func (x *read) line(yield func(*read), name string, readings []schema.FloorReading) {
	for i, r := range readings {
		at, down := r.At(), r.Down()
		x.place, x.number = LineWords(name), i+1
		x.to(yield, alongRead, func(x *read) say.Text { return say.That("floor, %[1]s, reading %[2]s, at", x.place, x.number) }, &at, readStep{"floor", name, strconv.Itoa(i), "0"})
		x.to(yield, floorRead, func(x *read) say.Text { return say.That("floor, %[1]s, reading %[2]s", x.place, x.number) }, &down, readStep{"floor", name, strconv.Itoa(i), "1"})
	}
}

func (j *joint) reads(s sighting[schema.JointSeen], yield func(*read)) {
	x := &read{of: &j.subject, unit: j.right, left: j.left, seen: s.at}
	x.to(yield, offsetRead, func(*read) say.Text { return say.That("offset of the fronts") }, s.seen.FrontOffset, readStep{"front_offset"})
	x.to(yield, offsetRead, func(*read) say.Text { return say.That("offset of the tops") }, s.seen.TopOffset, readStep{"top_offset"})
	x.to(yield, gapRead, func(*read) say.Text { return say.That("widest gap") }, s.seen.Gap, readStep{"gap"})
	x.to(yield, gapLengthRead, func(*read) say.Text { return say.That("length of the gap") }, s.seen.GapLength, readStep{"gap_length"})
}

func (u *unit) cabinetReads(s sighting[schema.CabinetSeen], yield func(*read)) {
	x := &read{of: &u.subject, unit: u, seen: s.at}
	for _, c := range corners {
		x.place = c.word
		x.to(yield, topRead, func(x *read) say.Text { return say.That("top, %[1]s", x.place) }, theTops.read(s.seen, c.key), readStep{"tops", c.key})
		x.to(yield, extensionRead, func(x *read) say.Text { return say.That("extension, %[1]s", x.place) }, theExtension.read(s.seen, c.key), readStep{"extension", c.key})
	}
	for _, c := range corners {
		x.place = c.word
		x.to(yield, packingRead, func(x *read) say.Text { return say.That("packing, %[1]s", x.place) }, thePacking.read(s.seen, c.key), readStep{"packing", c.key})
	}
	over := [...]readKind{overWidthRead, overWidthRead, overDepthRead, overDepthRead, overCrossRead, overCrossRead}
	for i, side := range sides {
		if d := theLevel.read(s.seen, side.key); d != nil {
			x.place = side.words
			x.to(yield, offsetRead, func(x *read) say.Text { return say.That("level %[1]s", x.place) }, &d.Off, readStep{"level", side.key, "off"})
			x.to(yield, over[i], func(x *read) say.Text { return say.That("level %[1]s, over", x.place) }, &d.Over, readStep{"level", side.key, "over"})
		}
	}
	for _, face := range faces {
		if d := thePlumb.read(s.seen, face.key); d != nil {
			x.place = face.words
			x.to(yield, offsetRead, func(x *read) say.Text { return say.That("%[1]s", x.place) }, &d.Off, readStep{"plumb", face.key, "off"})
			x.to(yield, overPlumbRead, func(x *read) say.Text { return say.That("%[1]s, over", x.place) }, &d.Over, readStep{"plumb", face.key, "over"})
		}
	}
	x.to(yield, offsetRead, func(*read) say.Text { return say.That("offset between fronts") }, s.seen.FrontOffset, readStep{"front_offset"})
	for _, front := range sortedNames(s.seen.Alignment) {
		l := s.seen.Alignment[front]
		x.front = front
		x.to(yield, offsetRead, func(x *read) say.Text { return say.That("%[1]s out of line", frontWords(x.front)) }, &l, readStep{"alignment", front})
	}
}

func (u *unit) fillerReads(s sighting[schema.FillerSeen], yield func(*read)) {
	x := &read{of: &u.subject, unit: u, seen: s.at}
	x.to(yield, offsetRead, func(*read) say.Text { return say.That("offset, side edge") }, s.seen.SideOffset, readStep{"side_offset"})
	x.to(yield, offsetRead, func(*read) say.Text { return say.That("offset, top edge") }, s.seen.TopOffset, readStep{"top_offset"})
	x.to(yield, cutRead, func(*read) say.Text { return say.That("cut to") }, s.seen.Cut, readStep{"cut"})
}
