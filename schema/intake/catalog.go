package intake

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"setline.example/schema"
	"setline.example/schema/amend"
)

// The kinds of part.
const (
	cabinet = "cabinet"
	filler  = "filler"
)

// columnsOf says which facts only one kind of part has, by their member and
// the column that says them.
var columnsOf = []struct{ kind, member, column string }{
	{cabinet, "height", "height"}, {cabinet, "depth", "depth"}, {cabinet, "front_rail_depth", "front rail depth"},
	{cabinet, "least", "leveler least"}, {cabinet, "greatest", "leveler greatest"}, {cabinet, "threads_per_inch", "threads per inch"},
	{cabinet, "pitch", "leveler pitch"}, {cabinet, "reserve", "leveler reserve"}, {cabinet, "width_tolerance", "width tolerance"},
	{cabinet, "front", "front"}, {filler, "scribe", "scribe"},
}

// read notes what a row says of its part, in the order of the record.
func (p *drawnPart) read(r *reader) {
	r.sayText(&p.subject, "kind", "kind", r.choice("kind", cabinet, filler))
	r.sayText(&p.subject, "description", "description", r.text("description"))
	r.sayLength(&p.subject, "width", "width")
	r.sayLength(&p.subject, "scribe", "scribe")
	r.sayLength(&p.subject, "width_tolerance", "width tolerance")
	r.sayLength(&p.subject, "height", "height")
	r.sayLength(&p.subject, "depth", "depth")
	r.sayCount(&p.subject, "gauge", "gauge")
	r.sayLength(&p.subject, "front_rail_depth", "front rail depth")
	r.sayLength(&p.subject, "least", "leveler least")
	r.sayLength(&p.subject, "greatest", "leveler greatest")
	r.sayCount(&p.subject, "threads_per_inch", "threads per inch")
	r.sayLength(&p.subject, "pitch", "leveler pitch")
	r.sayLength(&p.subject, "reserve", "leveler reserve")
	if front := r.front("front"); front != nil {
		r.say(&p.subject, "front", "front", front, string(jsonOf(frontOf(string(front)))))
	}
}

// catalog adds what is new of parts.
func (b *build) catalog(d *drawn) error {
	fresh := map[string][]amend.Member{}
	for _, p := range d.parts {
		kind, ok := b.kindOf(p)
		if !ok {
			continue
		}
		at := schema.Pointer("/planned", kind+"s", p.name)
		if _, inRecord := b.inCatalog(p.name); !inRecord {
			b.origin[at] = p.first
		}
		facts := b.catalogFacts(p, kind, at)
		c, isCabinet := b.base.Record.Planned.Cabinets[p.name]
		f, isFiller := b.base.Record.Planned.Fillers[p.name]
		var err error
		switch {
		case isCabinet:
			has := canonical(b.base.Record.Planned.Usual)
			maps.Copy(has, canonical(c))
			err = b.missingFacts(at, &p.subject, facts, has)
		case isFiller:
			err = b.missingFacts(at, &p.subject, facts, canonical(f))
		default:
			fresh[kind] = append(fresh[kind], amend.Member{Name: p.name, Value: b.newPart(p, kind, at, facts)})
		}
		if err != nil {
			return err
		}
	}
	for _, kind := range []string{cabinet, filler} {
		if err := b.append("/planned/"+kind+"s", false, fresh[kind]); err != nil {
			return err
		}
	}
	b.say(len(fresh[cabinet])+len(fresh[filler]), "part", "parts")
	return nil
}

// inCatalog says which kind of part the record has under the name.
func (b *build) inCatalog(part string) (kind string, ok bool) {
	if _, ok := b.base.Record.Planned.Cabinets[part]; ok {
		return cabinet, true
	}
	_, ok = b.base.Record.Planned.Fillers[part]
	return filler, ok
}

// kindOf tells the kind of a part, and refuses facts that only the other kind has.
func (b *build) kindOf(p *drawnPart) (string, bool) {
	known, inRecord := b.inCatalog(p.name)
	said, isSaid := p.get("kind")
	kind := strings.Trim(said.same, `"`)
	switch {
	case isSaid && inRecord && kind != known:
		b.wrong(schema.Contradiction, said.cell, fmt.Sprintf("%s as a %s", p.what, kind), fmt.Sprintf("a %s, as the record has it", known), "correct the row, or give the part another number", said.rows...)
		return "", false
	case inRecord:
		kind = known
	case !isSaid:
		for _, c := range columnsOf {
			if _, ok := p.get(c.member); ok {
				kind = c.kind
				break
			}
		}
	}
	if kind == "" {
		b.wrong(schema.Missing, p.first, p.what+", of which nothing tells whether it is a cabinet or a filler", "a column kind, with cabinet or filler", "write it in one of the part's rows", p.rows...)
		return "", false
	}
	ok := true
	for _, c := range columnsOf {
		if f, has := p.get(c.member); has && c.kind != kind {
			b.wrong(schema.Unneeded, f.cell, fmt.Sprintf("%q for a %s", f.cell.Text, kind), fmt.Sprintf("nothing, since only a %s has it", c.kind), "leave the cell empty, or correct the kind", f.rows...)
			ok = false
		}
	}
	return kind, ok
}

// catalogFacts are the facts of a part as the record writes them: without its
// kind, and with what is said of the leveler in one.
func (b *build) catalogFacts(p *drawnPart, kind, at string) (facts []fact) {
	var leveler object
	var cell fact
	for _, f := range p.facts {
		switch f.member {
		case "kind":
		case "least", "greatest", "threads_per_inch", "pitch", "reserve":
			leveler.put(f.member, f.value)
			cell = f
			b.origin[schema.Pointer(at, "leveler", f.member)] = f.cell
		default:
			facts = append(facts, f)
		}
	}
	if leveler == nil {
		return facts
	}
	_, least := p.get("least")
	_, greatest := p.get("greatest")
	if !least || !greatest {
		b.wrong(schema.Missing, cell.cell, "one of leveler least and leveler greatest without the other", "both for "+p.what, "fill both, or leave the leveler to what all cabinets share", cell.rows...)
		return facts
	}
	same, err := canonicalText[struct {
		Leveler schema.Leveler `json:"leveler"`
	}]([]byte(`{"leveler":` + string(leveler.json()) + `}`))
	if err != nil {
		b.wrong(schema.Impossible, cell.cell, cell.cell.Text, "a leveler that the record can hold", "correct the row")
		return facts
	}
	return append(facts, fact{"leveler", leveler.json(), same["leveler"], cell.cell, cell.rows})
}

// unusual leaves out facts that the record says of all cabinets.
func (b *build) unusual(facts []fact) []fact {
	usual := canonical(b.base.Record.Planned.Usual)
	return slices.DeleteFunc(slices.Clone(facts), func(f fact) bool { return usual[f.member] == f.same })
}

// newPart gives a part that will stand at pointer.
func (b *build) newPart(p *drawnPart, kind, at string, facts []fact) []byte {
	if _, ok := p.get("width"); !ok {
		c := p.width
		b.wrong(schema.Missing, c, "no width for "+p.what, "a width in one of its rows", "write it with its unit, such as 24 in", p.rows...)
	}
	if kind == cabinet {
		usual := canonical(b.base.Record.Planned.Usual)
		for _, need := range []string{"height", "depth", "leveler"} {
			has := slices.ContainsFunc(facts, func(f fact) bool { return f.member == need })
			if !has && usual[need] == "" {
				column := map[string]string{"leveler": "leveler least and leveler greatest"}
				b.wrong(schema.Missing, p.first, fmt.Sprintf("no %s for cabinet %q", need, p.name), fmt.Sprintf("one in column %s, or one that all cabinets share", cmp.Or(column[need], need)),
					"add it to one of the part's rows, or start the record with one for all cabinets", p.rows...)
			}
		}
		facts = b.unusual(facts)
	}
	order := []string{"description", "width", "scribe", "height", "depth", "width_tolerance", "gauge", "front_rail_depth", "leveler", "front"}
	slices.SortStableFunc(facts, func(x, y fact) int { return slices.Index(order, x.member) - slices.Index(order, y.member) })
	var o object
	b.putFacts(&o, at, facts)
	return o.json()
}
