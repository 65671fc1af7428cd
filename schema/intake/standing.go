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
		for _, u := range e.units {
			has, ok := stands[u.tag]
			if !ok {
				kept = append(kept, u)
				continue
			}
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

// sameUnit holds a unit against the one that the record has under its tag.
func (b *build) sameUnit(u drawnUnit, elevation, has string, old *schema.Unit) {
	what := fmt.Sprintf("unit %q", u.tag)
	mend := "give the unit a tag of its own, or correct the row"
	if elevation != has {
		b.wrong(u.element, fmt.Sprintf("%s in elevation %q", what, elevation), fmt.Sprintf("elevation %q, where the record has it", has), mend)
	}
	if u.part != old.Part {
		b.wrong(u.row.Cell("part"), fmt.Sprintf("%s as part %q", what, u.part), fmt.Sprintf("part %q, as the record has it", old.Part), mend)
	}
	if space := canonical(*old)["space_before"]; space != u.sameSpace {
		b.wrong(u.row.Cell("space before"), fmt.Sprintf("%s with space %s before it", what, orNone(u.sameSpace)), orNone(space)+", as the record has it", mend)
	}
}
