package merge

import (
	"encoding/json"
	"strconv"
	"strings"

	"setline.example/schema"
	"setline.example/schema/intake"
)

// The way back: each change of the plan keeps a patch that gives the plan before
// it. Those of the first copy lead where they led; only visits may stand elsewhere.
// Those of the second are made anew, since they follow the changes of the first.

// ledBack is the merged record with the way back to the plans before it.
func (m *merger) ledBack(p *plans, merged *node) (*node, error) {
	changes := merged.at("planned", "changes")
	if changes == nil {
		return merged, nil
	}
	before, end, err := m.befores(p)
	if err != nil {
		return nil, err
	}
	rest, err := formerPlan(end, merged.member("planned"))
	if err != nil {
		return nil, err
	}
	out := list()
	for _, kid := range changes.kids {
		kid, err := m.withBefore(p, kid, before, rest)
		if err != nil {
			return nil, err
		}
		out.kids = append(out.kids, kid)
	}
	if len(rest) > 0 && len(m.notes) == 0 { // one of them has it otherwise, and no change says so
		m.told++
		out.kids = append(out.kids, object("what", list(object("of", textNode("job"), "change", textNode("otherwise"))),
			"entered", laterNode(last+m.told), "before", stepsNode(rest)))
	}
	return merged.with("planned", merged.member("planned").with("changes", out)), nil
}

// befores are what undoes the changes of the second copy, and the plan after them.
func (m *merger) befores(p *plans) (all [][]schema.PatchStep, end *node, err error) {
	for i := range p.second {
		now := p.copies[0].through[i]
		steps, err := formerPlan(p.plan, now)
		if err != nil {
			return nil, nil, err
		}
		steps = append(steps, moved(p.copies[0].undo[i], m.at)...)
		all = append(all, append(steps, moved(m.ownSteps(&p.second[i], p.plan), m.out.Visits)...))
		p.plan = now
	}
	return all, p.plan, nil
}

// withBefore is a change of the plan with its way back.
func (m *merger) withBefore(p *plans, kid *node, before [][]schema.PatchStep, rest []schema.PatchStep) (*node, error) {
	k, second := laterPlace(kid.member("entered"))
	switch {
	case !second:
		var steps []schema.PatchStep
		old := kid.member("before")
		if old == nil {
			return kid, nil
		}
		if err := json.Unmarshal(old.json(), &steps); err != nil {
			return nil, err
		}
		return kid.with("before", stepsNode(moved(steps, m.at))), nil
	case k > last && len(m.stayed) > 0 && same(kid.member("what"), list(m.stayed...)):
		return kid.with("before", list()), nil
	case k > last: // what was decided
		return kid.with("before", stepsNode(rest)), nil
	}
	for i := range p.second {
		if c := &p.second[i]; c.Entered == k && !c.told {
			c.told = true
			return kid.with("before", stepsNode(before[i])), nil
		}
	}
	return kid, nil
}

// ownSteps are the steps that undo what a change of the second copy made of what
// visits saw that the first has not: where these are of what is planned alike.
func (m *merger) ownSteps(c *ownChange, plan *node) (steps []schema.PatchStep) {
	if c.before == nil {
		return nil
	}
	var had, has schema.Planned
	if json.Unmarshal(c.before.json(), &had) != nil || json.Unmarshal(plan.json(), &has) != nil {
		return nil
	}
	for _, s := range c.Before {
		if visit, at := visitOf(s.Path); visit >= 0 && m.fresh[visit] && intake.PlannedAlike(&had, &has, schema.Steps(at)) {
			steps = append(steps, s)
		}
	}
	return steps
}

// formerPlan is a patch that makes of a plan what was planned before.
func formerPlan(before, now *node) ([]schema.PatchStep, error) {
	return intake.FormerPlan(object("planned", before).json(), object("planned", unnumbered(now)).json())
}

const inVisit = "/measured/visits/"

// visitOf is in which visit a place of the record is, and where there; -1 for none.
func visitOf(pointer string) (visit int, at string) {
	rest, ok := strings.CutPrefix(pointer, inVisit)
	number, at, _ := strings.Cut(rest, "/")
	visit, err := strconv.Atoi(number)
	if !ok || err != nil {
		return -1, ""
	}
	return visit, "/" + at
}

// moved are steps where visits stand elsewhere. to says where one is that does not
// stand where it stood.
func moved(steps []schema.PatchStep, to map[int]int) []schema.PatchStep {
	place := func(pointer string) string {
		visit, at := visitOf(pointer)
		if now, ok := to[visit]; ok && visit >= 0 {
			return inVisit + strconv.Itoa(now) + at
		}
		return pointer
	}
	out := make([]schema.PatchStep, len(steps))
	for i, s := range steps {
		out[i] = s
		out[i].Path, out[i].From = place(s.Path), place(s.From)
	}
	return out
}

// stepsNode is a patch, which may have no steps.
func stepsNode(steps []schema.PatchStep) *node {
	out := list()
	for _, s := range steps {
		text, _ := json.Marshal(s) // JSON inside, which was read before
		kid, err := parse(text)
		if err != nil {
			continue
		}
		out.kids = append(out.kids, kid)
	}
	return out
}
