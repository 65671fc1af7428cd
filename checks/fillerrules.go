package checks

import (
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

var fillerFirst = &Rule{
	ID:         "filler-before-first-cabinet",
	Name:       "filler before first cabinet",
	Family:     Fillers,
	Asks:       "Where a run begins at an exposed end, the filler there is set before the first cabinet.",
	Why:        "The filler at an exposed end sets the line that every front follows. Fitted afterwards, it shows every fault of the run at its most visible end.",
	LimitWords: "set first",
	Source:     CommonPractice,
	Needs:      "Write down for the filler at the exposed end whether it was set before the first cabinet",
	Remedy:     "See that the filler is flush and comes off, and ask for a concession if it is",
	observe:    askElevations((*asker).askFirst),
	judge:      eachElevation((*bench).first),
}

// exposedFillers are the fillers at the exposed ends of an elevation.
func (e *elevation) exposedFillers() []*unit {
	var ends []*unit
	left, right := e.fillersAt()
	if e.plan.Left == "exposed" && left != nil {
		ends = append(ends, left)
	}
	if e.plan.Right == "exposed" && right != nil {
		ends = append(ends, right)
	}
	return ends
}

// beginsWith reports whether a filler stands at an exposed end of an elevation of cabinets.
func (e *elevation) beginsWith(u *unit) bool {
	return e.hasCabinets() && slices.Contains(e.exposedFillers(), u)
}

func (a *asker) askFirst(e *elevation) {
	for _, u := range e.exposedFillers() {
		a.askEach(theSetFirst.Thing, whose{e: e, u: u}, e.subject)
	}
}

// first judges an elevation by the fillers at its exposed ends, run by run: of two
// exposed ends of one run one is where it began, so that one filler set first is
// enough; with a space between, two runs begin there, each at its own.
func (b *bench) first(e *elevation) {
	if !e.hasCabinets() {
		return
	}
	var worst Result
	var faults []fault
	unseen := false
	for _, run := range e.runs {
		ends := slices.DeleteFunc(e.exposedFillers(), func(u *unit) bool { return !slices.Contains(run, u) })
		if len(ends) == 0 {
			continue
		}
		r := b.firstOf(e, ends)
		switch r.Outcome {
		case Fail:
			faults = append(faults, not("set first", ends[0].plan.Tag))
		case NotObserved:
			unseen = true
		}
		if worst.Outcome == "" || slices.Index(outcomes[:], r.Outcome) < slices.Index(outcomes[:], worst.Outcome) {
			worst = r
		}
	}
	if worst.Outcome == "" {
		return
	}
	worst.faults, worst.unseen = faults, unseen && worst.Outcome == Fail
	b.add(worst)
}

// firstOf is what the fillers at the exposed ends of one run say.
func (b *bench) firstOf(e *elevation, ends []*unit) Result {
	r := Result{Subject: e.subject, Outcome: NotObserved, Visit: -1, Pointer: ends[0].at, Finding: say.That("Which was set first not observed"), Remedy: b.rule.Needs.Text()}
	unseen := false
	for _, u := range ends {
		o := theSetFirst.latest(&u.asFill, "")
		switch {
		case !o.ok:
			unseen = true
		case o.value:
			return Result{Subject: e.subject, Outcome: Pass, Visit: o.visit, Pointer: o.at.pointer(), Finding: say.That("%[1]s was set before the first cabinet", say.Name(u.plan.Tag))}
		default:
			r.Visit, r.Pointer = o.visit, o.at.pointer()
		}
	}
	switch {
	case unseen:
	case len(e.runs) > 1:
		r.Outcome, r.Finding, r.Remedy = Fail, say.That("%[1]s was not set before the first cabinet of its run", say.Name(ends[0].plan.Tag)), say.Text{}
	default:
		r.Outcome, r.Finding, r.Remedy = Fail, say.That("No filler at an exposed end was set before the first cabinet"), say.Text{}
	}
	return r
}

var fillerFlush = &Rule{
	ID:        "filler-flush",
	Name:      "filler flush",
	Family:    Fillers,
	Asks:      "The face of every filler lies in one plane with the side of the cabinet beside it, and its upper end at the height of that cabinet's top.",
	Why:       "A filler that stands out catches, and holds the top off the cabinets.",
	Limit:     LengthOf(length.Inch / 16),
	BothSides: true,
	Formula:   "the greater of |side offset| and |top offset|",
	Source:    "common practice, no source; as for fronts",
	Needs:     "Measure the greatest offset of the filler from the cabinet's side edge and from its top edge",
	Remedy:    "Loosen the filler from inside, bring it flush, and fasten it again",
	observe:   asks(theSideStep.Thing, theFillerTopStep.Thing),
	again:     faultedBy(byField),
	judge:     judgeFillerFlush,
}

func judgeFillerFlush(b *bench) {
	b.units(func(_ *room, u *unit) {
		if u.filler == nil {
			return
		}
		w := b.weigh()
		var unseen []say.Text
		for _, edge := range fillerEdges {
			if o := edge.step.latest(&u.asFill, ""); o.ok {
				w.add(b.offset(faultOf{edge.step.Field, "", ""}, edge.words.Text(), o))
			} else {
				unseen = append(unseen, say.That("offset from the %[1]s", edge.words))
			}
		}
		b.conclude(u.subject, u.at, say.That("offset of the filler"), w, unseen, func(t trial) say.Text {
			if t.value == 0 {
				return say.That("Flush with side and top edge")
			}
			return say.That("Stands %[1]s from the %[2]s", t.value, t.words)
		})
	})
}

// fillerEdges are the edges of the cabinet beside a filler with which it is flush.
var fillerEdges = [...]struct {
	words say.Words
	step  thing[schema.FillerSeen, length.Length]
}{
	{"side edge", theSideStep},
	{"top edge", theFillerTopStep},
}
