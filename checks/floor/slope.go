package floor

import "math/big"

// Slope returns the fall of the least-squares straight line through the
// readings, in length per length: 0.01 falls 1 mm in 100 mm towards the right,
// a negative slope rises. The sums are exact; only the quotient is rounded. ok
// is false for fewer than two readings, and for readings not in order. It is
// for information: no rule of the trade limits it.
func (l Line) Slope() (slope float64, ok bool) {
	if len(l) < 2 || !l.increasing() {
		return 0, false
	}
	n := big.NewInt(int64(len(l)))
	var x, y, sx, sy, sxx, sxy, t big.Int
	for _, r := range l {
		x.SetInt64(int64(r.At))
		y.SetInt64(int64(r.Down))
		sx.Add(&sx, &x)
		sy.Add(&sy, &y)
		sxx.Add(&sxx, t.Mul(&x, &x))
		sxy.Add(&sxy, t.Mul(&x, &y))
	}
	// slope = (n Σxy - Σx Σy) / (n Σxx - Σx Σx)
	sxy.Sub(sxy.Mul(&sxy, n), t.Mul(&sx, &sy))
	sxx.Sub(sxx.Mul(&sxx, n), t.Mul(&sx, &sx))
	slope, _ = new(big.Rat).SetFrac(&sxy, &sxx).Float64()
	return slope, true
}
