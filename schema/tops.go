package schema

import (
	"fmt"
	"slices"

	"setline.example/schema/length"
)

// Stand is where a unit stands along its elevation, from its left end, as drawn.
type Stand struct{ Left, Right length.Length }

// Stands gives where the units of an elevation stand.
func (p *Planned) Stands(e *Elevation) []Stand {
	all := make([]Stand, len(e.Units))
	at := length.Length(0)
	for i, u := range e.Units {
		if u.SpaceBefore != nil {
			at += *u.SpaceBefore
		}
		all[i].Left = at
		at += p.Cabinets[u.Part].Width + p.Fillers[u.Part].Width
		all[i].Right = at
	}
	return all
}

// Span gives where a piece of top begins and ends along the elevation e, whose
// units stand as given. A tag of the elevation goes before a length that is
// written the same. ok is false for an end that is neither.
func (t *Top) Span(e *Elevation, stands []Stand) (from, to length.Length, fromOK, toOK bool) {
	from, fromOK = spot(e, t.From, func(i int) length.Length { return stands[i].Left })
	to, toOK = spot(e, t.To, func(i int) length.Length { return stands[i].Right })
	return from, to, fromOK, toOK
}

func spot(e *Elevation, text string, side func(unit int) length.Length) (length.Length, bool) {
	for i := range e.Units {
		if e.Units[i].Tag == text {
			return side(i), true
		}
	}
	l, err := length.Parse(text)
	return l, err == nil
}

// tops finds pieces that begin or end nowhere, or do not follow one another.
func (m *meaningCheck) tops(e *Elevation, elevation *way) {
	if len(e.Tops) == 0 {
		return
	}
	stands := m.rec.Planned.Stands(e)
	var tags []string
	for _, u := range e.Units {
		tags = append(tags, u.Tag)
	}
	var end *length.Length // of the piece before
	for i := range e.Tops {
		t, at := &e.Tops[i], elevation.at("tops", i)
		m.notNegative(&at, "overhang", "distance", t.Overhang)
		from, to, fromOK, toOK := t.Span(e, stands)
		if !fromOK {
			m.noSpot(at.pointer("from"), t.From, tags)
		}
		if !toOK {
			m.noSpot(at.pointer("to"), t.To, tags)
		}
		switch {
		case !fromOK || !toOK:
			end = nil
			continue
		case from >= to:
			m.wrong(Contradiction, at.pointer("to"), fmt.Sprintf("a top that ends at %s and begins at %s", to, from), "an end to the right of where it begins", "correct one of the two")
		case end != nil && from < *end:
			m.wrong(Contradiction, at.pointer("from"), fmt.Sprintf("a top that begins at %s, within the one before it, which ends at %s", from, *end),
				"pieces from left to right, none within another", "correct where one of the two ends, or put them in order")
		}
		end = &to
	}
}

func (m *meaningCheck) noSpot(pointer, text string, tags []string) {
	mend := "name a unit of this elevation, or write a length with its unit"
	if near := Nearest(text, tags); near != "" {
		mend = fmt.Sprintf("write %q if that is meant", near)
	}
	m.wrong(Unknown, pointer, fmt.Sprintf("%q, which is neither a unit of the elevation nor a length", text),
		oneOf("unit", tags)+", or a distance from the left end", mend)
}

// released finds units of which a release speaks and that are not there.
func (m *meaningCheck) released(at *way, plan *plannedRoom, elevation string, units []string) {
	for i, tag := range units {
		if _, unit := plan.parts[tag]; unit && plan.along[tag] == elevation {
			continue
		}
		known := slices.DeleteFunc(plan.namesAlong(elevation), func(name string) bool { return plan.joints[name] })
		mend := "correct the name"
		if near := Nearest(tag, known); near != "" {
			mend = fmt.Sprintf("write %q if that is meant", near)
		}
		at := at.at("closing/released_runs", i)
		m.wrong(Unknown, at.pointer(), fmt.Sprintf("%q, which is no unit of elevation %s", tag, elevation), oneOf("unit", known), mend)
	}
}
