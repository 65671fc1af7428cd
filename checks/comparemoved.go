package checks

import (
	"slices"

	"setline.example/schema/length"
)

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
			var tied []change
			for _, u := range e.units {
				old, oldE := p.then.unit(r.plan.Name, u.plan.Tag)
				if u.cabinet == nil || old == nil || old.plan.Part != u.plan.Part {
					continue
				}
				for _, c := range corners {
					was, is, ok := p.lastTwo(a, oldE, old, b, e, u, c)
					from, to := p.then.visitName(was.visit), p.now.visitName(is.visit)
					if !was.ok || !is.ok || from == to {
						continue
					}
					n := CornerMove{Unit: u.plan.Tag, Corner: c.word, ThenVisit: from, NowVisit: to, Tied: ok}
					if ok {
						moved := rise(u, c, was, is)
						tied = append(tied, moved)
						n.Up, n.U, n.Known = moved.up, nearest(coverage*moved.doubt.u), moved.doubt.known
						n.Within = n.Known && !moved.moved()
					}
					m.Corners = append(m.Corners, n)
				}
			}
			if worst, known := mostMoved(tied); known && worst.moved() {
				m.Cause = explain(slices.DeleteFunc(tied, func(c change) bool {
					return c.from != worst.from || c.visit != worst.visit
				})).words()
			}
			if len(m.Corners) > 0 {
				all = append(all, m)
			}
		}
	}
	return all
}

// lastTwo are the last readings of a corner that a mark ties on both sides; ok
// is false where there are none, and then they are the last of all.
func (p pair) lastTwo(a *bench, oldE *elevation, old *unit, b *bench, e *elevation, u *unit, c corner) (was, is topReading, ok bool) {
	then, thenMarked := a.topReadings(oldE, old, c)
	now, nowMarked := b.topReadings(e, u, c)
	if was, is = lastOf(thenMarked), lastOf(nowMarked); was.ok && is.ok && p.then.visitName(was.visit) != p.now.visitName(is.visit) {
		return was, is, true
	}
	return lastOf(then), lastOf(now), false
}

func lastOf(all []topReading) topReading {
	if len(all) == 0 {
		return topReading{observed: observed[length.Length]{when: -1, visit: -1}}
	}
	return all[len(all)-1]
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
