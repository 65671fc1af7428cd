package checks

import "setline.example/schema/length"

// Moved is how far the top corners of an elevation came up between two visits.
type Moved struct {
	Room      string       `json:"room"`
	Elevation string       `json:"elevation"`
	Corners   []CornerMove `json:"corners"`
	// Cause tells a floor that moves from a cabinet that does, where something
	// moved by more than its uncertainty.
	Cause string `json:"cause,omitempty"`
}

// CornerMove is how far one top corner came up, and how well that is known.
type CornerMove struct {
	Unit      string `json:"unit"`
	Corner    string `json:"corner"`
	ThenVisit string `json:"then_visit"`
	NowVisit  string `json:"now_visit"`
	// Tied says that both visits read the set-height mark. Without it there is no Up.
	Tied bool          `json:"tied"`
	Up   length.Length `json:"up"` // negative where it went down
	// U is the expanded uncertainty (k = 2) of Up where Known says that there is one.
	U     length.Length `json:"u"`
	Known bool          `json:"u_known"`
	// Within says that Up is no more than U: nothing can be said to have moved.
	Within bool `json:"within"`
}

// moved compares the top corners that were read again since. A unit with
// another part is another unit.
func (p pair) moved() []Moved {
	all := []Moved{}
	a, b := &bench{facts: p.then.facts}, &bench{facts: p.now.facts}
	for _, r := range p.now.facts.rooms {
		for _, e := range r.elevations {
			m := Moved{Room: r.plan.Name, Elevation: e.plan.Name}
			var beyond, tied []change
			for _, u := range e.units {
				old, oldE := p.then.unit(r.plan.Name, u.plan.Tag)
				if u.cabinet == nil || old == nil || old.plan.Part != u.plan.Part {
					continue
				}
				for _, c := range corners {
					was, is := latest(old.asCab, c.top, "tops", c.key), latest(u.asCab, c.top, "tops", c.key)
					from, to := p.then.visitName(was.visit), p.now.visitName(is.visit)
					if !was.ok || !is.ok || from == to {
						continue
					}
					moved, ok := rise(u, c, topReading{a, oldE, was}, topReading{b, e, is})
					n := CornerMove{Unit: u.plan.Tag, Corner: c.word, ThenVisit: from, NowVisit: to, Tied: ok}
					if ok {
						u := nearest(coverage * moved.doubt.u)
						n.Up, n.U, n.Known, n.Within = moved.up, u, moved.doubt.known, moved.doubt.known && moved.up.Abs() <= u
						tied = append(tied, moved)
						if n.Known && !n.Within {
							beyond = append(beyond, moved)
						}
					}
					m.Corners = append(m.Corners, n)
				}
			}
			if len(beyond) > 0 {
				m.Cause = b.cause(tied)
			}
			if len(m.Corners) > 0 {
				all = append(all, m)
			}
		}
	}
	return all
}

// unit finds a unit by room and tag, nil where it is not planned.
func (s *side) unit(room, tag string) (*unit, *elevation) {
	for _, r := range s.facts.rooms {
		if r.plan.Name != room {
			continue
		}
		for _, e := range r.elevations {
			for _, u := range e.units {
				if u.plan.Tag == tag {
					return u, e
				}
			}
		}
	}
	return nil, nil
}
