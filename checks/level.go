package checks

import (
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

var levelAndPlumb = &Rule{
	ID:        "level-and-plumb",
	Name:      "level and plumb",
	Family:    Setting,
	Asks:      "A straight line laid anywhere over the tops lies level, along each side of a cabinet, across it and from one cabinet of a run to another, and the faces of every cabinet stand upright: none is further out than the limit for its length.",
	Why:       "A top follows the cabinets under it, and doors and drawers hang true only in a cabinet that is level and plumb. Adjusting a front on a cabinet out of level hides the fault.",
	Limit:     LengthOf(length.Inch / 8),
	Over:      96 * length.Inch,
	Least:     length.Inch / 32,
	BothSides: true,
	Formula:   "|h1 - h2| <= limit x L / 96 in for two points L apart, or the least where that is more: 1/32 in within one cabinet, what \"tops flush\" allows between two",
	Source:    "ANSI/AWI 0620-2018, 3.1 h (a woodwork standard, here by analogy): level and plumb within 1/8 in over 96 in (3.2 mm over 2438 mm), taken as a rate; the least is common practice, what a good level shows",
	Needs:     "Read the four top corners from the reference line, or lay a level along all four sides and both diagonals; read plumb on the front and on a side",
	Remedy:    "Turn the levelers until the cabinet is level on all sides and corner to corner, see that all four still bear, and check its joints again",
	At:        DrawnAtTop,
	observe:   askElevations((*asker).askLevel),
	again:     (*asker).againTops,
	judge: eachElevation(func(b *bench, e *elevation) {
		for _, run := range e.runs {
			cabinets := cabinetsOf(run)
			b.runLevel(e, cabinets)
			for _, u := range cabinets {
				b.cabinetLevel(e, u)
			}
		}
	}),
}

// askLevel asks for the tops, for plumb on the front and on one side, and again for
// what else was read with a level.
func (a *asker) askLevel(e *elevation) {
	for _, run := range e.runs {
		cabinets := cabinetsOf(run)
		for _, u := range cabinets {
			judged := []Subject{u.subject}
			if len(cabinets) > 1 {
				judged = append(judged, runSubject(cabinets))
			}
			w := whose{e: e, u: u}
			a.askEach(theTops.Thing, w, judged...)
			a.ask(thePlumb.Thing, w, "front", u.subject)
			left, right := thePlumb.latest(&u.asCab, "left").ok, thePlumb.latest(&u.asCab, "right").ok
			if left || !right { // one side is enough; what was read counts
				a.ask(thePlumb.Thing, w, "left", u.subject)
			}
			if right {
				a.ask(thePlumb.Thing, w, "right", u.subject)
			}
			for _, s := range sides {
				if theLevel.latest(&u.asCab, s.key).ok {
					a.ask(theLevel.Thing, w, s.key, u.subject)
				}
			}
		}
	}
}

// sides are the lines of a cabinet along which level is read, as pairs of corners.
var sides = [...]struct {
	words    say.Words
	from, to int // positions in corners
	key      string
}{
	{"along the front", 0, 1, "front"},
	{"along the back", 2, 3, "back"},
	{"along the left side", 0, 2, "left"},
	{"along the right side", 1, 3, "right"},
	{"from front-left to back-right", 0, 3, "FL-BR"},
	{"from front-right to back-left", 1, 2, "FR-BL"},
}

// faces are the faces of a cabinet on which plumb is read.
var faces = [...]struct {
	words say.Words
	side  bool
	key   string
}{
	{"plumb on the front", false, "front"},
	{"plumb on the left side", true, "left"},
	{"plumb on the right side", true, "right"},
}

// cabinetsOf leaves the fillers out.
func cabinetsOf(units []*unit) []*unit {
	var cabinets []*unit
	for _, u := range units {
		if u.cabinet != nil {
			cabinets = append(cabinets, u)
		}
	}
	return cabinets
}

// weighLevel weighs how level a cabinet is, and names the lines on which nobody
// looked. The readings of the top corners and those of a level both count, also
// where both were made of one line: neither stands for the other.
func (b *bench) weighLevel(e *elevation, u *unit, w *weighing) (unseen []say.Text) {
	groups := e.tied(u.tops.points)
	for _, s := range sides {
		p, q, tied := pairOf(groups, corners[s.from], corners[s.to])
		if tied {
			w.addSaid(b.topTrial(e, p, q), s.words)
		}
		o := theLevel.latest(&u.asCab, s.key)
		if o.ok {
			w.addSaid(b.levelTrial(faultOf{"level", s.key, ""}, o), s.words)
		}
		if !tied && !o.ok {
			unseen = append(unseen, s.words.Text())
		}
	}
	if len(unseen) == len(sides) {
		return []say.Text{say.That("level")}
	}
	return unseen
}

// pairOf finds two corners of a cabinet in one group.
func pairOf(groups [][]point, from, to corner) (p, q *point, ok bool) {
	for _, group := range groups {
		p, q = nil, nil
		for i := range group {
			switch group[i].at.name {
			case from.key:
				p = &group[i]
			case to.key:
				q = &group[i]
			}
		}
		if p != nil && q != nil {
			return p, q, true
		}
	}
	return nil, nil, false
}

// weighPlumb weighs how plumb a cabinet is, likewise. The front and one side
// have to be read.
func (b *bench) weighPlumb(u *unit, w *weighing) (unseen []say.Text) {
	front, side := false, false
	for _, f := range faces {
		if o := thePlumb.latest(&u.asCab, f.key); o.ok {
			w.addSaid(b.levelTrial(faultOf{"plumb", f.key, ""}, o), f.words)
			front, side = front || !f.side, side || f.side
		}
	}
	switch {
	case !front && !side:
		return []say.Text{say.That("plumb")}
	case !front:
		return []say.Text{say.That("plumb on the front")}
	case !side:
		return []say.Text{say.That("plumb on a side")}
	}
	return nil
}

// levelTrial is the trial of a reading with a level.
func (b *bench) levelTrial(of faultOf, o observed[schema.Deviation]) trial {
	return trial{
		of: of, value: o.value.Off.Abs(), limit: b.level.reading(o.value.Over),
		doubt: b.levelDoubt(o), visit: o.visit, at: o.at, over: o.value.Over,
	}
}

// levelDoubt is the uncertainty of a reading with a level.
func (b *bench) levelDoubt(o observed[schema.Deviation]) doubt {
	const kind = "level and plumb"
	line := doubt{u: float64(stated(b.readers.of(o.visit, kind)) * float64(o.value.Over)), known: true}
	return b.readingDoubt(o.visit, kind).and(line)
}

// topTrial is the trial of two top corners that are tied.
func (b *bench) topTrial(e *elevation, p, q *point) trial {
	visit, at := newest(*p, *q)
	return trial{
		of: faultOf{"top", p.name, q.name}, value: apart(p.down, q.down), limit: b.level.of(p, q),
		doubt: b.together(e, part{*p, 1}, part{*q, -1}), visit: visit, at: at, over: nearest(distance(*p, *q)),
	}
}

func (b *bench) cabinetLevel(e *elevation, u *unit) {
	w := b.weigh()
	unseen := append(b.weighLevel(e, u, w), b.weighPlumb(u, w)...)
	b.conclude(u.subject, u.at, say.That("level and plumb"), w, unseen, outBy)
}

// outBy says how far the worst reading is out of level or plumb.
func outBy(t trial) say.Text {
	return say.That("%[1]s out by %[2]s over %[3]s", t.words, t.value, t.over)
}
