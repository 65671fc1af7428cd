package checks

import (
	"math"
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// point is a point whose height was read down from the reference line.
type point struct {
	name  string // the same on every visit: "A3 FL"
	unit  *unit
	of    say.Words     // which corner of the unit
	x, y  length.Length // in plan, as [unit.place] has it
	down  length.Length // as read, or from the set-height mark once leveled
	when  int
	visit int
	at    origin
}

// words name a point: "A3 front-left".
func (p *point) words() say.Text { return cornerWords(p.unit, p.of) }

func cornerWords(u *unit, corner say.Words) say.Text {
	return say.That("%[1]s %[2]s", say.Name(u.plan.Tag), corner)
}

// tops are the last readings of a cabinet's top corners.
type tops struct {
	points []point
	unread []say.Text // those that nobody read
}

func (u *unit) readTops() (t tops) {
	for _, c := range corners {
		o := theTops.latest(&u.asCab, c.key)
		if !o.ok {
			t.unread = append(t.unread, c.word.Text())
			continue
		}
		x, y := u.place(c)
		t.points = append(t.points, point{u.plan.Tag + " " + c.key, u, c.word, x, y, o.value, o.when, o.visit, o.at})
	}
	return t
}

// perVisit is what visits read of one thing, in the order of their positions.
type perVisit []visitLength

type visitLength struct {
	visit int
	value length.Length
}

// add adds what a visit read, nil for nothing.
func (p *perVisit) add(visit int, value *length.Length) {
	if value != nil {
		i, _ := p.find(visit)
		*p = slices.Insert(*p, i, visitLength{visit, *value})
	}
}

func (p perVisit) find(visit int) (int, bool) {
	return slices.BinarySearchFunc(p, visit, func(r visitLength, visit int) int { return r.visit - visit })
}

// on is what a visit read.
func (p perVisit) on(visit int) (length.Length, bool) {
	i, ok := p.find(visit)
	if !ok {
		return 0, false
	}
	return p[i].value, true
}

// mark is the reading of the set-height mark of an elevation on a visit.
func (e *elevation) mark(visit int) (length.Length, bool) { return e.marks.on(visit) }

// marked reports whether any visit read the set-height mark.
func (e *elevation) marked() bool {
	return theMark.latest(&e.seen, "").ok
}

// markAt is where along the elevation the set-height mark is, as a visit wrote
// it down, else as the last visit did that wrote it down.
func (e *elevation) markAt(visit int) (at length.Length, known bool) {
	if at, known = e.markPlaces.on(visit); known {
		return at, true
	}
	if len(e.markPlaces) == 0 {
		return 0, false
	}
	last := theMarkPlace.latest(&e.seen, "")
	return last.value, last.ok
}

// tied sorts points into groups within which heights can be compared: those of
// one visit have one reference line, and all visits that read the set-height
// mark are tied by it. In a group of several visits heights are from the mark.
// Groups are in the order of their first points, and so are the points of each.
func (e *elevation) tied(points []point) [][]point {
	one := true
	for _, p := range points {
		one = one && p.visit == points[0].visit
	}
	if one {
		return [][]point{points}
	}
	const byMark = -1
	var groups [][]point
	at := map[int]int{} // position in groups, by visit
	for _, p := range points {
		key := p.visit
		if mark, ok := e.mark(p.visit); ok {
			key, p.down = byMark, less(p.down, mark)
		}
		n, known := at[key]
		if !known {
			n = len(groups)
			at[key] = n
			groups = append(groups, nil)
		}
		groups[n] = append(groups[n], p)
	}
	return groups
}

// newest returns visit and place of the newest of the points.
func newest(points ...point) (visit int, at origin) {
	when := -1
	visit = -1
	for _, p := range points {
		if p.when > when {
			when, visit, at = p.when, p.visit, p.at
		}
	}
	return visit, at
}

// part is a reading of a height in something computed from several, and how
// often it counts there.
type part struct {
	point
	weight float64
}

// together is the uncertainty of a sum of weighted heights of an elevation
// (JCGM 100:2008, 5.1.2). Visit by visit it counts
//
//   - every reading, by its weight;
//   - where the weights do not add up to nothing, the reading of the set-height
//     mark, which takes the rest;
//   - the line itself, which may be tilted as a plane by its stated accuracy: by
//     so much in a distance, between two points as far apart as they are. What
//     a tilted plane leaves unchanged has none of it, wherever the laser stood
//     (ISO 17123-6 treats both a cone and a tilted plane; equal sights only
//     cancel the cone).
//
// Against the mark the distance along the elevation counts, to the farther end
// where nobody wrote down where the mark is.
func (b *bench) together(e *elevation, parts ...part) doubt {
	all := doubt{known: true}
	for i, first := range parts {
		known := false
		for _, p := range parts[:i] {
			known = known || p.visit == first.visit
		}
		if !known {
			all = all.and(b.onVisit(e, first.visit, parts))
		}
	}
	return all
}

// balanced is how far from nothing computed weights may add up that do.
const balanced = 1e-9

// onVisit is the part of [bench.together] that comes from one visit.
func (b *bench) onVisit(e *elevation, visit int, parts []part) doubt {
	var sum, squares, x, y float64
	for _, p := range parts {
		if p.visit == visit {
			sum += p.weight
			squares += float64(p.weight * p.weight)
			x += float64(p.weight * float64(p.x))
			y += float64(p.weight * float64(p.y))
		}
	}
	arm := hypot(x, y)
	if math.Abs(sum) > balanced {
		squares += float64(sum * sum)
		arm = e.fromMark(visit, sum, x)
	}
	return b.readingDoubt(visit, "heights").times(math.Sqrt(squares)).and(b.lineDoubt(visit, arm))
}

// fromMark is how far from the mark the readings of a visit lie along the
// elevation, whose weights add up to sum and whose weighted places to x.
func (e *elevation) fromMark(visit int, sum, x float64) float64 {
	if at, ok := e.markAt(visit); ok {
		return math.Abs(x - float64(sum*float64(at)))
	}
	return max(math.Abs(x), math.Abs(x-float64(sum*float64(e.width))))
}

// lineDoubt is the uncertainty between two points of the line of the laser that
// was used on a visit, so far apart: ±a over a distance, rectangular.
func (b *bench) lineDoubt(visit int, distance float64) doubt {
	in := b.readers.of(visit, "heights")
	return doubt{u: float64(stated(in) * distance), known: true}
}

// stated is the standard uncertainty that an instrument's stated accuracy gives
// for each nanometre of distance; 0 where none is stated.
func stated(in *schema.Instrument) float64 {
	if in == nil || in.Accuracy == nil {
		return 0
	}
	return float64(*in.Accuracy) / math.Sqrt(3) / float64(*in.Over)
}

// distance between two points in plan, in nanometres.
func distance(p, q point) float64 {
	return hypot(float64(apart(p.x, q.x)), float64(apart(p.y, q.y)))
}
