package checks

import (
	"math"
	"slices"

	"setline.example/checks/say"
	"setline.example/checks/zone"
)

// cause is what changes over the same two visits tell of what moved. Only what
// can be told apart is told.
type cause string

const (
	causeAlone    cause = "alone"    // nothing was read again beside it
	causeFaint    cause = "faint"    // too near the uncertainty to tell more
	causeUnclear  cause = "unclear"  // more than one cause agrees with the readings, or none
	causeAlike    cause = "alike"    // all changed alike: the floor, or the mark read wrong
	causeTilt     cause = "tilt"     // a common tilt: the floor
	causeCabinets cause = "cabinets" // some cabinets, each against neighbours that did not change
	causeBoth     cause = "both"     // a common tilt, and some cabinets beside it
	causePart     cause = "part"     // a common tilt of some that stand together, and the rest did not change
	causeSome     cause = "some"     // some changed against the rest; whether they or the floor under them, nobody can tell
)

// explanation is a cause and the cabinets of which it is told.
type explanation struct {
	cause cause
	odd   []oddOne
}

// oddOne is a cabinet that does not go with the rest. corner is the one at
// which it does not, "" where it is more than one.
type oddOne struct {
	tag    string
	corner say.Words
}

// movers are the changes of an elevation over the same two visits, cabinet by
// cabinet from the left.
type movers struct {
	all      []change
	cabinets [][]int // positions in all
	k        float64 // the factor by which residuals are held
}

// explain says what the changes tell. They are all over the same two visits.
func explain(all []change) explanation {
	m := &movers{all: all, k: jointCoverage(len(all))}
	for i, c := range all {
		if i == 0 || c.unit != all[i-1].unit {
			m.cabinets = append(m.cabinets, nil)
		}
		n := len(m.cabinets) - 1
		m.cabinets[n] = append(m.cabinets[n], i)
	}
	switch {
	case len(m.cabinets) < 2:
		return explanation{cause: causeAlone}
	case !slices.ContainsFunc(all, m.beyond):
		return explanation{cause: causeFaint}
	}
	return m.weigh()
}

// jointCoverage is the factor that the residuals of n readings all keep by
// chance in 19 of 20 runs (normal, by Bonferroni's inequality). With the factor
// for one, one in twenty of them would be found to have moved in every run.
func jointCoverage(n int) float64 {
	return max(coverage, quantile(1-0.025/float64(max(n, 1))))
}

// beyond reports whether a corner certainly changed.
func (m *movers) beyond(c change) bool { return c.size() > m.k }

// weigh holds the explanations against each other.
func (m *movers) weigh() explanation {
	every := make([]bool, len(m.cabinets))
	for i := range every {
		every[i] = true
	}
	against := m.againstTheRest()
	tilted := m.tiltAndOdd()
	cabinetsAlone := against.cause == causeCabinets
	switch {
	case cabinetsAlone && (m.alike(every) || m.inPlane(every)):
		return explanation{cause: causeUnclear}
	case m.alike(every) && m.sameWay():
		return explanation{cause: causeAlike}
	case m.alike(every):
		return explanation{cause: causeUnclear} // some cannot be said to have changed at all
	case len(m.cabinets) > 2 && m.inPlane(every):
		return explanation{cause: causeTilt}
	case cabinetsAlone && (tilted.cause != causeBoth || slices.Equal(tilted.odd, against.odd)):
		return against
	case tilted.cause == causeBoth && (against.cause == causeUnclear || 1+len(tilted.odd) < against.movers()):
		return tilted
	case tilted.cause == causeBoth:
		return explanation{cause: causeUnclear}
	}
	return against
}

// movers is how many things moved, as an explanation has it.
func (x explanation) movers() int {
	if x.cause == causePart {
		return 1
	}
	return len(x.odd)
}

// mean is the mean change of the cabinets that in says, and where its middle is.
type mean struct {
	up, x, y float64
	n        int
}

func (m *movers) mean(in []bool) mean {
	var a mean
	for i, own := range m.cabinets {
		if !in[i] {
			continue
		}
		for _, k := range own {
			c := &m.all[k]
			a.up, a.x, a.y, a.n = a.up+float64(c.up), a.x+float64(c.x), a.y+float64(c.y), a.n+1
		}
	}
	n := float64(max(a.n, 1))
	a.up, a.x, a.y = a.up/n, a.x/n, a.y/n
	return a
}

// within reports whether a change is that of the mean of others, or with
// others where it is one of them: its residual against what the readings and
// the lines' tilt between the two places leave uncertain.
func (m *movers) within(c change, a mean, one bool) bool {
	share := 1 + 1/float64(a.n)
	if one {
		share = 1 - 1/float64(a.n)
	}
	arm := hypot(float64(c.x)-a.x, float64(c.y)-a.y)
	u := hypot(float64(c.read*math.Sqrt(share)), float64(c.tilt*arm))
	return math.Abs(float64(c.up)-a.up) <= float64(m.k*u)+rounding
}

// rounding is what computing a residual may add, in nanometres.
const rounding = 1

// alike reports whether the cabinets that in says changed alike.
func (m *movers) alike(in []bool) bool {
	a := m.mean(in)
	for i, own := range m.cabinets {
		for _, k := range own {
			if in[i] && !m.within(m.all[k], a, true) {
				return false
			}
		}
	}
	return true
}

// sameWay reports whether every corner changed, all up or all down.
func (m *movers) sameWay() bool {
	for _, c := range m.all {
		if !c.moved() || c.up < 0 != (m.all[0].up < 0) {
			return false
		}
	}
	return true
}

// plane lays the plane of least squares through the changes of the cabinets that in says.
func (m *movers) plane(in []bool) (zone.Fitted, bool) {
	var points []zone.Point
	for i, own := range m.cabinets {
		for _, k := range own {
			if c := &m.all[k]; in[i] {
				points = append(points, zone.Point{X: c.x, Y: c.y, Z: c.up})
			}
		}
	}
	return zone.Fit(points)
}

// onPlane reports whether a change lies on a plane through others, or with
// others where it is one of them. A tilt of the lines is a plane too, so that
// the residual has none of it.
func (m *movers) onPlane(c change, p *zone.Fitted, one bool) bool {
	share, ok := p.Share(float64(c.x), float64(c.y))
	if one {
		share = -min(share, 1)
	}
	u := float64(c.read * math.Sqrt(1+share))
	return ok && math.Abs(float64(c.up)-p.At(float64(c.x), float64(c.y))) <= float64(m.k*u)+rounding
}

// inPlane reports whether the changes of the cabinets that in says lie in one plane.
func (m *movers) inPlane(in []bool) bool {
	p, ok := m.plane(in)
	for i, own := range m.cabinets {
		for _, k := range own {
			if ok && in[i] {
				ok = m.onPlane(m.all[k], &p, true)
			}
		}
	}
	return ok
}

// againstTheRest looks for cabinets that changed while the rest did not. The
// rest are those of which no corner certainly changed and that agree with each
// other; every other must stand out against them.
func (m *movers) againstTheRest() explanation {
	rest := make([]bool, len(m.cabinets))
	for i, own := range m.cabinets {
		rest[i] = !slices.ContainsFunc(own, func(k int) bool { return m.beyond(m.all[k]) })
	}
	if !m.settle(rest) {
		return explanation{cause: causeUnclear}
	}
	a := m.mean(rest)
	x := explanation{cause: causeCabinets, odd: m.oddOnes(rest, func(c change) bool { return m.within(c, a, false) })}
	switch out := count(rest, false); {
	case len(x.odd) < out:
		return explanation{cause: causeUnclear} // one of them goes with the rest after all
	case out == 1, out < count(rest, true) && apartFromEachOther(rest):
		return x
	case m.partTilted(rest):
		x.cause = causePart
		return x
	}
	x.cause = causeSome
	return x
}

// settle takes out of the rest, one after the other, the cabinet that agrees
// least with it, and reports whether any is left.
func (m *movers) settle(rest []bool) bool {
	for count(rest, true) > 0 && !m.alike(rest) {
		a, worst, off := m.mean(rest), -1, -1.0
		for i, own := range m.cabinets {
			for _, k := range own {
				if d := math.Abs(float64(m.all[k].up) - a.up); rest[i] && d > off {
					worst, off = i, d
				}
			}
		}
		rest[worst] = false
	}
	return count(rest, true) > 0
}

// partTilted reports whether those that are not the rest are three or more that
// stand side by side, and lie in one plane.
func (m *movers) partTilted(rest []bool) bool {
	first, last := slices.Index(rest, false), -1
	out := make([]bool, len(rest))
	for i := range rest {
		if out[i] = !rest[i]; out[i] {
			last = i
		}
	}
	n := count(rest, false)
	return n > 2 && last-first+1 == n && m.inPlane(out)
}

func count(list []bool, what bool) int {
	n := 0
	for _, x := range list {
		if x == what {
			n++
		}
	}
	return n
}

// apartFromEachOther reports whether no two that are out stand side by side.
func apartFromEachOther(in []bool) bool {
	for i := 1; i < len(in); i++ {
		if !in[i-1] && !in[i] {
			return false
		}
	}
	return true
}

// oddOnes are the cabinets that are not in and have a corner that does not go
// with those that are.
func (m *movers) oddOnes(in []bool, goes func(change) bool) []oddOne {
	var all []oddOne
	for i, own := range m.cabinets {
		if in[i] {
			continue
		}
		var off []say.Words
		for _, k := range own {
			if !goes(m.all[k]) {
				off = append(off, m.all[k].of)
			}
		}
		if len(off) == 0 {
			continue
		}
		one := oddOne{tag: m.all[own[0]].unit.plan.Tag}
		if len(off) == 1 && len(own) > 1 {
			one.corner = off[0]
		}
		all = append(all, one)
	}
	return all
}

// tiltAndOdd looks for a common tilt of three or more cabinets, most of them
// all, that leaves some out. It is found from three cabinets at a time, so that
// the odd ones do not spoil it: those that go with a plane through three are
// taken in and the plane is laid anew, until nothing changes. The plane that
// most agree with counts; where as many agree with another one, none does.
func (m *movers) tiltAndOdd() explanation {
	none := explanation{cause: causeUnclear}
	best, unique := m.consensus()
	out := count(best, false)
	if best == nil || !unique || out == 0 || out >= count(best, true) || !apartFromEachOther(best) {
		return none
	}
	p, _ := m.plane(best)
	x := explanation{cause: causeBoth, odd: m.oddOnes(best, func(c change) bool { return m.onPlane(c, &p, false) })}
	if len(x.odd) < out || m.alike(best) {
		return none // some cannot be said to lie off it; or it is no tilt
	}
	return x
}

// Of how many cabinets every three are tried; from very many, fewer.
const (
	mostTried = 18
	fewTried  = 9
	veryMany  = 200
)

// consensus finds the cabinets of which most agree in one plane. unique says
// that no others do, as many.
func (m *movers) consensus() (best []bool, unique bool) {
	tried := m.tried()
	for a := range tried {
		for b := a + 1; b < len(tried); b++ {
			for c := b + 1; c < len(tried); c++ {
				in := make([]bool, len(m.cabinets))
				in[tried[a]], in[tried[b]], in[tried[c]] = true, true, true
				in, ok := m.grown(in)
				switch n := count(in, true); {
				case !ok || n < count(best, true):
				case n > count(best, true):
					best, unique = in, true
				case !slices.Equal(in, best):
					unique = false
				}
			}
		}
	}
	return best, unique
}

// tried are cabinets spread over the elevation, all where they are not many.
func (m *movers) tried() []int {
	n, most := len(m.cabinets), mostTried
	if n > veryMany {
		most = fewTried
	}
	var all []int
	for i := range min(n, most) {
		all = append(all, i*n/min(n, most))
	}
	return all
}

// grown takes in what goes with the plane through those that are in, and lets
// go what does not, until nothing changes.
func (m *movers) grown(in []bool) ([]bool, bool) {
	const rounds = 20
	for range rounds {
		p, ok := m.plane(in)
		if !ok || count(in, true) < 3 {
			return nil, false
		}
		next := make([]bool, len(in))
		for i, own := range m.cabinets {
			next[i] = !slices.ContainsFunc(own, func(k int) bool { return !m.onPlane(m.all[k], &p, in[i]) })
		}
		if slices.Equal(next, in) {
			return in, true
		}
		in = next
	}
	return nil, false
}

// words says the cause.
func (x explanation) words() say.Text {
	switch x.cause {
	case causeAlone:
		return say.That("Nothing beside it was read on the same two visits: only that it moved can be told")
	case causeFaint:
		return say.That("So near the uncertainty that more cannot be told; read it again with a finer instrument")
	case causeAlike:
		return say.That("All that was read again changed alike: the floor has moved under the run, or the mark was read wrong")
	case causeTilt:
		return say.That("The changes lie in one plane, a common tilt: the floor has moved under the run")
	case causeCabinets:
		return say.Count(len(x.odd),
			"%[2]s changed, and what was read beside it did not: that is the cabinet, not the floor",
			"%[2]s changed, and what was read beside them did not: that is the cabinet, not the floor", x.names())
	case causeBoth:
		return say.Count(len(x.odd),
			"The changes lie in one plane, a common tilt: the floor has moved under the run. Only %[2]s does not go with it: that is the cabinet, beside the floor",
			"The changes lie in one plane, a common tilt: the floor has moved under the run. Only %[2]s do not go with it: that is the cabinet, beside the floor", x.names())
	case causePart:
		return say.That("The changes of %[1]s lie in one plane, a common tilt, and the rest did not change: the floor has moved under them", x.names())
	case causeSome:
		return say.That("%[1]s changed against the rest: whether the cabinets or the floor under them moved cannot be told", x.names())
	}
	return say.That("What moved, the floor or a cabinet, cannot be told from these readings")
}

func (x explanation) names() say.Text {
	var names []say.Text
	for _, o := range x.odd {
		if o.corner == "" {
			names = append(names, say.Name(o.tag).Text())
		} else {
			names = append(names, say.That("%[1]s %[2]s", say.Name(o.tag), o.corner))
		}
	}
	return say.Few(names...)
}
