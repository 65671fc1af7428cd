package checks

import (
	"math"

	"setline.example/schema"
	"setline.example/schema/length"
)

// point is a point whose height was read down from the reference line.
type point struct {
	name  string
	unit  *unit
	x, y  length.Length // in plan: along the elevation, and out from its back
	down  length.Length // as read, or from the set-height mark once leveled
	when  int
	visit int
	at    origin
}

// tops are the last readings of a cabinet's top corners.
type tops struct {
	points []point
	unread []string // the words of those that nobody read
}

func (u *unit) readTops() (t tops) {
	for _, c := range corners {
		o := latest(u.asCab, c.top, "tops", c.key)
		if !o.ok {
			t.unread = append(t.unread, c.word)
			continue
		}
		x, y := u.place(c)
		t.points = append(t.points, point{u.plan.Tag + " " + c.word, u, x, y, o.value, o.when, o.visit, o.at})
	}
	return t
}

// mark is the reading of the set-height mark of an elevation on a visit.
func (e *elevation) mark(visit int) (length.Length, bool) {
	for i := range e.seen {
		if s := &e.seen[i]; s.visit == visit && s.seen.Mark != nil {
			return *s.seen.Mark, true
		}
	}
	return 0, false
}

// leveled brings points to one reference line, so that their heights can be
// compared: those of one visit have one; those of several are tied by the
// set-height mark read on each. It returns new points, ok false where nothing
// ties them.
func (e *elevation) leveled(points []point) (tied []point, ok bool) {
	one := true
	for _, p := range points {
		one = one && p.visit == points[0].visit
	}
	if one {
		return points, true
	}
	tied = make([]point, len(points))
	for i, p := range points {
		mark, ok := e.mark(p.visit)
		if !ok {
			return nil, false
		}
		tied[i] = p
		tied[i].down = p.down - mark
	}
	return tied, true
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

// levelDoubt is the uncertainty of the height difference of two points: of
// the two readings, of the two readings of the mark where the points are of
// two visits, and of the line itself, which may be off level by its stated
// accuracy over the difference of the sight distances. Where the laser stood
// is unknown, the separation of the points stands for that difference.
func (b *bench) levelDoubt(e *elevation, p, q point) doubt {
	d := b.readingDoubt(p.visit, "heights").and(b.readingDoubt(q.visit, "heights"))
	if p.visit != q.visit {
		d = d.and(d)
	}
	in := b.readers.of(p.visit, "heights")
	if in == nil || in.Accuracy == nil {
		return d
	}
	difference := distance(p, q)
	if station, ok := e.station(p.visit); ok && p.visit == q.visit {
		difference = math.Abs(sight(station, p) - sight(station, q))
	}
	line := float64(*in.Accuracy) / math.Sqrt(3) * difference / float64(*in.Over)
	return d.and(doubt{line, true})
}

// station is where the laser stood on a visit.
func (e *elevation) station(visit int) (schema.Station, bool) {
	for i := range e.seen {
		if s := &e.seen[i]; s.visit == visit && s.seen.Laser != nil {
			return *s.seen.Laser, true
		}
	}
	return schema.Station{}, false
}

// distance between two points in plan, in nanometres.
func distance(p, q point) float64 {
	return hypot(float64(p.x-q.x), float64(p.y-q.y))
}

// sight is the distance in plan from the laser to a point. The laser's
// distance out is from the wall, at which cabinets have their backs.
func sight(s schema.Station, p point) float64 {
	return hypot(float64(s.Along-p.x), float64(s.Out-p.y))
}
