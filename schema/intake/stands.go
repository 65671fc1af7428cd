package intake

import (
	"fmt"
	"slices"

	"setline.example/schema"
	"setline.example/schema/length"
)

// stand is where a unit stands as planned, and as what.
type stand struct {
	room, elevation string
	from            length.Length // of its left side, from the left end of the elevation
	part            string
	facts           string // of its part, see [factsOf]
}

// factsOf are what a part is as a thing. What describes it is none of that, nor is
// how far it may differ from what is drawn, or what a setting must leave: that can be
// planned anew over what stands, and what was observed of it is judged by it.
func factsOf(p *schema.Planned, part string) string {
	c, f := p.Cabinets[part], p.Fillers[part]
	c.Description, f.Description = "", ""
	c.Body = p.BodyOf(c)
	c.WidthTolerance = nil
	if l := c.Leveler; l != nil {
		without := *l
		without.Reserve = nil
		c.Leveler = &without
	}
	return string(jsonOf(c)) + string(jsonOf(f))
}

// stands gives where every unit stands, by "ROOM/TAG", and their order.
func stands(p *schema.Planned) (all map[string]stand, order []string) {
	all = map[string]stand{}
	for _, room := range p.Rooms {
		for _, e := range room.Elevations {
			var from length.Length
			for _, u := range e.Units {
				if u.SpaceBefore != nil {
					from += *u.SpaceBefore
				}
				name := room.Name + "/" + u.Tag
				all[name] = stand{room.Name, e.Name, from, u.Part, factsOf(p, u.Part)}
				order = append(order, name)
				from += p.Cabinets[u.Part].Width + p.Fillers[u.Part].Width
			}
		}
	}
	return all, order
}

// find gives a unit of a plan.
func find(p *schema.Planned, room, tag string) (schema.Unit, bool) {
	for _, r := range p.Rooms {
		for _, e := range r.Elevations {
			i := slices.IndexFunc(e.Units, func(u schema.Unit) bool { return u.Tag == tag })
			if r.Name == room && i >= 0 {
				return e.Units[i], true
			}
		}
	}
	return schema.Unit{}, false
}

// shifted notes the units that are gone or stand elsewhere.
func (r *replanner) shifted() {
	was, order := stands(&r.base.Record.Planned)
	now, _ := stands(&r.now.Planned)
	for _, name := range order {
		a, b := was[name], now[name]
		at := func(s stand) string {
			return fmt.Sprintf("%s from the left end of elevation %s", s.from.In(r.base.Record.Planned.LengthsIn), s.elevation)
		}
		switch _, still := now[name]; {
		case !still:
			r.change(name, "gone", "", fmt.Sprintf("part %s, %s", a.part, at(a)), "")
		case a.elevation != b.elevation || a.from != b.from:
			r.change(name, "moved", "", at(a), at(b))
		}
	}
}
