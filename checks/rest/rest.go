// Package rest says how a stiff plate rests on points that support it: a top on
// the corners of cabinets.
//
// Of all planes that pass below none of the supports a plate comes down to the
// one that lies lowest at its centre of gravity: the facet of the upper convex
// hull of the supports over (or under) that centre. Whether it stays there is
// told by where the centre lies: between the supports that it touches it is
// [Steady]; on a line between two facets it is [Rocking], since it can rest on
// either; on the outline of all supports it is [OnEdge]; beyond it [Tipping].
//
// Everything is exact: whole numbers of any size, which are small ones as long as
// they can be. Heights are fractions, since the height of a rail between
// two corners that were read is seldom a whole number, and no comparison is
// rounded. Only [Way.Weights], which go into an uncertainty, are floating point.
//
// As if stiff: a thin plate bends.
package rest

import (
	"math/big"
	"slices"

	"setline.example/schema/length"
)

// Support is a point that a plate may rest on: X along the elevation and Y out
// from the wall, in plan, and Z up, in nanometres.
type Support struct {
	X, Y length.Length
	Z    *big.Rat
}

// Centre is where a centre of gravity lies in plan, in nanometres.
type Centre struct{ X, Y *big.Rat }

// State is how a plate rests.
type State string

// The states, from the best to the worst.
const (
	Steady  State = "steady"
	Rocking State = "rocking"
	OnEdge  State = "on an edge"
	Tipping State = "tipping"
)

// Rest is how a plate rests.
type Rest struct {
	State State
	// Ways are the planes in which it can come to rest: one where it is steady,
	// two or more where it rocks, the one to which it does not fall off where it
	// is on an edge and there is one, none where it tips. The most level one comes
	// first; of equally level ones the one that is lower in front, then the one
	// that is lower on the right.
	Ways []Way
}

// Way is a plane in which a plate can come to rest.
type Way struct {
	On   []int      // the supports that carry it, as positions in the list; three at least
	Gaps []*big.Rat // under it at every support, in nanometres; zero at those that carry it

	supports []Support
}

// Stands returns what can be told whatever the heights of the supports are:
// whether a plate is [Tipping] or [OnEdge], else [Steady], as it is where all are
// as high.
func Stands(centre Centre, supports []Support) State {
	switch newFrame(centre, supports).where() {
	case beyond:
		return Tipping
	case outline:
		return OnEdge
	}
	return Steady
}

// Of returns how a plate rests on supports.
func Of(centre Centre, supports []Support) Rest {
	f := newFrame(centre, supports)
	switch f.where() {
	case beyond:
		return Rest{State: Tipping}
	case outline:
		r := Rest{State: OnEdge}
		if in, ok := f.inward(); ok {
			r.Ways = f.waysOf([]*plane{f.facet(in)})
		}
		return r
	}
	planes := f.facets()
	if len(planes) == 1 {
		return Rest{Steady, f.waysOf(planes)}
	}
	return Rest{Rocking, f.waysOf(planes)}
}

// facets are all facets on which the centre lies, which is between the supports.
// Their slopes are the corners of a region: those of all planes that lie as low
// at the centre. Seen from a centre a little to one side one facet alone is left,
// and the one that is left seen from the other side is another, or the only one.
func (f *frame) facets() []*plane {
	d := vector{x: one}
	p, q := f.facet(d), f.facet(d.opposite())
	if p.same(q) {
		return []*plane{p}
	}
	if !f.underCentre() {
		return []*plane{p, q} // on a line between two
	}
	all := append([]*plane{p}, f.between(p, q)...)
	return append(append(all, q), f.between(q, p)...)
}

// between are the facets around a single support whose slopes lie to the right
// of the line from that of p to that of q.
func (f *frame) between(p, q *plane) []*plane {
	d := p.towards(q).left()
	r := f.facet(d)
	if compareSlopes(r, p, d) == 0 {
		return nil
	}
	return append(append(f.between(p, r), r), f.between(r, q)...)
}

// Widest is the widest gap, and the support that it is over.
func (w *Way) Widest() (gap *big.Rat, at int) {
	gap = new(big.Rat)
	for i, g := range w.Gaps {
		if g.Cmp(gap) > 0 {
			gap, at = g, i
		}
	}
	return gap, at
}

// Axis are the supports that carry the plate whichever way it comes to rest.
func (r *Rest) Axis() (both []int) {
	if len(r.Ways) == 0 {
		return nil
	}
	for _, i := range r.Ways[0].On {
		if all(r.Ways[1:], func(w *Way) bool { return slices.Contains(w.On, i) }) {
			both = append(both, i)
		}
	}
	return both
}

// Rock is how far a support that carries the plate one way is below it another
// way, at most, and at which; nothing for a plate that does not rock.
func (r *Rest) Rock() (by *big.Rat, at int) {
	by = new(big.Rat)
	for _, w := range r.Ways {
		for i, gap := range w.Gaps {
			if gap.Cmp(by) > 0 && !all(r.Ways, func(v *Way) bool { return v.Gaps[i].Sign() > 0 }) {
				by, at = gap, i
			}
		}
	}
	return by, at
}

func all(ways []Way, is func(*Way) bool) bool {
	for i := range ways {
		if !is(&ways[i]) {
			return false
		}
	}
	return true
}
