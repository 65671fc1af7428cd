package checks

import (
	"setline.example/checks/say"
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
	At:        DrawnAtTop,
	observe:   askOwners((*asker).askTopStep),
	judge: eachJoint(func(b *bench, j *joint) {
		if j.left.cabinet == nil || j.right.cabinet == nil {
			return // the rule for fillers judges theirs
		}
		o := theTopStep.latest(&j.seen, "")
		if !o.ok {
			b.notObserved(j.subject, j.at, say.That("offset of the tops across the joint"))
			return
		}
		b.measured(j.subject, o, "offsets", func(size length.Length) say.Text {
			return j.stands(o.value, "tops flush", "%[1]s stands %[2]s high of %[3]s")
		})
	}),
}

// stands says which side of a joint stands out by how much, by a format of the
// one, the size and the other.
func (j *joint) stands(offset length.Length, flush say.Words, format string) say.Text {
	left, right := say.Name(j.left.plan.Tag), say.Name(j.right.plan.Tag)
	switch {
	case offset > 0:
		return say.That(format, right, offset, left)
	case offset < 0:
		return say.That(format, left, offset.Abs(), right)
	}
	return flush.Text()
}

// askTopStep asks between cabinets only: a filler has no top to carry one.
func (a *asker) askTopStep(w whose) {
	if w.j != nil && w.j.cabinets() {
		a.ask(theTopStep.Thing, w, "", w.j.subject)
	}
}
