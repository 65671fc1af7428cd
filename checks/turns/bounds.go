package turns

// bounds are how far each turned bolt can go, in its own steps, and the bolt
// that stays to which each bound is owed; -1 where it is owed to mark or travel.
type bounds struct {
	*model
	turned          []bool
	least, most     []int64
	leastOf, mostOf []int
	queue           []int
	queued          []bool
	conflict        int // the bolt whose bounds leave nothing, -1 for none
	patience        int // how many bounds are still looked at
}

// bound finds the bounds of the turned bolts while all others stay. Where they
// leave nothing to one of them, those that stay in its way are returned: one of
// them has to be turned too, or there is no answer where there are none.
func (m *model) bound(turned []bool) (b *bounds, way []int, ok bool) {
	n := len(m.bolts)
	b = &bounds{model: m, turned: turned, least: make([]int64, n), most: make([]int64, n),
		leastOf: make([]int, n), mostOf: make([]int, n), queued: make([]bool, n), conflict: -1, patience: patience * (n + 1)}
	copy(b.least, m.least)
	copy(b.most, m.most)
	for k := range n {
		b.leastOf[k], b.mostOf[k] = -1, -1
		if !turned[k] {
			b.least[k], b.most[k], b.leastOf[k], b.mostOf[k] = 0, 0, k, k
		}
	}
	for k := range n {
		b.push(k)
	}
	if b.settle() {
		return b, nil, true
	}
	if b.conflict < 0 {
		return b, nil, false
	}
	for _, k := range []int{b.leastOf[b.conflict], b.mostOf[b.conflict]} {
		if k >= 0 && (len(way) == 0 || way[0] != k) {
			way = append(way, k)
		}
	}
	return b, way, false
}

// patience is how often each bound may change on the way to those that hold.
// Where steps are large beside the limits, bounds can creep on for long.
const patience = 200

func (b *bounds) push(k int) {
	if !b.queued[k] {
		b.queued[k] = true
		b.queue = append(b.queue, k)
	}
}

// settle lets every bound that has changed bound the others, until none
// changes: shortest paths, by label correction (R. Bellman, Quarterly of Applied
// Mathematics 16, 1958).
func (b *bounds) settle() bool {
	for len(b.queue) > 0 {
		if b.patience--; b.patience < 0 || !b.steps.take(len(b.bolts)) {
			return false
		}
		k := b.queue[0]
		b.queue, b.queued[k] = b.queue[1:], false
		if b.least[k] > b.most[k] {
			b.conflict = k
			return false
		}
		for l := range b.bolts {
			if l != k && b.turned[l] && b.narrow(k, l) {
				b.push(l)
			}
		}
	}
	return true
}

// narrow narrows the bounds of bolt l by those of bolt k, and reports whether
// they did.
func (b *bounds) narrow(k, l int) bool {
	least, most := b.least[l], b.most[l]
	step := b.bolts[l].step
	for _, i := range b.bolts[k].corners {
		high, den := b.at(i, b.most[k])
		low, _ := b.at(i, b.least[k])
		for _, j := range b.bolts[l].corners {
			up := int64(b.apart(i, j)-b.all[j].H) * den
			down := int64(-b.apart(i, j)-b.all[j].H) * den
			most = min(most, step.whole(high+up, den))
			least = max(least, -step.whole(-(low+down), den))
		}
	}
	changed := false
	if most < b.most[l] {
		b.most[l], b.mostOf[l], changed = most, b.mostOf[k], true
	}
	if least > b.least[l] {
		b.least[l], b.leastOf[l], changed = least, b.leastOf[k], true
	}
	return changed
}

// choose turns each bolt so that its corner comes to the mark, or as near as
// its bounds let it and half a reading step within them.
func (b *bounds) choose() []int64 {
	highest := append([]int64(nil), b.most...)
	for k := range b.bolts {
		if !b.turned[k] {
			continue
		}
		n := b.best(k)
		b.least[k], b.most[k] = n, n
		b.push(k)
		if !b.settle() {
			return highest // bolts of different steps; together the highest serve
		}
	}
	return b.most
}

// best is how far one bolt is best turned.
func (b *bounds) best(k int) int64 {
	bolt := &b.bolts[k]
	least, most := b.least[k], b.most[k]
	inside := ceilDiv(int64(b.run.Resolution)*bolt.step.Den, 2*bolt.step.Num)
	if least+inside <= most-inside {
		least, most = least+inside, most-inside
	} else {
		least = floorDiv(least+most, 2)
		most = least
	}
	// Corners that go together stand about the mark.
	lowest, highest := b.all[bolt.corners[0]].H, b.all[bolt.corners[0]].H
	for _, i := range bolt.corners {
		lowest, highest = min(lowest, b.all[i].H), max(highest, b.all[i].H)
	}
	// n such that -(lowest + highest) / 2 is nearest to n steps.
	middle := -int64(lowest + highest)
	to := floorDiv(middle*bolt.step.Den+bolt.step.Num, 2*bolt.step.Num)
	return min(max(to, least), most)
}
