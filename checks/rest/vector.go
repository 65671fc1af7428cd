package rest

import "cmp"

// vector is a way in plan.
type vector struct{ x, y number }

func (s *spot) from(t *spot) vector { return vector{s.x.minus(t.x), s.y.minus(t.y)} }

// opposite leads from a spot to the centre.
func (s *spot) opposite() vector { return vector{s.x, s.y}.opposite() }

func (s *spot) dot(t *spot) number { return vector{s.x, s.y}.dot(vector{t.x, t.y}) }

func (v vector) opposite() vector { return vector{v.x.opposite(), v.y.opposite()} }

// left is v turned left by a right angle.
func (v vector) left() vector { return vector{v.y.opposite(), v.x} }

func (v vector) cross(w vector) number { return determinant(v.x, v.y, w.x, w.y) }

func (v vector) dot(w vector) number { return v.x.times(w.x).plus(v.y.times(w.y)) }

// turn is above zero where a, b, c go anticlockwise in plan, and zero where they
// are on one line.
func turn(a, b, c *spot) int { return b.from(a).cross(c.from(a)).sign() }

// centreOf is above zero where the centre is to the left of the line from a to b,
// and zero on it.
func centreOf(a, b *spot) int { return b.from(a).cross(a.opposite()).sign() }

// leftOf is above zero where the centre, moved towards d and by less still to the
// left of that, is to the left of the line from a to b; it is never zero.
func leftOf(a, b *spot, d vector) int {
	if sign := centreOf(a, b); sign != 0 {
		return sign
	}
	along := b.from(a)
	return cmp.Or(along.cross(d).sign(), along.dot(d).sign())
}
