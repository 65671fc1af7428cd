package checks

import "setline.example/schema/length"

// bench is where one rule judges one record: it gives the facts and the limit
// that applies, and takes the results.
type bench struct {
	*facts
	rule    *Rule
	limit   Quantity // the default or what the contract sets
	source  string   // where that comes from
	results []Result
}

// units calls judge for every unit in walking order.
func (b *bench) units(judge func(*room, *unit)) {
	for _, r := range b.rooms {
		for _, e := range r.elevations {
			for _, u := range e.units {
				judge(r, u)
			}
		}
	}
}

// write writes a length as the record wants lengths written.
func (b *bench) write(l length.Length) string { return l.In(b.sys) }

// add takes a result, and fills in what is the same for every result of the rule.
func (b *bench) add(r Result) {
	r.Rule = b.rule
	r.Limit, r.Source = b.limit, b.source
	r.Concession = -1
	if r.Value.Unit != NoUnit && r.Limit.Unit == r.Value.Unit {
		r.Margin = r.Limit.minus(r.Value)
	}
	if r.Remedy == "" && !r.Outcome.Holds() {
		r.Remedy = b.rule.Remedy
	}
	b.results = append(b.results, r)
}

// notObserved adds the result of a subject at which nobody looked. at leads to
// its plan, and what says what was not looked at.
func (b *bench) notObserved(s Subject, at, what string) {
	b.add(Result{
		Subject: s, Outcome: NotObserved, Visit: -1, Pointer: at,
		Finding: what + " not observed",
		Remedy:  b.rule.Needs,
	})
}

// measured judges a measured length, of which only the size counts, against
// the limit. reading is the kind of reading that gave it.
func (b *bench) measured(s Subject, o observed[length.Length], reading string, finding func(size string) string) {
	size := o.value.Abs()
	r := Result{
		Subject: s, Visit: o.visit, Pointer: o.at,
		Value:   LengthOf(size),
		Finding: finding(b.write(size)),
	}
	var u float64
	if in, ok := instrumentFor(b.rec, o.visit, reading); ok && in.Resolution != nil {
		u = resolutionUncertainty(*in.Resolution)
		r.Known = true
		r.Uncertainty = coverage * u
		r.Conformity = conformity(size, length.Length(b.limit.N), u)
	}
	r.Outcome = atMost(b.rec.Planned.DecisionRule, size, length.Length(b.limit.N), u, r.Known)
	if r.Outcome == Undecided {
		r.Remedy = undecidedRemedy(b, reading, r)
	}
	b.add(r)
}

// undecidedRemedy says what measurement would decide.
func undecidedRemedy(b *bench, reading string, r Result) string {
	if !r.Known {
		return "Name the one instrument that read the " + reading + " on that visit, with its resolution; the guarded decision rule needs its uncertainty"
	}
	return "Measure again with a finer instrument: one whose expanded uncertainty is no more than " +
		b.write(length.Length(b.limit.N-r.Value.N).Abs()) + " would decide"
}
