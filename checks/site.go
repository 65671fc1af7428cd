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

// siteStates are what is said of the building on a visit.
var siteStates = [...]struct {
	of       func(*schema.Site) *bool
	no, what say.Words
	id       string
}{
	{func(s *schema.Site) *bool { return s.SlabCured }, "slab not cured", "curing of the slab", "slab_cured"},
	{func(s *schema.Site) *bool { return s.ClosedIn }, "building not closed in", "closing-in of the building", "closed_in"},
	{func(s *schema.Site) *bool { return s.FloorFinishKnown }, "floor finish not known", "floor finish", "floor_finish_known"},
}

// siteSeen is what the last visit said of one of the site's states that says
// anything of it; a nil answer where none does.
type siteSeen struct {
	answer *bool
	visit  int
}

// addSite takes in what a visit to the room says of the building. What it does
// not mention stays as it was.
func (r *room) addSite(site *schema.Site, visit int) {
	if site == nil {
		return
	}
	for i, q := range siteStates {
		if answer := q.of(site); answer != nil {
			r.site[i] = siteSeen{answer, visit}
		}
	}
}

func (b *bench) site(s Subject, r *room) {
	var open, unseen []say.Text
	var faults []fault
	last, lastNo := -1, -1
	for i, q := range siteStates {
		switch seen := r.site[i]; {
		case seen.answer == nil:
			unseen = append(unseen, q.what.Text())
		case !*seen.answer:
			open = append(open, q.no.Text())
			faults = append(faults, not("site", q.id))
			lastNo = b.later(lastNo, seen.visit)
			fallthrough
		default:
			last = b.later(last, seen.visit)
		}
	}
	if last < 0 {
		b.notObserved(s, r.at, say.That("state of the building"))
		return
	}
	if lastNo >= 0 {
		last = lastNo
	}
	again := b.reinspection(r.plan.Name, b.rec.Measured.Visits[last].Date)
	res := Result{Subject: s, Visit: last, Pointer: schema.Pointer("/measured/visits", last, "site"), faults: faults, unseen: len(unseen) > 0}
	dated := say.That("%[1]s; to be inspected again on %[2]s", say.Commas(open...), again)
	switch {
	case len(open) > 0 && again == "":
		res.Outcome = Fail
		res.Finding = say.That("%[1]s, and no date is agreed to inspect the room again", say.Commas(open...))
	case len(unseen) > 0 && len(open) > 0:
		b.unseen(s, res.Pointer, say.Semicolons(say.That("%[1]s not observed", say.And(unseen...)), dated))
		return
	case len(unseen) > 0:
		b.unseen(s, res.Pointer, say.That("%[1]s not observed", say.And(unseen...)))
		return
	case len(open) > 0:
		res.Outcome, res.Finding = Notice, dated
	default:
		res.Outcome, res.Finding = Pass, say.That("Slab cured, building closed in, floor finish known")
	}
	b.add(res)
}

// later is the visit that was later in time, of which one may be -1.
func (b *bench) later(a, c int) int {
	if a < 0 || c < 0 {
		return max(a, c)
	}
	of, to := b.rec.Measured.Visits[a].Date, b.rec.Measured.Visits[c].Date
	if of > to || of == to && a > c {
		return a
	}
	return c
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
