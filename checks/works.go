package checks

import "setline.example/schema/length"

var frontsAligned = &Rule{
	ID:        "fronts-aligned",
	Name:      "fronts aligned",
	Family:    Fronts,
	Asks:      "Every door and drawer front is in line with its neighbours.",
	Why:       "Fronts out of line are what people see of a room, and the first sign of a cabinet out of level or of a floor that moved.",
	Limit:     LengthOf(length.Inch / 16),
	BothSides: true,
	Formula:   "the greatest |offset| of a front",
	Source:    "common practice, no source; as for fronts, by a published remodelling performance standard (attributed to NAHB, from memory)",
	Needs:     "Measure for every door and drawer how far its front is out of line with its neighbours",
	Remedy:    "Check level, then movement, and only then adjust hinge or slide",
	observe:   asks(theAlignment.Thing),
	judge:     eachCabinet((*bench).aligned),
}

func (b *bench) aligned(e *elevation, u *unit) {
	if len(u.fronts) == 0 {
		return
	}
	w := b.weigh()
	var unseen []string
	said, rests := saidLast(u.asCab, saidAlignment), false
	for _, front := range u.fronts {
		o := theAlignment.latest(u.asCab, front)
		if said.when > o.when && b.rec.Planned.DecisionRule != Guarded {
			rests = true // a gauge that goes in or does not is enough where uncertainty does not count
			continue
		}
		if !o.ok {
			unseen = append(unseen, "alignment of "+front)
			continue
		}
		w.add(b.offset(faultOf{"alignment", front, ""}, front, o))
	}
	if rests && w.outcome == "" && len(unseen) == 0 {
		b.add(Result{Subject: u.subject, Visit: said.visit, Pointer: said.at.pointer(), Outcome: Pass, Finding: "All fronts in line, as was said of all of the elevation"})
		return
	}
	b.conclude(u.subject, u.at, "Alignment of doors and drawers", w, unseen, func(t trial) string {
		if t.value == 0 {
			return "All fronts in line"
		}
		return capital(t.words) + " is " + b.write(t.value) + " out of line"
	})
	b.diagnoseLast(e, u)
}

var frontsWork = &Rule{
	ID:         "doors-and-drawers-work",
	Name:       "doors and drawers work",
	Family:     Fronts,
	Asks:       "Every door and drawer works freely over its whole travel.",
	Why:        "A drawer that rubs or a door that springs open will be adjusted by the next person, who does not know that the cabinet under it is out of level.",
	LimitWords: "all work",
	Source:     "common practice, no source",
	Needs:      "Open and close every door and drawer over its whole travel",
	Remedy:     "Check level, then movement, and only then adjust hinge or slide",
	observe:    asks(theWorking.Thing),
	judge:      eachCabinet((*bench).works),
}

func (b *bench) works(e *elevation, u *unit) {
	if len(u.fronts) == 0 {
		return
	}
	var bad, unseen []string
	var faults []fault
	decides := observed[bool]{when: -1, visit: -1}
	for _, front := range u.fronts {
		o := theWorking.latest(u.asCab, front)
		switch {
		case !o.ok:
			unseen = append(unseen, front)
			continue
		case !o.value:
			bad = append(bad, front)
			faults = append(faults, not("works", front))
		}
		decides = deciding(decides, o)
	}
	r := Result{Subject: u.subject, Visit: decides.visit, Pointer: decides.at.pointer(), faults: faults, unseen: len(unseen) > 0}
	switch {
	case len(bad) > 0:
		r.Outcome, r.Finding = Fail, capital(listed(bad))+" "+verb(bad, "does", "do")+" not work freely"
		if len(unseen) > 0 {
			r.Finding += "; " + listed(unseen) + " not observed"
		}
	case !decides.ok:
		b.notObserved(u.subject, u.at, "Doors and drawers")
		return
	case len(unseen) > 0:
		b.notObserved(u.subject, u.at, capital(listed(unseen)))
		return
	default:
		r.Outcome, r.Finding = Pass, "All doors and drawers work"
	}
	b.add(r)
	b.diagnoseLast(e, u)
}

// deciding returns which of two answers a result rests on: a no before a yes,
// then the newer one.
func deciding(a, o observed[bool]) observed[bool] {
	if !a.ok || a.value && !o.value || a.value == o.value && o.when > a.when {
		return o
	}
	return a
}
