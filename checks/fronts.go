package checks

import (
	"setline.example/checks/say"
	"setline.example/schema/length"
)

var frontsFlush = &Rule{
	ID:        "fronts-flush",
	Name:      "fronts flush",
	Family:    Joining,
	Asks:      "The fronts of neighbouring units, and of adjoining doors and drawers, lie in one plane.",
	Why:       "A proud front shows along the whole run, catches sleeves and carts, and is often the first sign that a cabinet is out of level or its joint has slipped.",
	Limit:     LengthOf(length.Inch / 16),
	BothSides: true,
	Formula:   "|offset|",
	Source:    "common practice, no source; a published remodelling performance standard (attributed to NAHB, from memory) calls cabinet faces more than 1/16 in and corners more than 1/8 in out of line unacceptable; the woodwork standards of 2009, section 8, allow 1.3 mm to 2.5 mm by grade",
	Needs:     "Lay a straightedge across the joint and measure the greatest offset of the fronts",
	Remedy:    "Check level first, then loosen the joint, clamp the fronts flush and join again; adjust a door or drawer only on a cabinet that is level",
	At:        DrawnAtJoint,
	observe:   asks(theFrontStep.Thing, theFrontsStep.Thing),
	judge: eachElevation(func(b *bench, e *elevation) {
		for i, u := range e.units {
			// A joint stands between its two units in walking order.
			if j := e.joints[i]; j != nil {
				b.jointFlush(e, j)
			}
			b.cabinetFlush(e, u)
		}
	}),
}

func (b *bench) jointFlush(e *elevation, j *joint) {
	o := theFrontStep.latest(&j.seen, "")
	if !o.ok {
		b.notObserved(j.subject, j.at, say.That("offset of the fronts across the joint"))
		return
	}
	b.measured(j.subject, o, "offsets", func(size length.Length) say.Text {
		return j.stands(o.value, "fronts flush", "%[1]s stands %[2]s proud of %[3]s")
	})
	if r := &b.results[len(b.results)-1]; r.Outcome == Fail {
		r.Remedy = b.diagnose(e, say.That("loosen the joint, clamp the fronts flush and join again"), j.left, j.right)
	}
}

// cabinetFlush judges the doors and drawers of one cabinet among themselves.
func (b *bench) cabinetFlush(e *elevation, u *unit) {
	if u.cabinet == nil || u.cabinet.Doors()+u.cabinet.Drawers() < 2 {
		return
	}
	o := theFrontsStep.latest(&u.asCab, "")
	if !o.ok {
		b.notObserved(u.subject, u.at, say.That("offset between adjoining doors and drawers"))
		return
	}
	b.measured(u.subject, o, "offsets", func(size length.Length) say.Text {
		if size == 0 {
			return say.That("Doors and drawers flush")
		}
		return say.That("Doors and drawers up to %[1]s out of line", size)
	})
	b.diagnoseLast(e, u)
}
