package checks

import (
	"math"
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

var extensionAgrees = &Rule{
	ID:         "extension-agrees",
	Name:       "extension agrees",
	Family:     Setting,
	Asks:       "Where leveler extensions are recorded, each is what the readings of the floor and of the top imply, within the uncertainty of the three.",
	Why:        "The three are read apart. Where they do not agree, one is a misreading or was never read, and the others stand in doubt with it.",
	Limit:      LengthOf(0),
	LimitWords: "no more than the expanded uncertainty of the comparison",
	Formula:    "|recorded - (floor reading - top reading - body height)| <= 2u, where u^2 is the sum of the squares of the uncertainties of every reading that goes in, and of the floor between two readings",
	Source:     "JCGM 100:2008, 5.1.2 and 6.2, computed for every corner",
	Needs:      "Read floor, set-height mark and top corners so that a visit ties them together, with instruments whose resolution the record gives",
	Remedy:     "Read this corner's extension, its top and the floor beside it again, and correct the one that was wrong",
	At:         DrawnAtFoot,
	observe:    askElevations((*asker).askExtensions),
	again:      (*asker).againExtension,
	judge: eachElevation(func(b *bench, e *elevation) {
		s := e.floor
		for _, u := range cabinetsOf(e.units) {
			b.extension(e, u, s)
		}
	}),
}

func (b *bench) extension(e *elevation, u *unit, s surveyed) {
	// The limit is an uncertainty itself, so that no other decision rule applies.
	w := &weighing{decision: Simple}
	var unseen []say.Text
	var read, implied length.Length // of the worst
	for _, c := range corners {
		o := theExtension.latest(&u.asCab, c.key)
		if !o.ok {
			continue
		}
		t, should, problem := b.extensionTrial(e, u, c, s, o)
		switch {
		case problem.Empty():
			if w.add(t) {
				w.worst.words = c.word.Text()
				read, implied = o.value, should
			}
		case !slices.ContainsFunc(unseen, problem.Equal):
			unseen = append(unseen, problem)
		}
	}
	switch {
	case w.outcome == "" && len(unseen) == 0: // nothing is claimed, so nothing can disagree
	case w.outcome == Fail || len(unseen) == 0:
		b.conclude(u.subject, u.at, say.Text{}, w, nil, func(t trial) say.Text {
			return say.That("%[1]s recorded %[2]s, implied by floor and top %[3]s", t.words, read, implied)
		})
		b.results[len(b.results)-1].unseen = len(unseen) > 0
	default:
		b.unseen(u.subject, u.at, say.Semicolons(unseen...))
	}
}

// extensionTrial holds one recorded extension against what floor and top
// imply, which it returns too. The problem says why it cannot be.
func (b *bench) extensionTrial(e *elevation, u *unit, c corner, s surveyed, o observed[length.Length]) (t trial, implied length.Length, problem say.Text) {
	x, y := u.place(c)
	if !s.ok {
		return t, 0, say.That("Floor not observed, so that the extension cannot be told")
	}
	down, known := s.under(e, u, c, b.rec.Measured.Visits[o.visit].Date)
	if !known {
		return t, 0, say.That("Floor not observed at %[1]s, so that the extension cannot be told", c.word)
	}
	top, ok := b.topWith(u, c, o)
	if !ok {
		return t, 0, say.That("Top not observed at %[1]s since its extension was read", c.word)
	}
	stands, tied := e.onSurvey(point{visit: top.visit, down: top.value})
	if !tied {
		return t, 0, say.That("Floor and tops were read on visits that no reading of the set-height mark ties together")
	}
	parts := append(e.parts(x, y, 1), part{point{x: x, y: y, visit: top.visit}, -1})
	all := b.together(e, parts...).and(b.readingDoubt(o.visit, "extensions")).and(e.betweenReadings(x, y))
	if !all.known {
		return t, 0, say.Sentences(say.That("Extension cannot be compared: the resolution of an instrument is not known"), b.resolutionOf(all.lacks))
	}
	implied = less(less(down, stands), *u.body.Height)
	return trial{
		of: faultOf{"extension", c.key, ""}, value: apart(o.value, implied), limit: nearest(math.Floor(coverage * all.u)), visit: o.visit, at: o.at,
	}, implied, say.Text{}
}

// morning is the place in time of the first visit on the day of another one:
// in which order things were read on one day nobody knows.
func (f *facts) morning(when int) int {
	date := func(when int) schema.Date { return f.rec.Measured.Visits[f.visits[when]].Date }
	for when > 0 && date(when-1) == date(when) {
		when--
	}
	return when
}

// topWith returns the reading of a top corner that an extension belongs to:
// of its own visit, else the first of its day or later. Later turns of the
// leveler change both.
func (f *facts) topWith(u *unit, c corner, extension observed[length.Length]) (observed[length.Length], bool) {
	morning := f.morning(extension.when)
	first, found := observed[length.Length]{}, false
	if theTops.latest(&u.asCab, c.key).when < morning {
		return first, false
	}
	for i := u.asCab.from(morning); i < len(u.asCab.all); i++ {
		s := &u.asCab.all[i]
		if found && s.when > extension.when {
			break
		}
		v := theTops.read(s.seen, c.key)
		if v != nil && (!found || s.visit == extension.visit) {
			first, found = observed[length.Length]{true, *v, s.when, s.visit, s.origin("tops", c.key)}, true
		}
	}
	return first, found
}

// askExtensions asks again for what was recorded, with the floor and the tops
// that it is held against. Where none is recorded the rule claims nothing.
func (a *asker) askExtensions(e *elevation) {
	for _, u := range cabinetsOf(e.units) {
		recorded := false
		for _, c := range corners {
			if theExtension.latest(&u.asCab, c.key).ok {
				recorded = true
				a.ask(theExtension.Thing, whose{e: e, u: u}, c.key, u.subject)
			}
		}
		if recorded {
			a.askEach(theTops.Thing, whose{e: e, u: u}, u.subject)
			a.askFloor(e, u.subject)
			a.askEach(theMark.Thing, whose{e: e}, u.subject)
		}
	}
}
