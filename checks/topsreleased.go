package checks

import (
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
)

// The release for tops is a hold point: it is asked for wherever tops are
// planned, and where the contract asks for what closes an elevation out.

var topsReleased = &Rule{
	ID: "tops-released", Name: "tops released", Family: ClosingOut,
	Asks:         "The run was released for its top by people who are named, before the top was laid: levelers, drawers and screws above are closed off by it.",
	Why:          "It is the last moment at which a leveler can be turned from above, and everything that comes later rests on it.",
	LimitWords:   "yes",
	Source:       CommonPractice,
	Needs:        "See that all that is under the top holds, and release the run before the top is laid",
	Remedy:       "Hold the top until what keeps the run from being released is put right",
	NoConcession: "a top laid on what nobody released cannot be lifted again without cost to others",
	observe:      asks(theTopsReleased.Thing, theReleasedBy.Thing, theReleasedRuns.Thing),
	again:        againReleased,
	judge:        eachElevation((*bench).released),
}

// runsToRelease are the cabinets of the runs on which tops will lie: of those
// under planned tops, of all where none are planned.
func (e *elevation) runsToRelease() (runs [][]*unit) {
	tops := e.tops()
	under := func(u *unit) bool {
		return len(tops) == 0 || slices.ContainsFunc(tops, func(t *top) bool { return slices.Contains(t.cabinets, u) })
	}
	for _, run := range e.runs {
		if cabinets := cabinetsOf(run); slices.ContainsFunc(cabinets, under) {
			runs = append(runs, cabinets)
		}
	}
	if len(runs) == 0 && len(tops) == 0 {
		return e.runs // of fillers alone
	}
	return runs
}

// release is the last that was said of whether a run is released for its top.
func (e *elevation) release(run []*unit) observed[bool] {
	i := e.seen.last(sought{theTopsReleased.Thing, run[0].plan.Tag}, func(s *sighting[schema.ElevationSeen]) bool {
		runs := theReleasedRuns.read(s.seen, "")
		return theTopsReleased.read(s.seen, "") != nil && (runs == nil || slices.ContainsFunc(*runs, e.inRun(run[0])))
	})
	if i < 0 {
		return observed[bool]{when: -1, visit: -1}
	}
	s := &e.seen.all[i]
	return theTopsReleased.observedIn(s, theTopsReleased.read(s.seen, ""), theTopsReleased.only)
}

// inRun reports of a tag whether it is of a unit in the same run as u.
func (e *elevation) inRun(u *unit) func(tag string) bool {
	i := slices.IndexFunc(e.runs, func(run []*unit) bool { return slices.Contains(run, u) })
	return func(tag string) bool {
		return slices.ContainsFunc(e.runs[i], func(other *unit) bool { return other.plan.Tag == tag })
	}
}

// releaser says who released on a visit: who is named, else its people.
func (f *facts) releaser(e *elevation, o observed[bool]) say.Text {
	for _, s := range e.seen.on(o.when) {
		if by := theReleasedBy.read(s.seen, ""); by != nil && theTopsReleased.read(s.seen, "") != nil {
			return say.Name(*by).Text()
		}
	}
	var people []say.Text
	for _, p := range f.rec.Measured.Visits[o.visit].People {
		people = append(people, say.Name(p.Name).Text())
	}
	return say.Few(people...)
}

// released judges every run by itself; the worst answer counts.
func (b *bench) released(e *elevation) {
	if !toBeReleased(whose{e: e}) {
		return
	}
	last, runs := map[Outcome]observed[bool]{}, map[Outcome][]say.Text{}
	for _, run := range e.runsToRelease() {
		o, outcome, words := e.release(run), Pass, runSubject(run).ItemWords()
		switch {
		case !o.ok:
			outcome = NotObserved
		case !o.value:
			outcome = Fail
		default:
			words = say.That("%[1]s by %[2]s on %[3]s", words, b.releaser(e, o), b.dateOf(o))
		}
		last[outcome], runs[outcome] = o, append(runs[outcome], words)
	}
	only := len(runs[Fail])+len(runs[NotObserved])+len(runs[Pass]) == 1
	about := func(one, several say.Text) say.Text {
		if only {
			return one
		}
		return several
	}
	r := Result{Subject: e.subject}
	switch {
	case len(runs[Fail]) > 0:
		r.Outcome, r.faults = Fail, []fault{not(theTopsReleased.only, "")}
		r.Finding = about(say.That("Not released for its top"), say.That("Not released for their tops: %[1]s", say.Few(runs[Fail]...)))
	case len(runs[NotObserved]) > 0:
		b.unseen(e.subject, e.at, about(say.That("Release for the top not observed"), say.That("Release for the top of %[1]s not observed", say.Few(runs[NotObserved]...))))
		return
	case len(runs[Pass]) > 0:
		r.Outcome = Pass
		r.Finding = say.That("Released for its top by %[1]s on %[2]s", b.releaser(e, last[Pass]), b.dateOf(last[Pass]))
		if !only {
			r.Finding = say.That("Released for their tops: %[1]s", say.Few(runs[Pass]...))
		}
	default:
		return // tops that lie on nothing
	}
	r.Visit, r.Pointer = last[r.Outcome].visit, last[r.Outcome].at.pointer()
	b.add(r)
}

func (f *facts) dateOf(o observed[bool]) schema.Date { return f.rec.Measured.Visits[o.visit].Date }
