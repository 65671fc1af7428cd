package checks

import (
	"strconv"

	"setline.example/checks/say"
	"setline.example/schema"
)

var drawersHome = &Rule{
	ID:         "drawers-home",
	Name:       "drawers home",
	Family:     Fronts,
	Asks:       "Every drawer is back in its home slot, the opening in which it was adjusted at the factory.",
	Why:        "A drawer is adjusted to its own slides. In another slot it rubs, stands proud or does not close, and the next person adjusts a good slide to a wrong drawer.",
	Limit:      CountOf(0),
	LimitWords: "no drawer out of its home slot",
	Formula:    "fewest exchanges = drawers out of place - cycles among them",
	Source:     CommonPractice,
	Needs:      "Read the mark on every drawer and write down which stands in which slot",
	Remedy:     "Put each drawer back in its home slot",
	observe:    asks(theDrawerIn.Thing),
	again:      (*asker).againDrawers,
	judge:      judgeDrawersHome,
}

// slot is one drawer opening of a room.
type slot struct {
	unit   *unit
	number int // from 1
}

// words write the slot, or the drawer whose home it is, as seen from a cabinet.
func (s slot) words(from *unit) say.Text {
	if s.unit == from {
		return say.That("%[1]s", s.number)
	}
	return say.That("%[1]s/%[2]s", say.Name(s.unit.plan.Tag), s.number)
}

// name tells slots apart likewise.
func (s slot) name(from *unit) string {
	if s.unit == from {
		return strconv.Itoa(s.number)
	}
	return s.unit.plan.Tag + "/" + strconv.Itoa(s.number)
}

// nowhere stands for no drawer and for no slot.
const nowhere = -1

// drawerPlan is which drawer stands in which slot of a room. Drawers are
// known by the position of their home slot, so that it is a permutation of
// positions wherever all slots were observed.
type drawerPlan struct {
	slots  []slot
	first  map[*unit]int      // position of the first slot of each cabinet
	seen   []observed[string] // what was last observed of each slot
	drawer []int              // the drawer in each slot, nowhere where unknown or none
	rounds [][]int            // the cycles, in walking order of their first slots
	open   bool               // a slot is neither home to its drawer nor in a cycle
}

func newDrawerPlan(r *room) *drawerPlan {
	p := &drawerPlan{first: map[*unit]int{}}
	byTag := map[string]*unit{}
	for _, e := range r.elevations {
		for _, u := range e.units {
			if u.cabinet == nil {
				continue
			}
			byTag[u.plan.Tag] = u
			p.first[u] = len(p.slots)
			for n := range u.cabinet.Drawers() {
				p.slots = append(p.slots, slot{u, n + 1})
			}
		}
	}
	p.seen = make([]observed[string], len(p.slots))
	p.drawer = make([]int, len(p.slots))
	for i, s := range p.slots {
		p.seen[i] = theDrawerIn.latest(&s.unit.asCab, strconv.Itoa(s.number))
		p.drawer[i] = nowhere
		if home, n, ok := schema.DrawerHome(s.unit.plan.Tag, p.seen[i].value); ok {
			p.drawer[i] = p.first[byTag[home]] + n - 1
		}
	}
	p.forgetStale()
	p.findRounds()
	return p
}

// forgetStale drops what an earlier visit saw of a slot whose drawer a later
// visit saw somewhere else: what stands there now was not observed.
func (p *drawerPlan) forgetStale() {
	where := map[int]int{}
	for i, d := range p.drawer {
		if d == nowhere {
			continue
		}
		other, twice := where[d]
		if !twice {
			where[d] = i
			continue
		}
		older := i
		if p.seen[other].when < p.seen[i].when {
			older, where[d] = other, i
		}
		p.drawer[older], p.seen[older] = nowhere, observed[string]{when: -1, visit: -1}
	}
}

// cycle follows the drawers from slot i: what stands in i belongs in the next,
// and so on round. It returns nil where the way ends at a slot that is empty
// or was not observed, so that nothing can be exchanged round it.
func (p *drawerPlan) cycle(i int) []int {
	var round []int
	for at := i; len(round) == 0 || at != i; at = p.drawer[at] {
		if p.drawer[at] == nowhere {
			return nil
		}
		round = append(round, at)
	}
	return round
}

func judgeDrawersHome(b *bench) {
	for _, r := range b.rooms {
		p := newDrawerPlan(r)
		for _, e := range r.elevations {
			for _, u := range e.units {
				if u.cabinet != nil && u.cabinet.Drawers() > 0 {
					b.drawersOf(u, p)
				}
			}
		}
	}
}

func (b *bench) drawersOf(u *unit, p *drawerPlan) {
	first, n := p.first[u], u.cabinet.Drawers()
	var away, unseen []say.Text // what is wrong, and what nobody looked at
	var faults []fault
	newest := observed[string]{when: -1, visit: -1}
	for i := first; i < first+n; i++ {
		number := strconv.Itoa(p.slots[i].number)
		switch seen := p.seen[i]; {
		case !seen.ok:
			unseen = append(unseen, p.slots[i].words(u))
			continue
		case p.drawer[i] == nowhere:
			away = append(away, say.That("slot %[1]s stands empty", p.slots[i].words(u)))
			faults = append(faults, fault{of: faultOf{"slot", number, "none"}})
		case p.drawer[i] != i:
			away = append(away, say.That("drawer %[1]s stands in slot %[2]s", p.slots[p.drawer[i]].words(u), p.slots[i].words(u)))
			faults = append(faults, fault{of: faultOf{"slot", number, p.slots[p.drawer[i]].name(u)}})
		}
		if p.seen[i].when > newest.when {
			newest = p.seen[i]
		}
	}
	r := Result{Subject: u.subject, Visit: newest.visit, Pointer: newest.at.pointer(), faults: faults, unseen: len(unseen) > 0}
	switch {
	case len(away) > 0:
		r.Outcome, r.Value = Fail, CountOf(len(away))
		r.Finding = say.And(away...)
		if len(unseen) > 0 {
			r.Finding = say.That("%[1]s; slot %[2]s not observed", r.Finding, say.And(unseen...))
		}
		r.Remedy = p.remedy(u)
	case len(unseen) == n:
		b.notObserved(u.subject, u.at, say.That("drawers"))
		return
	case len(unseen) > 0:
		r.Outcome = NotObserved
		r.Finding = say.That("Slot %[1]s not observed; the others hold their own drawers", say.And(unseen...))
		r.Remedy = b.rule.Needs.Text()
	default:
		r.Outcome, r.Value = Pass, CountOf(0)
		r.Finding = say.That("Every drawer in its home slot")
	}
	b.add(r)
}

// findRounds finds each cycle once, but those of a drawer that is home.
func (p *drawerPlan) findRounds() {
	done := map[int]bool{}
	for i := range p.slots {
		if done[i] || p.drawer[i] == i {
			continue
		}
		round := p.cycle(i)
		if round == nil {
			p.open = true
			continue
		}
		p.rounds = append(p.rounds, round)
		for _, s := range round {
			done[s] = true
		}
	}
}

// remedy says how the drawers of a cabinet come home. The exchanges of a room
// stand in one list, at the first cabinet that takes part in one: each cycle
// once, so that who follows the list from first to last undoes nothing. The
// other cabinets point to it.
func (p *drawerPlan) remedy(u *unit) say.Text {
	takesPart, open := false, false
	for i := p.first[u]; i < p.first[u]+u.cabinet.Drawers(); i++ {
		if p.drawer[i] == i || !p.seen[i].ok {
			continue
		}
		round := p.cycle(i) != nil
		takesPart, open = takesPart || round, open || !round
	}
	var parts []say.Text
	if takesPart {
		parts = append(parts, p.list(u))
	}
	if open {
		parts = append(parts, say.That("find the missing drawer or look at the slots not observed, then put each drawer in its home slot"))
	}
	return say.Semicolons(parts...)
}

// list is the list of exchanges, as few as there can be (a cycle of k drawers
// takes k - 1), or for another cabinet than its first where it stands.
func (p *drawerPlan) list(u *unit) say.Text {
	if first := p.slots[p.rounds[0][0]].unit; first != u {
		return say.That("exchange drawers in the order that stands at %[1]s", first.subject.Words())
	}
	var swaps say.Text
	n := 0
	for _, round := range p.rounds {
		for _, s := range exchanges(round) {
			swap := say.That("%[1]s and %[2]s", p.slots[s[0]].words(u), p.slots[s[1]].words(u))
			if n++; n > 1 {
				swap = say.That("%[1]s, then %[2]s", swaps, swap)
			}
			swaps = swap
		}
	}
	if p.open {
		return say.Count(n,
			"exchange the drawers of slots %[2]s (%[1]s exchange, the fewest for the drawers that were found)",
			"exchange the drawers of slots %[2]s (%[1]s exchanges, the fewest for the drawers that were found)", swaps)
	}
	return say.Count(n,
		"exchange the drawers of slots %[2]s (%[1]s exchange, the fewest that put this room right)",
		"exchange the drawers of slots %[2]s (%[1]s exchanges, the fewest that put this room right)", swaps)
}

// exchanges returns the pairs of slots whose drawers to exchange, one after
// the other, to put every drawer of a cycle in its home slot.
func exchanges(round []int) [][2]int {
	var pairs [][2]int
	// The drawer in the first slot goes home; what it finds there comes to the first slot; and so on.
	for _, home := range round[1:] {
		pairs = append(pairs, [2]int{round[0], home})
	}
	return pairs
}
