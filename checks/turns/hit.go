package turns

import "slices"

// fault is the bolts of which one has to be turned, in order, each once.
type fault []int

// faults are all that are known.
type faults struct {
	*model
	list []fault
	sure int // how many of them hold whatever is turned; the others were met on the way
}

// add adds a fault that is not known yet, and reports whether it was not.
func (f *faults) add(one fault, sure bool) bool {
	if len(one) == 0 || slices.ContainsFunc(f.list, func(o fault) bool { return slices.Equal(o, one) }) {
		return false
	}
	f.put(one, sure)
	return true
}

// put adds a fault that cannot be known yet.
func (f *faults) put(one fault, sure bool) {
	f.list = append(f.list, one)
	if sure {
		last := len(f.list) - 1
		f.list[f.sure], f.list[last] = f.list[last], f.list[f.sure]
		f.sure++
	}
}

// hit finds a small set of bolts that hits every fault. Those that are at fault
// alone are in it. Of the others the one that hits most for each bolt it has,
// again and again; then without those that are not needed; then with one in
// place of two for as long as there is such a one. A least set is hard to find
// (R. Karp, 1972, from memory); this one is good.
func (f *faults) hit() []bool {
	alone := make([]bool, len(f.bolts))
	for _, one := range f.list {
		if len(one) == 1 {
			alone[one[0]] = true
		}
	}
	h := &hitting{model: f.model, in: make([]bool, len(f.bolts))}
	for _, one := range f.list {
		if !slices.ContainsFunc(one, func(b int) bool { return alone[b] }) {
			h.list = append(h.list, one)
		}
	}
	h.by, h.of = make([]int, len(h.list)), make([][]int, len(h.bolts))
	for i, one := range h.list {
		for _, b := range one {
			h.of[b] = append(h.of[b], i)
		}
	}
	h.greedy()
	h.prune()
	for h.exchange() {
		h.prune()
	}
	for b := range alone {
		h.in[b] = h.in[b] || alone[b]
	}
	return h.in
}

// hitting is a set of bolts that is to hit faults, and how many of them hit each.
type hitting struct {
	*model
	list []fault
	of   [][]int // positions in the list of the faults that a bolt hits
	in   []bool
	by   []int
}

func (h *hitting) set(b int, in bool) {
	h.in[b] = in
	n := 1
	if !in {
		n = -1
	}
	for _, i := range h.of[b] {
		h.by[i] += n
	}
}

func (h *hitting) greedy() {
	for h.steps.take(len(h.list) + len(h.bolts)) {
		hits := make([]int, len(h.bolts))
		for i, f := range h.list {
			if h.by[i] > 0 {
				continue
			}
			for _, b := range f {
				hits[b]++
			}
		}
		best := -1
		for b := range h.bolts {
			if hits[b] > 0 && (best < 0 || h.before(b, best, hits)) {
				best = b
			}
		}
		if best < 0 {
			return
		}
		h.set(best, true)
	}
}

// before reports whether bolt a is rather turned than b: it hits more for each
// bolt, or it is further off the mark.
func (h *hitting) before(a, b int, hits []int) bool {
	x, y := hits[a]*len(h.bolts[b].corners), hits[b]*len(h.bolts[a].corners)
	return x > y || x == y && h.off(a) > h.off(b)
}

// off is how far the corners of a bolt are off the mark.
func (m *model) off(b int) (most int64) {
	for _, i := range m.bolts[b].corners {
		most = max(most, int64(m.all[i].H.Abs()))
	}
	return most
}

// prune takes out what is not needed, nearest to the mark first.
func (h *hitting) prune() {
	for _, b := range h.members() {
		if len(h.onlyBy(b)) == 0 {
			h.set(b, false)
		}
	}
}

// members are the bolts of the set, those nearest to the mark first.
func (h *hitting) members() (all []int) {
	for b, in := range h.in {
		if in {
			all = append(all, b)
		}
	}
	slices.SortStableFunc(all, func(a, b int) int { return int(min(1, max(-1, h.off(a)-h.off(b)))) })
	return all
}

// onlyBy are the faults that none but one bolt of the set hits.
func (h *hitting) onlyBy(b int) (all []int) {
	for _, i := range h.of[b] {
		if h.by[i] == 1 {
			all = append(all, i)
		}
	}
	return all
}

// onlyByBoth are the faults that two bolts of the set hit, and none else.
func (h *hitting) onlyByBoth(a, b int) (all []int) {
	for _, i := range h.of[a] {
		if h.by[i] == 2 && slices.Contains(h.list[i], b) {
			all = append(all, i)
		}
	}
	return all
}

// exchange puts one bolt in place of two that cost more, and reports whether it did.
func (h *hitting) exchange() bool {
	all := h.members()
	could := h.couldReplace(all)
	for i, a := range all {
		for _, b := range all[:i] {
			if !h.steps.take(1 + len(could[a])*(1+len(could[b]))) {
				return false
			}
			for _, c := range could[a] {
				if slices.Contains(could[b], c) && h.replaces(c, a, b) {
					h.set(a, false)
					h.set(b, false)
					h.set(c, true)
					return true
				}
			}
		}
	}
	return false
}

// couldReplace gives for each member the bolts outside the set that hit all
// that none but it hits.
func (h *hitting) couldReplace(members []int) [][]int {
	could := make([][]int, len(h.bolts))
	for _, b := range members {
		for n, i := range h.onlyBy(b) {
			if n == 0 {
				could[b] = slices.DeleteFunc(slices.Clone(h.list[i]), func(c int) bool { return h.in[c] })
			} else {
				could[b] = slices.DeleteFunc(could[b], func(c int) bool { return !slices.Contains(h.list[i], c) })
			}
		}
	}
	return could
}

// replaces reports whether c, which hits all that only a and only b hit, costs
// less than the two and hits all that none but both hit.
func (h *hitting) replaces(c, a, b int) bool {
	return len(h.bolts[c].corners) < len(h.bolts[a].corners)+len(h.bolts[b].corners) &&
		!slices.ContainsFunc(h.onlyByBoth(a, b), func(f int) bool { return !slices.Contains(h.list[f], c) })
}

// atLeast is a number of bolts that no answer goes below: faults without a bolt
// in common need one each.
func (f *faults) atLeast() (least int) {
	sure := slices.Clone(f.list[:f.sure])
	slices.SortStableFunc(sure, func(a, b fault) int { return len(a) - len(b) })
	for first := range min(len(sure), 8) {
		taken, n := make([]bool, len(f.bolts)), 0
		for i := range sure {
			one := sure[(first+i)%len(sure)]
			if first > 0 && i == 0 || !slices.ContainsFunc(one, func(b int) bool { return taken[b] }) {
				n += f.cheapest(one)
				for _, b := range one {
					taken[b] = true
				}
			}
		}
		least = max(least, n)
	}
	return least
}

func (f *faults) cheapest(one fault) int {
	least := len(f.bolts[one[0]].corners)
	for _, b := range one {
		least = min(least, len(f.bolts[b].corners))
	}
	return least
}
