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
	Source:            "common practice, no source",
	Needs:             "Read the floor from the reference line, and mark the set height",
	Remedy:            "Settle the height with the general contractor before setting: levelers, body height or top has to change",
	RemedyOnceSetting: "Settle with the general contractor whether the height stays or the run is set again: levelers, body height or top has to change",
	OnLayout:          true,
	observe:           askElevations((*asker).askWorkHeight),
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
	Formula:           "reading of the floor - top reading + thickness of the top - floor finish beside the levelers, at the floor's highest and at its lowest point",
	Source:            "2010 ADA Standards for Accessible Design, 902.3, which prints 710 mm and 865 mm beside; a state's code may print others and prevails",
	Needs:             "Read the floor from the reference line along the front and the back levelers, past both ends, and mark the set height; plan the thickness of the top and of the floor finish",
	Remedy:            "Bring the surface into the range before setting: levelers, body height or top has to change",
	RemedyOnceSetting: "Bring the surface into the range: the run is set again, or levelers, body height or top has to change",
	NoConcession:      "people are shut out, and it is not for the parties to a contract to permit",
	OnLayout:          true,
	observe:           askElevations((*asker).askAccessible),
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
// the floor: of the readings it lies between, and of the mark; where nobody read
// one, of what lies under the corner that sets the height.
func (b *bench) surfaceDoubt(e *elevation, over floor.Spot) doubt {
	s := e.floor
	parts := s.parts(over.Line == floor.Front, over.At, 0, 1)
	if !s.marked {
		parts = append(parts, e.setBy()...)
	}
	return b.together(e, parts...)
}

// setBy are the readings on which a computed set height rests.
func (e *elevation) setBy() []part {
	s := e.floor
	top, _ := floor.SetTop(s.corners)
	i := 0
	for _, u := range cabinetsOf(e.units) {
		for _, c := range corners {
			k := s.corners[i]
			i++
			if x, y := u.place(c); k.Known && k.Left(top) == k.Reserve {
				return s.parts(c.front, x, y, -1)
			}
		}
	}
	return nil
}

// surfaceOver is the reading of the tops, where everything is known that the
// height of the work surface rests on; else it adds what is not.
func (b *bench) surfaceOver(e *elevation) (top length.Length, ok bool) {
	if e.plan.TopThickness == nil {
		b.unseen(e.subject, e.at, say.That("Thickness of the top not planned"))
		return 0, false
	}
	s := e.floor
	_, found := s.floor.High(0, e.width)
	top, ok = s.setTop(e, s.corners)
	if !s.ok || !found || !ok {
		b.notObserved(e.subject, e.at, say.That("floor"))
		return 0, false
	}
	return top, true
}

func (b *bench) workHeight(e *elevation) {
	if !e.hasCabinets() || e.plan.WorkHeight == nil {
		return
	}
	top, ok := b.surfaceOver(e)
	if !ok {
		return
	}
	s := e.floor
	high, _ := s.floor.High(0, e.width)
	surface := e.surface(top, high.Down)
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
	}, off, b.surfaceDoubt(e, high))
}

// atLowPoint is the fault of a surface over the lowest point of the floor.
var atLowPoint = faultOf{"surface", "low point", ""}

// accessible judges the surface over the highest and over the lowest point of
// the floor, each on its own.
func (b *bench) accessible(e *elevation) {
	if !e.hasCabinets() || !e.plan.Accessible {
		return
	}
	top, ok := b.surfaceOver(e)
	if !ok {
		return
	}
	s := e.floor
	high, _ := s.floor.High(0, e.width)
	low, _ := s.floor.Low(0, e.width)
	least, greatest := accessibleRange(b.sys)
	middle, half := (least+greatest)/2, (greatest-least)/2
	w := b.weigh()
	for _, p := range []struct {
		of   faultOf
		over floor.Spot
	}{{faultOf{"surface", "high point", ""}, high}, {atLowPoint, low}} {
		w.add(trial{
			of:    p.of,
			value: apart(e.surface(top, p.over.Down), middle), limit: half, doubt: b.surfaceDoubt(e, p.over), visit: s.visit,
		})
	}
	// Where the floor was not read it may be higher or lower, and what follows
	// from it with it; a mark stays where it is.
	sure := w.outcome == Fail && (s.marked || e.surface(top, low.Down) > greatest)
	if !sure && !s.covers(e) {
		b.unseen(e.subject, s.at, say.Semicolons(say.That("floor not observed along the whole elevation"), b.standing(s)))
		return
	}
	surface, bound := e.surface(top, high.Down), greatest
	if w.worst.of == atLowPoint {
		surface = e.surface(top, low.Down)
	}
	if surface < middle {
		bound = least
	}
	r := Result{
		Subject: e.subject, Visit: s.visit, Pointer: s.at, faults: w.faults, Outcome: w.outcome,
		Value: LengthOf(surface), Limit: LengthOf(bound), Margin: LengthOf(w.worst.margin()),
		Finding: say.Semicolons(say.That("Accessible surface %[1]s to %[2]s above the %[3]s; %[4]s to %[5]s is asked for. Height only: knee and toe clearance, and which stations have to be accessible, are for the authority",
			e.surface(top, high.Down), e.surface(top, low.Down), e.above(), least, greatest), b.standing(s)),
	}
	if d := w.worst.doubt; d.known {
		r.Known, r.Uncertainty = true, coverage*d.u
		r.Conformity = conformityBothSides(w.worst.value, half, d.u)
	}
	if r.Outcome == Undecided {
		r.Remedy = b.undecided(r, w.worst.doubt)
	}
	b.add(r)
}

func (a *asker) askWorkHeight(e *elevation) {
	if e.plan.WorkHeight != nil {
		a.askSurface(e)
	}
}

func (a *asker) askAccessible(e *elevation) {
	if e.plan.Accessible {
		a.askSurface(e)
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
