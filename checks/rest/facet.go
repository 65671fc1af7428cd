package rest

// facet is the facet of the upper hull that is left over the centre if that is
// moved by as little as one likes towards d, and by less still to the left of it,
// so that it lies on no line between two supports. It has to be between the
// supports then.
//
// The method is the simplex method on the dual: from three supports around the
// centre, the support that stands highest above their plane takes the place of
// one of them, until none stands above it. The plane comes up over the centre
// with every step, so that none comes back.
func (f *frame) facet(d vector) *plane {
	p := f.first(d)
	for {
		top := p.highestAbove(f.spots)
		if top == nil {
			return p
		}
		p = p.with(top, d)
	}
}

// first is a plane through three corners of the outline around the moved centre.
func (f *frame) first(d vector) *plane {
	for i := 1; i < len(f.hull)-2; i++ {
		if p := newPlane(f.hull[0], f.hull[i], f.hull[i+1]); p.around(d) {
			return p
		}
	}
	return newPlane(f.hull[0], f.hull[len(f.hull)-2], f.hull[len(f.hull)-1])
}

// plane is one through three spots, which go anticlockwise in plan.
type plane struct {
	of      [3]*spot
	x, y, z number // its normal; z is twice the area in plan, above zero
}

func newPlane(a, b, c *spot) *plane {
	u, v := b.from(a), c.from(a)
	uz, vz := b.z.minus(a.z), c.z.minus(a.z)
	return &plane{[3]*spot{a, b, c}, determinant(u.y, uz, v.y, vz), determinant(uz, u.x, vz, v.x), u.cross(v)}
}

// above is how far a spot stands above the plane, times the plane's z.
func (p *plane) above(s *spot) number {
	a := p.of[0]
	return s.from(a).dot(vector{p.x, p.y}).plus(s.z.minus(a.z).times(p.z))
}

// highestAbove is the spot that stands highest above the plane, nil where none
// stands above it.
func (p *plane) highestAbove(spots []*spot) (top *spot) {
	most := zero
	for _, s := range spots {
		if n := p.above(s); n.compare(most) > 0 {
			most, top = n, s
		}
	}
	return top
}

// with is the plane in which a spot above this one takes the place of one of its
// three, so that they are around the moved centre still. There is just one.
func (p *plane) with(s *spot, d vector) *plane {
	a, b, c := p.of[0], p.of[1], p.of[2]
	for _, t := range [2][3]*spot{{s, b, c}, {a, s, c}} {
		if turn(t[0], t[1], t[2]) > 0 {
			if q := newPlane(t[0], t[1], t[2]); q.around(d) {
				return q
			}
		}
	}
	return newPlane(a, b, s)
}

// around reports whether the three spots are around the centre moved towards d.
func (p *plane) around(d vector) bool {
	for i, a := range p.of {
		if leftOf(a, p.of[(i+1)%3], d) < 0 {
			return false
		}
	}
	return true
}

// same reports whether two facets are one: those over the centre are as high there.
func (p *plane) same(q *plane) bool { return p.towards(q) == vector{} }

// towards leads from the slopes of p to those of q, in some unit.
func (p *plane) towards(q *plane) vector {
	return vector{determinant(p.x, p.z, q.x, q.z), determinant(p.y, p.z, q.y, q.z)}
}

// compareSlopes compares how steeply two planes rise along d.
func compareSlopes(p, q *plane, d vector) int {
	along := func(p *plane) number { return vector{p.x, p.y}.dot(d).opposite() }
	return determinant(along(p), p.z, along(q), q.z).sign()
}

// compareSteepness compares the squares of the steepest slopes of two planes.
func compareSteepness(p, q *plane) int {
	square := func(p *plane) number { return vector{p.x, p.y}.dot(vector{p.x, p.y}) }
	return determinant(square(p), p.z.times(p.z), square(q), q.z.times(q.z)).sign()
}
