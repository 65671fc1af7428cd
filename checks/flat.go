package checks

import (
	"setline.example/checks/say"
	"setline.example/checks/zone"
	"setline.example/schema/length"
)

var topsInOnePlane = &Rule{
	ID:      "tops-in-one-plane",
	Name:    "tops in one plane",
	Family:  Setting,
	Asks:    "All top corners of a run lie between two parallel planes no further apart than the limit.",
	Why:     "A stiff top rests on the highest corners and bridges the rest; a brittle one cracks there.",
	Limit:   LengthOf(length.Inch / 16),
	Formula: "the least, over all planes, of the greatest height above the plane - the greatest depth below it",
	Source:  "common practice, no source; common guide-specification wording, from memory; measured as the minimum zone by which ISO 1101 defines flatness",
	Needs:   "Read the four top corners of every cabinet of the run from one reference line",
	Remedy:  "Lower the corners that stand highest and raise those that stand lowest, keeping the set height, and see that all levelers still bear",
	At:      DrawnAtTop,
	observe: askElevations((*asker).askPlane),
	again:   (*asker).againTops,
	judge: eachElevation(func(b *bench, e *elevation) {
		for _, run := range e.runs {
			if cabinets := cabinetsOf(run); len(cabinets) > 0 {
				b.onePlane(e, cabinets)
			}
		}
	}),
}

func (a *asker) askPlane(e *elevation) {
	for _, run := range e.runs {
		cabinets := cabinetsOf(run)
		for _, u := range cabinets {
			a.askEach(theTops.Thing, whose{e: e, u: u}, ofRun(cabinets))
		}
	}
}

func (b *bench) onePlane(e *elevation, cabinets []*unit) {
	groups, unseen := runPoints(e, cabinets)
	w := b.weigh()
	for _, points := range groups {
		switch t, ok := b.zoneTrial(e, points); {
		case len(points) == 0:
		case ok:
			w.add(t)
		default: // no corners are known that do this
			unseen = append(unseen, say.That("minimum zone of the tops"))
		}
	}
	b.conclude(ofRun(cabinets), cabinets[0].at, say.And(unseen...), w, unseen, func(t trial) say.Text { return t.words })
}

// zoneTrial is the trial of the minimum zone of points that are tied. It is
// never wider than that of more points, so that what is too wide already needs
// no further corner.
func (b *bench) zoneTrial(e *elevation, points []point) (t trial, ok bool) {
	z, err := zone.Minimum(zonePoints(points))
	if err != nil || len(points) == 0 {
		return t, false
	}
	parts := make([]part, len(z.Rests))
	for i, r := range z.Rests {
		parts[i] = part{points[r.Point], r.Weight}
	}
	t.value, t.limit, t.doubt = nearest(z.Width), length.Length(b.limit.N), b.together(e, parts...)
	t.of = faultOf{"zone", points[0].name, ""}
	t.visit, t.at = newest(points...)
	t.words = say.That("Two parallel planes that hold the %[1]s top corners read are %[2]s apart; highest %[3]s, lowest %[4]s",
		len(points), t.value, touching(points, z.Upper), touching(points, z.Lower))
	return t, true
}

// zonePoints gives points as heights above the reference line.
func zonePoints(points []point) []zone.Point {
	all := make([]zone.Point, len(points))
	for i, p := range points {
		all[i] = zone.Point{X: p.x, Y: p.y, Z: -p.down}
	}
	return all
}

// touching names the points that carry one of the planes.
func touching(points []point, support []int) say.Text {
	return say.FewOf(len(support), func(i int) say.Text { return points[support[i]].words() })
}

var cabinetTwist = &Rule{
	ID:        "cabinet-twist",
	Name:      "cabinet twist",
	Family:    Setting,
	Asks:      "The two diagonals of every cabinet's top lie in one plane: front-left and back-right together stand as high as front-right and back-left.",
	Why:       "A twisted cabinet can read level on every side within the limit; its doors and drawers still do not hang true.",
	Limit:     LengthOf(length.Inch / 16),
	BothSides: true,
	Formula:   "|FL + BR - FR - BL|, of the readings of the top corners",
	Source:    CommonPractice,
	Needs:     "Read the four top corners of the cabinet from one reference line",
	Remedy:    "Turn the levelers of one diagonal until the four corners lie in one plane, and see that all four still bear",
	At:        DrawnAtTop,
	observe:   asks(theTops.Thing),
	again:     (*asker).againTops,
	judge:     eachCabinet((*bench).twist),
}

func (b *bench) twist(e *elevation, u *unit) {
	if len(u.tops.unread) > 0 {
		b.notObserved(u.subject, u.at, say.That("top corner %[1]s", say.And(u.tops.unread...)))
		return
	}
	t, ok := b.twistTrial(e, u)
	if !ok {
		b.unseen(u.subject, u.at, say.That("Corners were read on visits that no reading of the set-height mark ties together"))
		return
	}
	b.judge(Result{Subject: u.subject, Visit: t.visit, Pointer: t.at.pointer(), Finding: t.words}, t.value, t.doubt)
}

// twistTrial is the trial of the twist of a cabinet; ok is false where its four
// corners were not all read, or are not tied.
func (b *bench) twistTrial(e *elevation, u *unit) (t trial, ok bool) {
	if len(u.tops.points) < len(corners) {
		return t, false
	}
	groups := e.tied(u.tops.points)
	if len(groups) > 1 {
		return t, false
	}
	fl, fr, bl, br := groups[0][0], groups[0][1], groups[0][2], groups[0][3]
	twist := less(fl.down, fr.down) + less(br.down, bl.down)
	t.visit, t.at = newest(groups[0]...)
	t.value, t.limit = twist.Abs(), length.Length(b.limit.N)
	t.doubt = b.together(e, part{fl, 1}, part{fr, -1}, part{bl, -1}, part{br, 1})
	t.words = say.That("No twist")
	switch {
	case twist > 0:
		t.words = say.That("Twisted by %[1]s: front-right and back-left stand high", twist)
	case twist < 0:
		t.words = say.That("Twisted by %[1]s: front-left and back-right stand high", t.value)
	}
	return t, true
}
