package forecast

import "math"

// Visit is one visit that read all corners.
type Visit struct {
	Day  int     // from some day on
	Read float64 // standard uncertainty of one reading, in nanometres
	Tilt float64 // of the line it was read from, for each nanometre between two corners
}

// Corner is where a corner is in plan, and how high it was read on each visit,
// in nanometres.
type Corner struct {
	X, Y float64
	Up   []float64
}

// History is corners that were read on every one of some visits, in time order.
type History struct {
	Visits  []Visit
	Corners []Corner
	// K is the factor by which residuals are held against their uncertainty.
	K float64

	a, b       []float64 // the tilt on each visit
	xx, xy, yy float64   // the inverse of the sums of squares in plan
	mx, my     float64   // the middle in plan
}

// Why says why there is no date.
type Why int

// Why there is no date. A rate within its uncertainty has an earliest one still.
const (
	Dated       Why = iota
	FewDays         // under three days
	FewCorners      // under four corners, or all on one line in plan
	NotOnePlane     // the changes do not lie in one plane: a cabinet moved, or was turned
	NotStraight     // the tilts do not lie on a straight line against days
	Faint           // the rate is within its uncertainty
)

// The least that a line is laid through.
const (
	leastDays    = 3
	leastCorners = 4
)

// Plan lays the planes; it reports why nothing can be forecast, Dated where
// something can.
func (h *History) Plan() Why {
	days := map[int]bool{}
	for _, v := range h.Visits {
		days[v.Day] = true
	}
	switch {
	case len(days) < leastDays:
		return FewDays
	case len(h.Corners) < leastCorners || !h.middle():
		return FewCorners
	}
	h.planes()
	for k := 1; k < len(h.Visits); k++ {
		if !h.OnePlane(0, k) {
			return NotOnePlane
		}
	}
	x, y := h.extent()
	for _, over := range [][2]float64{{x, 0}, {0, y}} {
		if _, straight := h.line(over[0], over[1]); !straight {
			return NotStraight
		}
	}
	return Dated
}

// middle takes places from their middle, and reports whether they span a plane.
func (h *History) middle() bool {
	n := float64(len(h.Corners))
	h.mx, h.my = 0, 0
	for _, c := range h.Corners {
		h.mx, h.my = h.mx+c.X/n, h.my+c.Y/n
	}
	var xx, xy, yy float64
	for _, c := range h.Corners {
		x, y := c.X-h.mx, c.Y-h.my
		xx, xy, yy = xx+float64(x*x), xy+float64(x*y), yy+float64(y*y)
	}
	det := float64(xx*yy) - float64(xy*xy)
	if !(det > 1e-9*float64(xx*yy)) {
		return false
	}
	h.xx, h.xy, h.yy = yy/det, -xy/det, xx/det
	return true
}

// planes lays a plane of least squares through the corners on each visit; the
// shape that the run has on all of them leaves the change of the tilt alone.
func (h *History) planes() {
	h.a, h.b = make([]float64, len(h.Visits)), make([]float64, len(h.Visits))
	for k := range h.Visits {
		var xz, yz float64
		for _, c := range h.Corners {
			xz += float64((c.X - h.mx) * c.Up[k])
			yz += float64((c.Y - h.my) * c.Up[k])
		}
		h.a[k] = float64(h.xx*xz) + float64(h.xy*yz)
		h.b[k] = float64(h.xy*xz) + float64(h.yy*yz)
	}
}

// share is how much the variance of one reading counts in the difference that
// the plane has over so much in plan.
func (h *History) share(x, y float64) float64 {
	return float64(h.xx*float64(x*x)) + 2*float64(h.xy*float64(x*y)) + float64(h.yy*float64(y*y))
}

// OnePlane reports whether the changes between two visits lie in one plane,
// within what their readings leave uncertain. A tilted line is a plane too.
func (h *History) OnePlane(from, to int) bool {
	if h.a == nil {
		if !h.middle() {
			return false
		}
		h.planes()
	}
	mean := 0.0
	for _, c := range h.Corners {
		mean += (c.Up[to] - c.Up[from]) / float64(len(h.Corners))
	}
	u := hypot(h.Visits[from].Read, h.Visits[to].Read)
	for _, c := range h.Corners {
		x, y := c.X-h.mx, c.Y-h.my
		off := c.Up[to] - c.Up[from] - mean - float64((h.a[to]-h.a[from])*x) - float64((h.b[to]-h.b[from])*y)
		left := 1 - 1/float64(len(h.Corners)) - h.share(x, y)
		if math.Abs(off) > float64(h.K*float64(u*math.Sqrt(max(left, 0))))+1 {
			return false
		}
	}
	return true
}

// Date is when two corners leave level.
type Date struct {
	Why Why
	// About is the day at which they do at the rate seen; only where Dated.
	About int
	// NotBefore is the first day on which they may be out, and Again that by
	// which to measure again, half way to it.
	NotBefore, Again int
	// Rate is how fast they tilt, in nanometres a day, and U its expanded
	// uncertainty.
	Rate, U float64
}

// line is the straight line through what the planes have over so much in plan
// against days; straight is false where one of them does not lie on it.
func (h *History) line(x, y float64) (f Fit, straight bool) {
	n := len(h.Visits)
	t, planes, u := make([]float64, n), make([]float64, n), make([]float64, n)
	g, distance := math.Sqrt(max(h.share(x, y), 0)), hypot(x, y)
	for k, v := range h.Visits {
		t[k] = float64(v.Day)
		planes[k] = float64(h.a[k]*x) + float64(h.b[k]*y)
		u[k] = max(hypot(float64(g*v.Read), float64(v.Tilt*distance)), 1)
	}
	f, straight = Line(t, planes, u)
	for k := range t {
		straight = straight && math.Abs(planes[k]-f.at(t[k])) <= float64(h.K*u[k])+1
	}
	return f, straight
}

// extent is how far the corners reach in plan.
func (h *History) extent() (x, y float64) {
	for _, c := range h.Corners {
		x, y = max(x, math.Abs(c.X-h.mx)), max(y, math.Abs(c.Y-h.my))
	}
	return 2 * x, 2 * y
}

// expanded is the factor of an expanded uncertainty.
const expanded = 2

// Horizon is the last day looked at after the last visit, ten years on.
const Horizon = 3653

// At says when corners p and q, positions among the corners, differ by more
// than a limit. [History.Plan] has to have said Dated.
func (h *History) At(p, q int, limit float64) Date {
	a, b := h.Corners[p], h.Corners[q]
	x, y := a.X-b.X, a.Y-b.Y
	g := math.Sqrt(max(h.share(x, y), 0))
	distance := hypot(x, y)
	f, straight := h.line(x, y)
	mean := 0.0
	var round, roundMean, tilt, tiltMean float64
	for k, v := range h.Visits {
		mean += float64(f.MeanWeights[k] * (a.Up[k] - b.Up[k]))
		round += float64(math.Abs(f.SlopeWeights[k]) * v.Read)
		roundMean += float64(f.MeanWeights[k] * v.Read)
		tilt = hypot(tilt, float64(f.SlopeWeights[k]*float64(v.Tilt*distance)))
		tiltMean = hypot(tiltMean, float64(f.MeanWeights[k]*float64(v.Tilt*distance)))
	}
	d := Date{Rate: f.Slope, U: expanded * hypot(float64(g*round), tilt)}
	if !straight {
		d.Why = NotStraight
		return d
	}
	s := &span{f.Slope, mean, f.Middle, d.U / expanded, hypot(float64(math.Sqrt2*roundMean), tiltMean), limit}
	last := h.Visits[len(h.Visits)-1].Day
	d.NotBefore = s.notBefore(last)
	d.Again = last + (d.NotBefore-last)/2
	if math.Abs(d.Rate) <= d.U {
		d.Why = Faint
		return d
	}
	d.About = s.about(last)
	return d
}

// span is the difference of two corners against days.
type span struct{ rate, mean, middle, uRate, uMean, limit float64 }

// about is the day at which it reaches the limit on the side to which it goes.
func (s *span) about(last int) int {
	day := s.middle + (math.Copysign(s.limit, s.rate)-s.mean)/s.rate
	return int(min(max(math.Round(day), float64(last)), float64(last+Horizon)))
}

// notBefore is the first day, from the last visit on, at which it may be beyond
// the limit on either side. What may be beyond it grows with the days for good
// once it has begun to, so that halving finds it.
func (s *span) notBefore(last int) int {
	may := func(day int) bool {
		t := float64(day) - s.middle
		u := expanded * hypot(s.uMean, float64(s.uRate*t))
		return math.Abs(s.mean+float64(s.rate*t))+u >= s.limit
	}
	lo, hi := last, last+Horizon
	if may(lo) {
		return lo
	}
	for lo < hi {
		if middle := (lo + hi) / 2; may(middle) {
			hi = middle
		} else {
			lo = middle + 1
		}
	}
	return lo
}
