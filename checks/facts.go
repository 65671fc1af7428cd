package checks

import (
	"slices"

	"setline.example/schema"
	"setline.example/schema/length"
)

// facts are what several rules need to know of a record, computed once.
type facts struct {
	rec    *schema.Record
	sys    length.System // how lengths are written
	visits []int         // positions in the record of the visits that count, in time order
	since  int           // place in time of the first of them that was not judged before
	rooms  []*room       // those that are being judged
	made   *room         // the last that [facts.room] made
	arrivals
	counted *labelled // labels of the job, counted when first asked
	readers readers
	out     *instrumentsOut
	dates   []schema.Date       // of the job, in order
	screws  map[string][]string // planned for each use, by name

	// limits are those that the contract sets; level is that of level and plumb,
	// the default or the contract's. Rules about fronts look at level too.
	limits map[string]limitChange
	level  levelLimit
}

// room is a planned room and what was seen of it.
type room struct {
	plan       *schema.Room
	index      int    // position in the plan
	closing    bool   // the contract asks for what closes it out
	at         string // pointer to the plan
	elevations []*elevation
	site       [len(siteStates)]siteSeen
	seen       sightings[schema.RoomSeen]
}

// elevation is a planned elevation with its units and joints.
type elevation struct {
	plan              *schema.Elevation
	at                string // pointer to the plan
	subject           Subject
	width             length.Length       // from the left end of the first unit to the right end of the last, as drawn
	depth             length.Length       // of its deepest cabinet: how far its front line lies before its back line
	finish            *schema.FloorFinish // of the room; nil where none is planned
	closing           bool                // the contract asks for what closes it out
	units             []*unit
	joints            []*joint  // the joint on the left of each unit, nil where there is none
	runs              [][]*unit // units joined to each other, with no space between
	seen              sightings[schema.ElevationSeen]
	marks, markPlaces perVisit // of the set-height mark
	floor             surveyed // as last surveyed
	surveys           surveys
	doubted           map[int]doubted // by the place in time of a visit, where they were looked for
}

// unit is a cabinet or a filler and what was seen of it, in time order.
type unit struct {
	plan    *schema.Unit
	at      string // pointer to the plan
	subject Subject
	x       length.Length   // of its left side, from the left end of the elevation, as drawn
	width   length.Length   // as drawn
	behind  length.Length   // of a cabinet: how far its back stands before that of the deepest, since fronts are flush
	cabinet *schema.Cabinet // nil for a filler
	body    schema.Body     // of a cabinet
	fronts  []string        // names of its doors and drawers
	tops    tops            // of a cabinet
	filler  *schema.Filler  // nil for a cabinet
	asCab   sightings[schema.CabinetSeen]
	packed  []sighting[schema.CabinetSeen] // those of them that saw packing
	asFill  sightings[schema.FillerSeen]
}

// joint is the meeting of two neighbouring units and what was seen of it, in time order.
type joint struct {
	name        string
	at          string // pointer to the plan of the unit on its right
	subject     Subject
	left, right *unit
	seen        sightings[schema.JointSeen]
}

// newJob computes what all rooms share, and no room.
func newJob(rec *schema.Record, visits []int) *facts {
	return arrived(rec, newArrivals(rec), visits)
}

// arrived is [newJob] of a record of which it is known what arrived.
func arrived(rec *schema.Record, came arrivals, visits []int) *facts {
	f := &facts{
		rec: rec, sys: rec.Planned.LengthsIn, visits: visits, dates: datesOf(rec), screws: screwsByUse(rec),
		arrivals: came, counted: &labelled{}, readers: newReaders(rec), out: &instrumentsOut{},
	}
	if f.sys == "" {
		f.sys = length.InchSystem
	}
	return f
}

// newFacts computes the facts of rec as known after the given visits, which
// are positions in the record in time order.
func newFacts(rec *schema.Record, visits []int) *facts {
	f := newJob(rec, visits)
	for i := range rec.Planned.Rooms {
		f.rooms = append(f.rooms, newRoom(rec, i, visits))
	}
	return f
}

// room is a room by its position in the plan. The last is kept: of a job of one
// room whoever asks again has it, and a large job keeps no more than one.
func (f *facts) room(i int) *room {
	if f.made == nil || f.made.index != i {
		f.made = newRoom(f.rec, i, f.visits)
	}
	return f.made
}

func newRoom(rec *schema.Record, i int, visits []int) *room {
	r := plannedRoom(rec, i)
	for when, v := range visits {
		if seen, ok := rec.Measured.Visits[v].Rooms[r.plan.Name]; ok {
			r.addVisit(rec, when, v, rec.Measured.Visits[v].Date, &seen)
		}
	}
	r.settle()
	return r
}

// plannedRoom is a room that nobody has seen yet.
func plannedRoom(rec *schema.Record, i int) *room {
	plan := &rec.Planned.Rooms[i]
	r := &room{plan: plan, index: i, closing: rec.Planned.ClosingOut, at: schema.Pointer("/planned/rooms", i)}
	for j := range plan.Elevations {
		r.elevations = append(r.elevations, r.newElevation(rec, i, j))
	}
	return r
}

// settle computes what follows from all visits so far.
func (r *room) settle() {
	for _, e := range r.elevations {
		e.doubted = nil
		e.floor = e.survey(r.elevations)
		for _, u := range cabinetsOf(e.units) {
			u.tops = u.readTops()
		}
	}
}

func (r *room) newElevation(rec *schema.Record, i, j int) *elevation {
	plan := &r.plan.Elevations[j]
	e := &elevation{
		plan:    plan,
		finish:  r.plan.FloorFinish,
		closing: rec.Planned.ClosingOut,
		at:      schema.Pointer(r.at, "elevations", j),
		subject: Subject{r.plan.Name, plan.Name, SubjectElevation, "elevation " + plan.Name, plan.Name, "", i, j, -2}, // before its units
	}
	for k := range plan.Units {
		u := &unit{
			plan:    &plan.Units[k],
			at:      schema.Pointer(r.at, "elevations", j, "units", k),
			subject: Subject{r.plan.Name, plan.Name, SubjectUnit, plan.Units[k].Tag, plan.Units[k].Tag, "", i, j, 2 * k},
		}
		if c, ok := rec.Planned.Cabinets[u.plan.Part]; ok {
			u.cabinet, u.body, u.width, u.fronts = &c, rec.Planned.BodyOf(c), c.Width, c.FrontNames()
		} else if f, ok := rec.Planned.Fillers[u.plan.Part]; ok {
			u.filler, u.width = &f, f.Width
		}
		if u.plan.SpaceBefore != nil {
			e.width += *u.plan.SpaceBefore
		}
		u.x = e.width
		e.width += u.width
		var left *joint
		if k > 0 && u.plan.SpaceBefore == nil {
			neighbour := e.units[k-1]
			name := schema.JointName(neighbour.plan.Tag, u.plan.Tag)
			left = &joint{
				name: name, at: u.at, left: neighbour, right: u,
				subject: Subject{r.plan.Name, plan.Name, SubjectJoint, name, neighbour.plan.Tag, u.plan.Tag, i, j, 2*k - 1}, // between its two units
			}
		}
		if left == nil {
			e.runs = append(e.runs, nil)
		}
		last := len(e.runs) - 1
		e.runs[last] = append(e.runs[last], u)
		e.units, e.joints = append(e.units, u), append(e.joints, left)
		if u.cabinet != nil {
			e.depth = max(e.depth, *u.body.Depth)
		}
	}
	for _, u := range cabinetsOf(e.units) {
		u.behind = e.depth - *u.body.Depth
	}
	return e
}

func (r *room) addVisit(rec *schema.Record, when, v int, day schema.Date, seen *schema.RoomSeen) {
	at := schema.Pointer("/measured/visits", v, "rooms", r.plan.Name)
	r.seen.add(sighting[schema.RoomSeen]{when, v, day, at, seen, ""})
	r.addSite(rec.Measured.Visits[v].Site, v)
	for _, e := range r.elevations {
		if s, ok := seen.Elevations[e.plan.Name]; ok {
			all := sighting[schema.ElevationSeen]{when, v, day, schema.Pointer(at, "elevations", e.plan.Name), &s, ""}
			e.addClosed(all)
			e.seen.add(all)
			e.marks.add(v, theMark.read(&s, ""))
			e.markPlaces.add(v, theMarkPlace.read(&s, ""))
			e.addSaid(rec, all)
		}
		for _, u := range e.units {
			if s, ok := seen.Cabinets[u.plan.Tag]; ok {
				one := sighting[schema.CabinetSeen]{when, v, day, schema.Pointer(at, "cabinets", u.plan.Tag), &s, ""}
				u.asCab.add(one)
				if slices.ContainsFunc(corners[:], func(c corner) bool { return thePacking.read(&s, c.key) != nil }) {
					u.packed = append(u.packed, one)
				}
			}
			if s, ok := seen.Fillers[u.plan.Tag]; ok {
				u.asFill.add(sighting[schema.FillerSeen]{when, v, day, schema.Pointer(at, "fillers", u.plan.Tag), &s, ""})
			}
		}
		for _, j := range e.joints {
			if j == nil {
				continue
			}
			if s, ok := seen.Joints[j.name]; ok {
				j.seen.add(sighting[schema.JointSeen]{when, v, day, schema.Pointer(at, "joints", j.name), &s, ""})
			}
		}
	}
}
