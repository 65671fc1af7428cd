package zone

import "math"

// frame holds points moved and scaled so that all numbers are near one, with
// as many directions in plan as the points span.
type frame struct {
	dims int // 2, 1 where they lie on a line in plan, 0 where in one spot
	p, q []float64
	r    []float64 // heights
	unit float64   // nanometres in one of r

	x, y, z    float64 // the middle, in nanometres
	ps, qs     float64 // nanometres in one of p and q
	dirx, diry float64 // direction of the line, where dims is 1
}

// plane is r = a*p + b*q + c in a frame.
type plane struct{ a, b, c float64 }

func (p plane) above(f *frame, i int) float64 {
	return f.r[i] - (float64(p.a*f.p[i]) + float64(p.b*f.q[i]) + p.c)
}

func newFrame(points []Point) *frame {
	n := len(points)
	f := &frame{p: make([]float64, n), q: make([]float64, n), r: make([]float64, n)}
	// The middle from differences to the first point, which are exact.
	first := points[0]
	for i, t := range points {
		f.p[i], f.q[i], f.r[i] = float64(t.X-first.X), float64(t.Y-first.Y), float64(t.Z-first.Z)
	}
	mx, my, mz := middle(f.p), middle(f.q), middle(f.r)
	f.x, f.y, f.z = float64(first.X)+mx, float64(first.Y)+my, float64(first.Z)+mz
	f.ps, f.qs, f.unit = scale(f.p), scale(f.q), scale(f.r)
	switch {
	case f.ps == 0 && f.qs == 0:
		f.dims = 0
	case f.onLine():
		f.dims = 1
	default:
		f.dims = 2
	}
	f.ps, f.qs, f.unit = orOne(f.ps), orOne(f.qs), orOne(f.unit)
	for i := range f.r {
		f.p[i], f.q[i], f.r[i] = f.p[i]/f.ps, f.q[i]/f.qs, f.r[i]/f.unit
	}
	return f
}

// onLine finds whether all points lie on one line in plan, and then turns p
// into the distance along it.
func (f *frame) onLine() bool {
	far, at := 0.0, 0
	for i := range f.p {
		x, y := f.p[i]-f.p[0], f.q[i]-f.q[0]
		if d := math.Sqrt(float64(x*x) + float64(y*y)); d > far {
			far, at = d, i
		}
	}
	dx, dy := (f.p[at]-f.p[0])/far, (f.q[at]-f.q[0])/far
	for i := range f.p {
		// A tenth of a millimetre off the line says nothing of the slope across it.
		if math.Abs(float64((f.p[i]-f.p[0])*dy)-float64((f.q[i]-f.q[0])*dx)) > 1e5 {
			return false
		}
	}
	f.dirx, f.diry = dx, dy
	for i := range f.p {
		f.p[i], f.q[i] = float64(f.p[i]*dx)+float64(f.q[i]*dy), 0
	}
	f.ps, f.qs = scale(f.p), 0
	return true
}

// middle moves values so that they lie evenly about nothing, and returns by how much.
func middle(v []float64) float64 {
	lo, hi := v[0], v[0]
	for _, x := range v {
		lo, hi = min(lo, x), max(hi, x)
	}
	m := lo + (hi-lo)/2
	for i := range v {
		v[i] -= m
	}
	return m
}

// scale is the greatest size among values.
func scale(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s = max(s, math.Abs(x))
	}
	return s
}

func orOne(s float64) float64 {
	if s == 0 {
		return 1
	}
	return s
}
