package rest

import (
	"cmp"
	"math/big"
	"slices"

	"setline.example/schema/length"
)

// frame holds supports in whole numbers, moved so that the centre of gravity is
// at nothing.
type frame struct {
	supports []Support
	all      []*spot
	spots    []*spot // one at each place in plan, the highest, from left to right
	hull     []*spot // in plan, anticlockwise; two where all are on one line
	rise     *big.Int
}

// spot is a support: in plan and in height so many units from the centre.
type spot struct{ x, y, z *big.Int }

// newFrame brings fractions to a common denominator: one in plan, one in height.
func newFrame(c Centre, supports []Support) *frame {
	along := common(c.X.Denom(), c.Y.Denom())
	f := &frame{supports: supports, rise: big.NewInt(1)}
	for _, s := range supports {
		f.rise = common(f.rise, s.Z.Denom())
	}
	cx, cy := whole(c.X, along), whole(c.Y, along)
	for _, s := range supports {
		f.all = append(f.all, &spot{place(s.X, along, cx), place(s.Y, along, cy), whole(s.Z, f.rise)})
	}
	f.spots = highest(f.all)
	f.hull = hullOf(f.spots)
	return f
}

// common is the least number that both divide. Most fractions are halves, or of
// one denominator.
func common(a, b *big.Int) *big.Int {
	if a.Cmp(b) == 0 {
		return a
	}
	gcd := new(big.Int).GCD(nil, nil, a, b)
	return gcd.Mul(new(big.Int).Quo(a, gcd), b)
}

// whole is a fraction in units of one of a denominator that its own divides.
func whole(r *big.Rat, denominator *big.Int) *big.Int {
	if r.Denom().Cmp(denominator) == 0 {
		return r.Num()
	}
	n := new(big.Int).Quo(denominator, r.Denom())
	return n.Mul(n, r.Num())
}

func place(l length.Length, unit, centre *big.Int) *big.Int {
	n := big.NewInt(int64(l))
	return n.Sub(n.Mul(n, unit), centre)
}

// highest are the spots from left to right and from the back to the front,
// without those that have a higher one, or another as high, at their place.
func highest(all []*spot) []*spot {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(s, t *spot) int {
		return cmp.Or(s.x.Cmp(t.x), s.y.Cmp(t.y), t.z.Cmp(s.z))
	})
	return slices.CompactFunc(sorted, func(s, t *spot) bool { return s.x.Cmp(t.x) == 0 && s.y.Cmp(t.y) == 0 })
}

// hullOf is the convex hull in plan of sorted spots, anticlockwise, without what
// lies on its sides (Andrew's monotone chain).
func hullOf(spots []*spot) []*spot {
	if len(spots) < 3 {
		return spots
	}
	var w work
	half := func(dst []*spot, next func(func(int, *spot) bool)) []*spot {
		from := len(dst)
		for _, s := range next {
			for len(dst) >= from+2 && w.turn(dst[len(dst)-2], dst[len(dst)-1], s) <= 0 {
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
	var w work
	on := inside
	for i, a := range f.hull {
		b := f.hull[(i+1)%len(f.hull)]
		switch -w.centreOf(a, b) {
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
	if a.opposite().cross(b.from(a)).Sign() != 0 || a.dot(b).Sign() > 0 {
		return beyond
	}
	return outline
}

// inward leads from the centre to the middle of the corners of the outline. ok
// is false where all supports lie on a line.
func (f *frame) inward() (d vector, ok bool) {
	d = vector{new(big.Int), new(big.Int)}
	for _, s := range f.hull {
		d.x.Add(d.x, s.x)
		d.y.Add(d.y, s.y)
	}
	return d, len(f.hull) > 2
}

// underCentre reports whether a support is right under the centre.
func (f *frame) underCentre() bool {
	return slices.ContainsFunc(f.spots, func(s *spot) bool { return s.x.Sign() == 0 && s.y.Sign() == 0 })
}
