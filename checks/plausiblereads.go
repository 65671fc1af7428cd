package checks

import (
	"maps"
	"slices"
	"strconv"

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
	steps []string // the way on from there
	words string
	value length.Length
}

func (x read) pointer() string {
	steps := make([]any, len(x.steps))
	for i, s := range x.steps {
		steps[i] = s
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

// reads gives every length that a visit wrote down of an elevation, its units
// and joints.
func (e *elevation) reads(visit int, yield func(read)) {
	for i := range e.seen {
		if s := &e.seen[i]; s.visit == visit {
			e.elevationReads(s, yield)
		}
	}
	for i, u := range e.units {
		if j := e.joints[i]; j != nil {
			j.reads(visit, yield)
		}
		for k := range u.asCab {
			if s := &u.asCab[k]; s.visit == visit {
				u.cabinetReads(s, yield)
			}
		}
		for k := range u.asFill {
			if s := &u.asFill[k]; s.visit == visit {
				u.fillerReads(s, yield)
			}
		}
	}
}

// to gives a length that may not have been read.
func to(yield func(read), x read, kind readKind, words string, l *length.Length, steps ...string) {
	if l != nil {
		x.kind, x.words, x.value, x.steps = kind, words, *l, steps
		yield(x)
	}
}

func (e *elevation) elevationReads(s *sighting[schema.ElevationSeen], yield func(read)) {
	x := read{of: &e.subject, seen: s.at}
	to(yield, x, topRead, "set-height mark", s.seen.Mark, "mark")
	to(yield, x, alongRead, "place of the mark", s.seen.MarkAt, "mark_at")
	for _, line := range []struct {
		name     string
		readings []schema.FloorReading
	}{{"front", s.seen.Floor.Front}, {"back", s.seen.Floor.Back}} {
		for i, r := range line.readings {
			at, down := r.At(), r.Down()
			words := "floor, " + line.name + " line, reading " + strconv.Itoa(i+1)
			to(yield, x, alongRead, words+", at", &at, "floor", line.name, strconv.Itoa(i), "0")
			to(yield, x, floorRead, words, &down, "floor", line.name, strconv.Itoa(i), "1")
		}
	}
	o := s.seen.Opening
	to(yield, x, openingRead, "clear opening at the floor", o.Bottom, "opening", "bottom")
	to(yield, x, openingRead, "clear opening half way up", o.Middle, "opening", "middle")
	to(yield, x, openingRead, "clear opening at the tops", o.Top, "opening", "top")
}

func (j *joint) reads(visit int, yield func(read)) {
	for i := range j.seen {
		s := &j.seen[i]
		if s.visit != visit {
			continue
		}
		x := read{of: &j.subject, unit: j.right, left: j.left, seen: s.at}
		to(yield, x, offsetRead, "offset of the fronts", s.seen.FrontOffset, "front_offset")
		to(yield, x, offsetRead, "offset of the tops", s.seen.TopOffset, "top_offset")
		to(yield, x, gapRead, "widest gap", s.seen.Gap, "gap")
		to(yield, x, gapLengthRead, "length of the gap", s.seen.GapLength, "gap_length")
	}
}

func (u *unit) cabinetReads(s *sighting[schema.CabinetSeen], yield func(read)) {
	x := read{of: &u.subject, unit: u, seen: s.at}
	for _, c := range corners {
		to(yield, x, topRead, "top, "+c.word, theTops.read(s.seen, c.key), "tops", c.key)
		to(yield, x, extensionRead, "extension, "+c.word, theExtension.read(s.seen, c.key), "extension", c.key)
	}
	p := s.seen.Packing
	for i, l := range []*length.Length{p.FL, p.FR, p.BL, p.BR} {
		to(yield, x, packingRead, "packing, "+corners[i].word, l, "packing", corners[i].key)
	}
	over := [...]readKind{overWidthRead, overWidthRead, overDepthRead, overDepthRead, overCrossRead, overCrossRead}
	for i, side := range sides {
		if d := theLevel.read(s.seen, side.key); d != nil {
			to(yield, x, offsetRead, "level "+side.words, &d.Off, "level", side.key, "off")
			to(yield, x, over[i], "level "+side.words+", over", &d.Over, "level", side.key, "over")
		}
	}
	for _, face := range faces {
		if d := thePlumb.read(s.seen, face.key); d != nil {
			to(yield, x, offsetRead, face.words, &d.Off, "plumb", face.key, "off")
			to(yield, x, overPlumbRead, face.words+", over", &d.Over, "plumb", face.key, "over")
		}
	}
	to(yield, x, offsetRead, "offset between fronts", s.seen.FrontOffset, "front_offset")
	for _, front := range slices.Sorted(maps.Keys(s.seen.Alignment)) {
		l := s.seen.Alignment[front]
		to(yield, x, offsetRead, front+" out of line", &l, "alignment", front)
	}
}

func (u *unit) fillerReads(s *sighting[schema.FillerSeen], yield func(read)) {
	x := read{of: &u.subject, unit: u, seen: s.at}
	to(yield, x, offsetRead, "offset, side edge", s.seen.SideOffset, "side_offset")
	to(yield, x, offsetRead, "offset, top edge", s.seen.TopOffset, "top_offset")
	to(yield, x, cutRead, "cut to", s.seen.Cut, "cut")
}
