package checks

import (
	"slices"

	"setline.example/checks/say"
	"setline.example/checks/turns"
)

// byTurning are the rules whose faults are put right by turning bolts.
var byTurning = []*Rule{levelAndPlumb, setHeightHeld, topsInOnePlane, cabinetTwist}

// turnable reports whether a result is one that tops as read do not pass.
func (r *Result) turnable() bool {
	return (r.Outcome == Fail || r.Outcome == Undecided) && slices.Contains(byTurning, r.Rule) &&
		slices.ContainsFunc(r.faults, func(f fault) bool { return !f.byLevel() })
}

// byLevel reports whether a fault is of a reading with a level. What bolts do
// to it follows from no top.
func (f fault) byLevel() bool { return f.of.what == "level" || f.of.what == "plumb" }

// sayWhatToTurn finds the lists of what to turn, and lets remedies name them:
// the first result of a run has its list, the others say where it is.
func (f *Findings) sayWhatToTurn() {
	job, budget := f.job, turns.NewBudget()
	for i := range f.Rooms {
		v := &f.Rooms[i]
		var wrong []*Result // in walking order
		for n := range v.Results {
			if r := &v.Results[n]; r.turnable() {
				wrong = append(wrong, r)
			}
		}
		if len(wrong) == 0 {
			continue
		}
		r := job.room(i)
		own := *job
		own.rooms = []*room{r}
		b, then := &bench{facts: &own}, newEarlier(budget)
		for _, e := range r.elevations {
			for _, list := range b.listsOf(e, then) {
				if list.remedies(wrong, job) {
					v.Turns = append(v.Turns, list)
				}
			}
		}
	}
}

// remedies puts a list into the remedies of its run, and reports whether it is
// of any: what is conceded stays as it is.
func (l *TurnList) remedies(wrong []*Result, job *facts) bool {
	told := say.Text{}
	first, _ := slices.BinarySearchFunc(wrong, l.from, func(r *Result, from Subject) int { return r.Subject.Compare(&from) })
	for _, r := range wrong[first:] {
		if r.Subject.Compare(&l.to) > 0 {
			break
		}
		remedy := told
		if told.Empty() {
			remedy, told = l.Text(job.sys), say.That("Turn what is listed at %[1]s", r.Subject.ItemWords())
		}
		if r.Outcome == Undecided || slices.ContainsFunc(r.faults, fault.byLevel) {
			remedy = say.Sentences(remedy, r.Remedy)
		}
		r.Remedy = say.Sentence(remedy)
	}
	return !told.Empty()
}
