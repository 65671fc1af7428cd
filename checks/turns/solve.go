package turns

import (
	"math"
	"slices"

	"setline.example/schema/length"
)

// Longest is how many corners are looked at together.
const Longest = 400

// Solve finds what to turn. Bolts of fastened joints go together, and every
// bolt keeps its reserve; where there is no answer, reserves are spent, then
// joints are loosened, then both.
func Solve(r Run) Answer {
	if why := unfit(&r); why != Nothing {
		return Answer{Why: why}
	}
	o := fromEitherEnd(&r)
	run := o.run(&r)
	budget := r.Budget
	if budget == nil {
		budget = &Budget{math.MaxInt64 / 2}
	}
	steps := budget.of(len(r.Corners))
	defer budget.spent(steps)
	var first Answer
	for i, h := range []how{{}, {spend: true}, {loose: true}, {loose: true, spend: true}} {
		a := newModel(run, h, steps).solve()
		if i == 0 {
			first = a
		}
		if a.Solved {
			a.Loosen = append(a.Loosen, loosened(run, a)...)
			a.Spends = spends(run, a)
			return o.back(a)
		}
		if a.Why == CannotTell || a.Why == TooMuch {
			break
		}
	}
	return o.back(first)
}

func unfit(r *Run) Why {
	if len(r.Corners) > Longest {
		return TooLong
	}
	for _, c := range r.Corners {
		for _, l := range []length.Length{c.H, c.Down, c.Up, c.Reserve, length.Length(c.Step.Num)} {
			if l <= -far || l >= far {
				return TooFar
			}
		}
	}
	return Nothing
}

// loosened are the joints of which the two bolts are turned apart: all were
// loosened, or the two do not go alike.
func loosened(r *Run, a Answer) (all [][2]int) {
	for i, c := range r.Corners {
		n, to := a.Eighths[i], a.Eighths[c.Joined]
		two := [2]int{i, c.Joined}
		if i < c.Joined && (n != to || n != 0 && c.Step != r.Corners[c.Joined].Step) && !slices.Contains(a.Loosen, two) {
			all = append(all, two)
		}
	}
	return all
}

// spends reports whether a bolt that is turned down is left with less than its reserve.
func spends(r *Run, a Answer) bool {
	for i, c := range r.Corners {
		if n := a.Eighths[i]; n < 0 && c.Travel && c.Down+c.Rise(n) < c.Reserve {
			return true
		}
	}
	return false
}

// solve finds what to turn of one model.
func (m *model) solve() Answer {
	a := Answer{Loosen: m.loosen}
	f := &faults{model: m}
	f.standing()
	if m.blind {
		a.Why = CannotTell
		return a
	}
	turned, ok := f.search()
	switch {
	case m.blind:
		a.Why = CannotTell
		return a
	case !ok && m.steps.ended:
		a.Why = TooMuch
		return a
	}
	if !ok {
		a.Why = m.inTheWay()
		return a
	}
	turned = m.without(turned, f)
	a.Solved, a.Eighths, a.AtLeast = true, make([]int, len(m.all)), f.atLeast()
	for i := range m.all {
		a.Eighths[i] = int(turned[m.under[i]])
		if a.Eighths[i] != 0 {
			a.Bolts++
		}
	}
	return a
}

// rounds is how many faults may be met on the way before all bolts are turned.
const rounds = 200

// search turns bolts that hit all known faults, and learns from what is wrong
// then, until nothing is.
func (f *faults) search() (turned []int64, ok bool) {
	for range rounds {
		in := f.hit()
		if f.steps.ended {
			return nil, false
		}
		if one, wrong := f.standingZone(in); wrong && f.add(one, f.run.Guard == nil) {
			continue
		}
		b, way, ok := f.bound(in)
		if !ok {
			if len(way) == 0 {
				return nil, false
			}
			if !f.add(fault(sorted(way)), true) {
				break
			}
			continue
		}
		turned = b.choose()
		wrong := f.wrong(turned)
		if len(wrong) == 0 {
			return turned, true
		}
		if !f.learn(wrong, in) {
			break
		}
	}
	return f.turnAll()
}

func sorted(way []int) []int {
	slices.Sort(way)
	return way
}

// standingZone is the fault of the minimum zone of the corners that stay.
func (f *faults) standingZone(in []bool) (one fault, wrong bool) {
	var stay []int
	for i := range f.all {
		if !in[f.under[i]] {
			stay = append(stay, i)
		}
	}
	carry := f.zoneFault(stay, f.heights(make([]int64, len(f.bolts))))
	return f.boltsOf(carry...), carry != nil
}

// learn adds what is wrong though bolts are turned: one of the corners of it
// that stay has to be turned too. It reports whether anything was added.
func (f *faults) learn(wrong [][]int, in []bool) (new bool) {
	for _, corners := range wrong {
		stay := slices.DeleteFunc(f.boltsOf(corners...), func(b int) bool { return in[b] })
		new = f.add(stay, false) || new
	}
	return new
}

// turnAll brings every corner to the mark, as near as it can be.
func (m *model) turnAll() (turned []int64, ok bool) {
	all := make([]bool, len(m.bolts))
	for b := range all {
		all[b] = true
	}
	b, _, ok := m.bound(all)
	if !ok {
		return nil, false
	}
	turned = b.choose()
	return turned, m.holds(turned)
}

// without leaves out bolt after bolt for as long as the rest will do, turned as
// they are or otherwise.
func (m *model) without(turned []int64, f *faults) []int64 {
	for left := true; left; {
		left = false
		for _, b := range m.turnedBolts(turned) {
			if m.steps.ended {
				return turned // they serve, and fewer might
			}
			if fewer, ok := m.leave(turned, b, f); ok {
				turned, left = fewer, true
				break
			}
		}
	}
	return turned
}

// turnedBolts are those that are turned, the least first.
func (m *model) turnedBolts(turned []int64) (all []int) {
	for b, n := range turned {
		if n != 0 {
			all = append(all, b)
		}
	}
	size := func(b int) int64 { return max(turned[b], -turned[b]) }
	slices.SortStableFunc(all, func(a, b int) int { return int(min(1, max(-1, size(a)-size(b)))) })
	return all
}

// leave turns all but one of the bolts, as they are or otherwise.
func (m *model) leave(turned []int64, one int, f *faults) ([]int64, bool) {
	fewer := slices.Clone(turned)
	fewer[one] = 0
	in := make([]bool, len(fewer))
	for b, n := range fewer {
		in[b] = n != 0
	}
	missed := func(f fault) bool { return !slices.ContainsFunc(f, func(b int) bool { return in[b] }) }
	first := slices.IndexFunc(f.list[:f.sure], missed)
	if m.steps.take(1 + max(first, 0)); first >= 0 {
		return nil, false
	}
	if m.holds(fewer) {
		return fewer, true
	}
	b, _, ok := m.bound(in)
	if !ok {
		return nil, false
	}
	fewer = b.choose()
	return fewer, m.holds(fewer)
}

// inTheWay says why all bolts together do not do.
func (m *model) inTheWay() Why {
	travel := false
	for i, c := range m.all {
		travel = travel || c.Travel
		if c.Travel && (c.H-c.Down > m.held[i] || c.H+c.Up < -m.held[i]) {
			return Beyond
		}
	}
	for b := range m.bolts {
		if m.least[b] > m.most[b] {
			return TooCoarse
		}
	}
	if travel {
		return Beyond
	}
	return TooCoarse
}
