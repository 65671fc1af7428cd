package checks

import (
	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/schema/length"
)

// straightedge is the length of the straightedge under which a floor is judged.
const straightedge = 10 * length.Foot

// leastForStraightedge is the width of an elevation below which no straightedge
// is asked for: coverage may then be two readings, with nothing between them.
const leastForStraightedge = 36 * length.Inch

var surveyCoverage = &Rule{
	ID:                "survey-coverage",
	Name:              "survey coverage",
	Family:            Floor,
	Asks:              "The floor is read along the front and the back levelers, past both ends of the elevation, with no gap between readings wider than the limit.",
	Why:               "The set height is fixed at the high point. A high point nobody found lifts one cabinet out of the run, or sends the crew back to lower all of them.",
	Limit:             LengthOf(36 * length.Inch),
	Formula:           "gap = distance between neighbouring readings of a line, from 0 to the width of the elevation",
	Source:            CommonPractice,
	Needs:             "Read the floor from the reference line along the front and the back levelers, from before the left end to past the right end",
	Remedy:            "Read the floor in the gap too, before the set height is marked",
	RemedyOnceSetting: "Read the floor in the gap too; where it is higher there than anywhere else, see what that leaves of the levelers' travel before more is set",
	observe:           askElevations((*asker).askCoverage),
	again:             (*asker).againCoverage,
	judge:             eachElevation((*bench).coverage),
}

var floorWithinContract = &Rule{
	ID:                "floor-within-contract",
	Name:              "floor within contract",
	Family:            Floor,
	Asks:              "The gap under a 10 ft straightedge laid on the high spots of the floor is within what the contract allows.",
	Why:               "Fitting to a floor beyond the contract's tolerance is not the installer's responsibility (ANSI/AWI 0620-2018, 3.1 d). It has to be told before setting, and is a notice to the general contractor, never a failure of the installer.",
	Limit:             LengthOf(length.Inch / 4),
	Over:              straightedge,
	Formula:           "gap = upper convex hull of the floor over each 10 ft window - floor; the greatest counts. The straightedge rests on two readings with at least one between them; an elevation of under 36 in needs none",
	Source:            "ACI 117-10, 4.8.6 (method); the default limit is ours: stricter than any class at full compliance, from memory",
	Needs:             "Read the floor from the reference line along the front and the back levelers, at three places or more within every 10 ft",
	Remedy:            "Tell the general contractor before setting, with these readings",
	RemedyOnceSetting: "Tell the general contractor now, with these readings; setting has begun on this floor",
	observe:           asks(theFloor.Thing),
	again:             (*asker).againFlat,
	judge:             eachElevation((*bench).flatness),
	Advises:           true,
}

// hasCabinets reports whether anything on the elevation stands on levelers.
func (e *elevation) hasCabinets() bool {
	for _, u := range e.units {
		if u.cabinet != nil {
			return true
		}
	}
	return false
}

func (b *bench) coverage(e *elevation) {
	if !e.hasCabinets() {
		return
	}
	s := e.floor
	if !s.ok {
		b.notObserved(e.subject, e.at, say.That("floor"))
		return
	}
	var short []say.Text
	widest, at, where := length.Length(0), length.Length(0), ""
	for _, l := range s.lines() {
		if len(l.line) == 0 {
			short = append(short, say.That("%[1]s not observed", LineWords(l.name)))
			continue
		}
		if !l.line.Reaches(0, e.width) {
			short = append(short, say.That("%[1]s reaches from %[2]s to %[3]s of %[4]s",
				LineWords(l.name), l.line[0].At, l.line[len(l.line)-1].At, e.width))
		}
		if gap, from := l.line.WidestGap(0, e.width); gap > widest {
			widest, at, where = gap, from, l.name
		}
	}
	finding := say.That("Widest gap between readings %[1]s, on the %[2]s from %[3]s", widest, LineWords(where), at)
	parts := append(short, b.standing(s))
	switch {
	case widest > length.Length(b.limit.N) || len(short) == 0:
		// Where a reading stands along the wall needs no finer judgment.
		r := Result{Subject: e.subject, Outcome: Pass, Value: LengthOf(widest), Finding: say.Semicolons(append([]say.Text{finding}, parts...)...), Visit: s.visit, Pointer: s.at}
		if widest > length.Length(b.limit.N) {
			r.Outcome = Fail
		}
		b.add(r)
	default:
		b.unseen(e.subject, s.at, say.Semicolons(parts...))
	}
}

func (b *bench) flatness(e *elevation) {
	if !e.hasCabinets() {
		return
	}
	s := e.floor
	var worst floor.Gap
	found, where := false, ""
	for _, l := range s.lines() {
		if gap, ok := l.line.StraightedgeGap(straightedge); ok && (!found || gap.Size > worst.Size) {
			worst, found, where = gap, true, l.name
		}
	}
	switch {
	case found:
	case e.width < leastForStraightedge:
		b.add(Result{Subject: e.subject, Outcome: NotApplicable, Visit: -1, Pointer: e.at,
			Finding: say.That("An elevation of under %[1]s needs no straightedge", leastForStraightedge)})
		return
	case !s.ok:
		b.notObserved(e.subject, e.at, say.That("floor"))
		return
	default:
		b.unseen(e.subject, s.at, say.That("Readings too far apart: on neither line do three lie within %[1]s, so that nothing was read under a straightedge", straightedge))
		return
	}
	t := b.flattest(e, worst, where)
	b.decided(Result{
		Subject: e.subject, Visit: s.visit, Pointer: s.at, Limit: b.limit, Outcome: t.outcome,
		Finding: t.worst.words,
	}, t.worst.value, t.worst.doubt)
}

// flattest weighs the gaps under the straightedge, of which the greatest is on
// the line named. Within a guard of the limit it need not be the one that decides:
// a smaller one may be known less well.
func (b *bench) flattest(e *elevation, greatest floor.Gap, line string) *weighing {
	w := b.weigh()
	add := func(g floor.Gap, line string) {
		t := trial{value: g.Size, limit: length.Length(b.limit.N), doubt: b.gapDoubt(e, g, line == floor.Front)}
		if !w.add(t) {
			return
		}
		if w.worst.words = say.That("Gap under the straightedge %[1]s, on the %[2]s at %[3]s", g.Size, LineWords(line), g.At.At); g == greatest {
			w.worst.words = say.That("Greatest gap under the straightedge %[1]s, on the %[2]s at %[3]s", g.Size, LineWords(line), g.At.At)
		}
	}
	add(greatest, line)
	if w.decision == Guarded {
		for _, l := range e.floor.lines() {
			l.line.StraightedgeGaps(straightedge, func(g floor.Gap) {
				add(g, l.name)
			})
		}
	}
	return w
}
