package checks

import (
	"slices"

	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Layout is what a lead installer needs before setting one elevation. It is
// computed from the plan and the last floor survey alone. Readings are down
// from the survey's reference line.
type Layout struct {
	Room, Elevation string
	Plan            *schema.Elevation
	Width           length.Length // of the elevation, as drawn
	Units           []LayoutUnit  // from left to right
	Screwed         []Screwed     // what screws hold, from left to right

	Surveyed bool
	Visit    int   // position in the record of the last visit that surveyed, -1 where none did; readings are down from its line
	Visits   []int // whose readings the survey is made of, in time order
	Apart    []int // that read the floor too, from lines that nothing ties to that one
	Floor    floor.Survey
	High     floor.Spot // the floor's high point
	Between  bool       // it is higher than what lies under any leveler
	Low      floor.Spot
	Fall     length.Length
	Gap      floor.Gap // the greatest under a 10 ft straightedge, on the line named
	GapLine  string    // "" where there is none
	F        map[string]floor.FNumbers

	Reference string // the name of the line, "" where nobody wrote it down

	Set      bool          // a set height is known
	Marked   bool          // it is the mark the crew made, not the computed one
	SetTop   length.Length // reading of the cabinet tops
	Corners  []LayoutCorner
	Travel   floor.Travel
	Bare     floor.Travel             // as Travel, without reserve
	Packing  map[string]length.Length // under corners beyond their greatest extension at the set height, more than is there
	Packed   map[string]length.Length // what is there
	Highest  say.Text                 // the corner that sets a computed set height
	OffFloor bool                     // some corner is not on the surveyed floor
	Begun    bool                     // something stands already

	Changes []LayoutChange // of top corners between the first and the last visit that read them
	Turns   []TurnList     // what to turn in runs that do not pass as they stand

	Results []Result // of the rules of this family, for this elevation
	Trial   *Trial   // nil where the set height is that of the record

	Cuts      *Cuts      // of its fillers; nil where none is cut to a wall
	OneHeight *OneHeight // of the room, with its first elevation; nil where there is nothing to compare
}

// LayoutChange is how far a top corner came up since it was first read, and
// the expanded uncertainty of that.
type LayoutChange struct {
	Unit   string
	Corner string    // "FL"
	Place  say.Words // "front-left"
	Along  length.Length
	Up, U  length.Length
}

// LayoutUnit is a unit as drawn, and where it stands.
type LayoutUnit struct {
	Tag      string
	X, Width length.Length
	Cabinet  *schema.Cabinet // nil for a filler
	Height   length.Length   // of a cabinet's body
	Depth    length.Length   // likewise
	Behind   length.Length   // how far its back stands before that of the deepest cabinet
}

// Place returns where along the elevation a subject is: the middle of a unit,
// the line of a joint, the first unit of a run. ok is false for what has no one
// place.
func (l Layout) Place(s Subject) (x length.Length, ok bool) {
	i := slices.IndexFunc(l.Units, func(u LayoutUnit) bool { return u.Tag == s.First })
	switch {
	case i < 0:
	case s.Kind == SubjectJoint:
		return l.Units[i].X + l.Units[i].Width, true
	case s.Kind == SubjectUnit, s.Kind == SubjectRun:
		return l.Units[i].X + l.Units[i].Width/2, true
	}
	return 0, false
}

// LayoutCorner is one leveler at the set height.
type LayoutCorner struct {
	Unit  string    // "A3"
	Key   string    // "FL"
	Place say.Words // "front-left"
	Along length.Length
	floor.Corner
	Extension length.Length
	Within    bool          // between least and greatest
	Left      length.Length // by which it can still come down
	Turns     float64       // from fully in, for one within its travel
	Has       float64       // turns of the bolt altogether
	HasTurns  bool          // both are known

	Hand    HandTurns     // Turns as a hand counts them
	Rounded length.Length // Left when they are turned so; where no threads are planned, when it is set by a rule
}

// Words say which leveler it is: "A3 front-left".
func (c *LayoutCorner) Words() say.Text { return say.That("%[1]s %[2]s", say.Name(c.Unit), c.Place) }

// Layouts computes the layout of every elevation, in walking order.
func Layouts(rec *schema.Record, found *Findings) []Layout { return NewDraft(rec, found).All() }

// All computes the layouts of all rooms.
func (d *Draft) All() (all []Layout) {
	for i := range d.job.rec.Planned.Rooms {
		all = append(all, d.Room(i)...)
	}
	return all
}

// Draft makes the layouts of a job room by room, for those who want to keep no
// more than one room's at a time.
type Draft struct {
	job   *facts
	found *Findings
	trial *SetHeight // nil for that of the record
}

// NewDraft begins the layouts of a record with what [Run] found in it.
func NewDraft(rec *schema.Record, found *Findings) *Draft {
	job := newJob(rec, rec.Measured.VisitsInTime())
	job.limits, _ = contractLimits(rec, nil) // Run has looked at them
	return &Draft{job: job, found: found}
}

// Room computes the layouts of the elevations of one room, by its position in
// the plan.
func (d *Draft) Room(i int) []Layout {
	results := ofFloor(d.found.Rooms[i].Results)
	was := results
	r := newRoom(d.job.rec, i, d.job.visits)
	trials := make([]*Trial, len(r.elevations))
	if d.trial != nil {
		trials = d.trial.try(r)
		results = ofFloor(d.job.judge(r, floorRules(), nil))
	}
	all := make([]Layout, len(r.elevations))
	for n, e := range r.elevations {
		all[n] = e.layout(r.plan.Name)
		all[n].Changes = (&bench{facts: d.job}).layoutChanges(e)
		all[n].Cuts = (&bench{facts: d.job}).cuts(e, r.plan.Name)
		all[n].Results = results[e.subject]
		all[n].Screwed = d.job.screwedOf(e)
		(&bench{facts: d.job}).hands(&all[n])
		if all[n].Trial = trials[n]; trials[n] != nil {
			trials[n].Was = was[e.subject]
		}
		for _, list := range d.found.Rooms[i].Turns {
			// What to turn is told of the mark that tops were read with.
			if list.Elevation == e.plan.Name && trials[n] == nil {
				all[n].Turns = append(all[n].Turns, list)
			}
		}
	}
	all[0].OneHeight = (&bench{facts: d.job}).oneHeight(r)
	return all
}

// layoutChanges are the changes of an elevation whose uncertainty is known.
func (b *bench) layoutChanges(e *elevation) (all []LayoutChange) {
	changes, _ := b.changes(e)
	for _, c := range changes {
		if c.doubt.known {
			all = append(all, LayoutChange{c.unit.plan.Tag, c.at.name, c.of, c.x, c.up, nearest(coverage * c.doubt.u)})
		}
	}
	return all
}

// layoutUnits are the units of an elevation as they are drawn.
func (e *elevation) layoutUnits() (all []LayoutUnit) {
	for _, u := range e.units {
		unit := LayoutUnit{Tag: u.plan.Tag, X: u.x, Width: u.width, Cabinet: u.cabinet}
		if u.cabinet != nil {
			unit.Height, unit.Depth, unit.Behind = *u.body.Height, *u.body.Depth, u.behind
		}
		all = append(all, unit)
	}
	return all
}

func (e *elevation) layout(room string) Layout {
	s := e.floor
	l := Layout{
		Room: room, Elevation: e.plan.Name, Plan: e.plan, Width: e.width,
		Surveyed: s.ok, Visit: s.visit, Visits: s.visits, Apart: s.apart, Floor: s.floor, F: map[string]floor.FNumbers{},
		Packed: s.packed, Begun: e.begun(), Reference: e.reference(),
	}
	l.Units = e.layoutUnits()
	if !s.ok {
		return l
	}
	var known bool
	if l.High, known = s.floor.High(0, e.width); known {
		l.Low, _ = s.floor.Low(0, e.width)
		l.Fall, _ = s.floor.Fall(0, e.width)
		l.Between = e.between(l.High)
	}
	for _, read := range s.lines() {
		l.F[read.name] = evenly(read.line).FNumbers()
		if gap, ok := read.line.StraightedgeGap(straightedge); ok && (l.GapLine == "" || gap.Size > l.Gap.Size) {
			l.Gap, l.GapLine = gap, read.name
		}
	}
	all := s.corners
	l.Marked = s.marked
	if l.SetTop, l.Set = s.setTop(e, all); !l.Set {
		return l
	}
	l.Travel, l.Bare = floor.TravelOf(all), floor.TravelOf(withoutReserve(all))
	l.Packing = floor.Packing(l.SetTop, all)
	i := 0
	for _, u := range e.units {
		if u.cabinet == nil {
			continue
		}
		for _, c := range corners {
			x, _ := u.place(c)
			lc := LayoutCorner{Unit: u.plan.Tag, Key: c.key, Place: c.word, Along: x, Corner: all[i]}
			i++
			if lc.Known {
				lc.Extension = lc.Corner.Extension(l.SetTop)
				lc.Left = lc.Corner.Left(l.SetTop)
				lc.Within = lc.Extension >= lc.Least && lc.Extension <= lc.Greatest
				lc.Has, lc.HasTurns = lc.Corner.Has()
				if lc.Within {
					lc.Turns, _ = lc.Corner.Turns(l.SetTop)
				}
				if !l.Marked && l.Highest.Empty() && lc.Left == lc.Reserve {
					l.Highest = lc.Words()
				}
			} else {
				l.OffFloor = true
			}
			l.Corners = append(l.Corners, lc)
		}
	}
	return l
}

// begun reports whether setting has begun: something stands on its levelers.
func (e *elevation) begun() bool {
	for _, u := range cabinetsOf(e.units) {
		for _, s := range u.asCab.all {
			if s.seen.Tops != (schema.CornerLengths{}) || s.seen.Extension != (schema.CornerLengths{}) {
				return true
			}
		}
	}
	return false
}

// between reports whether a spot of the floor is higher than what lies under
// any leveler.
func (e *elevation) between(spot floor.Spot) bool {
	for _, u := range cabinetsOf(e.units) {
		for _, c := range corners {
			if down, ok := e.bareUnder(&e.floor, u, c); ok && down <= spot.Down {
				return false
			}
		}
	}
	return true
}

// Tight reports whether some leveler would have less than its reserve at the
// set height, where nothing stands yet: it is time to raise it.
func (l *Layout) Tight() bool {
	return !l.Begun && slices.ContainsFunc(l.Corners, func(c LayoutCorner) bool { return c.Known && c.Left < c.Reserve })
}

// Stops are the results that stop the work, and what else is worth knowing. The
// notice of too little reserve stops it as long as nothing stands.
func (l *Layout) Stops() (stops, others []Result) {
	for _, r := range l.Results {
		switch {
		case !r.Outcome.Holds(), r.Outcome == Notice && r.Rule == reserveLeft && l.Tight():
			stops = append(stops, r)
		case r.Outcome != Pass && r.Outcome != NotApplicable:
			others = append(others, r)
		}
	}
	return stops, others
}

// evenly returns the readings from the left for as long as they are 12 in
// apart, as F-numbers want them; the last stretch to a wall seldom is.
func evenly(l floor.Line) floor.Line {
	n := min(1, len(l))
	for n < len(l) && l[n].At-l[n-1].At == length.Foot {
		n++
	}
	return l[:n]
}
