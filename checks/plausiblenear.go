package checks

import (
	"cmp"
	"math"
	"slices"

	"setline.example/checks/say"
	"setline.example/schema/length"
)

// How far a reading may lie from what it should be near before it is doubted
// (common practice, no source).
const (
	topsFrom    = 3 * length.Inch  // of tops and marks, from their median
	floorFrom   = 6 * length.Inch  // of the floor, from its median
	mostOffset  = 2 * length.Inch  // offsets, gaps, level and plumb
	beyondEnds  = 10 * length.Foot // along the wall, before the elevation and past it
	openingFrom = 6 * length.Inch  // from the opening drawn
	beyondPart  = 3 * length.Inch  // of a level's distance beyond what it lies on
	leastOver   = 3 * length.Inch  // of a level's distance
	beyondLeast = length.Inch      // of an extension beyond its travel, of a cut beyond the filler
	mostPacking = 3 * length.Inch
	mostWall    = 12 * length.Foot // up which the lean of a wall is read, and a line drawn
)

// bounds are what is plausible of a reading.
type bounds struct {
	least, most length.Length
	usual       length.Length // what it should be near
	near        length.Length // how near to that a value explains a slip
	words       say.Words     // what that is: "the opening drawn"
	median      *medianOf     // or where it is a median of what was read
}

// medianOf is what a median is of.
type medianOf struct {
	count     int
	what      say.Words
	elevation string
}

// text says bounds with what they come from.
func (b bounds) text() say.Text {
	switch m := b.median; {
	case m != nil:
		return say.That("%[1]s to %[2]s, since the median of the %[3]s %[4]s along elevation %[5]s on this visit is %[6]s",
			b.least, b.most, m.count, m.what, say.Name(m.elevation), b.usual)
	case b == belowLine:
		return say.That("%[1]s to %[2]s, since it is read down from the reference line", b.least, b.most)
	case b.words == "":
		return say.That("%[1]s to %[2]s", b.least, b.most)
	}
	return say.That("%[1]s to %[2]s, since %[3]s is %[4]s", b.least, b.most, b.words, b.usual)
}

// within are the bounds so far to either side of what a reading should be near.
func within(usual, off length.Length, words say.Words) bounds {
	return bounds{least: plus(usual, -off), most: plus(usual, off), usual: usual, near: off, words: words}
}

// plus adds lengths that people typed, which may be of any size.
func plus(a, b length.Length) length.Length {
	sum := a + b
	if b > 0 && sum < a {
		return math.MaxInt64
	}
	if b < 0 && sum > a {
		return math.MinInt64
	}
	return sum
}

// neighbours are the readings of an elevation on a visit, all from one
// reference line, by which one of them is judged.
type neighbours struct {
	e           *elevation
	tops, floor []length.Length // in order of size
	shared      []length.Length // tops and marks of other elevations read from the same line, as they would be here
	standing    length.Length   // body and leveler half way out: from a floor to a top
	travel      length.Length   // the greatest of its levelers
	first       read            // of the tops
	readings    []read          // all that the visit wrote down of the elevation
	ofTops      medianOf
	ofFloor     medianOf
}

func newNeighbours(r *room, e *elevation, when int) *neighbours {
	n := &neighbours{e: e}
	n.standing, n.travel = e.standing()
	e.reads(when, n.take)
	slices.Sort(n.tops)
	slices.Sort(n.floor)
	n.ofTops = medianOf{len(n.tops), "tops and marks", e.plan.Name}
	n.ofFloor = medianOf{len(n.floor), "floor readings", e.plan.Name}
	if line := e.lineOn(when); line != "" && len(n.tops) < 3 {
		n.share(r, line, when)
	}
	return n
}

// take adds a reading, and a height to those that others are judged by.
func (n *neighbours) take(x *read) {
	if n.readings == nil {
		const usual = 16 // of a unit and its joint
		n.readings = make([]read, 0, usual*(1+len(n.e.units)))
	}
	n.readings = append(n.readings, *x)
	switch x.near {
	case nearTops:
		if len(n.tops) == 0 {
			n.first = *x
		}
		n.tops = append(n.tops, x.value)
	case nearFloor:
		n.floor = append(n.floor, x.value)
	}
}

// share adds the tops of other elevations read from the same line.
func (n *neighbours) share(r *room, line string, when int) {
	for _, other := range r.elevations {
		if other == n.e || other.lineOn(when) != line {
			continue
		}
		stands, _ := other.standing()
		other.reads(when, func(x *read) {
			if x.near == nearTops {
				n.shared = append(n.shared, plus(plus(x.value, stands), -n.standing))
			}
		})
	}
	slices.Sort(n.shared)
}

// lineOn names the reference line of an elevation on the visit at a place in
// time, "" where it has none of that name.
func (e *elevation) lineOn(when int) string {
	if s := e.seen.on(when); len(s) > 0 {
		return s[0].seen.Reference
	}
	return ""
}

// standing is how far a top stands above the floor, with levelers half way
// out, and the travel of the levelers: the middle one of the cabinets.
func (e *elevation) standing() (height, travel length.Length) {
	var all []length.Length
	for _, u := range cabinetsOf(e.units) {
		l := u.body.Leveler
		all = append(all, plus(*u.body.Height, l.Least/2+l.Greatest/2))
		travel = max(travel, l.Greatest-l.Least)
	}
	slices.Sort(all)
	return median(all), travel
}

// median of lengths in order of size, 0 where there are none.
func median(sorted []length.Length) length.Length {
	n := len(sorted)
	if n == 0 {
		return 0
	}
	a, b := sorted[(n-1)/2], sorted[n/2]
	return a/2 + b/2 + (a%2+b%2)/2
}

// apart reports whether all tops and all floor readings of a visit stand in no
// relation: each are near one another, and yet no cabinet fits between. The
// reading is the first of the tops.
func (n *neighbours) apart() (*read, bounds, bool) {
	if len(n.tops) < 3 || len(n.floor) < 3 || n.standing == 0 {
		return nil, bounds{}, false
	}
	x := &n.first
	b := n.byFloor(floorFrom)
	b.words = "what the tops should read by the median of the floor"
	return x, b, x.value < b.least || x.value > b.most
}

// byFloor is where tops should read by the floor under them.
func (n *neighbours) byFloor(off length.Length) bounds {
	return within(plus(median(n.floor), -n.standing), off+n.travel/2, "the median of the floor less body and leveler")
}

// bounds are what is plausible of one reading.
func (n *neighbours) bounds(x *read) bounds {
	switch x.near {
	case nearTops:
		return n.topBounds(x)
	case nearFloor:
		return n.floorBounds(x)
	}
	return n.plannedBounds(x)
}

func (n *neighbours) topBounds(x *read) bounds {
	switch {
	case len(n.tops) >= 3:
		return withinMedian(n.tops, topsFrom, &n.ofTops)
	case len(n.floor) > 0 && n.standing > 0:
		return n.byFloor(topsFrom)
	case len(n.shared) >= 3:
		return within(median(n.shared), topsFrom+n.travel, "the median of the tops and marks read from the same line")
	case len(n.tops) == 2 && other(n.tops, x.value) >= 0:
		return within(other(n.tops, x.value), topsFrom, "the only other one on this visit")
	}
	return belowLine
}

func (n *neighbours) floorBounds(x *read) bounds {
	switch {
	case median(n.floor) < 0: // no line is drawn under the floor: they were read upwards
		return belowLine
	case len(n.floor) >= 3:
		return withinMedian(n.floor, floorFrom, &n.ofFloor)
	case len(n.tops) > 0 && n.standing > 0:
		return within(plus(median(n.tops), n.standing), floorFrom+n.travel/2, "the median of the tops with body and leveler")
	case len(n.floor) == 2:
		return within(other(n.floor, x.value), floorFrom, "the only other one on this visit")
	}
	return belowLine
}

// belowLine is where anything read from a reference line is, of which nothing else
// says where: below the line, on the wall that the line is drawn on.
var belowLine = bounds{least: 0, most: mostWall}

// withinMedian are the bounds so far to either side of a median.
func withinMedian(sorted []length.Length, off length.Length, of *medianOf) bounds {
	b := within(median(sorted), off, "")
	b.median = of
	return b
}

// other is the other of two lengths.
func other(two []length.Length, one length.Length) length.Length {
	if two[0] == one {
		return two[1]
	}
	return two[0]
}

// plannedBounds are what is plausible of a reading by what is drawn.
func (n *neighbours) plannedBounds(x *read) bounds {
	switch x.near {
	case nearEnds:
		return bounds{-beyondEnds, plus(n.e.width, beyondEnds), n.e.width, 0, "the width of the elevation", nil}
	case nearOpening:
		drawn := n.e.width
		if n.e.plan.Opening != nil {
			drawn = *n.e.plan.Opening
		}
		return within(drawn, openingFrom, "what is drawn")
	case nearNoGap:
		return bounds{0, mostOffset, 0, length.Inch / 4, "", nil}
	case nearNothing:
		return bounds{-mostOffset, mostOffset, 0, length.Inch / 4, "", nil}
	}
	return n.partBounds(x)
}

// partBounds are what is plausible by the size of the part.
func (n *neighbours) partBounds(x *read) bounds {
	u := x.whose.u
	switch x.near {
	case nearOver:
		return x.overBounds()
	case nearJoint:
		height := x.whose.j.height()
		return bounds{0, plus(height, beyondPart), height, length.Inch, "the height of the joint", nil}
	case nearTravel:
		l := u.body.Leveler
		return bounds{plus(l.Least, -beyondLeast), plus(l.Greatest, beyondLeast), l.Greatest, l.Greatest - l.Least, "the greatest extension of the leveler", nil}
	case nearNoPacking:
		return bounds{0, mostPacking, 0, length.Inch, "", nil}
	}
	most := u.filler.Width // of a cut
	if u.filler.Scribe != nil {
		most = plus(most, *u.filler.Scribe)
	}
	return bounds{0, plus(most, beyondLeast), most, most, "the filler with its scribe", nil}
}

// overBounds are what is plausible of the length over which a level was laid.
func (x *read) overBounds() bounds {
	if x.thing.over == nil { // up a wall, of which no height is drawn
		return bounds{leastOver, mostWall, 0, 0, "", nil}
	}
	size := x.thing.over(x.whose, x.key)
	if u := x.whose.u; size == 0 { // from corner to corner
		size = nearest(hypot(float64(u.width), float64(*u.body.Depth)))
	}
	return bounds{min(leastOver, size/2), plus(size, beyondPart), size, length.Inch, "what it is read along", nil}
}

// height is how high a joint is drawn; without a cabinet at it nobody says.
func (j *joint) height() (height length.Length) {
	for _, u := range []*unit{j.left, j.right} {
		if u.cabinet != nil {
			height = max(height, *u.body.Height)
		}
	}
	return cmp.Or(height, 96*length.Inch)
}
