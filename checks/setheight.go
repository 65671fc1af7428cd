package checks

import (
	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/schema/length"
)

var setHeightHeld = &Rule{
	ID:        "set-height-held",
	Name:      "set height held",
	Family:    Setting,
	Asks:      "Every top corner of every cabinet stands at the set height of its elevation.",
	Why:       "One height for the whole elevation is what the tops, the splash and the next trade are measured from. A run can be level and still stand too high or too low.",
	Limit:     LengthOf(length.Inch / 16),
	BothSides: true,
	Formula:   "|top reading - reading of the set-height mark|, for each corner, of one visit; where no visit has a mark, against the set height that follows from the floor",
	Source:    CommonPractice,
	Needs:     "Read the four top corners from the reference line, and on the same visit the set-height mark on the wall",
	Remedy:    "Turn the levelers until every top corner reads as the set-height mark does, then check level and bearing again",
	At:        DrawnAtTop,
	observe:   askElevations((*asker).askSetHeight),
	again:     (*asker).againTops,
	judge: eachElevation(func(b *bench, e *elevation) {
		h := b.setHeightOf(e)
		for _, u := range cabinetsOf(e.units) {
			b.setHeight(e, u, h)
		}
	}),
}

// heldAgainst is what the tops of an elevation are held against where nobody
// read a mark: the set height that follows from the floor. There is none where
// some visit read a mark, and none where the floor was not surveyed all along
// the elevation: its high point may lie where nobody looked.
type heldAgainst struct {
	ok    bool
	visit int // that surveyed the floor
	set   length.Length
	lacks say.Words // what was not observed where it is missing
}

func (b *bench) setHeightOf(e *elevation) (h heldAgainst) {
	s := e.floor
	switch {
	case e.marked():
		h.lacks = "the set-height mark on the visit that read the tops"
	case !b.surveyed(e):
		h.lacks = "the set-height mark, and the floor along the whole elevation"
	default:
		h.lacks = "the set-height mark, and the floor on the visit that read the tops"
		h.visit = s.visit
		h.set, h.ok = s.setTop(e, s.corners)
	}
	return h
}

// surveyed reports whether the floor was read all along an elevation, as "survey
// coverage" asks.
func (b *bench) surveyed(e *elevation) bool {
	widest := length.Length(limitOf(b.limits, surveyCoverage).limit.N)
	for _, l := range []floor.Line{e.floor.floor.Front, e.floor.floor.Back} {
		if gap, _ := l.WidestGap(0, e.width); !l.Reaches(0, e.width) || gap > widest {
			return false
		}
	}
	return true
}

// setHeight judges one cabinet.
func (b *bench) setHeight(e *elevation, u *unit, h heldAgainst) {
	w := b.weigh()
	var unseen []say.Text
	for _, corner := range u.tops.unread {
		unseen = append(unseen, say.That("top corner %[1]s", corner))
	}
	untied := false
	for _, p := range u.tops.points {
		set, parts, ok := b.heldTo(e, p, h)
		if !ok {
			untied = true
		} else if w.add(b.setHeightTrial(e, p, set, parts)) {
			w.worst.words = standsOff(p, set)
		}
	}
	if untied {
		unseen = append(unseen, h.lacks.Text())
	}
	all := say.That("top corners")
	if len(u.tops.points) > 0 {
		all = say.And(unseen...)
	}
	b.conclude(u.subject, u.at, all, w, unseen, func(t trial) say.Text {
		if t.value == 0 {
			return say.That("All four top corners at the set height")
		}
		return t.words
	})
}

// heldTo is the reading to which one top corner is held, and what both are made of;
// ok is false where it cannot be held against anything.
func (b *bench) heldTo(e *elevation, p point, h heldAgainst) (set length.Length, parts []part, ok bool) {
	set, marked := e.mark(p.visit)
	parts = []part{{p, 1}}
	switch {
	case marked:
	case h.ok && p.visit == h.visit:
		set, parts = h.set, append(parts, e.setBy()...)
	default:
		return 0, nil, false
	}
	return set, parts, true
}

// setHeightTrial is the trial of one top corner.
func (b *bench) setHeightTrial(e *elevation, p point, set length.Length, parts []part) trial {
	return trial{
		of:    faultOf{"top", p.name, ""},
		value: apart(p.down, set), limit: length.Length(b.limit.N), doubt: b.together(e, parts...), visit: p.visit, at: p.at,
	}
}

// standsOff says how far one top corner is from the set height.
func standsOff(p point, set length.Length) say.Text {
	stands := "%[1]s stands above the set height by %[2]s"
	if p.down > set {
		stands = "%[1]s stands below the set height by %[2]s"
	}
	return say.That(stands, p.words(), apart(p.down, set))
}

func (a *asker) askSetHeight(e *elevation) {
	var judged []Subject
	for _, u := range cabinetsOf(e.units) {
		for _, c := range corners {
			a.ask(theTops.Thing, whose{e: e, u: u}, c.key, u.subject).held(say.That("as the mark, off %[1]s", a.atMost()))
		}
		judged = append(judged, u.subject)
	}
	a.askEach(theMark.Thing, whose{e: e}, judged...)
}
