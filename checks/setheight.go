package checks

import "setline.example/schema/length"

var setHeightHeld = &Rule{
	ID:        "set-height-held",
	Name:      "set height held",
	Family:    Setting,
	Asks:      "Every top corner of every cabinet stands at the set height of its elevation.",
	Why:       "One height for the whole elevation is what the tops, the splash and the next trade are measured from. A run can be level and still stand too high or too low.",
	Limit:     LengthOf(length.Inch / 16),
	BothSides: true,
	Formula:   "|top reading - reading of the set-height mark|, for each corner",
	Source:    "common practice, no source",
	Needs:     "Read the four top corners from the reference line, and on the same visit the set-height mark on the wall",
	Remedy:    "Turn the levelers until every top corner reads as the set-height mark does, then check level and bearing again",
	observe:   askElevations((*asker).setHeight),
	judge: eachElevation(func(b *bench, e *elevation) {
		s := e.floor
		computed, ok := length.Length(0), false
		if s.ok && !s.marked {
			computed, ok = s.setTop(e, s.corners)
		}
		for _, u := range cabinetsOf(e.units) {
			b.setHeight(e, u, s.visit, computed, ok)
		}
	}),
}

// setHeight judges one cabinet. computed is the set height from the survey of
// a visit on which no mark was read, where ok.
func (b *bench) setHeight(e *elevation, u *unit, survey int, computed length.Length, ok bool) {
	points, unread := u.tops.points, u.tops.unread
	if len(points) == 0 {
		b.notObserved(u.subject, u.at, "Top corners")
		return
	}
	var worst *deviation
	var side string // on which it is
	var untied []string
	for _, p := range points {
		set, marked := e.mark(p.visit)
		if !marked && ok && p.visit == survey {
			set, marked = computed, true
		}
		if !marked {
			untied = append(untied, p.name)
			continue
		}
		// The mark is read as the corner is; where it is, is not known, so that
		// the line's own error cannot be told.
		d := b.readingDoubt(p.visit, "heights")
		was := worst
		worst = worse(worst, deviation{words: p.name, off: (p.down - set).Abs(), limit: length.Length(b.limit.N), doubt: d.and(d), visit: p.visit, at: p.at})
		switch {
		case worst == was:
		case p.down > set:
			side = "below"
		default:
			side = "above"
		}
	}
	if worst != nil && (worst.margin() < 0 || len(unread)+len(untied) == 0) {
		finding := worst.words + " stands " + side + " the set height by " + b.write(worst.off)
		if worst.off == 0 {
			finding = "All four top corners at the set height"
		}
		if len(unread) > 0 {
			finding += "; " + listed(unread) + " not observed"
		}
		b.judge(Result{Subject: u.subject, Finding: finding, Visit: worst.visit, Pointer: worst.at.pointer()}, worst.off, worst.doubt)
		return
	}
	if len(unread) > 0 {
		b.notObserved(u.subject, u.at, "Top corner "+listed(unread))
		return
	}
	b.unseen(u.subject, u.at, "Set-height mark not read on the visit that read the tops")
}
