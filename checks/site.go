package checks

import (
	"setline.example/checks/say"
	"setline.example/schema"
)

var siteSettled = &Rule{
	ID:         "site-settled",
	Name:       "site settled",
	Family:     SiteFamily,
	Asks:       "The slab has cured, the building is closed in, and the floor finish is known.",
	Why:        "An uncured or open building moves, and takes level cabinets with it. A room in one can be handed over only with a date on which it is looked at again.",
	LimitWords: "slab cured, building closed in, floor finish known; else a dated re-inspection",
	Source:     CommonPractice,
	Needs:      "Write down on the visit whether the slab has cured, the building is closed in and the floor finish is known",
	Remedy:     "Agree a date for a re-inspection once the building has settled, and put it under agreed/reinspections",
	observe:    (*asker).askSite,
	judge:      judgeSite,
}

func judgeSite(b *bench) {
	for _, r := range b.rooms {
		b.site(siteSubject(r), r)
	}
}

func siteSubject(r *room) Subject {
	return Subject{Room: r.plan.Name, Kind: SubjectSite, Item: "site", room: r.index, elevation: -1, unit: -1}
}

func (b *bench) site(s Subject, r *room) {
	seen, visit := r.site, r.siteVisit
	if seen == nil {
		b.notObserved(s, r.at, say.That("state of the building"))
		return
	}
	var open, unseen []say.Text
	var faults []fault
	for _, q := range []struct {
		answer   *bool
		no, what say.Words
		id       string
	}{
		{seen.SlabCured, "slab not cured", "curing of the slab", "slab_cured"},
		{seen.ClosedIn, "building not closed in", "closing-in of the building", "closed_in"},
		{seen.FloorFinishKnown, "floor finish not known", "floor finish", "floor_finish_known"},
	} {
		switch {
		case q.answer == nil:
			unseen = append(unseen, q.what.Text())
		case !*q.answer:
			open = append(open, q.no.Text())
			faults = append(faults, not("site", q.id))
		}
	}
	res := Result{Subject: s, Visit: visit, Pointer: schema.Pointer("/measured/visits", visit, "site"), faults: faults, unseen: len(unseen) > 0}
	again := b.reinspection(r.plan.Name, b.rec.Measured.Visits[visit].Date)
	switch {
	case len(open) > 0 && again != "":
		res.Outcome = Notice
		res.Finding = say.That("%[1]s; to be inspected again on %[2]s", say.Commas(open...), again)
	case len(open) > 0:
		res.Outcome = Fail
		res.Finding = say.That("%[1]s, and no date is agreed to inspect the room again", say.Commas(open...))
	case len(unseen) > 0:
		b.unseen(s, res.Pointer, say.That("%[1]s not observed", say.And(unseen...)))
		return
	default:
		res.Outcome, res.Finding = Pass, say.That("Slab cured, building closed in, floor finish known")
	}
	b.add(res)
}

// reinspection is the first date after a visit on which a room is to be
// inspected again, "" where none is agreed.
func (b *bench) reinspection(room string, after schema.Date) schema.Date {
	var first schema.Date
	for _, r := range b.rec.Agreed.Reinspections {
		if r.Room == room && r.Date > after && (first == "" || r.Date < first) {
			first = r.Date
		}
	}
	return first
}

func (a *asker) askSite() {
	var judged []Subject
	for _, r := range a.rooms {
		judged = append(judged, siteSubject(r))
	}
	for i, key := range theSiteState.keysOf(whose{}) {
		a.ofSite(theSiteState, key, i, judged...)
	}
}
