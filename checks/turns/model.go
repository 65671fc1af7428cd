package turns

import (
	"slices"

	"setline.example/checks/zone"
	"setline.example/schema/length"
)

// model is a run made ready to be solved: limits with what the decision rule
// takes from them, and bolts that are turned together.
type model struct {
	run    *Run
	steps  *allowance
	all    []Corner
	level  []length.Length // how far two corners may be apart, row by row; below zero where nothing is shown to pass
	held   []length.Length // how far a corner may be off the mark; far where there is no mark
	twists []twist
	bolts  []bolt
	under  []int    // the bolt under each corner
	loosen [][2]int // joints with a step beyond its limit

	least, most []int64 // steps that a bolt can go by mark and travel alone
	blind       bool    // some limit is less than the decision rule takes
}

// bolt is one that is turned, or those of a fastened joint, which go together.
type bolt struct {
	corners []int
	step    Step
}

// twist is the corners of one cabinet in their places, and how far it may be twisted.
type twist struct {
	corners [4]int
	limit   length.Length
}

// how says what a model is to look at otherwise.
type how struct{ loose, spend bool }

func newModel(r *Run, h how, s *allowance) *model {
	n := len(r.Corners)
	m := &model{run: r, steps: s, all: r.Corners, level: make([]length.Length, n*n), held: make([]length.Length, n), under: make([]int, n)}
	s.take(n * n)
	for i := range n {
		m.held[i] = far
		if r.Marked {
			m.held[i] = m.guarded(r.Held, zone.Weight{Point: i, Weight: 1})
		}
		for j := range i {
			by := m.guarded(min(r.Level(j, i), far), zone.Weight{Point: j, Weight: 1}, zone.Weight{Point: i, Weight: -1})
			m.level[i*n+j], m.level[j*n+i] = by, by
		}
	}
	m.findTwists()
	m.join(h.loose)
	m.reach(h.spend)
	return m
}

// guarded is what is left of a limit by the decision rule.
func (m *model) guarded(limit length.Length, parts ...zone.Weight) length.Length {
	if m.run.Guard == nil {
		return limit
	}
	by, ok := m.run.Guard(parts)
	if !ok || by > limit {
		m.blind = true
		return -1
	}
	return limit - by
}

func (m *model) findTwists() {
	places := map[int]*[4]int{}
	for i, c := range m.all {
		p := places[c.Cabinet]
		if p == nil {
			p = &[4]int{-1, -1, -1, -1}
			places[c.Cabinet] = p
		}
		p[c.Place] = i
		if slices.Contains(p[:], -1) {
			continue
		}
		m.twists = append(m.twists, twist{*p, m.guarded(m.run.Twist,
			zone.Weight{Point: p[FrontLeft], Weight: 1}, zone.Weight{Point: p[FrontRight], Weight: -1},
			zone.Weight{Point: p[BackLeft], Weight: -1}, zone.Weight{Point: p[BackRight], Weight: 1})})
	}
}

// join makes one of the bolts of fastened joints, but for those whose step is
// beyond its limit, and for bolts that do not go alike.
func (m *model) join(loose bool) {
	for i, c := range m.all {
		j := c.Joined
		switch {
		case j == i || loose || c.Step != m.all[j].Step:
		case (c.H - m.all[j].H).Abs() > m.apart(i, j):
			if i < j {
				m.loosen = append(m.loosen, [2]int{i, j})
			}
		case j < i:
			m.under[i] = m.under[j]
			b := &m.bolts[m.under[j]]
			b.corners = append(b.corners, i)
			continue
		}
		m.under[i] = len(m.bolts)
		m.bolts = append(m.bolts, bolt{[]int{i}, c.Step})
	}
}

// reach finds how far each bolt can go by mark and travel alone.
func (m *model) reach(spend bool) {
	m.least, m.most = make([]int64, len(m.bolts)), make([]int64, len(m.bolts))
	low, high := m.span()
	for b, bolt := range m.bolts {
		least, most := length.Length(-far), length.Length(far)
		for _, i := range bolt.corners {
			c := &m.all[i]
			least, most = max(least, low-c.H, -m.held[i]-c.H), min(most, high-c.H, m.held[i]-c.H)
			if c.Travel {
				down := c.Down
				if !spend {
					down = max(0, down-c.Reserve)
				}
				least, most = max(least, -down), min(most, c.Up)
			}
		}
		m.least[b], m.most[b] = -bolt.step.whole(-int64(least), 1), bolt.step.whole(int64(most), 1)
	}
}

// span is between which heights corners are looked for: those of the run and
// of the mark, and a turn more.
func (m *model) span() (low, high length.Length) {
	for _, c := range m.all {
		turn := c.Step.rise(8)
		low, high = min(low, c.H-turn), max(high, c.H+turn)
	}
	return low, high
}

// apart is how far two corners may be apart in height.
func (m *model) apart(i, j int) length.Length { return m.level[i*len(m.all)+j] }

// at is the height of a corner when its bolt is turned by n steps, as a
// fraction of nanometres.
func (m *model) at(i int, n int64) (num, den int64) {
	s := m.bolts[m.under[i]].step
	return int64(m.all[i].H)*s.Den + n*s.Num, s.Den
}

// heights are all heights to the nearest nanometre.
func (m *model) heights(turned []int64) []length.Length {
	all := make([]length.Length, len(m.all))
	for i := range m.all {
		b := m.under[i]
		all[i] = m.all[i].H + m.bolts[b].step.rise(turned[b])
	}
	return all
}

// boltsOf are the bolts under corners, each once, in order.
func (m *model) boltsOf(corners ...int) []int {
	var all []int
	for _, i := range corners {
		all = append(all, m.under[i])
	}
	slices.Sort(all)
	return slices.Compact(all)
}
