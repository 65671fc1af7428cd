package checks

import (
	"cmp"
	"slices"

	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// surveyed is the floor of an elevation as known from all visits that read it.
// All of it is down from one reference line, that of the last of them.
type surveyed struct {
	ok     bool
	floor  floor.Survey // bare: what levelers and their packing stand on
	visit  int          // whose reference line it is down from
	when   int
	at     string
	marked bool          // the set-height mark was read on that visit
	mark   length.Length // its reading
	tried  bool          // the mark is one that is tried, and no top was read under it

	front, back []floorSpot // the readings that it is made of
	visits      []int       // that made them, in time order
	apart       []int       // that read the floor too, from lines that nothing ties to this one

	corners []floor.Corner           // the levelers of the elevation on this floor, unknown where it was not read
	packed  map[string]length.Length // how thick the packing in place is, by the corner's name
}

// survey joins the floor readings of an elevation. Those of several visits are
// merged line by line where something ties their reference lines: what was read
// again supersedes, what was not stays. Where nothing ties them the later visit
// stands alone.
func (e *elevation) survey(room []*elevation) surveyed {
	k := &e.surveys
	k.follow(e.seen.all)
	if len(k.read) == 0 {
		s := surveyed{visit: -1, when: -1}
		s.stand(e)
		return s
	}
	last := newestSurvey(k.read)
	s := surveyed{ok: true, visit: last.visit, when: last.when, at: last.at + "/floor"}
	s.mark, s.marked = e.mark(last.visit)
	if s.marked && !k.elsewhere {
		s.visits, s.apart = slices.Clip(k.marked), slices.Clip(k.unmarked)
		s.front, s.back = lowered(k.front, s.mark), lowered(k.back, s.mark)
	} else {
		s.merge(e, k.read, last, room)
	}
	s.floor = floor.Survey{Front: e.bare(s.front, true), Back: e.bare(s.back, false)}
	s.stand(e)
	return s
}

// merge merges the readings of all visits that something ties to the last.
func (s *surveyed) merge(e *elevation, read []sighting[schema.ElevationSeen], last *sighting[schema.ElevationSeen], room []*elevation) {
	lowers := e.ties(last, room)
	for i := range read {
		v := &read[i]
		lower, tied := lowers[v.visit]
		if !tied {
			s.apart = append(s.apart, v.visit)
			continue
		}
		s.visits = append(s.visits, v.visit)
		s.front = mergeLine(s.front, readingsOf(v, "front"), lower, v)
		s.back = mergeLine(s.back, readingsOf(v, "back"), lower, v)
	}
}

// surveys are the floor readings of an elevation as they were added visit by
// visit. Those of visits that read the set-height mark are merged once and for
// all, as down from the mark.
type surveys struct {
	followed         int                              // how many sightings of the elevation
	read             []sighting[schema.ElevationSeen] // those that read the floor
	marked, unmarked []int                            // their visits
	front, back      []floorSpot                      // of those that read the mark
	elsewhere        bool                             // another elevation's mark may tie one that did not
}

// follow takes in the sightings that were added.
func (k *surveys) follow(seen []sighting[schema.ElevationSeen]) {
	for ; k.followed < len(seen); k.followed++ {
		v := &seen[k.followed]
		front, back := readingsOf(v, "front"), readingsOf(v, "back")
		if len(front)+len(back) == 0 {
			continue
		}
		k.read = append(k.read, *v)
		mark := theMark.read(v.seen, "")
		if mark == nil {
			k.unmarked = append(k.unmarked, v.visit)
			k.elsewhere = k.elsewhere || v.seen.Reference != ""
			continue
		}
		k.marked = append(k.marked, v.visit)
		k.front = mergeLine(k.front, front, less(0, *mark), v)
		k.back = mergeLine(k.back, back, less(0, *mark), v)
	}
}

// lowered is a line with all its readings greater by so much.
func lowered(l []floorSpot, by length.Length) []floorSpot {
	l = slices.Clone(l)
	for i := range l {
		l[i].Down = less(l[i].Down, less(0, by))
	}
	return l
}

// readingsOf are the floor readings of a visit along a line.
func readingsOf(s *sighting[schema.ElevationSeen], line string) []schema.FloorReading {
	if readings := theFloor.read(s.seen, line); readings != nil {
		return *readings
	}
	return nil
}

// newestSurvey is the visit from whose reference line all is read: of the last
// day that read the floor. Of several visits of that day, of which nobody knows
// the order, it is one that read the mark, and of those the one that read most.
func newestSurvey(read []sighting[schema.ElevationSeen]) *sighting[schema.ElevationSeen] {
	rank := func(s *sighting[schema.ElevationSeen]) (bool, int, int) {
		f, b := len(readingsOf(s, "front")), len(readingsOf(s, "back"))
		return theMark.read(s.seen, "") != nil, f + b, f
	}
	last := &read[len(read)-1]
	for i := len(read) - 2; i >= 0 && read[i].day == last.day; i-- {
		marked, all, front := rank(&read[i])
		m, a, f := rank(last)
		if marked != m && marked || marked == m && (all > a || all == a && front > f) {
			last = &read[i]
		}
	}
	return last
}

// floorSpot is a floor reading and the visit that made it.
type floorSpot struct {
	floor.Reading
	visit int
	day   schema.Date
}

// mergeLine adds the readings of a later visit to a line, from a reference line
// lower by so much.
func mergeLine(l []floorSpot, later []schema.FloorReading, lower length.Length, v *sighting[schema.ElevationSeen]) []floorSpot {
	near := 0 // where the last place was: most often the next one is read next
	for _, r := range later {
		s := floorSpot{floor.Reading{At: r.At(), Down: less(r.Down(), less(0, lower))}, v.visit, v.day}
		i, again := near, near < len(l) && l[near].At == s.At
		if !again {
			i, again = slices.BinarySearchFunc(l, s, func(a, b floorSpot) int { return cmp.Compare(a.At, b.At) })
		}
		near = i + 1
		if again {
			l[i] = s
		} else {
			l = slices.Insert(l, i, s)
		}
	}
	return l
}

// ties returns by how much the readings of every visit grow when they are read
// down from the reference line of one of them: of those that something ties to
// it, or to another that is tied.
func (e *elevation) ties(to *sighting[schema.ElevationSeen], room []*elevation) map[int]length.Length {
	lower := map[int]length.Length{to.visit: 0}
	var open []*sighting[schema.ElevationSeen] // that may be tied yet
	for i := range e.seen.all {
		if s := &e.seen.all[i]; s.visit != to.visit && (s.seen.Reference != "" || theMark.read(s.seen, "") != nil) {
			open = append(open, s)
		}
	}
	for reached := []*sighting[schema.ElevationSeen]{to}; len(reached) > 0 && len(open) > 0; reached = reached[1:] {
		next := reached[0]
		open = slices.DeleteFunc(open, func(from *sighting[schema.ElevationSeen]) bool {
			by, tied := e.tie(from, next, room)
			if tied {
				lower[from.visit] = less(by, less(0, lower[next.visit]))
				reached = append(reached, from)
			}
			return tied
		})
	}
	return lower
}

// tie returns by how much the readings of one visit grow when they are read
// down from the reference line of another. What ties two lines is a mark read
// from both: the elevation's own set-height mark, else that of an elevation of
// the room that had the same reference line on both visits.
func (e *elevation) tie(from, to *sighting[schema.ElevationSeen], room []*elevation) (lower length.Length, ok bool) {
	if from.visit == to.visit {
		return 0, true
	}
	if a, b := theMark.read(from.seen, ""), theMark.read(to.seen, ""); a != nil && b != nil {
		return less(*b, *a), true
	}
	if from.seen.Reference == "" || to.seen.Reference == "" {
		return 0, false
	}
	for _, other := range room {
		a, b := other.markFrom(from), other.markFrom(to)
		if a != nil && b != nil {
			return less(*b, *a), true
		}
	}
	return 0, false
}

// markFrom is the set-height mark of an elevation as read on a visit from the
// reference line named there, nil where it was not.
func (e *elevation) markFrom(line *sighting[schema.ElevationSeen]) *length.Length {
	for _, s := range e.seen.on(line.when) {
		if s.seen.Reference == line.seen.Reference {
			return theMark.read(s.seen, "")
		}
	}
	return nil
}

// bare takes the packing out of a line. Where a corner is packed its place is
// read on the packing.
func (e *elevation) bare(spots []floorSpot, front bool) floor.Line {
	l := make(floor.Line, len(spots))
	for i, s := range spots {
		l[i] = s.Reading
	}
	for _, u := range cabinetsOf(e.units) {
		if len(u.packed) == 0 {
			continue
		}
		for _, c := range corners {
			x, _ := u.place(c)
			i, read := slices.BinarySearchFunc(spots, x, func(s floorSpot, x length.Length) int { return cmp.Compare(s.At, x) })
			if c.front != front || u.between(c) || !read {
				continue
			}
			// Two cabinets may meet here; the reading is on the thicker packing.
			l[i].Down = max(l[i].Down, less(spots[i].Down, -u.packing(c, spots[i].day)))
		}
	}
	return l
}

// packing is how thick the packing under a corner was at the end of a day.
func (u *unit) packing(c corner, day schema.Date) length.Length {
	for _, s := range slices.Backward(u.packed) {
		if p := thePacking.read(s.seen, c.key); p != nil && s.day <= day {
			return *p
		}
	}
	return 0
}

// now is a day after every visit.
const now schema.Date = "9999-12-31"

// namedLine is one of the lines along which a floor is read.
type namedLine struct {
	name string
	line floor.Line
}

// lines are both, the front one first.
func (s surveyed) lines() [2]namedLine {
	return [2]namedLine{{floor.Front, s.floor.Front}, {floor.Back, s.floor.Back}}
}

// bareUnder is the floor under a corner and its packing. Only under the back of a
// cabinet that is not the deepest does it lie between the two lines.
func (e *elevation) bareUnder(s *surveyed, u *unit, c corner) (down length.Length, ok bool) {
	x, y := u.place(c)
	return s.floor.DownAt(x, y, e.depth)
}

// under is what a corner stood on at the end of a day: the floor, or its packing.
func (s *surveyed) under(e *elevation, u *unit, c corner, day schema.Date) (down length.Length, ok bool) {
	down, ok = e.bareUnder(s, u, c)
	return less(down, u.packing(c, day)), ok
}

// covers reports whether both lines reach past both ends of the elevation.
func (s surveyed) covers(e *elevation) bool {
	return s.floor.Front.Reaches(0, e.width) && s.floor.Back.Reaches(0, e.width)
}

// usualReserve is how far a leveler has to be able to come down from the set
// height where nothing is planned (common practice, no source).
const usualReserve = length.Inch / 8

// reserveOf is the reserve of a leveler; of one that has less travel than is
// usual, all of it.
func reserveOf(l *schema.Leveler) length.Length {
	if l.Reserve != nil {
		return *l.Reserve
	}
	return min(usualReserve, l.Greatest-l.Least)
}

// stand puts the levelers of an elevation on the surveyed floor.
func (s *surveyed) stand(e *elevation) {
	for _, u := range cabinetsOf(e.units) {
		l := u.body.Leveler
		for _, c := range corners {
			down, known := s.under(e, u, c, now)
			k := floor.Corner{
				Name: u.plan.Tag + " " + c.key, Floor: down, Known: known,
				Body: *u.body.Height, Least: l.Least, Greatest: l.Greatest, Reserve: reserveOf(l),
				ThreadsPerInch: l.ThreadsPerInch,
			}
			if l.Pitch != nil {
				k.Pitch = *l.Pitch
			}
			s.corners = append(s.corners, k)
			if p := u.packing(c, now); p > 0 {
				if s.packed == nil {
					s.packed = map[string]length.Length{}
				}
				s.packed[k.Name] = p
			}
		}
	}
}

// setTop is the reading of the cabinet tops from the survey's reference line:
// of the set-height mark where the crew read one, else as computed from what
// the levelers stand on.
func (s surveyed) setTop(_ *elevation, corners []floor.Corner) (length.Length, bool) {
	if s.marked {
		return s.mark, true
	}
	return floor.SetTop(corners)
}

// onSurvey is where a top stands that was read: its reading from the reference
// line of the survey, by way of the mark where another visit read it. Where a set
// height is tried tops are taken to stand there, and nothing as it was read.
func (e *elevation) onSurvey(top point) (down length.Length, ok bool) {
	s := &e.floor
	if top.visit == s.visit {
		return top.down, s.ok && !s.tried
	}
	mark, marked := e.mark(top.visit)
	return less(top.down, less(mark, s.mark)), marked && s.marked && !s.tried
}

// stands is where the top of a corner stands that was read, as onSurvey has it.
func (e *elevation) stands(u *unit, c corner) (down length.Length, ok bool) {
	for _, p := range u.tops.points {
		if p.of == c.word {
			return e.onSurvey(p)
		}
	}
	return 0, false
}

// parts are the readings on which the floor at a place rests, for
// [bench.together]: those of the line it is on, else those of both. All of it counts
// weight times.
func (e *elevation) parts(x, y length.Length, weight float64) []part {
	switch y {
	case 0:
		return e.floor.lineParts(e.floor.back, x, y, weight)
	case e.depth:
		return e.floor.lineParts(e.floor.front, x, y, weight)
	}
	share := float64(y) / float64(e.depth)
	return append(e.floor.lineParts(e.floor.back, x, 0, float64(weight*(1-share))), e.floor.lineParts(e.floor.front, x, e.depth, float64(weight*share))...)
}

// lineParts are those of a line that is y out from the back one: the reading there,
// or its two neighbours, the nearer one more.
func (s surveyed) lineParts(l []floorSpot, x, y length.Length, weight float64) []part {
	of := func(i int, share float64) part {
		return part{point{x: l[i].At, y: y, visit: l[i].visit}, float64(weight * share)}
	}
	i, at := slices.BinarySearchFunc(l, x, func(s floorSpot, x length.Length) int { return cmp.Compare(s.At, x) })
	switch {
	case at:
		return []part{of(i, 1)}
	case i == 0 || i == len(l):
		return nil // no floor is known there
	}
	share := float64(x-l[i-1].At) / float64(l[i].At-l[i-1].At)
	return []part{of(i-1, 1-share), of(i, share)}
}

// standing says, for a result that rests on a survey, which visits' readings it
// leaves out: nothing where it leaves out none.
func (b *bench) standing(s surveyed) say.Text {
	if len(s.apart) == 0 {
		return say.Text{}
	}
	days := make([]say.Text, len(s.apart))
	for i, v := range s.apart {
		days[i] = say.That("%[1]s", b.rec.Measured.Visits[v].Date)
	}
	return say.That("the readings of %[1]s are left out: no mark ties them to those of %[2]s",
		say.And(days...), b.rec.Measured.Visits[s.visit].Date)
}

// LineWords name a line along which a floor is read.
func LineWords(line string) say.Words {
	if line == floor.Back {
		return "back line"
	}
	return "front line"
}
