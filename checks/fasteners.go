package checks

import (
	"setline.example/checks/say"
)

var fastenersHidden = &Rule{
	ID:         "fasteners-hidden",
	Name:       "fasteners hidden",
	Family:     Joining,
	Asks:       "No fastener is in sight with doors and drawers closed, nor at a normal standing view.",
	Why:        "A screw in sight looks unfinished, gathers dirt and can scratch; in a laboratory it is one more place to clean.",
	Limit:      CountOf(0),
	LimitWords: "no fastener in sight",
	Source:     CommonPractice,
	Needs:      "Look with all doors and drawers closed, then from a normal standing view; write down how many fasteners are in sight, 0 where there are none",
	Remedy:     "Take the screw out, join from a place out of sight, and plug or replace the marked sheet",
	observe:    asks(theCabinetInSight.Thing, theFillerInSight.Thing),
	judge:      judgeFastenersHidden,
}

func judgeFastenersHidden(b *bench) {
	b.units(func(_ *room, u *unit) {
		closed, standing, where := inSight(u)
		if !closed.ok && !standing.ok {
			b.notObserved(u.subject, u.at, say.That("fasteners in sight"))
			return
		}
		r := Result{Subject: u.subject}
		r.Visit, r.Pointer = newer(closed, standing)
		worst := max(closed.value, standing.value)
		switch {
		case worst > 0:
			r.Outcome, r.Value = Fail, CountOf(worst)
			r.faults = append(inSightFault("closed", closed), inSightFault("standing", standing)...)
			r.unseen = !closed.ok || !standing.ok
			// The count that fails is the observation to point at.
			o, one, many := closed, "%[1]s fastener in sight with doors and drawers closed", "%[1]s fasteners in sight with doors and drawers closed"
			if standing.value > closed.value {
				o, one, many = standing, "%[1]s fastener in sight from a standing view", "%[1]s fasteners in sight from a standing view"
			}
			r.Visit, r.Pointer = o.visit, o.at.pointer()
			r.Finding = say.Count(worst, one, many)
			if where.ok && where.visit == o.visit {
				r.Finding = say.That("%[1]s: %[2]s", r.Finding, say.Name(where.value))
			}
		case !closed.ok:
			r.Outcome = NotObserved
			r.Finding = say.That("View with doors and drawers closed not observed; none in sight from a standing view")
			r.Remedy = b.rule.Needs.Text()
		case !standing.ok:
			r.Outcome = NotObserved
			r.Finding = say.That("Standing view not observed; none in sight with doors and drawers closed")
			r.Remedy = b.rule.Needs.Text()
		default:
			r.Outcome, r.Value = Pass, CountOf(0)
			r.Finding = say.That("No fastener in sight")
		}
		b.add(r)
	})
}

// inSightFault is the fault of a view in which fasteners are in sight, none where there are none.
func inSightFault(view string, seen observed[int]) []fault {
	if seen.value == 0 {
		return nil
	}
	return []fault{{of: faultOf{what: "in sight", where: view}, value: int64(seen.value)}}
}

// inSight gives what was last seen of the fasteners in sight on a cabinet or a filler.
func inSight(u *unit) (closed, standing observed[int], where observed[string]) {
	if u.cabinet != nil {
		in := theCabinetInSight
		return in.latest(&u.asCab, "closed"), in.latest(&u.asCab, "standing"), theCabinetWhere.latest(&u.asCab, "where")
	}
	in := theFillerInSight
	return in.latest(&u.asFill, "closed"), in.latest(&u.asFill, "standing"), theFillerWhere.latest(&u.asFill, "where")
}

// newer returns visit and place of the newer of two observations: a result
// that rests on both is as old as the newer.
func newer[A, B any](a observed[A], b observed[B]) (visit int, at string) {
	if b.when > a.when {
		return b.visit, b.at.pointer()
	}
	return a.visit, a.at.pointer()
}
