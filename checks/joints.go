package checks

import (
	"setline.example/schema/length"
)

var topsFlush = &Rule{
	ID:        "tops-flush",
	Name:      "tops flush",
	Family:    Joining,
	Asks:      "The tops of neighbouring cabinets are flush across the joint.",
	Why:       "A step under a top is where the top rocks, or cracks.",
	Limit:     LengthOf(length.Inch / 16),
	BothSides: true,
	Formula:   "|offset|",
	Source:    "common practice, no source; as for fronts, by a published remodelling performance standard (attributed to NAHB, from memory)",
	Needs:     "Lay a straightedge over the joint and measure the greatest offset of the tops",
	Remedy:    "Loosen the joint, bring the tops flush with the levelers, clamp and join again, and see that all levelers bear",
	observe:   askOwners((*asker).askTopStep),
	judge: eachJoint(func(b *bench, j *joint) {
		if j.left.cabinet == nil || j.right.cabinet == nil {
			return // the rule for fillers judges theirs
		}
		o := theTopStep.latest(j.seen, "")
		if !o.ok {
			b.notObserved(j.subject, j.at, "Offset of the tops across the joint")
			return
		}
		b.measured(j.subject, o, "offsets", func(size string) string { return j.stands(o.value, size, "high of", "Tops flush") })
	}),
}

// stands says which side of a joint stands out by how much.
func (j *joint) stands(offset length.Length, size, how, flush string) string {
	switch {
	case offset > 0:
		return j.right.plan.Tag + " stands " + size + " " + how + " " + j.left.plan.Tag
	case offset < 0:
		return j.left.plan.Tag + " stands " + size + " " + how + " " + j.right.plan.Tag
	}
	return flush
}

// askTopStep asks between cabinets only: a filler has no top to carry one.
func (a *asker) askTopStep(w whose) {
	if w.j != nil && w.j.cabinets() {
		a.ask(theTopStep.Thing, w, "", w.j.subject)
	}
}
