package intake

import (
	"fmt"
	"maps"

	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/table"
)

// namedThing is a thing of a table that has one row each: its name, what is said
// of it, and the cells that say it, by member.
type namedThing struct {
	name  string
	value object
	cells map[string]table.Cell
}

// instruments brings in a table of instruments.
func (b *build) instruments(t *table.Table) error {
	return bringNamed(b, t, "instrument", "instrument", b.base.Record.Planned.Instruments, func(r *reader, n *namedThing) {
		r.needed("kind")
		n.text(r, "kind", "kind", r.choice("kind", "laser", "level", "rule", "feeler gauge", "other"))
		n.value.texts("reads", r.choices("reads", "heights", "level and plumb", "offsets", "gaps", "extensions"))
		for _, name := range []string{"resolution", "accuracy", "over"} {
			n.cells[name] = r.Cell(name)
			r.putLength(&n.value, name, name)
		}
		n.text(r, "serial", "serial", r.text("serial"))
	})
}

// screws brings in a table of screws.
func (b *build) screws(t *table.Table) error {
	return bringNamed(b, t, "fastener", "screw", b.base.Record.Planned.Fasteners, func(r *reader, n *namedThing) {
		size := r.needed("size")
		if size != "" && size[0] != '#' {
			size = "#" + size
		}
		n.text(r, "size", "size", size)
		r.needed("length")
		n.cells["length"] = r.Cell("length")
		r.putLength(&n.value, "length", "length")
		n.text(r, "point", "point", r.choice("point", "self-tapping", "self-drilling"))
		n.cells["point_number"], n.cells["each"] = r.Cell("point number"), r.Cell("each")
		r.putCount(&n.value, "point_number", "point number")
		n.value.texts("use", r.choices("use", "front of door cabinet", "front of drawer cabinet", "upper rear", "filler"))
		r.putCount(&n.value, "each", "each")
	})
}

func (n *namedThing) text(r *reader, member, column, s string) {
	n.cells[member] = r.Cell(column)
	n.value.text(member, s)
}

// bringNamed brings in a table of things with a row each: of a kind as the
// record names it, and as people do. One that the record has already must be
// the same there.
func bringNamed[T any](b *build, t *table.Table, kind, words string, has map[string]T, read func(*reader, *namedThing)) error {
	var fresh []amend.Member
	seen := map[string]table.Cell{}
	for r := range b.rows(t) {
		n := &namedThing{name: r.needed("name"), cells: map[string]table.Cell{}}
		read(r, n)
		what := fmt.Sprintf("%s %q", words, n.name)
		if old, twice := seen[n.name]; twice {
			r.wrong(schema.Twice, r.Cell("name"), what+" a second time", fmt.Sprintf("each once; the first is on line %d", old.Line), "remove one of the two, or rename it")
		}
		if r.bad {
			continue
		}
		seen[n.name] = r.Cell("name")
		value := n.value.json()
		if old, ok := has[n.name]; ok {
			now, err := canonicalText[T](value)
			switch same := err == nil && maps.Equal(now, canonical(old)); {
			case same:
			case b.replan != nil:
				if err := b.replan(what, schema.Pointer("/planned", kind+"s", n.name), jsonOf(old), value); err != nil {
					return err
				}
			default:
				r.wrong(schema.Contradiction, r.Cell("name"), what+" with other facts than the record has", string(jsonOf(old)), `correct the row, give it another name, or take it over with "setline plan"`)
			}
			continue
		}
		at := schema.Pointer("/planned", kind+"s", n.name)
		if b.replan != nil {
			if err := b.replan(what, at, nil, value); err != nil {
				return err
			}
		}
		b.origin[at] = r.Cell("name")
		for member, c := range n.cells {
			b.origin[schema.Pointer(at, member)] = c
		}
		fresh = append(fresh, amend.Member{Name: n.name, Value: value})
	}
	b.say(len(fresh), words, words+"s")
	return b.append("/planned/"+kind+"s", false, fresh)
}
