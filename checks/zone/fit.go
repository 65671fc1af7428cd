package zone

import "math"

// Plane is z = A*x + B*y + C, in nanometres.
type Plane struct{ A, B, C float64 }

// At returns the height of the plane at a place in plan.
func (p Plane) At(x, y float64) float64 { return float64(p.A*x) + float64(p.B*y) + p.C }

// Fitted is a plane of least squares.
type Fitted struct {
	Plane
	f      *frame
	normal [4][4]float64
}

// Fit returns the plane with the least sum of squares of heights above and
// below it. Where the points lie on one line in plan it is level across that
// line, where in one spot it is level. ok is false where there are none.
func Fit(points []Point) (p Fitted, ok bool) {
	if len(points) == 0 {
		return Fitted{}, false
	}
	p.f = newFrame(points)
	var right [4]float64
	for i := range p.f.r {
		row := [3]float64{1, p.f.p[i], p.f.q[i]}
		for j := range 3 {
			for k := range 3 {
				p.normal[j][k] += float64(row[j] * row[k])
			}
			right[j] += float64(row[j] * p.f.r[i])
		}
	}
	s, ok := solve(p.normal, right, p.f.dims+1)
	if !ok {
		return Fitted{}, false
	}
	p.Plane = p.f.back(s)
	return p, true
}

// back turns r = s0 + s1*p + s2*q of the frame into a plane.
func (f *frame) back(s [4]float64) Plane {
	a, b := s[1]*f.unit/f.ps, 0.0
	switch f.dims {
	case 2:
		b = s[2] * f.unit / f.qs
	case 1:
		a, b = float64(a*f.dirx), float64(a*f.diry)
	case 0:
		a, b = 0, 0
	}
	return Plane{a, b, f.z + float64(s[0]*f.unit) - float64(a*f.x) - float64(b*f.y)}
}

// offLine is how far beside the line on which all points lie their plane still
// says something, in nanometres.
const offLine = 1e5

// Share returns how uncertain the height of the plane at a place is, as the
// variance of one reading has it: the sum of the squares of the weights that
// the readings have in it (JCGM 100:2008, 5.1.2). ok is false where the points
// say nothing of the plane there, beside a line on which all of them lie.
func (p *Fitted) Share(x, y float64) (share float64, ok bool) {
	f := p.f
	dx, dy := x-f.x, y-f.y
	row := [4]float64{1, dx / f.ps, dy / f.qs}
	switch f.dims {
	case 1:
		row[1], row[2] = (float64(dx*f.dirx)+float64(dy*f.diry))/f.ps, 0
		ok = math.Abs(float64(dx*f.diry)-float64(dy*f.dirx)) <= offLine
	case 0:
		row[1], row[2] = 0, 0
		ok = math.Abs(dx) <= offLine && math.Abs(dy) <= offLine
	default:
		ok = true
	}
	s, solved := solve(p.normal, row, f.dims+1)
	if !solved {
		return 0, false
	}
	for j := range 3 {
		share += float64(row[j] * s[j])
	}
	return share, ok
}
