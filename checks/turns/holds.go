package turns

import (
	"slices"

	"setline.example/checks/zone"
	"setline.example/schema/length"
)

// standing finds the faults of corners that stay as they are, but for those of
// the minimum zone.
func (f *faults) standing() {
	n := len(f.bolts)
	known := make([]bool, n*n)
	for b := range f.bolts {
		if f.least[b] > 0 || f.most[b] < 0 {
			f.put(fault{b}, true)
		}
	}
	for j := range f.all {
		for i := range j {
			p, q := f.under[i], f.under[j]
			if p == q || known[p*n+q] || (f.all[i].H-f.all[j].H).Abs() <= f.apart(i, j) {
				continue
			}
			known[p*n+q], known[q*n+p] = true, true
			f.put(fault{min(p, q), max(p, q)}, true)
		}
	}
	for _, t := range f.twists {
		if !f.untwisted(t, make([]int64, n)) {
			f.put(f.boltsOf(t.corners[:]...), true)
		}
	}
}

// untwisted reports whether a cabinet is within its twist. Where corners do not
// stand at whole nanometres, readings of them may be two nanometres off.
func (m *model) untwisted(t twist, turned []int64) bool {
	var sum, den int64
	whole := true
	for p, sign := range [4]int64{1, -1, -1, 1} {
		var num int64
		num, den = m.at(t.corners[p], turned[m.under[t.corners[p]]])
		sum += sign * num
		whole = whole && num%den == 0
	}
	limit := int64(t.limit)
	if !whole {
		limit -= roundings
	}
	return max(sum, -sum) <= limit*den
}

// roundings are how far four readings to the nearest nanometre may be off together.
const roundings = 2

// zoneFault is the corners that carry the minimum zone of some corners, where
// that is beyond its limit; none where it is not.
func (m *model) zoneFault(corners []int, heights []length.Length) []int {
	if m.run.Plane < 0 || len(corners) < 4 {
		return nil
	}
	points := make([]zone.Point, len(corners))
	for i, c := range corners {
		points[i] = zone.Point{X: m.all[c].X, Y: m.all[c].Y, Z: heights[c]}
	}
	m.steps.take(zoneSteps * len(points))
	z, err := zone.Minimum(points)
	if err != nil {
		return corners
	}
	rests := make([]int, len(z.Rests))
	for i := range z.Rests {
		z.Rests[i].Point = corners[z.Rests[i].Point]
		rests[i] = z.Rests[i].Point
	}
	limit := m.run.Plane
	if m.run.Guard != nil {
		by, ok := m.run.Guard(z.Rests)
		if !ok || by > limit {
			m.blind = true
			return rests
		}
		limit -= by
	}
	if z.Width <= float64(limit)+half || z.Width <= float64(limit-roundings) {
		return nil
	}
	return rests
}

// zoneSteps are about how many steps a point of a minimum zone takes.
const zoneSteps = 20

// half a nanometre, to which a width is rounded.
const half = 0.5

// wrong gives the faults of twist and zone when the bolts are turned so.
func (m *model) wrong(turned []int64) (all [][]int) {
	for _, t := range m.twists {
		if !m.untwisted(t, turned) {
			all = append(all, t.corners[:])
		}
	}
	if f := m.zoneFault(m.everyCorner(), m.heights(turned)); f != nil {
		all = append(all, f)
	}
	return all
}

func (m *model) everyCorner() []int {
	all := make([]int, len(m.all))
	for i := range all {
		all[i] = i
	}
	return all
}

// holds reports whether all passes when the bolts are turned so.
func (m *model) holds(turned []int64) bool {
	for b, n := range turned {
		if n < m.least[b] || n > m.most[b] {
			return false
		}
	}
	m.steps.take(len(m.all) * len(m.all) / 2)
	for j := range m.all {
		for i := range j {
			if m.under[i] != m.under[j] && !m.within(i, j, turned) {
				return false
			}
		}
		if m.offMark(j, turned) {
			return false
		}
	}
	return !slices.ContainsFunc(m.twists, func(t twist) bool { return !m.untwisted(t, turned) }) &&
		m.zoneFault(m.everyCorner(), m.heights(turned)) == nil
}

// within reports whether two corners are level.
func (m *model) within(i, j int, turned []int64) bool {
	p, d := m.at(i, turned[m.under[i]])
	q, e := m.at(j, turned[m.under[j]])
	apart := p*e - q*d
	return max(apart, -apart) <= int64(m.apart(i, j))*d*e
}

// offMark reports whether a corner stands too far off the mark.
func (m *model) offMark(i int, turned []int64) bool {
	p, d := m.at(i, turned[m.under[i]])
	return max(p, -p) > int64(m.held[i])*d
}
