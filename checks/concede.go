package checks

import (
	"fmt"
	"maps"
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
)

// concede turns results that do not conform into conceded ones where the
// record holds written permission. visits are those that results are of. A
// concession that names nothing real, that sets aside what may not be, or that
// is older than anything found there is a problem of the record. One that was
// given for less than what was found since stays in the record and does not
// apply; so does one for what was found then and is told otherwise now, since a
// visit was taken back, corrected, or entered late.
func concede(rec *schema.Record, src *schema.Source, limits map[string]limitChange, visits []int, results []Result) schema.Problems {
	if len(rec.Agreed.Concessions) == 0 {
		return nil
	}
	conceded := map[string]bool{}
	for _, c := range rec.Agreed.Concessions {
		conceded[c.Rule] = true
	}
	found := map[[2]string]int{}
	for i := range results {
		if r := &results[i]; conceded[r.Rule.Name] {
			found[[2]string{r.Rule.Name, r.Subject.String()}] = i
		}
	}
	past := newPast(rec, limits, visits)
	var problems schema.Problems
	for i, c := range rec.Agreed.Concessions {
		at := schema.Pointer("/agreed/concessions", i)
		if Find(c.Rule) == nil {
			problems = append(problems, unknownRule(src, at+"/rule", c.Rule, false))
			continue
		}
		n, ok := found[[2]string{c.Rule, c.Subject}]
		if !ok {
			problems = append(problems, noSuchSubject(src, at+"/subject", c, results))
			continue
		}
		if p, ok := concession(rec, src, at, c, &results[n], i, past); !ok {
			problems = append(problems, p)
		}
	}
	followConcessions(results)
	return problems
}

// past is what the rules said of a record on earlier days.
type past struct {
	rec    *schema.Record
	limits map[string]limitChange
	visits []int // in time order
	on     map[schema.Date][]Result
	told   *history // once it was asked for
	asked  map[*Result]bool
}

func newPast(rec *schema.Record, limits map[string]limitChange, visits []int) *past {
	return &past{rec: rec, limits: limits, visits: visits, on: map[schema.Date][]Result{}, asked: map[*Result]bool{}}
}

// askAgain says of a result to ask for permission again, once however many
// concessions do not cover it.
func (p *past) askAgain(r *Result) {
	if !p.asked[r] {
		p.asked[r] = true
		r.Remedy = say.Sentences(say.That("Put it right, or ask for permission again for what is found now"), r.Remedy)
	}
}

// Grounds says whether a concession that a record does not hold yet would be for
// something: found, that its rule found at its subject on its date what does not
// conform; and conceded, that another concession permits what is found there now.
// Permission for what holds would lie in wait for the first fault that is found
// there, for which nobody gave it. The error is that of [Run].
func Grounds(rec *schema.Record, src *schema.Source, c schema.Concession) (found, conceded bool, err error) {
	all, err := Run(rec, src)
	if err != nil {
		return false, false, err
	}
	limits, _ := contractLimits(rec, src) // no problem, or Run had told it
	_, found = newPast(rec, limits, rec.Measured.VisitsInTime()).found(c)
	conceded = slices.ContainsFunc(all.Results, func(r Result) bool {
		return r.Outcome == Conceded && r.Rule.Name == c.Rule && r.Subject.String() == c.Subject
	})
	return found, conceded, nil
}

// ever reports whether what a concession is for was found by its date in the record
// as it was entered, whatever was taken back, corrected or entered late since. What
// is told of it now may be told of a later visit, where a visit was taken back.
func (p *past) ever(c schema.Concession) bool {
	if p.told == nil {
		h := told(p.rec, p.limits, p.visits)
		p.told = &h
	}
	counted := slices.ContainsFunc(p.rec.Arrived.Receipts, func(r schema.Receipt) bool { return r.Date <= c.Date })
	return slices.ContainsFunc(p.told.entered, func(f Fault) bool {
		by := f.FoundOn < 0 && counted || f.FoundOn >= 0 && p.rec.Measured.Visits[f.FoundOn].Date <= c.Date
		return by && f.Rule.Name == c.Rule && f.Subject.String() == c.Subject
	})
}

// found is what a rule said of a concession's subject on the concession's
// date; ok is false where it then found nothing.
func (p *past) found(c schema.Concession) (r Result, ok bool) {
	results, known := p.on[c.Date]
	if !known {
		rec, visits := knownOn(p.rec, p.visits, c.Date)
		results = evaluate(rec, p.limits, visits)
		p.on[c.Date] = results
	}
	for _, r := range results {
		if r.Rule.Name == c.Rule && r.Subject.String() == c.Subject {
			return r, r.Outcome == Fail || r.Outcome == Undecided
		}
	}
	return Result{}, false
}

// knownOn is a record as it was known at the end of a day: the visits, counts
// and packing lists up to then.
func knownOn(rec *schema.Record, visits []int, day schema.Date) (*schema.Record, []int) {
	then := *rec
	then.Arrived.Receipts = slices.DeleteFunc(slices.Clone(rec.Arrived.Receipts), func(r schema.Receipt) bool { return r.Date > day })
	then.Arrived.PackingLists = maps.Clone(rec.Arrived.PackingLists)
	maps.DeleteFunc(then.Arrived.PackingLists, func(_ string, l schema.PackingList) bool { return l.Date > day })
	return &then, slices.DeleteFunc(slices.Clone(visits), func(v int) bool { return rec.Measured.Visits[v].Date > day })
}

// lastKnown is the day of the last visit or count of a record, "" where there is none.
func lastKnown(rec *schema.Record) schema.Date {
	var last schema.Date
	for i := range rec.Measured.Visits {
		last = max(last, rec.Measured.Visits[i].Date)
	}
	for _, r := range rec.Arrived.Receipts {
		last = max(last, r.Date)
	}
	for _, l := range rec.Arrived.PackingLists {
		last = max(last, l.Date)
	}
	return last
}

// covers reports whether permission for what was found then also covers what
// is found now: nothing that it covers is worse, and no fault is there that was
// not. Values decide this, never the words of a finding.
func covers(then, now *Result) bool {
	for _, f := range now.faults {
		i := slices.IndexFunc(then.faults, func(was fault) bool { return was.of == f.of })
		if i < 0 || f.worse(then.faults[i]) {
			return false
		}
	}
	return true
}

// concession applies one concession to the result it names. What was found when it
// was given is asked only where something was observed since.
func concession(rec *schema.Record, src *schema.Source, at string, c schema.Concession, r *Result, i int, past *past) (schema.Problem, bool) {
	switch r.Outcome {
	case Pass, NotApplicable, Notice:
		return schema.Problem{}, true // put right since, or nobody's failure; no permission is needed
	case Conceded:
		if rec.Agreed.Concessions[r.Concession].Date != c.Date {
			// What was worse once was permitted anew, and is no worse now than it
			// was before: both permissions stay.
			return schema.Problem{}, true
		}
		return src.Problem(schema.Twice, at, fmt.Sprintf("a second concession of %q for %s", c.Rule, c.Subject), "one concession for each finding", "remove one of the two"), false
	case NotObserved:
		if r.toldAt != "" {
			return src.Problem(schema.Unknown, at+"/subject", fmt.Sprintf("a concession of %q for %s", c.Rule, c.Subject),
				"the subject at which it is told, "+r.toldAt, fmt.Sprintf("write %q; permission given there holds for every room that shares it", r.toldAt)), false
		}
		if past.ever(c) {
			return schema.Problem{}, true
		}
		return src.Problem(schema.NotAllowed, at, fmt.Sprintf("a concession of %q for %s, which nobody has fully observed", c.Rule, c.Subject),
			"a finding that does not conform", "observe it first; what nobody has seen cannot be permitted"), false
	}
	if r.Rule.NoConcession != "" {
		return src.Problem(schema.NotAllowed, at, fmt.Sprintf("a concession of %q", c.Rule), "a rule that can be conceded: "+say.Writer{}.Words(r.Rule.NoConcession), "put it right"), false
	}
	if last := lastKnown(rec); c.Date < last {
		permitted, found := past.found(c)
		if !found && past.ever(c) {
			r.Finding = say.That("%[1]s; the concession of %[2]s was for what was found then, and is told otherwise now", r.Finding, c.Date)
			past.askAgain(r)
			return schema.Problem{}, true
		}
		if !found {
			on := last
			if r.Visit >= 0 && c.Date < rec.Measured.Visits[r.Visit].Date {
				on = rec.Measured.Visits[r.Visit].Date
			}
			return src.Problem(schema.Contradiction, at+"/date", "a concession dated "+string(c.Date),
				"a date on or after the finding, "+string(on), "correct the date; permission is given for what was found"), false
		}
		if !covers(&permitted, r) {
			r.Finding = say.That("%[1]s; the concession of %[2]s was for what was found then: %[3]s", r.Finding, c.Date, permitted.Finding)
			past.askAgain(r)
			return schema.Problem{}, true
		}
	}
	if r.unseen {
		// What nobody has seen cannot be permitted, whatever else is.
		r.Outcome, r.Remedy = NotObserved, r.Rule.Needs.Text()
		r.Finding = say.That("%[1]s, and not permitted; the rest is, by the concession of %[2]s", r.Finding, c.Date)
		return schema.Problem{}, true
	}
	r.Outcome, r.Concession, r.Remedy = Conceded, i, say.Text{}
	return schema.Problem{}, true
}

func noSuchSubject(src *schema.Source, at string, c schema.Concession, results []Result) schema.Problem {
	var subjects []string
	for _, r := range results {
		if r.Rule.Name == c.Rule {
			subjects = append(subjects, r.Subject.String())
		}
	}
	mend := `name it as the report does, such as "S-104/A3"`
	if near := schema.Nearest(c.Subject, subjects); near != "" {
		mend = fmt.Sprintf("write %q if that is meant", near)
	}
	return src.Problem(schema.Unknown, at, fmt.Sprintf("%q", c.Subject), fmt.Sprintf("a subject that %q judges", c.Rule), mend)
}
