package rest

import "math/big"

// vector is a way in plan.
type vector struct{ x, y *big.Int }

func (s *spot) from(t *spot) vector {
	return vector{new(big.Int).Sub(s.x, t.x), new(big.Int).Sub(s.y, t.y)}
}

// opposite leads from a spot to the centre.
func (s *spot) opposite() vector { return vector{s.x, s.y}.opposite() }

func (s *spot) dot(t *spot) *big.Int { return vector{s.x, s.y}.dot(vector{t.x, t.y}) }

func (v vector) opposite() vector {
	return vector{new(big.Int).Neg(v.x), new(big.Int).Neg(v.y)}
}

// left is v turned left by a right angle.
func (v vector) left() vector { return vector{new(big.Int).Neg(v.y), v.x} }

func (v vector) cross(w vector) *big.Int { return determinant(v.x, v.y, w.x, w.y) }

func (v vector) dot(w vector) *big.Int { return determinant(v.x, v.y, new(big.Int).Neg(w.y), w.x) }

// determinant is a*d - b*c.
func determinant(a, b, c, d *big.Int) *big.Int {
	n := new(big.Int).Mul(a, d)
	return n.Sub(n, new(big.Int).Mul(b, c))
}
