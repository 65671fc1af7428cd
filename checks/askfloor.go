package checks

import (
	"slices"
	"strconv"

	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/schema/length"
)

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

// askFloor asks for the floor of an elevation, on which the result of a subject rests.
func (a *asker) askFloor(e *elevation, judged Subject) {
	a.askEach(theFloor.Thing, whose{e: e}, judged)
}

// askCoverage asks for the floor too, and says how far apart it may be read. The
// rule that says so comes before the others that need it.
func (a *asker) askCoverage(e *elevation) {
	w := whose{e: e}
	step := min(greatestStep, max(length.Length(a.limit.limit.N), leastStep))
	for _, line := range theFloor.keysOf(w) {
		held := say.That("past both ends, gaps %[1]s", a.atMost())
		if line == floor.Back && slices.ContainsFunc(cabinetsOf(e.units), func(u *unit) bool { return u.behind > 0 }) {
			held = say.Commas(held, say.That("%[1]s behind the fronts", e.depth))
		}
		a.ask(theFloor.Thing, w, line, e.subject).of(floorBlanks(e, step)...).held(held)
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
		number := strconv.Itoa(i)
		at := Blank{Steps: []string{number, "0"}, Kind: LengthKind, Words: say.That("reading %[1]s, at", i+1)}
		if i < len(places) {
			at.Usual = places[i].String()
		}
		blanks = append(blanks, at, Blank{Steps: []string{number, "1"}, Kind: LengthKind, Words: say.That("reading %[1]s, down", i+1), Required: true})
	}
	return blanks
}
