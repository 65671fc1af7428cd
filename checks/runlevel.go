package checks

import (
	"encoding/hex"
	"fmt"
	"hash/fnv"
	"math"

	"setline.example/checks/say"
	"setline.example/schema/length"
)

// runSubject names a run by its first and last cabinet.
func runSubject(cabinets []*unit) Subject {
	s := cabinets[0].subject
	s.Kind, s.First, s.Last = SubjectRun, cabinets[0].plan.Tag, cabinets[len(cabinets)-1].plan.Tag
	s.Item = "run " + s.First + " to " + s.Last
	return s
}

// ofRun is a run, or the cabinet where it is one alone.
func ofRun(cabinets []*unit) Subject {
	if len(cabinets) == 1 {
		return cabinets[0].subject
	}
	return runSubject(cabinets)
}

// runPoints gives the top corners of a run that were read, in groups within
// which heights can be compared. Unseen says what is missing for all of them.
func runPoints(e *elevation, cabinets []*unit) (groups [][]point, unseen []say.Text) {
	var unread []say.Text
	points := make([]point, 0, len(corners)*len(cabinets))
	for _, u := range cabinets {
		if len(u.tops.unread) > 0 {
			unread = append(unread, say.Name(u.plan.Tag).Text())
		}
		points = append(points, u.tops.points...)
	}
	if len(unread) > 0 {
		unseen = append(unseen, say.That("top corners of %[1]s", say.Few(unread...)))
	}
	if groups = e.tied(points); len(groups) > 1 {
		unseen = append(unseen, say.That("a set-height mark that ties the visits on which the tops were read"))
	}
	return groups, unseen
}

func (b *bench) runLevel(e *elevation, cabinets []*unit) {
	if len(cabinets) < 2 {
		return // a cabinet on its own is judged as such
	}
	groups, unseen := runPoints(e, cabinets)
	w := b.weigh()
	for _, points := range groups {
		b.weighPairs(e, points, w)
	}
	if w.cut {
		w.faults = append(w.faults, readAs(groups))
	}
	b.conclude(runSubject(cabinets), cabinets[0].at, say.And(unseen...), w, unseen, outBy)
}

// readAs stands for the faults of a run that are too many to be kept one by
// one: it is the same only where every height is.
func readAs(groups [][]point) fault {
	h := fnv.New128a()
	for _, points := range groups {
		for _, p := range points {
			fmt.Fprintf(h, "%s %d\n", p.name, less(p.down, points[0].down))
		}
	}
	return fault{of: faultOf{"more pairs of top corners", hex.EncodeToString(h.Sum(nil)), ""}}
}

// weighPairs weighs every pair of the top corners of a run, which stand in
// order from left to right but for the width of a cabinet.
//
// Pairs are as many as the square of the corners. What is known of two
// stretches of the run, how high and how far apart they are, bounds what any
// pair between them can be; stretches in which no pair matters any more are
// passed over, so that a run in which all is right takes little more time for
// each corner than a short one, and the answer is that of all pairs.
func (b *bench) weighPairs(e *elevation, points []point, w *weighing) {
	if len(points) < 2 {
		return
	}
	s := &pairs{b, e, points, w, b.doubtBounds(e, points)}
	all := s.stretch(0, len(points))
	s.within(&all)
}

// pairs is one search through the pairs of corners of a run.
type pairs struct {
	*bench
	e      *elevation
	points []point
	w      *weighing
	doubts doubtBounds
}

// stretch is a part of a run and its bounds.
type stretch struct {
	from, to    int // positions in points
	left, right length.Length
	high, low   length.Length // the least and the greatest reading
	halves      *[2]stretch   // nil where it is short
}

// shortest is how many corners a stretch has that is not halved any more.
const shortest = 8

func (s *pairs) stretch(from, to int) stretch {
	if to-from > shortest {
		middle := from + (to-from)/2
		halves := &[2]stretch{s.stretch(from, middle), s.stretch(middle, to)}
		a, b := &halves[0], &halves[1]
		return stretch{from, to, min(a.left, b.left), max(a.right, b.right), min(a.high, b.high), max(a.low, b.low), halves}
	}
	p := s.points[from]
	t := stretch{from, to, p.x, p.x, p.down, p.down, nil}
	for _, p := range s.points[from+1 : to] {
		t.left, t.right = min(t.left, p.x), max(t.right, p.x)
		t.high, t.low = min(t.high, p.down), max(t.low, p.down)
	}
	return t
}

// within weighs the pairs within one stretch.
func (s *pairs) within(t *stretch) {
	lo, hi := s.doubts.of(t.right - t.left)
	margin := less(min(s.level.within, s.level.between), apart(t.high, t.low))
	switch {
	case !s.w.matters(margin, lo, hi):
	case t.halves != nil:
		s.within(&t.halves[0])
		s.within(&t.halves[1])
		s.across(&t.halves[0], &t.halves[1])
	default:
		for j := t.from + 1; j < t.to; j++ {
			for i := t.from; i < j; i++ {
				s.pair(i, j, lo, hi)
			}
		}
	}
}

// across weighs the pairs between two stretches, the first left of the second.
func (s *pairs) across(t, u *stretch) {
	lo, hi := s.doubts.of(u.right - t.left)
	switch {
	case !s.w.matters(s.leastMargin(t, u), lo, hi):
	case t.halves != nil && (u.halves == nil || t.to-t.from >= u.to-u.from):
		s.across(&t.halves[0], u)
		s.across(&t.halves[1], u)
	case u.halves != nil:
		s.across(t, &u.halves[0])
		s.across(t, &u.halves[1])
	default:
		for j := u.from; j < u.to; j++ {
			for i := t.from; i < t.to; i++ {
				s.pair(i, j, lo, hi)
			}
		}
	}
}

// leastMargin is a margin that no pair between two stretches is below.
func (s *pairs) leastMargin(t, u *stretch) length.Length {
	least := s.level.between
	if s.points[t.to-1].unit == s.points[u.from].unit {
		least = min(least, s.level.within)
	}
	limit := max(least, mulDiv(s.level.rate, max(0, u.left-t.right), s.level.over))
	return less(limit, max(less(t.low, u.high), less(u.low, t.high)))
}

// pair weighs one pair. Most do not matter, so that only their heights are
// looked at first.
func (s *pairs) pair(i, j int, lo, hi float64) {
	p, q := &s.points[i], &s.points[j]
	margin := less(s.level.of(p, q), apart(p.down, q.down))
	if s.w.matters(margin, lo, hi) {
		if s.w.add(s.topTrial(s.e, p, q)) {
			s.w.worst.words = say.That("from %[1]s to %[2]s", p.words(), q.words())
		}
	}
}

// doubtBounds bound the expanded uncertainty of the height difference of two
// points of a run, from what [bench.together] makes of it: nothing where the
// decision rule does not ask, no bound above where it is not known.
type doubtBounds struct {
	least    float64 // of any two
	unknown  bool
	readings float64       // of two readings of one visit
	line     float64       // of the line, for each nanometre between two points of one visit
	depth    length.Length // how far from each other points lie out from the wall
	visits   float64       // the most of two points of two visits; 0 where all are of one
}

func (b *bench) doubtBounds(e *elevation, points []point) (d doubtBounds) {
	if b.rec.Planned.DecisionRule != Guarded {
		return d
	}
	d.least = math.Inf(1)
	arm, several := 0.0, false
	for i, p := range points {
		several = several || p.visit != points[0].visit
		d.depth = max(d.depth, p.y)
		arm = max(arm, e.fromMark(p.visit, 1, float64(p.x)))
		if i > 0 && p.visit == points[i-1].visit {
			continue
		}
		d.line = max(d.line, coverage*stated(b.readers.of(p.visit, "heights")))
		r := b.readingDoubt(p.visit, "heights")
		if !r.known {
			d.unknown = true
			continue
		}
		two := float64(coverage * r.u * math.Sqrt2)
		d.least, d.readings = min(d.least, two), max(d.readings, two)
	}
	if several {
		// A point and the mark on each visit.
		d.visits = float64(math.Sqrt2 * hypot(d.readings, float64(d.line*arm)))
	}
	return d
}

// of gives the bounds for points no further apart along the run. The last
// digits are left to rounding.
func (d *doubtBounds) of(along length.Length) (least, most float64) {
	const down, up = 1 - 1e-9, 1 + 1e-9
	least = float64(d.least * down)
	if d.unknown {
		return least, math.Inf(1)
	}
	distance := hypot(float64(along), float64(d.depth))
	return least, float64(max(hypot(d.readings, float64(d.line*distance)), d.visits) * up)
}
