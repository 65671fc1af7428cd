package rest

import (
	"cmp"
	"math/big"
	"slices"

	"setline.example/schema/length"
)

// frame holds supports in whole numbers, moved so that the centre of gravity is
// at nothing, and in units as large as can be, in plan and in height, so that
// numbers stay small.
type frame struct {
	supports   []Support
	all        []*spot
	spots      []*spot // one at each place in plan, the highest, from left to right
	hull       []*spot // in plan, anticlockwise; two where all are on one line
	step, rise number  // a unit of height is step/rise nanometres
}

// spot is a support: in plan so many units from the centre, in height from the
// first support.
type spot struct{ x, y, z number }

// newFrame brings fractions to a common denominator: one in plan, one in height.
func newFrame(c Centre, supports []Support) *frame {
	along := multiple(denominator(c.X), denominator(c.Y))
	f := &frame{supports: supports, all: make([]*spot, len(supports)), rise: one}
	for _, s := range supports {
		f.rise = multiple(f.rise, denominator(s.Z))
	}
	cx, cy := whole(c.X, along), whole(c.Y, along)
	spots := make([]spot, len(supports))
	for i, s := range supports {
		spots[i] = spot{place(s.X, along, cx), place(s.Y, along, cy), whole(s.Z, f.rise)}
		f.all[i] = &spots[i]
	}
	f.step = enlarge(spots)
	f.spots = highest(f.all)
	f.hull = hullOf(f.spots)
	return f
}

// enlarge takes the height of the first spot off all, and brings them to the
// largest units in which they are whole. It returns how many of the former ones
// make one of height.
func enlarge(spots []spot) (step number) {
	var unit number
	base := zero
	if len(spots) > 0 {
		base = spots[0].z
	}
	for i := range spots {
		s := &spots[i]
		s.z = s.z.minus(base)
		unit, step = divisor(divisor(unit, s.x), s.y), divisor(step, s.z)
	}
	unit, step = atLeastOne(unit), atLeastOne(step)
	for i := range spots {
		s := &spots[i]
		s.x, s.y, s.z = s.x.over(unit), s.y.over(unit), s.z.over(step)
	}
	return step
}

// atLeastOne is a divisor, or one where all that it divides is zero.
func atLeastOne(n number) number {
	if n == zero {
		return one
	}
	return n
}

// whole is a fraction in units of one of a denominator that its own divides.
func whole(r *big.Rat, unit number) number {
	return numberOf(r.Num()).times(unit.over(denominator(r)))
}

func place(l length.Length, unit, centre number) number {
	return number{small: int64(l)}.times(unit).minus(centre)
}

// highest are the spots from left to right and from the back to the front,
// without those that have a higher one, or another as high, at their place.
func highest(all []*spot) []*spot {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(s, t *spot) int {
		return cmp.Or(s.x.compare(t.x), s.y.compare(t.y), t.z.compare(s.z))
	})
	return slices.CompactFunc(sorted, func(s, t *spot) bool { return s.x.compare(t.x) == 0 && s.y.compare(t.y) == 0 })
}

// hullOf is the convex hull in plan of sorted spots, anticlockwise, without what
// lies on its sides (Andrew's monotone chain).
func hullOf(spots []*spot) []*spot {
	if len(spots) < 3 {
		return spots
	}
	half := func(dst []*spot, next func(func(int, *spot) bool)) []*spot {
		from := len(dst)
		for _, s := range next {
			for len(dst) >= from+2 && turn(dst[len(dst)-2], dst[len(dst)-1], s) <= 0 {
				dst = dst[:len(dst)-1]
			}
			dst = append(dst, s)
		}
		return dst[:len(dst)-1]
	}
	return half(half(nil, slices.All(spots)), slices.Backward(spots))
}

// Where the centre lies, as far as the supports go.
const (
	inside = iota
	outline
	beyond
)

func (f *frame) where() int {
	if len(f.hull) < 3 {
		return f.whereOnLine()
	}
	on := inside
	for i, a := range f.hull {
		b := f.hull[(i+1)%len(f.hull)]
		switch -centreOf(a, b) {
		case 1:
			return beyond
		case 0:
			on = outline
		}
	}
	return on
}

// whereOnLine is where the centre lies if all supports are on a line, in one
// spot, or if there are none.
func (f *frame) whereOnLine() int {
	if len(f.hull) == 0 {
		return beyond
	}
	a, b := f.hull[0], f.hull[len(f.hull)-1]
	if centreOf(a, b) != 0 || a.dot(b).sign() > 0 {
		return beyond
	}
	return outline
}

// inward leads from the centre to the middle of the corners of the outline. ok
// is false where all supports lie on a line.
func (f *frame) inward() (d vector, ok bool) {
	for _, s := range f.hull {
		d = vector{d.x.plus(s.x), d.y.plus(s.y)}
	}
	return d, len(f.hull) > 2
}

// underCentre reports whether a support is right under the centre.
func (f *frame) underCentre() bool {
	return slices.ContainsFunc(f.spots, func(s *spot) bool { return s.x.sign() == 0 && s.y.sign() == 0 })
}
