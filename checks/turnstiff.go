package checks

import (
	"slices"

	"setline.example/schema"
	"setline.example/schema/length"
)

// findStiff finds corners that moved less than half of what they were turned
// between the two visits that read them last. How far a bolt was turned is known
// where both visits recorded its extension; else by what the list of the earlier
// visit asks for, where some corner of it shows that it was followed.
func (t *turning) findStiff() {
	asked := t.askedBefore()
	followed := false
	var listed []Stiff
	for i, p := range t.points {
		if s, ok := t.stiffByExtension(p); ok {
			t.addStiff(i, s)
			continue
		}
		turned, ok := asked[CornerName{p.unit.plan.Tag, p.at.name, p.of}]
		moved, tied := t.movedSince(p)
		if !ok || !tied {
			continue
		}
		s := Stiff{CornerName: t.name(i), Turned: turned, Moved: moved, Listed: t.before().Date}
		followed = followed || !s.stiff()
		listed = append(listed, s)
	}
	for _, s := range listed {
		if followed && s.stiff() && s.Turned.Abs() >= 2*t.run.Resolution {
			t.list.Stiff = append(t.list.Stiff, s)
		}
	}
}

func (t *turning) addStiff(i int, s Stiff) {
	if s.CornerName = t.name(i); s.stiff() && s.Turned.Abs() >= 2*t.run.Resolution {
		t.list.Stiff = append(t.list.Stiff, s)
	}
}

// stiff reports whether it moved less than half of what it was turned.
func (s *Stiff) stiff() bool {
	if s.Turned < 0 {
		return s.Moved > s.Turned/2
	}
	return s.Moved < s.Turned/2
}

// stiffByExtension holds the last two visits that recorded both the extension
// of a corner's leveler and its top, from lines that the mark ties, against each other.
func (t *turning) stiffByExtension(p point) (s Stiff, ok bool) {
	var read []struct{ height, extension length.Length }
	for _, seen := range slices.Backward(p.unit.asCab.all) {
		top, extension := theTops.read(seen.seen, p.at.name), theExtension.read(seen.seen, p.at.name)
		if mark, marked := t.e.mark(seen.visit); top != nil && extension != nil && marked {
			read = append(read, struct{ height, extension length.Length }{less(mark, *top), *extension})
		}
		if len(read) == 2 {
			return Stiff{Turned: less(read[0].extension, read[1].extension), Moved: less(read[0].height, read[1].height)}, true
		}
	}
	return s, false
}

// latest is when the tops of the run were read last.
func (t *turning) latest() (when int) {
	for _, p := range t.points {
		when = max(when, p.when)
	}
	return when
}

// before is the visit before the one that read the tops last.
func (t *turning) before() *schema.Visit {
	return &t.rec.Measured.Visits[t.visits[t.latest()-1]]
}

// askedBefore is how far the list of the visit before asks corners to come up.
func (t *turning) askedBefore() map[CornerName]length.Length {
	last := t.latest()
	earlier := func(s sighting[schema.CabinetSeen]) bool {
		return s.when < last && slices.ContainsFunc(corners[:], func(c corner) bool { return theTops.read(s.seen, c.key) != nil })
	}
	if !slices.ContainsFunc(t.cabinets, func(u *unit) bool { return slices.ContainsFunc(u.asCab.all, earlier) }) {
		return nil
	}
	was := t.asOf(last)
	if was == nil {
		return nil
	}
	list, _ := was.listOf(t.number)
	asked := map[CornerName]length.Length{}
	for _, one := range list.Turns {
		asked[one.CornerName] = one.Rise
	}
	return asked
}

// movedSince is how far a corner that the last visit read came up since the one
// that read it before; ok is false where no mark ties them.
func (t *turning) movedSince(p point) (moved length.Length, ok bool) {
	if p.when != t.latest() {
		return 0, false
	}
	c := corners[slices.IndexFunc(corners[:], func(c corner) bool { return c.key == p.at.name })]
	_, marked := t.topReadings(t.e, p.unit, c)
	n := len(marked)
	if n < 2 || marked[n-1].visit != p.visit {
		return 0, false
	}
	return less(marked[n-1].aboveMark(), marked[n-2].aboveMark()), true
}
