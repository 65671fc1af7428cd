package checks

import (
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
)

var fillersRemovable = &Rule{
	ID:         "fillers-removable",
	Name:       "fillers removable",
	Family:     Fillers,
	Asks:       "Every filler is held from inside only, so that it comes off again once the top is on. Before that it is judged by how it is held; that it did come off with the top on can only be seen after.",
	Why:        "Services run behind fillers. A filler that is screwed through its face, or trapped by the top, has to be cut out to reach them.",
	LimitWords: "held from inside only, and with the top on seen to come off",
	Source:     CommonPractice,
	Needs:      "Look from where the filler is held; once the top is on, say so and see that it comes off again",
	Remedy:     "Take the filler off, fasten it from inside the cabinet only, and see that it comes off with the top on",
	observe:    asks(theHeldFrom.Thing, theTopOn.Thing, theComesOff.Thing),
	again:      againHeld,
	judge:      judgeFillersRemovable,
}

func judgeFillersRemovable(b *bench) {
	b.units(func(_ *room, u *unit) {
		if u.filler != nil {
			b.removable(u)
		}
	})
}

// removable judges a filler by how it is held, and once the top is on by whether
// it was seen to come off since.
func (b *bench) removable(u *unit) {
	held := theHeldFrom.latest(&u.asFill, "")
	off := theComesOff.latest(&u.asFill, "")
	if !held.ok && !off.ok {
		b.notObserved(u.subject, u.at, say.That("how the filler is held"))
		return
	}
	topOn, under := u.topOn(), false
	if off.ok {
		under = u.topOnAt(off.visit, b.rec.Measured.Visits[off.visit].Date)
	}
	r := Result{Subject: u.subject}
	r.Visit, r.Pointer = newer(held, off)
	fault := func(what string, o string, visit int, finding say.Text) {
		r.Outcome, r.Pointer, r.Visit = Fail, o, visit
		r.Finding = say.Semicolons(r.Finding, finding)
		r.faults = append(r.faults, faultAt(what))
	}
	outside := slices.DeleteFunc(slices.Clone(held.value), func(from string) bool { return from == "inside" })
	var from []say.Text
	for _, side := range outside {
		from = append(from, AnswerWords(side))
		r.faults = append(r.faults, faultAt("held from the "+side))
	}
	if len(outside) > 0 {
		r.Outcome, r.Finding = Fail, say.That("Held from the %[1]s", say.And(from...))
		r.Visit, r.Pointer = held.visit, held.at.pointer()
	}
	if held.ok && len(held.value) == 0 {
		fault("nothing holds it", held.at.pointer(), held.visit, say.That("nothing holds the filler"))
		r.Remedy = say.That("Fasten it from inside the cabinet, so that it comes off again with the top on")
	}
	if off.ok && !off.value {
		words := say.That("does not come off")
		if under {
			words = say.That("does not come off with the top on")
		}
		fault("comes off", off.at.pointer(), off.visit, words)
	}
	r.unseen = !held.ok || topOn && !under
	switch {
	case r.Outcome == Fail:
	case !held.ok:
		r.Outcome, r.Finding = NotObserved, say.That("Comes off, but how it is held was not observed")
	case !topOn && off.ok:
		r.Outcome, r.Finding = Pass, say.That("Held from inside only and comes off; the top is not on")
	case !topOn:
		r.Outcome, r.Finding = Pass, say.That("Held from inside only, as held before the top is on")
	case under:
		r.Outcome, r.Finding = Pass, say.That("Held from inside only and comes off with the top on")
	default:
		r.Outcome, r.Finding = NotObserved, say.That("Held from inside, but whether it comes off with the top on was not observed")
	}
	if r.Outcome == NotObserved {
		r.Remedy = b.rule.Needs.Text()
	}
	b.add(r)
}

func faultAt(what string) fault { return fault{of: faultOf{what, "", ""}} }

// topOn reports whether the top is on. Where nobody said so it is not.
func (u *unit) topOn() bool {
	o := theTopOn.latest(&u.asFill, "")
	return o.ok && o.value
}

// topOnAt reports whether the top was on when a visit looked: as it said itself,
// else as was said on a day before. Of two visits of one day nobody knows which
// was first.
func (u *unit) topOnAt(visit int, day schema.Date) bool {
	if !theTopOn.latest(&u.asFill, "").ok {
		return false
	}
	for _, s := range slices.Backward(u.asFill.all) {
		if on := theTopOn.read(s.seen, ""); on != nil && (s.visit == visit || s.day < day) {
			return *on
		}
	}
	return false
}
