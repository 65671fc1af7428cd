package checks

import (
	"setline.example/checks/floor"
	"setline.example/schema"
	"setline.example/schema/length"
)

// surveyed is the floor of an elevation as last surveyed. Both lines are of
// one visit, so that they have one reference line.
type surveyed struct {
	ok     bool
	floor  floor.Survey
	visit  int
	when   int
	at     string
	marked bool          // the set-height mark was read on the same visit
	mark   length.Length // its reading

	corners []floor.Corner // the levelers of the elevation on this floor, unknown where it was not read
}

// survey returns the last survey of both lines; where no visit surveyed both,
// the last of one.
func (e *elevation) survey() surveyed {
	var last *sighting[schema.ElevationSeen]
	for i := range e.seen {
		s := &e.seen[i]
		f, b := len(s.seen.Floor.Front) > 0, len(s.seen.Floor.Back) > 0
		if f && b || (f || b) && (last == nil || len(last.seen.Floor.Front) == 0 || len(last.seen.Floor.Back) == 0) {
			last = s
		}
	}
	if last == nil {
		s := surveyed{visit: -1, when: -1}
		s.corners = s.cornersOf(e)
		return s
	}
	s := surveyed{
		ok:    true,
		floor: floor.Survey{Front: line(last.seen.Floor.Front), Back: line(last.seen.Floor.Back)},
		visit: last.visit, when: last.when, at: last.at + "/floor",
	}
	s.mark, s.marked = e.mark(last.visit)
	s.corners = s.cornersOf(e)
	return s
}

func line(readings []schema.FloorReading) floor.Line {
	l := make(floor.Line, len(readings))
	for i, r := range readings {
		l[i] = floor.Reading{At: r.At(), Down: r.Down()}
	}
	return l
}

// namedLine is one of the lines along which a floor is read.
type namedLine struct {
	name string
	line floor.Line
}

// lines are both, the front one first.
func (s surveyed) lines() [2]namedLine {
	return [2]namedLine{{floor.Front, s.floor.Front}, {floor.Back, s.floor.Back}}
}

// lineOf is the line on which a corner stands.
func (s surveyed) lineOf(c corner) floor.Line {
	if c.front {
		return s.floor.Front
	}
	return s.floor.Back
}

// cornersOf are the levelers of an elevation on the surveyed floor.
func (s surveyed) cornersOf(e *elevation) []floor.Corner {
	var all []floor.Corner
	for _, u := range e.units {
		if u.cabinet == nil {
			continue
		}
		for _, c := range corners {
			x, _ := u.place(c)
			down, known := s.lineOf(c).DownAt(x)
			all = append(all, floor.Corner{
				Name: u.plan.Tag + " " + c.word, Floor: down, Known: known,
				Body: *u.body.Height, Least: u.body.Leveler.Least, Greatest: u.body.Leveler.Greatest,
				ThreadsPerInch: u.body.Leveler.ThreadsPerInch,
			})
		}
	}
	return all
}

// setTop is the reading of the cabinet tops from the survey's reference line:
// of the set-height mark where the crew read one, else as computed from the
// floor's high point.
func (s surveyed) setTop(e *elevation, corners []floor.Corner) (length.Length, bool) {
	if s.marked {
		return s.mark, true
	}
	high, ok := s.floor.High(0, e.width)
	if !ok || len(corners) == 0 {
		return 0, false
	}
	return floor.SetTop(high.Down, corners), true
}
