package checks

import (
	"fmt"
	"slices"
	"strings"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Run holds a record against every rule. src is where the record was read
// from. The error is [schema.Problems] where the record changes a limit or
// makes a concession that is not one; then there are no findings.
func Run(rec *schema.Record, src *schema.Source) (*Findings, error) {
	j, err := NewJudging(rec, src)
	if err != nil {
		return nil, err
	}
	return j.Run(rec)
}

// Judging judges records that are alike in all but their visits, such as one while
// its last visit is filled in: what hangs on no visit is found once.
type Judging struct {
	src    *schema.Source
	limits map[string]limitChange
	arrivals
}

// NewJudging is for rec, which was read from src. The error is that of [Run] where
// the record changes a limit.
func NewJudging(rec *schema.Record, src *schema.Source) (*Judging, error) {
	limits, problems := contractLimits(rec, src)
	if len(problems) > 0 {
		return nil, problems
	}
	return &Judging{src, limits, newArrivals(rec)}, nil
}

// Run holds a record that has other visits, or the same, against every rule.
func (j *Judging) Run(rec *schema.Record) (*Findings, error) {
	visits := rec.Measured.VisitsInTime()
	job := arrived(rec, j.arrivals, visits).under(j.limits)
	results := job.evaluate()
	if problems := concede(rec, j.src, j.limits, visits, results); len(problems) > 0 {
		return nil, problems
	}
	found := &Findings{Record: rec, Results: results, Rooms: verdicts(rec, results), Loosened: loosened(rec, j.limits), job: job}
	found.sayWhatToTurn()
	return found, nil
}

// judging are the facts of a job that is judged.
func judging(rec *schema.Record, limits map[string]limitChange, visits []int) *facts {
	return newJob(rec, visits).under(limits)
}

// under lets the limits of a contract be in force.
func (f *facts) under(limits map[string]limitChange) *facts {
	f.limits, f.level = limits, newLevelLimit(limits)
	return f
}

// evaluate lets every rule judge the record as known after the given visits,
// which are positions in the record in time order. Results are in walking order.
//
// All rules judge one room before the next room's facts are made: what they
// share is then still near at hand, and a large job takes no more time for a
// cabinet than a small one.
func evaluate(rec *schema.Record, limits map[string]limitChange, visits []int) []Result {
	return judging(rec, limits, visits).evaluate()
}

func (f *facts) evaluate() []Result {
	results := make([]Result, 0, about(f.rec))
	for i := range f.rec.Planned.Rooms {
		results = f.judge(f.room(i), rules(), results)
	}
	return results
}

// judge lets rules judge one room, and adds what they say to results.
func (f *facts) judge(r *room, rules []*Rule, results []Result) []Result {
	own := *f
	own.rooms = []*room{r}
	before := len(results)
	b := &bench{}
	for _, rule := range rules {
		l := limitOf(f.limits, rule)
		*b = bench{facts: &own, rule: rule, limit: l.limit, source: l.source, results: results}
		rule.judge(b)
		results = b.results
	}
	inWalkingOrder(results[before:])
	return results
}

// about is roughly how many results a job has, so that their list, whose items
// are large, need not grow step by step.
func about(rec *schema.Record) int {
	n := 0
	for i := range rec.Planned.Rooms {
		n += 8
		for _, e := range rec.Planned.Rooms[i].Elevations {
			n += 16 * len(e.Units)
		}
	}
	return n
}

// inWalkingOrder sorts results by their subjects. Rules are in order already;
// within a subject they stay so. Results are large, so that their positions
// are sorted and each is moved once.
func inWalkingOrder(results []Result) {
	type place struct{ room, elevation, unit, at int }
	places := make([]place, len(results))
	for i := range results {
		s := &results[i].Subject
		places[i] = place{s.room, s.elevation, s.unit, i}
	}
	slices.SortFunc(places, func(a, b place) int {
		switch {
		case a.room != b.room:
			return a.room - b.room
		case a.elevation != b.elevation:
			return a.elevation - b.elevation
		case a.unit != b.unit:
			return a.unit - b.unit
		}
		return a.at - b.at
	})
	order := make([]int, len(results))
	for i, p := range places {
		order[i] = p.at
	}
	for i := range order {
		// Those that change places in a ring follow one another.
		first, to := results[i], i
		for order[to] != i {
			from := order[to]
			results[to], order[to] = results[from], to
			to = from
		}
		results[to], order[to] = first, to
	}
}

// limitChange is a limit that the contract sets in place of a default one.
type limitChange struct {
	limit       Quantity
	over, least length.Length // as of a [Rule]
	source      say.Text
	contract    bool // the contract sets it
}

// limitOf is the limit of a rule that is in force.
func limitOf(changes map[string]limitChange, rule *Rule) limitChange {
	if change, ok := changes[rule.Name]; ok {
		return change
	}
	return limitChange{rule.Limit, rule.Over, rule.Least, rule.Source.Text(), false}
}

// contractLimits reads the limits that the contract changes.
func contractLimits(rec *schema.Record, src *schema.Source) (map[string]limitChange, schema.Problems) {
	changes := map[string]limitChange{}
	var problems schema.Problems
	for _, name := range sortedNames(rec.Planned.Limits) {
		change := rec.Planned.Limits[name]
		at := schema.Pointer("/planned/limits", name)
		rule := Find(name)
		switch {
		case rule == nil:
			problems = append(problems, unknownRule(src, at, name, true))
		case rule.LimitWords != "":
			problems = append(problems, src.Problem(schema.NotAllowed, at, fmt.Sprintf("a limit for %q", name),
				"limits only for rules that measure: "+strings.Join(measuring(), ", "),
				"remove it; this rule asks for a yes, and what does not conform needs a concession"))
		default:
			q, err := parseQuantity(rule.Limit.Unit, change.Limit)
			if err != nil {
				problems = append(problems, src.Problem(schema.WrongForm, at+"/limit", err.Error(), "a limit like the default, "+rule.Limit.In("in"), "write it with its unit"))
				continue
			}
			if q.N < 0 {
				problems = append(problems, src.Problem(schema.Impossible, at+"/limit", change.Limit, "a limit of zero or more", "write the greatest size allowed, without a sign"))
				continue
			}
			l := limitChange{q, rule.Over, rule.Least, say.Name(change.Source).Text(), true}
			problems = append(problems, l.rate(src, at, rule, change)...)
			changes[name] = l
		}
	}
	problems.Sort()
	return changes, problems
}

// rate takes over what the contract says of a limit that is a rate.
func (l *limitChange) rate(src *schema.Source, at string, rule *Rule, change schema.LimitChange) (problems schema.Problems) {
	for _, part := range []struct {
		name, expected, mend string
		is                   *length.Length
		of                   *length.Length
		least                length.Length
	}{
		{"over", "a distance above zero", "write the distance over which the limit is stated", change.Over, &l.over, 1},
		{"least", "a length of zero or more", "write the least that the limit comes to, without a sign", change.Least, &l.least, 0},
	} {
		at := at + "/" + part.name
		switch {
		case part.is == nil:
		case rule.Least == 0:
			problems = append(problems, src.Problem(schema.NotAllowed, at, fmt.Sprintf("%q in a limit for %q", part.name, rule.Name),
				fmt.Sprintf("%q only for %q, whose limit is a rate", part.name, levelAndPlumb.Name), "remove it"))
		case *part.is < part.least:
			problems = append(problems, src.Problem(schema.Impossible, at, part.is.String(), part.expected, part.mend))
		default:
			*part.of = *part.is
		}
	}
	return problems
}

// measuring names the rules whose limit a contract can change.
func measuring() []string {
	var names []string
	for _, r := range rules() {
		if r.LimitWords == "" {
			names = append(names, r.Name)
		}
	}
	return names
}

// ExpectedRule says what was expected in place of a name that no rule has, and
// the mend: the nearest names, since all of them would hide the one that is meant.
func ExpectedRule(name string) (expected, mend string) {
	mend = `see "setline rules" for all of them`
	if near := schema.Nearest(name, Names()); near != "" {
		mend = fmt.Sprintf("write %q if that is meant", near)
	}
	return fmt.Sprintf("the name of a rule, such as %s", strings.Join(schema.NearestFew(name, Names(), 3), ", ")), mend
}

// unknownRule is the problem of a rule name that no rule has. isName says
// whether it is the name of a member rather than a value.
func unknownRule(src *schema.Source, at, name string, isName bool) schema.Problem {
	expected, mend := ExpectedRule(name)
	p := src.Problem(schema.Unknown, at, fmt.Sprintf("the unknown rule %q", name), expected, mend)
	if isName {
		p.Line, p.Column = src.PlaceOfName(at)
	}
	return p
}
