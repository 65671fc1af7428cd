package floor

import (
	"math"
	"math/big"

	"setline.example/schema/length"
)

// FNumbers are the flatness and levelness of a floor as ASTM E1155 computes
// them for one line. A greater number is a better floor.
//
// They are for information only: a test by E1155 has its own sampling (number,
// direction and place of the lines, distance from joints and edges) and its own
// time, within days of placing the concrete.
type FNumbers struct {
	FF    float64 // flatness, from curvature over 2 ft; +Inf for none at all
	FL    float64 // levelness, from the fall over 10 ft; +Inf where every one is 0
	HasFF bool    // false where the readings give no FF
	HasFL bool    // false where the readings give no FL
	Of    int     // how many readings they are of
}

// The parts of ASTM E1155 that a line of readings needs.
const (
	spacing    = 12 * length.Inch // between readings
	levelSteps = 10               // spacings in 10 ft
	flatness   = 4.57             // in
	levelness  = 12.5             // in
)

// FNumbers computes, with h the floor height (up) in inches at readings 12 in
// apart,
//
//	q_i = h_i - 2 h_(i-1) + h_(i-2)   FF =  4.57 / (3 s_q + |mean q|)
//	z_i = h_i - h_(i-10)              FL = 12.5  / (3 s_z + |mean z|)
//
// where s is the sample standard deviation, over n - 1. Source: ASTM E1155,
// section 9 (the divisor n - 1 and the section's number from memory).
//
// Both are missing unless every reading is exactly 12 in from the last; where
// the first is does not matter. FF needs two values of q, so four readings; FL
// two values of z, so twelve. A floor without any curvature, level or not, has
// FF +Inf, and one with no fall over any 10 ft has FL +Inf: test for it before
// writing the number.
func (l Line) FNumbers() FNumbers {
	for i := 1; i < len(l); i++ {
		if l[i].At < l[i-1].At || distance(l[i].At, l[i-1].At) != uint64(spacing) {
			return FNumbers{}
		}
	}
	// Down instead of height only turns the sign of the mean, which drops out.
	var q, z sample
	for i := 2; i < len(l); i++ {
		q.add(l[i].Down, l[i-1].Down, l[i-1].Down, l[i-2].Down)
	}
	for i := levelSteps; i < len(l); i++ {
		z.add(l[i].Down, l[i-levelSteps].Down, 0, 0)
	}
	f := FNumbers{Of: len(l)}
	if f.HasFF = q.n >= 2; f.HasFF {
		f.FF = flatness / q.spread()
	}
	if f.HasFL = z.n >= 2; f.HasFL {
		f.FL = levelness / z.spread()
	}
	return f
}

// sample sums values in nanometres exactly, so that neither the place of the
// reference line nor the order of the readings changes the result.
type sample struct {
	n            int64
	sum, squares big.Int // nm, nm²
}

// add adds the value (a - b) - (c - d).
func (s *sample) add(a, b, c, d length.Length) {
	var v, w big.Int
	v.SetInt64(int64(a))
	v.Sub(&v, w.SetInt64(int64(b)))
	v.Sub(&v, w.SetInt64(int64(c)))
	v.Add(&v, w.SetInt64(int64(d)))
	s.n++
	s.sum.Add(&s.sum, &v)
	s.squares.Add(&s.squares, w.Mul(&v, &v))
}

// spread returns three standard deviations plus the size of the mean, in
// inches, of two values or more.
func (s *sample) spread() float64 {
	// variance = (n Σv² - (Σv)²) / (n (n - 1))
	var t, v, n big.Int
	n.SetInt64(s.n)
	v.Sub(v.Mul(&n, &s.squares), t.Mul(&s.sum, &s.sum))
	variance, _ := new(big.Rat).SetFrac(&v, t.Mul(&n, t.SetInt64(s.n-1))).Float64()
	mean, _ := new(big.Rat).SetFrac(&s.sum, &n).Float64()
	return (float64(3*math.Sqrt(variance)) + math.Abs(mean)) / float64(length.Inch)
}
