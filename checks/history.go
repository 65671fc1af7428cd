package checks

import (
	"slices"

	"setline.example/schema"
)

// Fault is something that did not conform when it was found, and since when.
type Fault struct {
	Result // as it was when it was found
	// Number of the fault on the punch list, from 1. Faults are numbered as they
	// are found, so that a later visit changes no number.
	Number int
	// FoundOn is the position in the record of the visit that found it, -1 where
	// it was found before any visit: a part short.
	FoundOn int
	// PutRightOn is that of the visit that saw it put right, -1 while it is open
	// or conceded.
	PutRightOn int
}

// History returns every fault that a visit found, in the order in which they
// were found, on one visit in walking order: those put right since, and those
// still open. A fault that came back after it was put right is a fault of its
// own.
//
// It judges the record anew as known after each visit, without concessions. The
// error is that of [Run].
func History(rec *schema.Record, src *schema.Source) ([]Fault, error) {
	limits, problems := contractLimits(rec, src)
	if len(problems) > 0 {
		return nil, problems
	}
	return history(rec, limits, rec.Measured.VisitsInTime()), nil
}

// history is [History] over some visits, positions in the record in time order.
//
// A visit changes what is known of the rooms it was to, and of those that share
// a label with what it read. Only these are judged again, on facts to which the
// visit is added: a long history takes no more time for a visit than a short one.
func history(rec *schema.Record, limits map[string]limitChange, order []int) []Fault {
	c := newChronicle(rec, limits, order)
	t := tale{open: map[resultKey]int{}}
	for i := range c.rooms {
		t.tell(c.judge(c.rooms[i], failing(), nil), -1)
	}
	for k, visit := range order {
		for _, results := range c.add(k, visit) {
			t.tell(results, visit)
		}
	}
	return t.faults
}

// tale is the faults so far.
type tale struct {
	faults []Fault
	open   map[resultKey]int // position in faults
}

// tell notes what was found, and what was put right, on a visit.
func (t *tale) tell(results []Result, visit int) {
	for _, r := range results {
		id := resultKey{r.Rule.Name, r.Subject.String()}
		i, known := t.open[id]
		switch {
		case r.Outcome == Fail && !known:
			t.open[id] = len(t.faults)
			t.faults = append(t.faults, Fault{Result: r, Number: len(t.faults) + 1, FoundOn: visit, PutRightOn: -1})
		case known && r.Outcome == Pass:
			t.faults[i].PutRightOn = visit
			delete(t.open, id)
		}
	}
}

// failing are the rules by which anything can fail.
func failing() []*Rule {
	return slices.DeleteFunc(rules(), func(r *Rule) bool { return r.Advises })
}
