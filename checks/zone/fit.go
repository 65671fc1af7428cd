package zone

// Plane is z = A*x + B*y + C, in nanometres.
type Plane struct{ A, B, C float64 }

// At returns the height of the plane at a place in plan.
func (p Plane) At(x, y float64) float64 { return float64(p.A*x) + float64(p.B*y) + p.C }

// Fit returns the plane with the least sum of squares of heights above and
// below it. Where the points lie on one line in plan it is level across that
// line, where in one spot it is level. ok is false where there are none.
func Fit(points []Point) (p Plane, ok bool) {
	if len(points) == 0 {
		return Plane{}, false
	}
	f := newFrame(points)
	m := f.dims + 1
	var normal [4][4]float64
	var right [4]float64
	for i := range f.r {
		row := [4]float64{1, f.p[i], f.q[i]}
		for j := range m {
			for k := range m {
				normal[j][k] += float64(row[j] * row[k])
			}
			right[j] += float64(row[j] * f.r[i])
		}
	}
	s, ok := solve(normal, right, m)
	if !ok {
		return Plane{}, false
	}
	// Back from the frame: r = s0 + s1*p + s2*q.
	a, b := s[1]*f.unit/f.ps, 0.0
	if f.dims == 2 {
		b = s[2] * f.unit / f.qs
	}
	if f.dims == 1 {
		a, b = float64(a*f.dirx), float64(a*f.diry)
	}
	if f.dims == 0 {
		a, b = 0, 0
	}
	return Plane{a, b, f.z + float64(s[0]*f.unit) - float64(a*f.x) - float64(b*f.y)}, true
}
