package checks

import "setline.example/schema"

// Fault is something that did not conform when it was found, and since when.
type Fault struct {
	Result         // as it was when it was found
	FoundOn    int // position in the record of the visit that found it
	PutRightOn int // of the visit that saw it put right; -1 while it is open or conceded
}

// History returns every fault that a visit found, in the order in which they
// were found: those put right since, and those still open. A fault that came
// back after it was put right is a fault of its own.
//
// It judges the record anew as known after each visit, without concessions. The
// error is that of [Run].
func History(rec *schema.Record, src *schema.Source) ([]Fault, error) {
	limits, problems := contractLimits(rec, src)
	if len(problems) > 0 {
		return nil, problems
	}
	type key struct{ rule, subject string }
	var faults []Fault
	open := map[key]int{} // position in faults
	order := rec.Measured.VisitsInTime()
	for k := range order {
		for _, r := range evaluate(rec, limits, order[:k+1]) {
			// What arrived is counted, not seen on visits.
			if r.Rule.Family == Receiving && r.Visit < 0 {
				continue
			}
			id := key{r.Rule.Name, r.Subject.String()}
			i, known := open[id]
			switch {
			case r.Outcome == Fail && !known:
				open[id] = len(faults)
				faults = append(faults, Fault{Result: r, FoundOn: order[k], PutRightOn: -1})
			case known && r.Outcome == Pass:
				faults[i].PutRightOn = order[k]
				delete(open, id)
			}
		}
	}
	return faults, nil
}
