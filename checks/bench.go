package checks

import (
	"math"

	"setline.example/checks/say"
	"setline.example/schema/length"
)

// bench is where one rule judges one record: it gives the facts and the limit
// that applies, and takes the results.
type bench struct {
	*facts
	rule    *Rule
	limit   Quantity // the default or what the contract sets
	source  say.Text // where that comes from
	results []Result // of all rules so far
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

// add takes a result, and fills in what is the same for every result of the rule.
func (b *bench) add(r Result) {
	r.Rule = b.rule
	if b.rule.Advises && (r.Outcome == Fail || r.Outcome == Undecided) {
		r.Outcome = Notice
		if r.Remedy.Empty() {
			r.Remedy = b.rule.remedyIn(b.phaseOf(r.Subject))
		}
	}
	r.Finding, r.Remedy = say.Sentence(r.Finding), say.Sentence(r.Remedy)
	r.Source = b.source
	r.Concession = -1
	if r.Limit.Unit == NoUnit {
		r.Limit = b.limit
	}
	// What is limited below has its own margin already.
	if r.Margin.Unit == NoUnit && r.Value.Unit != NoUnit && r.Limit.Unit == r.Value.Unit {
		r.Margin = r.Limit.minus(r.Value)
	}
	if r.Remedy.Empty() && !r.Outcome.Holds() {
		r.Remedy = b.rule.remedyIn(b.phaseOf(r.Subject))
	}
	if r.faults == nil && (r.Outcome == Fail || r.Outcome == Undecided) {
		r.faults = []fault{{value: r.Value.N, limit: r.Limit.N}} // the subject has one reading only
	}
	b.results = append(b.results, r)
}

// notObserved adds the result of a subject at which nobody looked. at leads to
// its plan, and what says what was not looked at.
func (b *bench) notObserved(s Subject, at string, what say.Text) {
	b.unseen(s, at, say.That("%[1]s not observed", what))
}

// unseen is like notObserved with the whole sentence.
func (b *bench) unseen(s Subject, at string, finding say.Text) {
	b.add(Result{Subject: s, Outcome: NotObserved, Visit: -1, Pointer: at, Finding: finding, Remedy: b.rule.Needs.Text()})
}

// doubt is the standard uncertainty of a measured length in nanometres, where
// it is known.
type doubt struct {
	u     float64
	known bool
	lacks reading // whose instrument would have to be known, where it is not
}

// and joins two independent uncertainties (JCGM 100:2008, 5.1.2).
func (d doubt) and(e doubt) doubt {
	lacks := d.lacks
	if d.known {
		lacks = e.lacks
	}
	return doubt{hypot(d.u, e.u), d.known && e.known, lacks}
}

// times is the uncertainty of a measured length that counts so many times.
func (d doubt) times(weight float64) doubt {
	d.u = float64(d.u * math.Abs(weight))
	return d
}

// judge judges a measured length against the limit and adds the result r,
// which has everything else. A limit of its own in r goes before the rule's.
func (b *bench) judge(r Result, value length.Length, d doubt) {
	if r.Limit.Unit == NoUnit {
		r.Limit = b.limit
	}
	r.Outcome = atMost(b.rec.Planned.DecisionRule, value, length.Length(r.Limit.N), d)
	b.decided(r, value, d)
}

// decided adds the result r of a measured length, which has its limit and its
// outcome already.
func (b *bench) decided(r Result, value length.Length, d doubt) {
	r.Value = LengthOf(value)
	limit := length.Length(r.Limit.N)
	if d.known {
		r.Known = true
		r.Uncertainty = coverage * d.u
		r.Conformity = conformity(value, limit, d.u)
		if b.rule.BothSides {
			r.Conformity = conformityBothSides(value, limit, d.u)
		}
	}
	if r.Outcome == Undecided {
		r.Remedy = b.undecided(r, d)
	} else if r.Outcome == Pass {
		r.Remedy = say.Text{}
	}
	b.add(r)
}

// measured judges the size of one reading. reading is its kind.
func (b *bench) measured(s Subject, o observed[length.Length], reading string, finding func(size length.Length) say.Text) {
	size := o.value.Abs()
	b.judge(Result{Subject: s, Visit: o.visit, Pointer: o.at.pointer(), Finding: finding(size)}, size, b.readingDoubt(o.visit, reading))
}

// offset is the trial of the size of one offset against the limit of the rule.
func (b *bench) offset(of faultOf, words say.Text, o observed[length.Length]) trial {
	return trial{
		of: of, words: words, value: o.value.Abs(), limit: length.Length(b.limit.N),
		doubt: b.readingDoubt(o.visit, "offsets"), visit: o.visit, at: o.at,
	}
}

// readingDoubt is the uncertainty of one reading of a kind on a visit.
func (b *bench) readingDoubt(visit int, kind string) doubt {
	in := b.readers.of(visit, kind)
	if in == nil || in.Resolution == nil {
		return doubt{lacks: reading{visit, kind}}
	}
	return doubt{u: resolutionUncertainty(*in.Resolution), known: true}
}

// undecided says what measurement would decide.
func (b *bench) undecided(r Result, d doubt) say.Text {
	if !r.Known {
		return say.That("%[1]s; the guarded decision rule needs the uncertainty of what was read", b.resolutionOf(d.lacks))
	}
	return say.That("Measure again with a finer instrument: an expanded uncertainty of no more than %[1]s would decide",
		length.Length(r.Limit.N-r.Value.N).Abs())
}

// resolutionOf asks for the instrument with which readings were made, where the
// record does not say how finely it reads.
func (b *bench) resolutionOf(r reading) say.Text {
	visit := &b.rec.Measured.Visits[r.visit]
	var of []say.Text
	for _, name := range sortedNames(visit.Instruments) {
		if reads(b.rec.Planned.Instruments[name], r.kind) {
			of = append(of, say.Name(name).Text())
		}
	}
	switch len(of) {
	case 0:
		return say.That("Name the instrument that read %[1]s on %[2]s, with its resolution", AnswerWords(r.kind), visit.Date)
	case 1:
		return say.That("Give the resolution of %[1]s, which read %[2]s on %[3]s", of[0], AnswerWords(r.kind), visit.Date)
	}
	return say.That("Say which one of %[1]s read %[2]s on %[3]s, with its resolution", say.And(of...), AnswerWords(r.kind), visit.Date)
}
