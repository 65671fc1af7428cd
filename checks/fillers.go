package checks

import (
	"slices"

	"setline.example/schema"
)

var fillersRemovable = &Rule{
	ID:         "fillers-removable",
	Name:       "fillers removable",
	Family:     Fillers,
	Asks:       "Every filler is held from inside only, and comes off again with the top on.",
	Why:        "Services run behind fillers. A filler that is screwed through its face, or trapped by the top, has to be cut out to reach them.",
	LimitWords: "held from inside only, and comes off",
	Source:     "common practice, no source",
	Needs:      "Look from where the filler is held, and see that it comes off again with the top on",
	Remedy:     "Take the filler off, fasten it from inside the cabinet only, and see that it comes off with the top on",
	observe:    askUnits((*asker).removable),
	judge:      judgeFillersRemovable,
}

func judgeFillersRemovable(b *bench) {
	b.units(func(_ *room, u *unit) {
		if u.cabinet != nil {
			return
		}
		held := latest(u.asFill, func(s *schema.FillerSeen) *[]string {
			if s.HeldFrom == nil {
				return nil
			}
			return &s.HeldFrom
		}, "held_from")
		off := latest(u.asFill, func(s *schema.FillerSeen) *bool { return s.ComesOff }, "comes_off")
		if !held.ok && !off.ok {
			b.notObserved(u.subject, u.at, "How the filler is held")
			return
		}
		r := Result{Subject: u.subject}
		r.Visit, r.Pointer = newer(held, off)
		outside := slices.DeleteFunc(slices.Clone(held.value), func(from string) bool { return from == "inside" })
		switch {
		case len(outside) > 0:
			r.Outcome, r.Finding = Fail, "Held from the "+listed(outside)
			r.Visit, r.Pointer = held.visit, held.at.pointer()
		case held.ok && len(held.value) == 0:
			r.Outcome, r.Finding = Fail, "Nothing holds the filler"
			r.Remedy = "Fasten it from inside the cabinet, and see that it comes off with the top on"
			r.Visit, r.Pointer = held.visit, held.at.pointer()
		case off.ok && !off.value:
			r.Outcome, r.Finding = Fail, "Does not come off with the top on"
			r.Visit, r.Pointer = off.visit, off.at.pointer()
		case !held.ok:
			r.Outcome, r.Finding = NotObserved, "Comes off, but how it is held was not observed"
			r.Remedy = b.rule.Needs
		case !off.ok:
			r.Outcome, r.Finding = NotObserved, "Held from inside, but whether it comes off was not observed"
			r.Remedy = b.rule.Needs
		default:
			r.Outcome, r.Finding = Pass, "Held from inside only and comes off"
		}
		b.add(r)
	})
}
