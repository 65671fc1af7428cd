package merge

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/intake"
)

// The plans of the copies: the merged record is told as if the second copy had
// made its changes of the plan where the first ended. So each copy is taken
// through the changes of the other one by one, as if they were entered into it,
// and what they make history becomes that.

// ownChange is a change of the plan that one copy alone has.
type ownChange struct {
	schema.PlanChange
	before, after *node // the plans, without changes; nil where nobody knows them
	told          bool  // it has its way back
}

// ownChanges are those of a copy that another has not, in the order of entry.
func ownChanges(c Copy, other *schema.Record) ([]ownChange, error) {
	all := slices.Clone(c.Record.Planned.Changes)
	slices.SortStableFunc(all, func(a, b schema.PlanChange) int { return cmp.Compare(a.Entered, b.Entered) })
	left := map[string]int{}
	for _, o := range other.Planned.Changes {
		left[identity(o)]++
	}
	out := make([]ownChange, len(all))
	own := make([]bool, len(all))
	for i := range all {
		out[i].PlanChange = all[i]
		left[identity(all[i])]--
		own[i] = left[identity(all[i])] < 0
	}
	if err := plansOf(c.Text, out); err != nil {
		return nil, fmt.Errorf("%s: %w", c.Name, err)
	}
	i := -1
	return slices.DeleteFunc(out, func(ownChange) bool { i++; return !own[i] }), nil
}

// identity is by what a change of the plan is known in another copy.
func identity(c schema.PlanChange) string {
	c.Entered, c.Before = 0, nil
	text, _ := json.Marshal(c) // plain values, which can always be written
	return string(text)
}

// plansOf finds the plans before and after changes, from the last to where one
// does not say what was before it.
func plansOf(text []byte, changes []ownChange) error {
	value, _ := amend.Get(text, "/planned")
	plan, err := parse(value)
	if err != nil {
		return err
	}
	plan = plan.with("changes", nil)
	for i := len(changes) - 1; i >= 0; i-- {
		c := &changes[i]
		c.after = plan
		if c.Entered == 0 || c.Before == nil {
			return nil // it has no place, or no way back
		}
		if plan, err = planBefore(plan, c.Before); err != nil {
			return nil // told by the checks as one that nobody knows
		}
		c.before = plan
	}
	return nil
}

// planBefore is a plan with what a patch undoes of it.
func planBefore(plan *node, steps []schema.PatchStep) (*node, error) {
	var all []amend.Step
	for _, s := range steps {
		if strings.HasPrefix(s.Path, "/planned/") {
			all = append(all, amend.Step{Op: s.Op, From: s.From, Path: s.Path, Value: s.Value})
		}
	}
	text, err := amend.Patched(object("planned", plan).json(), all)
	if err != nil {
		return nil, err
	}
	tree, err := parse(text)
	if err != nil {
		return nil, err
	}
	return tree.member("planned"), nil
}

// plans is the merged plan, and the ways of the copies to it.
type plans struct {
	merged *node
	copies [3]journey // of the first, the second and their ancestor
	plan   *node      // of the first copy, without changes
	second []ownChange
}

// journey is a copy on its way to the merged plan.
type journey struct {
	*Copy
	through []*node              // the plans on the way
	undo    [][]schema.PatchStep // for each, what undoes what it made of what visits saw
	text    []byte               // the copy at its end
}

// planned merges the plans.
func (m *merger) planned(first, second Copy, base *Copy, trees *[3]*node) (*plans, error) {
	a, err := ownChanges(first, second.Record)
	if err != nil {
		return nil, err
	}
	b, err := ownChanges(second, first.Record)
	if err != nil {
		return nil, err
	}
	m.trail, m.refused = plannedTrail(a, b), [2]refused{refusedBy(a), refusedBy(b)}
	p := &plans{merged: m.member("planned", trees[0], trees[1], trees[2]), second: b}
	m.trail = nil
	p.copies = [3]journey{{Copy: &first}, {Copy: &second}, {Copy: base}}
	of := func(n *node) *node { return n.member("planned").with("changes", nil) }
	x, y := of(trees[0]), of(trees[1])
	p.plan = x
	for i := range a {
		if a[i].after != nil {
			stays := staysSecond(idle(a), refusedBy(a[i+1:]))
			p.copies[1].through = append(p.copies[1].through, m.quietly(a[:i+1], b, a[i].after, y, trees[2], stays))
			p.copies[2].through = append(p.copies[2].through, a[i].after)
		}
	}
	for i := range b {
		plan := x // where nobody knows it, it is taken to have been as the first copy had it
		if b[i].after != nil {
			plan = m.quietly(a, b[:i+1], x, b[i].after, trees[2], staysFirst(idle(b), refusedBy(b[i+1:])))
		}
		p.copies[0].through = append(p.copies[0].through, plan)
		p.copies[2].through = append(p.copies[2].through, plan)
	}
	return p, nil
}

// quietly merges two plans of which nothing is told: where the copies contradict
// each other it is as decided, or as the first has it.
func (m *merger) quietly(first, second []ownChange, a, b, base *node, stays stays) *node {
	s := &merger{decided: m.decided, by: m.by, out: &Outcome{}, refused: m.refused, stays: stays, trail: plannedTrail(first, second)}
	return s.member("planned", object("planned", a), object("planned", b), base).with("changes", nil)
}

// underPlan takes the copies to the merged plan. What one of them has otherwise
// though no change says so, was always so: that makes nothing history.
func (m *merger) underPlan(p *plans, trees *[3]*node) error {
	for i := range p.copies {
		j := &p.copies[i]
		if j.Copy == nil {
			continue
		}
		tree, err := m.travel(j, trees[i])
		if err == nil {
			now := tree.with("planned", unnumbered(p.merged))
			j.text, err = rewritten(j.text, "", tree, now)
		}
		if err == nil {
			trees[i], err = parse(j.text)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", j.Name, err)
		}
	}
	return nil
}

// travel takes a copy through plans, as if the changes that lead to them were
// entered into it.
func (m *merger) travel(j *journey, tree *node) (*node, error) {
	j.text = j.Text
	for _, plan := range j.through {
		var undo []schema.PatchStep
		if was := tree.member("planned"); !same(was.with("changes", nil), plan) {
			var err error
			if undo, tree, err = m.replanned(j, tree, plan.with("changes", was.member("changes"))); err != nil {
				return nil, err
			}
		}
		j.undo = append(j.undo, undo)
	}
	return tree, nil
}

// replanned is a copy with another plan: what was observed of what that has no
// more, or has otherwise, is history.
func (m *merger) replanned(j *journey, tree, plan *node) (undo []schema.PatchStep, _ *node, err error) {
	rec := new(schema.Record)
	if err := json.Unmarshal(j.text, rec); err != nil {
		return nil, nil, err
	}
	text, err := rewritten(j.text, "", tree, tree.with("planned", plan))
	if err != nil {
		return nil, nil, err
	}
	text, former, undo, err := intake.Outdated(intake.Base{Name: j.Name, Text: j.text, Record: rec}, text)
	if err != nil {
		return nil, nil, err
	}
	for _, o := range former {
		m.out.Former = append(m.out.Former, o.Of)
	}
	j.text = text
	tree, err = parse(text)
	return undo, tree, err
}
