package intake

import (
	"fmt"
	"reflect"
	"slices"

	"github.com/go-json-experiment/json"
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

// completes reports whether a unit is planned as it was, and at most what is [silent]
// is said of its part now and was not.
func (s stand) completes(was stand) bool {
	facts := s.facts
	s.facts = was.facts
	if s != was {
		return false
	}
	var before, now map[string]any
	if json.Unmarshal([]byte(was.facts), &before) != nil || json.Unmarshal([]byte(facts), &now) != nil {
		return facts == was.facts
	}
	return onlyMore(now, before)
}

// silent are facts of a part that only rules read: whoever observed it saw the same
// thing, whether the plan had them or not. What else is said anew, such as a front,
// changes what "as planned" meant.
var silent = map[string]bool{"gauge": true, "front_rail_depth": true, "threads_per_inch": true, "pitch": true}

// onlyMore reports whether one says what the other does, and of what is silent more.
func onlyMore(now, before map[string]any) bool {
	for name, value := range now {
		was, there := before[name]
		inner, isObject := value.(map[string]any)
		old, both := was.(map[string]any)
		switch {
		case !there && !silent[name],
			there && isObject && both && !onlyMore(inner, old),
			there && !(isObject && both) && !reflect.DeepEqual(value, was):
			return false
		}
	}
	for name := range before {
		if _, there := now[name]; !there {
			return false
		}
	}
	return true
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
	return string(jsonOf(map[string]any{"cabinet": c, "filler": f}))
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
