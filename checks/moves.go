package checks

import (
	"slices"

	"setline.example/checks/say"
	"setline.example/schema/length"
)

// Move is how far the top corners of an elevation came up from one state of a
// job to another.
type Move struct {
	Room, Elevation string
	Corners         []CornerMove
	// Cause tells a floor that moves from a cabinet that does, where something
	// moved by more than its uncertainty.
	Cause say.Text
}

// CornerMove is how far one top corner came up, and how well that is known.
type CornerMove struct {
	Unit     string
	Corner   say.Words
	From, To int // the visits that read it last, positions in the records of the two states
	// Tied says that both visits read the set-height mark. Without it there is no Up.
	Tied bool
	Up   length.Length // negative where it went down
	// U is the expanded uncertainty (k = 2) of Up where Known says that there is one.
	U     length.Length
	Known bool
	// Within says that Up is no more than U: nothing can be said to have moved.
	Within bool
}

// Moves compares the top corners that were read again between two states, which
// may be of two records; same says whether two of their visits are one. A unit
// with another part is another unit.
func Moves(then, now *State, same func(from, to int) bool) []Move {
	p := moving{then: &bench{facts: then.facts}, now: &bench{facts: now.facts}, same: same, stood: map[[2]string]*stood{}}
	for _, r := range then.facts.rooms {
		for _, e := range r.elevations {
			for _, u := range cabinetsOf(e.units) {
				p.stood[[2]string{r.plan.Name, u.plan.Tag}] = &stood{e, u}
			}
		}
	}
	var all []Move
	for _, r := range now.facts.rooms {
		for _, e := range r.elevations {
			if m := p.elevation(r, e); len(m.Corners) > 0 {
				all = append(all, m)
			}
		}
	}
	return all
}

// moving is the two states between which something may have moved.
type moving struct {
	then, now *bench
	same      func(from, to int) bool
	stood     map[[2]string]*stood // by room and tag
}

// stood is a cabinet as it stood then.
type stood struct {
	e *elevation
	u *unit
}

func (p *moving) elevation(r *room, e *elevation) Move {
	m := Move{Room: r.plan.Name, Elevation: e.plan.Name}
	var tied []change
	for _, u := range cabinetsOf(e.units) {
		old := p.stood[[2]string{r.plan.Name, u.plan.Tag}]
		if old == nil || old.u.plan.Part != u.plan.Part {
			continue
		}
		for _, c := range corners {
			was, is, ok := p.lastTwo(old, e, u, c)
			if !was.ok || !is.ok || p.same(was.visit, is.visit) {
				continue
			}
			n := CornerMove{Unit: u.plan.Tag, Corner: c.word, From: was.visit, To: is.visit, Tied: ok}
			if ok {
				moved := rise(u, c, was, is)
				tied = append(tied, moved)
				n.Up, n.U, n.Known = moved.up, nearest(coverage*moved.doubt.u), moved.doubt.known
				n.Within = n.Known && !moved.moved()
			}
			m.Corners = append(m.Corners, n)
		}
	}
	m.Cause = causeOf(tied)
	return m
}

// causeOf explains the change that is largest over its uncertainty, by those
// over the same two visits; nothing where nothing moved.
func causeOf(all []change) say.Text {
	worst, known := mostMoved(all)
	if !known || !worst.moved() {
		return say.Text{}
	}
	return explain(slices.DeleteFunc(all, func(c change) bool {
		return c.from != worst.from || c.visit != worst.visit
	})).words()
}

// lastTwo are the last readings of a corner that a mark ties on both sides; ok
// is false where there are none, and then they are the last of all.
func (p *moving) lastTwo(old *stood, e *elevation, u *unit, c corner) (was, is topReading, ok bool) {
	then, thenMarked := p.then.topReadings(old.e, old.u, c)
	now, nowMarked := p.now.topReadings(e, u, c)
	was, is = lastOf(thenMarked), lastOf(nowMarked)
	if was.ok && is.ok && !p.same(was.visit, is.visit) {
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
