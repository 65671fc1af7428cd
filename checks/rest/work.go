package rest

import "math/big"

// work is room for numbers on the way to a sign or a height, which is used again:
// of all supports nothing is kept but which one it was.
type work struct{ ax, ay, bx, by, m, n big.Int }

// turn is above zero where a, b, c go anticlockwise in plan, and zero where they
// are on one line.
func (w *work) turn(a, b, c *spot) int {
	w.ax.Sub(b.x, a.x)
	w.ay.Sub(b.y, a.y)
	w.bx.Sub(c.x, a.x)
	w.by.Sub(c.y, a.y)
	return w.m.Mul(&w.ax, &w.by).Cmp(w.n.Mul(&w.ay, &w.bx))
}

// centreOf is above zero where the centre is to the left of the line from a to b,
// and zero on it.
func (w *work) centreOf(a, b *spot) int {
	w.ax.Sub(b.x, a.x)
	w.ay.Sub(b.y, a.y)
	return w.m.Mul(&w.ay, a.x).Cmp(w.n.Mul(&w.ax, a.y))
}

// leftOf is above zero where the centre, moved towards d and by less still to the
// left of that, is to the left of the line from a to b; it is never zero.
func (w *work) leftOf(a, b *spot, d vector) int {
	if sign := w.centreOf(a, b); sign != 0 {
		return sign
	}
	if sign := w.m.Mul(&w.ax, d.y).Cmp(w.n.Mul(&w.ay, d.x)); sign != 0 {
		return sign
	}
	return w.m.Mul(&w.ax, d.x).Cmp(w.n.Neg(w.n.Mul(&w.ay, d.y)))
}

// above is how far a spot stands above a plane, times the plane's z. It is valid
// until the next call.
func (w *work) above(p *plane, s *spot) *big.Int {
	a := p.of[0]
	w.m.Mul(w.ax.Sub(s.x, a.x), p.x)
	w.m.Add(&w.m, w.n.Mul(w.ay.Sub(s.y, a.y), p.y))
	return w.m.Add(&w.m, w.n.Mul(w.bx.Sub(s.z, a.z), p.z))
}
