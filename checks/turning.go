package checks

import (
	"math"
	"slices"

	"setline.example/checks/floor"
	"setline.example/checks/turns"
	"setline.example/checks/zone"
	"setline.example/schema/length"
)

// usualResolution is the step in which heights are taken to be read where no
// instrument says it.
const usualResolution = length.Inch / 64

// turner is an elevation of which it is looked for what to turn in its runs.
type turner struct {
	*bench
	e        *elevation
	levelers map[string]floor.Corner
	held     heldAgainst
	jointsOf [][]*joint // of each run
	then     *earlier
	budget   *turns.Budget
	before   map[int]*turner // the same elevation as earlier visits left it, by their number
}

// earlier are rooms as they stood after so many visits, made once for all
// elevations and runs that ask for them, and what is left to search with.
type earlier struct {
	rooms  map[int]*room
	budget *turns.Budget
}

// mostEarlier is of how many days of a room it is looked for what was asked to be
// turned then. Each costs as much as the whole room, and a room whose runs were
// left by more visits than this is none that anybody levels.
const mostEarlier = 50

func newEarlier(budget *turns.Budget) *earlier { return &earlier{map[int]*room{}, budget} }

func (b *bench) turner(e *elevation, budget *turns.Budget) *turner {
	t := &turner{bench: b, e: e, budget: budget, held: b.under(setHeightHeld).setHeightOf(e), levelers: map[string]floor.Corner{}, before: map[int]*turner{}}
	for _, c := range e.floor.corners {
		t.levelers[c.Name] = c
	}
	joints := e.joints
	for _, run := range e.runs {
		t.jointsOf = append(t.jointsOf, joints[:len(run)])
		joints = joints[len(run):]
	}
	return t
}

// asOf is the elevation as the first so many visits left it, nil where there are
// too many such days.
func (t *turner) asOf(visits int) *turner {
	if was, ok := t.before[visits]; ok {
		return was
	}
	r, ok := t.then.rooms[visits]
	own := *t.facts
	own.visits = t.visits[:visits]
	if !ok {
		if len(t.then.rooms) == mostEarlier {
			return nil
		}
		r = newRoom(t.rec, t.e.subject.room, own.visits)
		t.then.rooms[visits] = r
	}
	own.rooms = []*room{r}
	was := (&bench{facts: &own}).turner(r.elevations[t.e.subject.elevation], t.budget)
	t.before[visits] = was
	return was
}

// turning is a run of which it is looked for what to turn.
type turning struct {
	*turner
	number   int // of the run in its elevation
	cabinets []*unit
	joints   []*joint // of the run
	points   []point  // top corners that were read, cabinet by cabinet
	parts    []point  // the same as far as uncertainties go
	run      turns.Run
	list     TurnList
}

// listsOf are the lists of the runs of an elevation that do not pass, and then is
// where to look for what was turned before.
func (b *bench) listsOf(e *elevation, then *earlier) (all []TurnList) {
	t := b.turner(e, then.budget)
	t.then = then
	for i := range e.runs {
		if list, ok := t.listOf(i); ok {
			all = append(all, list)
		}
	}
	return all
}

// listOf is the list of one run; ok is false where it passes.
func (t *turner) listOf(number int) (list TurnList, ok bool) {
	one := &turning{turner: t, number: number, cabinets: cabinetsOf(t.e.runs[number]), joints: t.jointsOf[number]}
	if o := one.outcome(one.cabinets); o != Fail && o != Undecided {
		return TurnList{}, false
	}
	one.find()
	if t.then != nil && len(one.list.Turns) > 0 {
		one.findStiff()
	}
	return one.list, true
}

// under is a bench for another rule.
func (b *bench) under(rule *Rule) *bench {
	l := limitOf(b.limits, rule)
	return &bench{facts: b.facts, rule: rule, limit: l.limit, source: l.source}
}

// outcome is what the rules of level, set height, plane, twist and travel say of
// the tops of cabinets as they were read, whatever nobody looked at.
func (t *turning) outcome(cabinets []*unit) Outcome {
	w := t.weigh()
	groups, _ := runPoints(t.e, cabinets)
	plane, height, twist := t.under(topsInOnePlane), t.under(setHeightHeld), t.under(cabinetTwist)
	for _, points := range groups {
		t.weighPairs(t.e, points, w)
		if z, ok := plane.zoneTrial(t.e, points); ok {
			w.add(z)
		}
	}
	for _, u := range cabinets {
		for _, p := range u.tops.points {
			if set, parts, ok := height.heldTo(t.e, p, t.held); ok {
				w.add(height.setHeightTrial(t.e, p, set, parts))
			}
		}
		if tw, ok := twist.twistTrial(t.e, u); ok {
			w.add(tw)
		}
	}
	if slices.ContainsFunc(cabinets, t.standsOut) {
		return Fail
	}
	return w.outcome
}

// standsOut reports whether a leveler of a cabinet stands out further than it may,
// as its top was read or as it was recorded.
func (t *turning) standsOut(u *unit) bool {
	return slices.ContainsFunc(u.tops.points, func(p point) bool {
		at := slices.IndexFunc(corners[:], func(c corner) bool { return c.key == p.at.name })
		_, most, known := t.extensionNow(p, corners[at])
		return known && most > u.body.Leveler.Greatest
	})
}

// find makes the list.
func (t *turning) find() {
	l := &t.list
	l.Room, l.Elevation, l.Of = t.cabinets[0].subject.Room, t.e.plan.Name, ofRun(t.cabinets)
	l.from, l.to = t.cabinets[0].subject, t.cabinets[len(t.cabinets)-1].subject
	t.look()
	if len(l.NotBearing) > 0 {
		return
	}
	if groups := t.e.tied(t.points); len(groups) > 1 {
		l.Untied = true
		return
	}
	if len(t.points) > turns.Longest {
		t.tellWhy(turns.TooLong)
		return
	}
	t.model()
	answer := turns.Solve(t.run)
	if answer.Solved && t.outcome(t.turned(answer.Eighths)) != Pass {
		answer = turns.Answer{Why: turns.CannotTell}
	}
	if answer.Solved {
		t.tell(answer)
	} else {
		t.tellWhy(answer.Why)
	}
}

// look finds the corners that were read, and those that were not.
func (t *turning) look() {
	for _, u := range t.cabinets {
		for _, c := range corners {
			name := CornerName{u.plan.Tag, c.key, c.word}
			if o := theBearing.latest(&u.asCab, c.key); o.ok && !o.value {
				t.list.NotBearing = append(t.list.NotBearing, name)
			}
			if !slices.ContainsFunc(u.tops.points, func(p point) bool { return p.at.name == c.key }) {
				t.list.Unread = append(t.list.Unread, name)
			}
		}
		t.points = append(t.points, u.tops.points...)
	}
	t.list.Bolts = len(t.points)
}

// model makes the run of bolts out of what was read.
func (t *turning) model() {
	t.parts = t.e.tied(t.points)[0]
	heights := t.heights()
	t.run = turns.Run{
		Held:   length.Length(t.under(setHeightHeld).limit.N),
		Twist:  length.Length(t.under(cabinetTwist).limit.N),
		Plane:  length.Length(t.under(topsInOnePlane).limit.N),
		Level:  func(i, j int) length.Length { return t.level.of(&t.points[i], &t.points[j]) },
		Marked: t.list.Marked, Resolution: t.resolution(), Budget: t.budget,
	}
	if t.rec.Planned.DecisionRule == Guarded {
		t.run.Guard = t.guard
	}
	for i, p := range t.points {
		t.run.Corners = append(t.run.Corners, t.corner(i, p, heights[i]))
	}
	t.join()
}

// heights are those of the corners above the mark, or above the middle one of
// them where there is none.
func (t *turning) heights() []length.Length {
	all := make([]length.Length, len(t.points))
	t.list.Marked = true
	for i, p := range t.points {
		mark, marked := t.e.mark(p.visit)
		if !marked {
			mark = t.held.set
			t.list.Marked = t.list.Marked && t.held.ok && p.visit == t.held.visit
		}
		all[i] = less(mark, p.down)
	}
	if !t.list.Marked {
		for i, p := range t.parts {
			all[i] = -p.down
		}
		sorted := slices.Sorted(slices.Values(all))
		for i := range all {
			all[i] = less(all[i], sorted[len(sorted)/2])
		}
	}
	return all
}

// resolution is the coarsest step in which the tops were read.
func (t *turning) resolution() (step length.Length) {
	for _, p := range t.points {
		if in := t.readers.of(p.visit, "heights"); in != nil && in.Resolution != nil {
			step = max(step, *in.Resolution)
		}
	}
	if step == 0 {
		return usualResolution
	}
	return step
}

// guard is what the guarded rule takes from the limit of a sum of heights.
func (t *turning) guard(weights []zone.Weight) (by length.Length, ok bool) {
	parts := make([]part, len(weights))
	for i, w := range weights {
		parts[i] = part{t.parts[w.Point], w.Weight}
	}
	if _, marked := t.e.mark(parts[0].visit); len(parts) == 1 && !marked {
		parts = append(parts, t.e.setBy()...)
	}
	d := t.together(t.e, parts...)
	return nearest(math.Ceil(coverage * d.u)), d.known
}

func (t *turning) corner(i int, p point, height length.Length) turns.Corner {
	at := slices.IndexFunc(corners[:], func(c corner) bool { return c.key == p.at.name })
	c := turns.Corner{
		Cabinet: slices.Index(t.cabinets, p.unit), Place: at, X: p.x, Y: p.y, H: height, Joined: i,
	}
	l := p.unit.body.Leveler
	var pitch length.Length
	if l.Pitch != nil {
		pitch = *l.Pitch
	}
	var ok bool
	if c.Step, ok = turns.Eighth(l.ThreadsPerInch, pitch); !ok {
		c.Step = turns.Of(usualResolution)
	}
	if least, most, known := t.extensionNow(p, corners[at]); known {
		c.Travel = true
		// One that stands out further than it may has to come down.
		c.Down, c.Up, c.Reserve = max(0, less(least, l.Least)), less(l.Greatest, most), reserveOf(l)
	} else {
		t.list.Untold = append(t.list.Untold, CornerName{p.unit.plan.Tag, p.at.name, p.of})
	}
	return c
}

// extensionNow is how far a leveler stands out, at least and at most: as it was
// recorded and the top moved since, and as floor and top imply. Where both are known
// both count, as they do for the rules: it goes no further up than the one lets it,
// and no further down than the other.
func (t *turning) extensionNow(p point, c corner) (least, most length.Length, ok bool) {
	recorded, known := t.recordedNow(p, c)
	implied, found := t.impliedNow(p)
	switch {
	case known && found:
		return min(recorded, implied), max(recorded, implied), true
	case known:
		return recorded, recorded, true
	}
	return implied, implied, found
}

// recordedNow is how far a leveler stands out as it was recorded and the top moved since.
func (t *turning) recordedNow(p point, c corner) (extension length.Length, ok bool) {
	o := theExtension.latest(&p.unit.asCab, c.key)
	if !o.ok {
		return 0, false
	}
	top, found := t.topWith(p.unit, c, o)
	if found && top.visit == p.visit {
		return less(o.value, less(p.down, top.value)), true
	}
	now, tied := t.e.mark(p.visit)
	then, marked := t.e.mark(top.visit)
	return less(o.value, less(less(p.down, now), less(top.value, then))), found && tied && marked
}

// impliedNow is how far a leveler stands out as floor and top imply.
func (t *turning) impliedNow(p point) (extension length.Length, ok bool) {
	s, k := t.e.floor, t.levelers[p.name]
	now, tied := t.e.mark(p.visit)
	switch {
	case !s.ok || !k.Known:
		return 0, false
	case p.visit == s.visit:
		return k.Extension(p.down), true
	case tied && s.marked:
		return k.Extension(less(s.mark, less(now, p.down))), true
	}
	return 0, false
}

// join joins the corners that meet in joints seen to be fastened there.
func (t *turning) join() {
	at := map[string]int{}
	for i, p := range t.points {
		at[p.name] = i
	}
	for _, j := range t.joints {
		if j == nil || !j.cabinets() {
			continue
		}
		if step := theTopStep.latest(&j.seen, ""); step.ok && step.value.Abs() > length.Length(limitOf(t.limits, topsFlush).limit.N) {
			if j.fastened() {
				t.list.Loosen = append(t.list.Loosen, j.name)
			}
			continue
		}
		for _, f := range j.fixings() {
			left, right := " FR", " FL"
			if f.key != "front" {
				left, right = " BR", " BL"
			}
			p, read := at[j.left.plan.Tag+left]
			q, both := at[j.right.plan.Tag+right]
			if read && both && f.got.ok && f.got.value.Count > 0 && t.points[p].y == t.points[q].y {
				t.run.Corners[p].Joined, t.run.Corners[q].Joined = q, p
			}
		}
	}
}

// fastened reports whether any screw was seen in a joint.
func (j *joint) fastened() bool {
	return slices.ContainsFunc(j.fixings(), func(f fixing) bool { return f.got.ok && f.got.value.Count > 0 })
}

// turned are the cabinets as they stand once the bolts are turned.
func (t *turning) turned(eighths []int) []*unit {
	all := make([]*unit, len(t.cabinets))
	i := 0
	for n, u := range t.cabinets {
		own := *u
		own.tops.points = slices.Clone(u.tops.points)
		for k := range own.tops.points {
			own.tops.points[k].down = less(own.tops.points[k].down, t.run.Corners[i].Rise(eighths[i]))
			i++
		}
		all[n] = &own
	}
	return all
}

// tell writes the answer down.
func (t *turning) tell(a turns.Answer) {
	l := &t.list
	l.AtLeast, l.Fewest, l.Spends = a.AtLeast, a.AtLeast == a.Bolts, a.Spends
	for i, n := range a.Eighths {
		c := t.run.Corners[i]
		name := t.name(i)
		if n == 0 {
			if c.H != 0 && l.Marked {
				l.Stays = append(l.Stays, OffMark{name, c.H})
			}
			continue
		}
		turn := Turn{CornerName: name, Eighths: n, Rise: c.Rise(n)}
		if t.points[i].unit.body.Leveler.ThreadsPerInch == 0 && t.points[i].unit.body.Leveler.Pitch == nil {
			turn.Eighths = 0
		}
		l.Turns = append(l.Turns, turn)
	}
	l.Untold = slices.DeleteFunc(l.Untold, func(c CornerName) bool {
		return !slices.ContainsFunc(l.Turns, func(t Turn) bool { return t.CornerName == c })
	})
	for _, two := range a.Loosen {
		for _, j := range t.joints {
			if j != nil && j.left == t.points[two[0]].unit && j.right == t.points[two[1]].unit && !slices.Contains(l.Loosen, j.name) {
				l.Loosen = append(l.Loosen, j.name)
			}
		}
	}
}

func (t *turning) name(i int) CornerName {
	p := t.points[i]
	return CornerName{p.unit.plan.Tag, p.at.name, p.of}
}

// tellWhy writes down why there is no answer, and what would serve.
func (t *turning) tellWhy(why turns.Why) {
	l := &t.list
	l.Why = whyWords(why)
	l.Untold = nil
	if why != turns.Beyond {
		return
	}
	s := turns.Serving(t.run.Corners)
	l.Serve, l.Least, l.Most, l.Raise = s.Heights, s.Least, s.Most, s.At
	if by, ok := l.Move(); ok {
		l.Serve = t.serves(by)
	}
	for i := range t.points {
		if s.Short[i] != 0 {
			l.Short = append(l.Short, ShortBolt{t.name(i), s.Short[i]})
		}
		if s.Packing[i] > 0 {
			l.Packing = append(l.Packing, Packed{t.name(i), s.Packing[i], t.e.floor.packed[t.points[i].name]})
		}
	}
}

// serves reports whether there is something to turn for a set height higher by so much.
func (t *turning) serves(by length.Length) bool {
	run := t.run
	run.Corners = slices.Clone(run.Corners)
	for i := range run.Corners {
		run.Corners[i].H = less(run.Corners[i].H, by)
	}
	return turns.Solve(run).Solved
}
