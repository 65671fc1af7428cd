package checks

import (
	"fmt"
	"slices"

	"setline.example/schema"
)

// concede turns results that do not conform into conceded ones where the
// record holds written permission. visits are those that results are of. A
// concession that names nothing real, that sets aside what may not be, or that
// is older than anything found there is a problem of the record. One that was
// given for less than what was found since stays in the record and does not
// apply.
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
		then := func() (Result, bool) { return asFound(rec, limits, visits, c) }
		if p, ok := concession(rec, src, at, c, &results[n], i, then); !ok {
			problems = append(problems, p)
		}
	}
	return problems
}

// asFound is what a rule said of a concession's subject on the concession's date.
func asFound(rec *schema.Record, limits map[string]limitChange, visits []int, c schema.Concession) (Result, bool) {
	known := slices.DeleteFunc(slices.Clone(visits), func(v int) bool { return rec.Measured.Visits[v].Date > c.Date })
	for _, r := range evaluate(rec, limits, known) {
		if r.Rule.Name == c.Rule && r.Subject.String() == c.Subject {
			return r, r.Outcome == Fail || r.Outcome == Undecided
		}
	}
	return Result{}, false
}

// covers reports whether permission for what was found then also covers what
// is found now: no further beyond the limit than was measured then, or the very
// same where nothing is measured.
func covers(then, now *Result) bool {
	if now.Rule.LimitWords == "" && now.Margin.Unit == Length && then.Margin.Unit == Length {
		return now.Margin.N >= then.Margin.N
	}
	return now.Finding == then.Finding
}

// concession applies one concession to the result it names. then is what was
// found when it was given, asked only where something was found again since.
func concession(rec *schema.Record, src *schema.Source, at string, c schema.Concession, r *Result, i int, then func() (Result, bool)) (schema.Problem, bool) {
	switch r.Outcome {
	case Pass, NotApplicable:
		return schema.Problem{}, true // put right since; the permission is no longer needed
	case Conceded:
		return problem(src, at, fmt.Sprintf("a second concession of %q for %s", c.Rule, c.Subject), "one concession for each finding", "remove one of the two"), false
	case NotObserved:
		return problem(src, at, fmt.Sprintf("a concession of %q for %s, which nobody has fully observed", c.Rule, c.Subject),
			"a finding that does not conform", "observe it first; what nobody has seen cannot be permitted"), false
	}
	if r.Rule.NoConcession != "" {
		return problem(src, at, fmt.Sprintf("a concession of %q", c.Rule), "a rule that can be conceded: "+r.Rule.NoConcession, "put it right"), false
	}
	if r.Visit >= 0 && c.Date < rec.Measured.Visits[r.Visit].Date {
		permitted, found := then()
		if !found {
			return problem(src, at+"/date", "a concession dated "+string(c.Date),
				"a date on or after the finding, "+string(rec.Measured.Visits[r.Visit].Date), "correct the date; permission is given for what was found"), false
		}
		if !covers(&permitted, r) {
			r.Finding += fmt.Sprintf("; the concession of %s was for what was found then: %s", c.Date, permitted.Finding)
			r.Remedy = "Put it right, or ask for permission again for what is found now. " + r.Remedy
			return schema.Problem{}, true
		}
	}
	r.Outcome, r.Concession, r.Remedy = Conceded, i, ""
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
	return problem(src, at, fmt.Sprintf("%q", c.Subject), fmt.Sprintf("a subject that %q judges", c.Rule), mend)
}
