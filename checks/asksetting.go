package checks

import (
	"strconv"

	"setline.example/schema/length"
)

// What the rules of receiving, instruments, floor and setting need.

var floorLines = [...]string{"front", "back"}

func (a *asker) label(u *unit) {
	limit := "part " + u.plan.Part + ", with order and line number"
	a.want(u.subject, []Subject{u.subject}, "Label", Words, u.placeSeen("label")).held(limit).of(
		Blank{Steps: []string{"order"}, Kind: Words, Words: "order"},
		Blank{Steps: []string{"part"}, Kind: Words, Words: "part"},
		Blank{Steps: []string{"line"}, Kind: Words, Words: "line"},
		Blank{Steps: []string{"room"}, Kind: Words, Words: "room"},
		Blank{Steps: []string{"elevation"}, Kind: Words, Words: "elevation"},
	)
}

// ofVisit is the subject of what is of the visit itself.
func ofVisit(item string, n int) Subject {
	return Subject{Item: item, room: -1, elevation: -1, unit: n}
}

func (a *asker) instruments() {
	for i, name := range sortedNames(a.rec.Planned.Instruments) {
		in := a.rec.Planned.Instruments[name]
		x := a.want(ofVisit(name, i), nil, capital(in.Kind)+" "+name, Used, []string{"instruments", name}).of(
			Blank{Kind: Used, Words: "used", Required: true},
			Blank{Steps: []string{"checked"}, Kind: DateKind, Words: "checked on"},
		)
		if in.Kind == "laser" || in.Kind == "level" {
			x.Blanks = append(x.Blanks, Blank{Steps: []string{"dropped"}, Kind: YesNo, Words: "dropped since"})
			x.held("checked " + a.atMost() + " before, not dropped since")
		}
	}
}

// greatestStep is how far apart readings of the floor are suggested where the
// contract sets no limit below it.
const greatestStep = 36 * length.Inch

// leastStep keeps a slip in a limit from asking for thousands of readings.
const leastStep = 6 * length.Inch

// fullRow is how many readings stand beside each other on a sheet: half a row
// would take as much paper.
const fullRow = 6

// mostFeet keeps a slip in a width from asking for thousands of readings too.
const mostFeet = 200

// moreReadings is how many places of a floor line are left open for what the
// crew finds between the suggested ones.
const moreReadings = 4

func (a *asker) floor(e *elevation) { a.floorEvery(e, greatestStep, e.subject) }

func (a *asker) floorEvery(e *elevation, step length.Length, judged Subject) {
	if !e.hasCabinets() {
		return
	}
	for _, line := range floorLines {
		x := a.want(e.subject, []Subject{judged}, "Floor along the "+line+" levelers", LengthKind, e.place("floor", line))
		if len(x.Blanks) == 1 {
			x.of(floorBlanks(e, step)...)
		}
	}
}

// coverage asks for the floor too, and says how far apart it may be read.
func (a *asker) coverage(e *elevation) {
	// The rule that says how far apart comes before the others that need it.
	a.floorEvery(e, min(greatestStep, max(length.Length(a.limit.limit.N), leastStep)), e.subject)
	for _, line := range floorLines {
		if x := a.at[PlaceName(e.place("floor", line)...)]; x != nil {
			x.held("past both ends, gaps " + a.atMost())
		}
	}
}

// floorBlanks are pairs of where along the elevation, and how far down. Places
// are suggested where levelers stand, and between so that no gap is too wide;
// there is room for a reading in every foot, as F-numbers want it.
func floorBlanks(e *elevation, step length.Length) []Blank {
	places := []length.Length{0}
	reach := func(x length.Length) {
		for last := places[len(places)-1]; x > last; last = places[len(places)-1] {
			steps := (x - last + step - 1) / step
			places = append(places, last+(x-last)/steps)
		}
	}
	for _, u := range cabinetsOf(e.units) {
		reach(u.x)
		reach(u.x + u.width)
	}
	reach(e.width)
	if len(places) == 2 && e.width >= leastForStraightedge {
		places = []length.Length{0, e.width / 2, e.width} // one between the two on which a straightedge rests
	}
	var blanks []Blank
	n := max(len(places)+moreReadings, int(min(e.width/length.Foot, mostFeet))+2)
	for i := range (n + fullRow - 1) / fullRow * fullRow {
		number, reading := strconv.Itoa(i), "reading "+strconv.Itoa(i+1)
		at := Blank{Steps: []string{number, "0"}, Kind: LengthKind, Words: reading + ", at"}
		if i < len(places) {
			at.Usual = places[i].String()
		}
		blanks = append(blanks, at, Blank{Steps: []string{number, "1"}, Kind: LengthKind, Words: reading + ", down", Required: true})
	}
	return blanks
}

func (a *asker) workHeight(e *elevation) {
	if e.plan.WorkHeight != nil {
		a.surface(e)
	}
}

func (a *asker) accessible(e *elevation) {
	if e.plan.Accessible {
		a.surface(e)
	}
}

// surface asks for what the height of the work surface rests on, where the plan
// has what no visit can observe.
func (a *asker) surface(e *elevation) {
	if e.plan.TopThickness != nil {
		a.floor(e)
		a.mark(e, []Subject{e.subject})
	}
}

func (a *asker) mark(e *elevation, judged []Subject) {
	if e.hasCabinets() {
		a.want(e.subject, judged, "Set-height mark", LengthKind, e.place("mark"))
	}
}

func (a *asker) opening(e *elevation) {
	if !e.closes() {
		return
	}
	limit := "fillers come " + e.closure().available.In(a.sys) + " wide with scribe"
	for _, height := range []struct{ key, words string }{
		{"bottom", "Clear opening at the floor"}, {"middle", "Clear opening half way up"}, {"top", "Clear opening at the tops"},
	} {
		a.want(e.subject, []Subject{e.subject}, height.words, LengthKind, e.place("opening", height.key)).held(limit)
	}
}

// tops asks for the four top corners of a cabinet.
func (a *asker) tops(u *unit, judged ...Subject) {
	for _, c := range corners {
		a.want(u.subject, judged, "Top, "+c.word, LengthKind, u.placeSeen("tops", c.key))
	}
}

func (a *asker) ownTops(u *unit) { a.tops(u, u.subject) }

func (a *asker) level(e *elevation) {
	for _, run := range e.runs {
		cabinets := cabinetsOf(run)
		for _, u := range cabinets {
			judged := []Subject{u.subject}
			if len(cabinets) > 1 {
				judged = append(judged, runSubject(cabinets))
			}
			a.tops(u, judged...)
			side := "left"
			if latest(u.asCab, faces[2].read, "plumb", faces[2].key).ok && !latest(u.asCab, faces[1].read, "plumb", faces[1].key).ok {
				side = "right" // one side is enough, and this one was read
			}
			a.plumb(u, "front", "Plumb, front", u.subject)
			a.plumb(u, side, "Plumb, "+side+" side", u.subject)
		}
	}
}

func (a *asker) plumb(u *unit, key, words string, judged ...Subject) {
	x := a.want(u.subject, judged, words, LengthKind, u.placeSeen("plumb", key)).of(deviationBlanks()...)
	if a.rule != nil {
		x.held(a.atMost())
	}
}

func deviationBlanks() []Blank {
	return []Blank{
		{Steps: []string{"off"}, Kind: LengthKind, Words: "off", Required: true},
		{Steps: []string{"over"}, Kind: LengthKind, Words: "over", Required: true},
	}
}

func (a *asker) setHeight(e *elevation) {
	var judged []Subject
	for _, u := range cabinetsOf(e.units) {
		a.tops(u, u.subject)
		for _, c := range corners {
			a.at[PlaceName(u.placeSeen("tops", c.key)...)].held("as the mark, off " + a.atMost())
		}
		judged = append(judged, u.subject)
	}
	a.mark(e, judged)
}

func (a *asker) onePlane(e *elevation) {
	for _, run := range e.runs {
		if cabinets := cabinetsOf(run); len(cabinets) > 1 {
			for _, u := range cabinets {
				a.tops(u, runSubject(cabinets))
			}
		}
	}
}

func (a *asker) bearing(u *unit) {
	for _, c := range corners {
		a.want(u.subject, []Subject{u.subject}, "Leveler bears, "+c.word, YesNo, u.placeSeen("bearing", c.key)).held("yes")
	}
}

// extensions asks again for what was recorded, with the floor and the tops
// that it is held against. Where none is recorded the rule claims nothing.
func (a *asker) extensions(e *elevation) {
	for _, u := range cabinetsOf(e.units) {
		recorded := false
		for _, c := range corners {
			if latest(u.asCab, c.extension, "extension", c.key).ok {
				recorded = true
				a.extension(u, c, u.subject)
			}
		}
		if recorded {
			a.tops(u, u.subject)
			a.floorEvery(e, greatestStep, u.subject)
			a.mark(e, []Subject{u.subject})
		}
	}
}

func (a *asker) extension(u *unit, c corner, judged ...Subject) {
	a.want(u.subject, judged, "Extension, "+c.word, LengthKind, u.placeSeen("extension", c.key)).
		held(u.body.Leveler.Least.In(a.sys) + " to " + u.body.Leveler.Greatest.In(a.sys))
}
