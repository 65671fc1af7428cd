package checks

import (
	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/schema/length"
)

var workHeight = &Rule{
	ID:                "work-height",
	Name:              "work height",
	Family:            Floor,
	Asks:              "The finished work surface stands as high above the floor's high point as drawn. Heights are above the finish floor: above the survey by the finish that is laid beside the levelers.",
	Why:               "Sinks, equipment and people are fitted to the height drawn.",
	Limit:             LengthOf(length.Inch / 4),
	BothSides:         true,
	Formula:           "|reading of the high point - top reading + thickness of the top - floor finish beside the levelers - work height drawn|",
	Source:            CommonPractice,
	Needs:             "Read the floor from the reference line, and mark the set height",
	Remedy:            "Settle the height with the general contractor before setting: levelers, body height or top has to change",
	RemedyOnceSetting: "Settle with the general contractor whether the height stays or the run is set again: levelers, body height or top has to change",
	OnLayout:          true,
	observe:           askElevations((*asker).askWorkHeight),
	again:             (*asker).againSurface,
	judge:             eachElevation((*bench).workHeight),
}

var accessibleHeight = &Rule{
	ID:                "accessible-height",
	Name:              "accessible height",
	Family:            Floor,
	Asks:              "The work surface of an accessible station stands 28 in to 34 in above the finish floor everywhere. Height only: knee and toe clearance (902.2, 306) and which stations have to be accessible (226.1) are for the authority.",
	Why:               "A surface too high or too low shuts people out.",
	LimitWords:        "28 in to 34 in above the finish floor; where the record writes lengths in millimetres, 710 mm to 865 mm",
	BothSides:         true,
	Formula:           "reading of the floor - top reading + thickness of the top - floor finish beside the levelers, at the floor's highest and at its lowest point; of the set height, and of the highest and the lowest top read",
	Source:            "2010 ADA Standards for Accessible Design, 902.3, which prints 710 mm and 865 mm beside; a state's code may print others and prevails",
	Needs:             "Read the floor from the reference line along the front and the back levelers, past both ends, and mark the set height; plan the thickness of the top and of the floor finish",
	Remedy:            "Bring the surface into the range before setting: levelers, body height or top has to change",
	RemedyOnceSetting: "Bring the surface into the range: the run is set again, or levelers, body height or top has to change",
	NoConcession:      "people are shut out, and it is not for the parties to a contract to permit",
	OnLayout:          true,
	observe:           askElevations((*asker).askAccessible),
	again:             (*asker).againSurface,
	judge:             eachElevation((*bench).accessible),
}

// accessibleRange are the least and the greatest height of an accessible work
// surface above the finish floor (2010 ADA Standards, 902.3): the metric ones
// are printed there and not converted.
func accessibleRange(sys length.System) (least, greatest length.Length) {
	if sys == length.Metric {
		return 710 * length.Millimetre, 865 * length.Millimetre
	}
	return 28 * length.Inch, 34 * length.Inch
}

// surface is how high above the finish the work surface stands over a point of
// the surveyed floor: that is what levelers stand on, the finish itself where it
// runs under the cabinets.
func (e *elevation) surface(top, down length.Length) length.Length {
	up := less(less(down, top), -*e.plan.TopThickness)
	if e.finish != nil && !e.finish.UnderCabinets {
		up = less(up, e.finish.Thickness)
	}
	return up
}

// above names what heights are above.
func (e *elevation) above() say.Words {
	if e.finish == nil {
		return "floor"
	}
	return "finish floor"
}

// surfaceDoubt is the uncertainty of the height of the surface over a spot of
// the floor: of the readings it lies between, and of the top as read; at the set
// height of the mark, and where nobody read one, of what lies under the corner
// that sets it.
func (b *bench) surfaceDoubt(e *elevation, top under, over floor.Spot) doubt {
	s := e.floor
	y := length.Length(0)
	if over.Line == floor.Front {
		y = e.depth
	}
	parts := e.parts(over.At, y, 1)
	switch {
	case top.name != "":
		parts = append(parts, part{top.read, -1})
	case !s.marked:
		parts = append(parts, e.setBy()...)
	}
	return b.together(e, parts...)
}

// setBy are the readings on which a computed set height rests.
func (e *elevation) setBy() []part {
	s := e.floor
	top, _ := floor.SetTop(s.corners)
	for l := range e.levelers() {
		if x, y := l.of.place(l.corner); l.Known && l.Left(top) == l.Reserve {
			return e.parts(x, y, -1)
		}
	}
	return nil
}

// surfaceOver are the tops that the work surface lies on, where everything is
// known that its height rests on; else it adds what is not. Those at the set
// height come first, unless only tops as read are known.
func (b *bench) surfaceOver(e *elevation, read bool) (tops []under, ok bool) {
	if e.plan.TopThickness == nil {
		b.unseen(e.subject, e.at, say.That("Thickness of the top not planned"))
		return nil, false
	}
	s := e.floor
	_, found := s.floor.High(0, e.width)
	if top, set := s.setTop(e, s.corners); set {
		tops = append(tops, under{down: top})
	}
	if read {
		tops = append(tops, e.topsRead()...)
	}
	if !s.ok || !found || len(tops) == 0 {
		b.notObserved(e.subject, e.at, say.That("floor"))
		return nil, false
	}
	return tops, true
}

// under is a height of tops that the work surface may lie on, as a reading from
// the reference line of the survey.
type under struct {
	down length.Length
	name string // "" at the set height
	read point  // the top corner that stands there, where it is one
}

// topsRead are the highest and the lowest top corner that were read.
func (e *elevation) topsRead() []under {
	highest, lowest := under{name: "highest"}, under{name: "lowest"}
	found := false
	for _, u := range cabinetsOf(e.units) {
		for _, p := range u.tops.points {
			down, ok := e.onSurvey(p)
			if !ok {
				continue
			}
			if !found || down < highest.down {
				highest.down, highest.read = down, p
			}
			if !found || down > lowest.down {
				lowest.down, lowest.read = down, p
			}
			found = true
		}
	}
	if !found {
		return nil
	}
	return []under{highest, lowest}
}

func (b *bench) workHeight(e *elevation) {
	if !e.hasCabinets() || e.plan.WorkHeight == nil {
		return
	}
	tops, ok := b.surfaceOver(e, false)
	if !ok {
		return
	}
	s := e.floor
	high, _ := s.floor.High(0, e.width)
	surface := e.surface(tops[0].down, high.Down)
	off := apart(surface, *e.plan.WorkHeight)
	// A floor that nobody read may lie higher, and does so where nobody made a
	// mark with the tops: only a surface too low over a mark is too low for certain.
	tooLow := s.marked && surface < *e.plan.WorkHeight && off > length.Length(b.limit.N)
	if !s.covers(e) && !tooLow {
		b.unseen(e.subject, s.at, say.Semicolons(say.That("floor not observed along the whole elevation"), b.standing(s)))
		return
	}
	b.judge(Result{
		Subject: e.subject, Visit: s.visit, Pointer: s.at,
		Finding: say.Semicolons(say.That("Work surface %[1]s above the %[2]s's high point, drawn %[3]s",
			surface, e.above(), *e.plan.WorkHeight), b.standing(s)),
	}, off, b.surfaceDoubt(e, tops[0], high))
}

// accessible judges the surface over the highest and over the lowest point of
// the floor, each on its own: where the tops are to stand, and where they do as
// read. A surface that is too high shuts people out whatever the mark says.
func (b *bench) accessible(e *elevation) {
	if !e.hasCabinets() || !e.plan.Accessible {
		return
	}
	tops, ok := b.surfaceOver(e, true)
	if !ok {
		return
	}
	s := e.floor
	a := b.weighSurfaces(e, tops)
	if !a.sure && !s.covers(e) {
		b.unseen(e.subject, s.at, say.Semicolons(say.That("floor not observed along the whole elevation"), b.standing(s)))
		return
	}
	bound := a.greatest
	if a.worst < (a.least+a.greatest)/2 {
		bound = a.least
	}
	r := Result{
		Subject: e.subject, Visit: s.visit, Pointer: s.at, faults: a.faults, Outcome: a.outcome,
		Value: LengthOf(a.worst), Limit: LengthOf(bound), Margin: LengthOf(a.weighing.worst.margin()),
		Finding: say.Semicolons(say.That("Accessible surface %[1]s to %[2]s above the %[3]s; %[4]s to %[5]s is asked for. Height only: knee and toe clearance, and which stations have to be accessible, are for the authority",
			a.lowest, a.highest, e.above(), a.least, a.greatest), b.standing(s)),
	}
	if d := a.weighing.worst.doubt; d.known {
		r.Known, r.Uncertainty = true, coverage*d.u
		r.Conformity = conformityBothSides(a.weighing.worst.value, (a.greatest-a.least)/2, d.u)
	}
	if r.Outcome == Undecided {
		r.Remedy = b.undecided(r, a.weighing.worst.doubt)
	}
	b.add(r)
}

// surfaces are the heights of an accessible surface, weighed.
type surfaces struct {
	*weighing
	least, greatest        length.Length // that are allowed
	lowest, highest, worst length.Length
	sure                   bool // one fails whatever the floor is where nobody read it
}

func (b *bench) weighSurfaces(e *elevation, tops []under) (a surfaces) {
	s := e.floor
	high, _ := s.floor.High(0, e.width)
	low, _ := s.floor.Low(0, e.width)
	a.weighing = b.weigh()
	a.least, a.greatest = accessibleRange(b.sys)
	a.lowest, a.highest = e.surface(tops[0].down, high.Down), e.surface(tops[0].down, low.Down)
	for _, top := range tops {
		b.weighSurface(e, &a, top, high, "high point")
		b.weighSurface(e, &a, top, low, "low point")
	}
	if a.decision == Guarded && a.outcome != Fail {
		b.weighEverySurface(e, &a)
	}
	return a
}

// weighSurface weighs the surface over one spot of the floor.
func (b *bench) weighSurface(e *elevation, a *surfaces, top under, over floor.Spot, at string) {
	s := e.floor
	up := e.surface(top.down, over.Down)
	a.lowest, a.highest = min(a.lowest, up), max(a.highest, up)
	t := trial{
		of: faultOf{"surface", at, top.name}, value: apart(up, (a.least+a.greatest)/2), limit: (a.greatest - a.least) / 2,
		doubt: b.surfaceDoubt(e, top, over), visit: s.visit,
	}
	if a.add(t) {
		a.worst = up
	}
	// Where the floor was not read it may be higher or lower, and what follows
	// from it with it; a mark, or a top that was read, stays where it is.
	stays := s.marked || top.name != "" || up > a.greatest
	a.sure = a.sure || stays && atMost(a.decision, t.value, t.limit, t.doubt) == Fail
}

// weighEverySurface weighs the surface of every top corner read over every spot
// of the floor. The highest and the lowest need not decide under the guarded
// rule: others may be known better, or less well.
func (b *bench) weighEverySurface(e *elevation, a *surfaces) {
	tops := []under{}
	if top, set := e.floor.setTop(e, e.floor.corners); set {
		tops = append(tops, under{down: top})
	}
	for _, u := range cabinetsOf(e.units) {
		for _, p := range u.tops.points {
			if down, ok := e.onSurvey(p); ok {
				tops = append(tops, under{down, p.name, p})
			}
		}
	}
	for spot := range e.floor.floor.Spots(0, e.width) {
		for _, top := range tops {
			b.weighSurface(e, a, top, spot, spot.Line)
		}
	}
}

func (a *asker) askWorkHeight(e *elevation) {
	if e.plan.WorkHeight != nil {
		a.askSurface(e)
	}
}

func (a *asker) askAccessible(e *elevation) {
	if !e.plan.Accessible {
		return
	}
	a.askSurface(e)
	high, found := e.floor.floor.High(0, e.width)
	low, _ := e.floor.floor.Low(0, e.width)
	if e.plan.TopThickness == nil || !found {
		return
	}
	least, greatest := accessibleRange(a.sys)
	for _, u := range cabinetsOf(e.units) {
		for _, c := range corners {
			down, ok := e.stands(u, c)
			if ok && (e.surface(down, low.Down) > greatest || e.surface(down, high.Down) < least) {
				a.askEach(theTops.Thing, whose{e: e, u: u}, e.subject)
			}
		}
	}
}

// askSurface asks for what the height of the work surface rests on, where the
// plan has what no visit can observe.
func (a *asker) askSurface(e *elevation) {
	if e.plan.TopThickness != nil {
		a.askFloor(e, e.subject)
		a.askEach(theMark.Thing, whose{e: e}, e.subject)
	}
}
