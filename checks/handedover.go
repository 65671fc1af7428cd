package checks

import (
	"setline.example/checks/say"
	"setline.example/schema"
)

// A room is handed over as a whole, where the contract asks for what closes it out.

var handedOver = &Rule{
	ID: "handed-over", Name: "handed over", Family: ClosingOut,
	Asks:       "The room was handed over, to somebody who is named, on a day; from when the warranty runs is written down, and papers and spare parts were received.",
	Why:        "From that day others use the room: what is found later was there, or was not, and the warranty is counted from a day that both know.",
	LimitWords: "to whom, on what day, warranty from when, papers and spare parts received",
	Source:     CommonPractice,
	Needs:      "Hand the room over, and write down to whom, from when the warranty runs, and whether papers and spare parts were received",
	Remedy:     "Hand over what is missing, and have it signed for",
	observe:    asks(theHandedTo.Thing, theHandedOn.Thing, theWarrantyFrom.Thing, thePapers.Thing, theSpareParts.Thing),
	again:      faultedBy(byOnly),
	judge: func(b *bench) {
		for _, r := range b.rooms {
			if r.closing {
				b.handedOver(r)
			}
		}
	},
}

// subject is the room as a whole.
func (r *room) subject() Subject {
	s := siteSubject(r)
	s.Kind, s.First, s.Item = SubjectRoom, r.plan.Name, "room "+r.plan.Name
	return s
}

// atItsEnd is the room as a whole, where it stands on a sheet behind all else.
func (r *room) atItsEnd() Subject {
	s := r.subject()
	s.unit, s.elevation = afterParts, len(r.elevations)
	return s
}

// handedOver judges what was said last: what was not received is known, whatever
// else nobody wrote down.
func (b *bench) handedOver(r *room) {
	to := theHandedTo.latest(&r.seen, theHandedTo.only)
	from := theWarrantyFrom.latest(&r.seen, theWarrantyFrom.only)
	var missing, unseen []say.Text
	var faults []fault
	last := observed[bool]{visit: -1, when: -1}
	for _, q := range []struct {
		thing thing[schema.RoomSeen, bool]
		what  say.Words
	}{{thePapers, "papers"}, {theSpareParts, "spare parts"}} {
		switch o := q.thing.latest(&r.seen, q.thing.only); {
		case !o.ok:
			unseen = append(unseen, q.what.Text())
		case !o.value:
			missing, faults = append(missing, q.what.Text()), append(faults, not(q.thing.only, ""))
			last = o
		}
	}
	switch {
	case len(missing) > 0:
		b.add(Result{Subject: r.subject(), Outcome: Fail, Visit: last.visit, Pointer: last.at.pointer(), Finding: say.That("Not received: %[1]s", say.Few(missing...)), faults: faults})
		return
	case !from.ok:
		unseen = append([]say.Text{say.That("start of the warranty")}, unseen...)
	}
	switch {
	case !to.ok:
		b.unseen(r.subject(), r.at, say.That("Handing over not observed"))
	case len(unseen) > 0:
		b.unseen(r.subject(), r.at, say.That("Handed over to %[1]s; not observed: %[2]s", say.Name(to.value), say.Few(unseen...)))
	default:
		b.add(Result{Subject: r.subject(), Outcome: Pass, Visit: to.visit, Pointer: to.at.pointer(), Finding: say.That("Handed over to %[1]s on %[2]s, warranty from %[3]s, papers and spare parts received", say.Name(to.value), b.handedOn(r, to), from.value)})
	}
}

// handedOn is the day on which a room was handed over: the one that was said with
// it or since, else that of the visit.
func (b *bench) handedOn(r *room, to observed[string]) schema.Date {
	if on := theHandedOn.latest(&r.seen, theHandedOn.only); on.ok && on.when >= to.when {
		return on.value
	}
	return b.rec.Measured.Visits[to.visit].Date
}
