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
	facts           string // of its part, but for its description
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
				c, f := p.Cabinets[u.Part], p.Fillers[u.Part]
				c.Description, f.Description = "", ""
				c.Body = p.BodyOf(c)
				name := room.Name + "/" + u.Tag
				all[name] = stand{room.Name, e.Name, from, u.Part, string(jsonOf(c)) + string(jsonOf(f))}
				order = append(order, name)
				from += c.Width + f.Width
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
