package checks

import "setline.example/schema"

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
func history(rec *schema.Record, limits map[string]limitChange, order []int) []Fault {
	type key struct{ rule, subject string }
	var faults []Fault
	open := map[key]int{} // position in faults
	for k := range len(order) + 1 {
		visit := -1
		if k > 0 {
			visit = order[k-1]
		}
		for _, r := range evaluate(rec, limits, order[:k]) {
			id := key{r.Rule.Name, r.Subject.String()}
			i, known := open[id]
			switch {
			case r.Outcome == Fail && !known:
				open[id] = len(faults)
				faults = append(faults, Fault{Result: r, Number: len(faults) + 1, FoundOn: visit, PutRightOn: -1})
			case known && r.Outcome == Pass:
				faults[i].PutRightOn = visit
				delete(open, id)
			}
		}
	}
	return faults
}
