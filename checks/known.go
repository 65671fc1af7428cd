package checks

import (
	"cmp"
	"slices"

	"setline.example/schema"
)

// Known is what is known of a job at some time: a record, or what it held
// until one of its visits.
type Known struct {
	Record *schema.Record
	Source *schema.Source
	// Visits that count, positions in the record in time order.
	Visits []int
	// full is the record with nothing left out.
	full *schema.Record
}

// AllKnown is all that a record holds.
func AllKnown(rec *schema.Record, src *schema.Source) Known {
	return Known{rec, src, rec.Measured.VisitsInTime(), rec}
}

// KnownAfter is what a record held after the first n visits in time, until the
// next one began: what was counted and conceded on the date of the next visit
// or later is not known yet. What has no date, the plan and open items, is as
// it is now.
func KnownAfter(rec *schema.Record, src *schema.Source, n int) Known {
	order := rec.Measured.VisitsInTime()
	if n >= len(order) {
		return AllKnown(rec, src)
	}
	return until(rec, src, order[:n], rec.Measured.Visits[order[n]].Date)
}

// KnownBefore is what a record held before a date.
func KnownBefore(rec *schema.Record, src *schema.Source, date schema.Date) Known {
	order := rec.Measured.VisitsInTime()
	n := 0
	for n < len(order) && rec.Measured.Visits[order[n]].Date < date {
		n++
	}
	return until(rec, src, order[:n], date)
}

func until(rec *schema.Record, src *schema.Source, visits []int, date schema.Date) Known {
	then := *rec
	then.Arrived.Receipts = slices.DeleteFunc(slices.Clone(rec.Arrived.Receipts), func(r schema.Receipt) bool { return r.Date >= date })
	then.Agreed.Concessions = slices.DeleteFunc(slices.Clone(rec.Agreed.Concessions), func(c schema.Concession) bool { return c.Date >= date })
	return Known{&then, src, visits, rec}
}

// State is what the rules say of what was known at some time.
type State struct {
	Known
	Results []Result  // as of [Findings]
	Rooms   []Verdict // in walking order
	Faults  []Fault   // with the numbers that the whole record gives them
	Empty   []Fault   // of the whole record, those of which only the numbers are left
	facts   *facts
}

// Judge holds what is known at several times against every rule. The error is
// that of [Run]. What happened altogether is followed once for each record,
// however many times are asked for.
func Judge(known ...Known) ([]*State, error) {
	all := make([]*State, len(known))
	whole := map[*schema.Record]history{}
	for i, k := range known {
		var err error
		if all[i], err = k.judge(whole); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// judge uses the faults of whole records that are there, and keeps what it finds.
func (k Known) judge(whole map[*schema.Record]history) (*State, error) {
	limits, problems := contractLimits(k.Record, k.Source)
	if len(problems) > 0 {
		return nil, problems
	}
	s := &State{Known: k, Results: evaluate(k.Record, limits, k.Visits), facts: newFacts(k.Record, k.Visits)}
	// A permission may have been given for what was found later; it did not
	// apply then, and that is no problem of the record.
	if problems := concede(k.Record, k.Source, limits, k.Visits, s.Results); k.Record == k.full && len(problems) > 0 {
		return nil, problems
	}
	s.Rooms = verdicts(k.Record, s.Results)
	s.Faults, s.Empty = k.history(limits, whole)
	return s, nil
}

// history is that of what is known, with the numbers that the whole record gives.
func (k Known) history(limits map[string]limitChange, whole map[*schema.Record]history) (faults, empty []Fault) {
	all, ok := whole[k.full]
	if !ok {
		all = told(k.full, limits, k.full.Measured.VisitsInTime())
		whole[k.full] = all
	}
	if k.Record == k.full {
		return all.faults, all.empty
	}
	faults = told(k.Record, limits, k.Visits).faults
	type found struct {
		resultKey
		on int
	}
	of := func(f Fault, on int) found { return found{resultKey{f.Rule.Name, f.Subject.String()}, on} }
	const anywhere = -2
	numbers := map[found]int{}
	for _, f := range all.faults {
		numbers[of(f, f.FoundOn)] = f.Number
		if _, first := numbers[of(f, anywhere)]; !first {
			numbers[of(f, anywhere)] = f.Number
		}
	}
	for i := range faults {
		// What was entered late may have shown it first, on another visit.
		faults[i].Number = cmp.Or(numbers[of(faults[i], faults[i].FoundOn)], numbers[of(faults[i], anywhere)])
	}
	return faults, all.empty
}
