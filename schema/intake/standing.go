package intake

import (
	"fmt"

	"setline.example/schema"
	"setline.example/schema/amend"
)

// What a table of units says of rooms and parts that the record has already.

// missingFacts adds to the object at pointer what the record does not say of it yet.
func (b *build) missingFacts(at string, s *subject, facts []fact, has map[string]string) error {
	var o object
	b.putFacts(&o, at, b.compare(s, facts, has))
	b.facts += len(o)
	return b.append(at, false, o)
}

// oldRoom adds what is new to a room that the record has, and says how many
// units and elevations that is.
func (b *build) oldRoom(at string, was *schema.Room, room *drawnRoom) (units, elevations int, err error) {
	if err := b.missingFacts(at, &room.subject, room.facts, canonical(*was)); err != nil {
		return 0, 0, err
	}
	type standing struct {
		elevation string
		unit      schema.Unit
	}
	stands := map[string]standing{}
	for _, e := range was.Elevations {
		for _, u := range e.Units {
			stands[u.Tag] = standing{e.Name, u}
		}
	}
	var fresh [][]byte
	for _, e := range room.elevations {
		old, ok := indexOf(was.Elevations, func(x *schema.Elevation) bool { return x.Name == e.name })
		here := schema.Pointer(at, "elevations", old)
		if !ok {
			here = schema.Pointer(at, "elevations", len(was.Elevations)+len(fresh))
		}
		kept := e.units[:0:0]
		before := "" // the tag of the unit that the table has before
		for _, u := range e.units {
			has, known := stands[u.tag]
			if !known {
				if ok {
					b.atEnd(&was.Elevations[old], u, before, len(kept) > 0)
				}
				before = u.tag
				kept = append(kept, u)
				continue
			}
			before = u.tag
			b.sameUnit(u, e.name, has.elevation, &has.unit)
		}
		e.units = kept
		if ok {
			b.origin[here] = e.first
			if err := b.missingFacts(here, &e.subject, e.facts, canonical(was.Elevations[old])); err != nil {
				return 0, 0, err
			}
			values := make([]amend.Member, len(e.units))
			for i, u := range e.units {
				values[i].Value = b.unit(schema.Pointer(here, "units", len(was.Elevations[old].Units)+i), u)
			}
			if err := b.append(here+"/units", true, values); err != nil {
				return 0, 0, err
			}
		} else if len(e.units) > 0 {
			fresh = append(fresh, b.newElevation(here, e))
		}
		units += len(e.units)
	}
	return units, len(fresh), b.append(at+"/elevations", true, elements(fresh))
}

// atEnd refuses a new unit of an elevation that the record has where it would
// move others, or come behind the filler that ends a run. before is what the
// table has before it, "" where it does not say.
func (b *build) atEnd(e *schema.Elevation, u drawnUnit, before string, afterNew bool) {
	if len(e.Units) == 0 || afterNew {
		return
	}
	last := e.Units[len(e.Units)-1]
	_, ends := b.base.Record.Planned.Fillers[last.Part]
	ends = ends && len(e.Units) > 1 && u.space == nil
	if before == last.Tag || before == "" && !ends {
		return
	}
	found := fmt.Sprintf("unit %q after %q", u.tag, before)
	if before == "" {
		found = fmt.Sprintf("unit %q, of which nothing says that it comes behind filler %q", u.tag, last.Tag)
	}
	b.wrong(schema.Impossible, u.row.Cell("tag"), found, fmt.Sprintf("new units at the end of elevation %q, in a row after %q", e.Name, last.Tag), `a unit goes where its row is with "setline plan"`)
}

// sameUnit holds a unit against the one that the record has under its tag.
func (b *build) sameUnit(u drawnUnit, elevation, has string, old *schema.Unit) {
	what := fmt.Sprintf("unit %q", u.tag)
	mend := "give the unit a tag of its own, or correct the row"
	if elevation != has {
		b.wrong(schema.Contradiction, u.element, fmt.Sprintf("%s in elevation %q", what, elevation), fmt.Sprintf("elevation %q, where the record has it", has), mend)
	}
	if u.part != old.Part {
		b.wrong(schema.Contradiction, u.row.Cell("part"), fmt.Sprintf("%s as part %q", what, u.part), fmt.Sprintf("part %q, as the record has it", old.Part), mend)
	}
	if space := canonical(*old)["space_before"]; space != u.sameSpace {
		b.wrong(schema.Contradiction, u.row.Cell("space before"), fmt.Sprintf("%s with space %s before it", what, orNone(u.sameSpace)), orNone(space)+", as the record has it", mend)
	}
}
