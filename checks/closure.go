package checks

import (
	"math"
	"slices"

	"setline.example/checks/cut"
	"setline.example/checks/say"
	"setline.example/schema/length"
)

var runCloses = &Rule{
	ID:         "run-closes",
	Name:       "run closes",
	Family:     Floor,
	Asks:       "Cabinets, spaces and fillers close the clear opening at the floor, half way up and at the tops: the fillers are needed no wider than they come.",
	Why:        "Walls lean. A run that closes at the floor can be short at the top; found before setting, the fillers are re-cut, found after, the run is set again.",
	LimitWords: "no more than the fillers' width with scribe, and no less than nothing",
	Formula:    "0 <= clear opening - cabinets - spaces <= fillers with scribe, at three heights; widths add up to the sum of their tolerances at worst, and to the root of the sum of their squares",
	Source:     "common practice, no source; computed from plan and opening",
	Needs:      "Measure the clear opening at the floor, half way up and at the tops",
	Remedy:     "Order wider fillers, or settle with the general contractor how the opening is closed",
	OnLayout:   true,
	observe:    asks(theOpening.Thing),
	again:      againOpening,
	judge:      eachElevation((*bench).closes),
}

// tooWide is what to do where cabinets do not go into the opening.
var tooWide = remedy{
	layingOut: "Settle with the general contractor before setting: the cabinets do not go into the opening",
	setting:   "Stop setting and settle with the general contractor: the cabinets do not go into the opening",
}

// closes reports whether the elevation fills a clear opening: an exposed end
// closes nothing.
func (e *elevation) closes() bool {
	closed := func(end string) bool { return end == "wall" || end == "abutting" }
	return closed(e.plan.Left) && closed(e.plan.Right)
}

func (b *bench) closes(e *elevation) {
	if !e.closes() {
		return
	}
	c := e.closure()
	var openings []length.Length
	var unseen []say.Text
	last := observed[length.Length]{when: -1, visit: -1}
	for _, height := range theOpening.keysOf(whose{e: e}) {
		o := theOpening.latest(&e.seen, height)
		if !o.ok {
			unseen = append(unseen, AnswerWords(height))
			continue
		}
		openings = append(openings, o.value)
		if o.when > last.when {
			last = o
		}
	}
	if len(openings) == 0 {
		b.notObserved(e.subject, e.at, say.That("clear opening"))
		return
	}
	least, most := openings[0], openings[0]
	for _, o := range openings {
		least, most = min(least, o), max(most, o)
	}
	needLeast, needMost := least-c.fixed, most-c.fixed
	r := Result{Subject: e.subject, Visit: last.visit, Pointer: last.at.pointer(), Value: LengthOf(needMost), Limit: LengthOf(c.available), Outcome: Pass}
	r.Finding = say.Semicolons(say.That("Fillers needed together: %[1]s; they come %[2]s wide with scribe",
		fromTo(needLeast, needMost), c.available), b.split(e, needLeast, needMost), c.accumulation())
	if needMost > c.available {
		r.faults = append(r.faults, fault{of: faultOf{what: "short"}, value: int64(needMost - c.available)})
	}
	if needLeast < 0 {
		r.faults = append(r.faults, fault{of: faultOf{what: "too wide"}, value: int64(-needLeast)})
	}
	r.unseen = len(unseen) > 0
	switch {
	case needMost > c.available:
		r.Outcome = Fail
		r.Finding = say.Sentences(say.That("Short by %[1]s", needMost-c.available), r.Finding)
	case needLeast < 0:
		r.Outcome = Fail
		r.Finding = say.Sentences(say.That("Cabinets too wide for the opening by %[1]s", -needLeast), r.Finding)
		r.Remedy = tooWide.in(e.phase())
	case b.leansOut(e, &r):
	case len(unseen) > 0:
		b.unseen(e.subject, e.at, say.That("Clear opening not observed at the %[1]s", say.And(unseen...)))
		return
	}
	b.add(r)
}

// leansOut reports whether an opening that is wide enough at every height cannot
// be closed, since its walls lean: cabinets stand plumb, so that what one wall
// gives at a height another may take. r then says so.
func (b *bench) leansOut(e *elevation, r *Result) bool {
	room, fillers := b.lacks(e)
	switch {
	case room > 0:
		r.faults = append(r.faults, fault{of: faultOf{what: "too wide"}, value: int64(room)})
		r.Finding = say.Sentences(say.That("Cabinets too wide by %[1]s to stand plumb between the walls as they lean", room), r.Finding)
		r.Remedy = tooWide.in(e.phase())
	case fillers > 0:
		r.faults = append(r.faults, fault{of: faultOf{what: "short"}, value: int64(fillers)})
		r.Finding = say.Sentences(say.That("Short by %[1]s as the walls lean", fillers), r.Finding)
	default:
		return false
	}
	r.Outcome = Fail
	return true
}

// lacks is what [cut.Opening.Lacks] says of an elevation of which the plumb of a
// wall was read, and the clear opening at all heights; 0 and 0 where a filler
// stands between cabinets, which can give way too.
func (b *bench) lacks(e *elevation) (room, fillers length.Length) {
	if e.fillersBetween() {
		return 0, 0
	}
	o, ok := b.readOpening(e)
	if !ok {
		return 0, 0
	}
	return o.Lacks()
}

// closure is what an elevation puts into its clear opening.
type closure struct {
	fixed     length.Length // cabinets and spaces
	available length.Length // fillers as they come, with scribe
	worst     length.Length // sum of the cabinets' width tolerances
	likely    length.Length // their root sum of squares
	tolerated bool          // every cabinet has one
}

func (e *elevation) closure() closure {
	c := closure{tolerated: true}
	var squares float64
	for _, u := range e.units {
		if u.plan.SpaceBefore != nil {
			c.fixed += *u.plan.SpaceBefore
		}
		if u.filler != nil {
			c.available += u.filler.Width
			if u.filler.Scribe != nil {
				c.available += *u.filler.Scribe
			}
			continue
		}
		c.fixed += u.width
		if t := u.body.WidthTolerance; t != nil {
			c.worst += *t
			squares += float64(float64(*t) * float64(*t))
		} else {
			c.tolerated = false
		}
	}
	c.likely = nearest(math.Sqrt(squares))
	return c
}

// fillersAt gives the fillers at the left and at the right end.
func (e *elevation) fillersAt() (left, right *unit) {
	if u := e.units[0]; u.filler != nil {
		left = u
	}
	if u := e.units[len(e.units)-1]; u.filler != nil && u != left {
		right = u
	}
	return left, right
}

// fillersBetween reports whether a filler stands between cabinets.
func (e *elevation) fillersBetween() bool {
	left, right := e.fillersAt()
	return slices.ContainsFunc(e.units, func(u *unit) bool { return u.filler != nil && u != left && u != right })
}

// split says how wide the fillers at the two ends become: cut to the walls where
// the plumb of one was read, else alike. It says nothing where another filler stands
// between, which can give way too.
func (b *bench) split(e *elevation, least, most length.Length) say.Text {
	left, right := e.fillersAt()
	if left == nil && right == nil || e.fillersBetween() {
		return say.Text{}
	}
	if o, ok := b.readOpening(e); ok {
		return o.asRead(left, right)
	}
	switch {
	case left != nil && right != nil:
		return say.That("cut alike, left (%[1]s) and right (%[2]s) each %[3]s", say.Name(left.plan.Tag), say.Name(right.plan.Tag), fromTo(least/2, most/2))
	case left != nil:
		return say.That("left (%[1]s) %[2]s", say.Name(left.plan.Tag), fromTo(least, most))
	}
	return say.That("right (%[1]s) %[2]s", say.Name(right.plan.Tag), fromTo(least, most))
}

func fromTo(least, most length.Length) say.Text {
	if least == most {
		return say.That("%[1]s", least)
	}
	return say.That("%[1]s to %[2]s", least, most)
}

// readOpening is an opening between walls of which the plumb of one was read, and
// which was read at all heights.
type readOpening struct{ cut.Opening }

func (b *bench) readOpening(e *elevation) (o readOpening, ok bool) {
	left, right := e.fillersAt()
	o.Opening, ok = (&cutting{bench: b, e: e}).opening(left, right)
	return o, ok && (o.Left.Wall.Over > 0 || o.Right.Wall.Over > 0)
}

// asRead says how wide the fillers become between the walls as they were read;
// nothing where one cannot be cut.
func (o readOpening) asRead(left, right *unit) say.Text {
	cuts := o.Cut()
	leftWide, ok1 := widths(cuts.Left)
	rightWide, ok2 := widths(cuts.Right)
	switch {
	case !ok1 || !ok2:
		return say.Text{}
	case left != nil && right != nil:
		return say.That("cut to the walls as read, left (%[1]s) %[2]s and right (%[3]s) %[4]s", say.Name(left.plan.Tag), leftWide, say.Name(right.plan.Tag), rightWide)
	case left != nil:
		return say.That("cut to the walls as read, left (%[1]s) %[2]s", say.Name(left.plan.Tag), leftWide)
	}
	return say.That("cut to the walls as read, right (%[1]s) %[2]s", say.Name(right.plan.Tag), rightWide)
}

// widths are those of a panel at the three heights, the least and the greatest; ok
// is false where nothing is left of it.
func widths(p *cut.Panel) (words say.Text, ok bool) {
	if p == nil {
		return say.Text{}, true
	}
	least, most := p.Width[0].Length, p.Width[0].Length
	for _, w := range p.Width {
		least, most = min(least, w.Length), max(most, w.Length)
	}
	return fromTo(least, most), least > 0
}

// accumulation says what the cabinets' width tolerances can add up to.
func (c closure) accumulation() say.Text {
	if !c.tolerated || c.worst == 0 {
		return say.Text{}
	}
	return say.That("widths can add up to ± %[1]s at worst, ± %[2]s as root sum of squares", c.worst, c.likely)
}
