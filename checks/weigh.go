package checks

import (
	"setline.example/checks/say"
	"setline.example/schema/length"
)

// fault is one thing of a subject that does not conform, or that nobody can
// say conforms. Faults compare across visits by values, never by words: a
// concession covers those it was given for as long as none is worse.
type fault struct {
	of           faultOf
	value, limit int64 // how far off and what is allowed, in the rule's unit; 0 and 0 where the fault is a no
}

// faultOf says which of a subject's readings or answers a fault is of. It is
// the same on every visit: {"level", "front"}, {"top", "front-left"}. The zero
// value is that of a subject with a single one.
type faultOf struct{ what, where, to string }

// not is the fault of an answer that is a no: there is no more or less of it.
func not(what, where string) fault { return fault{of: faultOf{what: what, where: where}} }

// worse reports whether f is worse than was: further off, or further beyond
// what is allowed, which may depend on where it was read.
func (f fault) worse(was fault) bool {
	return f.value > was.value || f.value-f.limit > was.value-was.limit
}

// trial is one reading of a subject, to be held against its limit.
type trial struct {
	of           faultOf
	words        say.Text // which it is, for people
	value, limit length.Length
	doubt        doubt
	visit        int
	at           origin
	over         length.Length // the distance over which it was read, where the limit is a rate
}

func (t trial) margin() length.Length { return t.limit - t.value }

// weighing decides every reading of a subject and keeps the worst answer: fail,
// undecided, pass. One reading alone, say the largest, would not do: a coarse
// one near the limit and a fine one beyond it are two different answers.
type weighing struct {
	decision string
	outcome  Outcome // the worst so far; "" where nothing was read
	worst    trial   // of the readings with that outcome, the one with the least margin
	faults   []fault // every reading that does not pass, up to mostFaults
	cut      bool    // some did not find a place among the faults
}

// mostFaults is how many faults of one subject are kept one by one. A long run
// that is out of level has as many as it has pairs of corners.
const mostFaults = 1 << 12

// weigh begins a weighing under the decision rule of the contract.
func (b *bench) weigh() *weighing { return &weighing{decision: b.rec.Planned.DecisionRule} }

// add decides one reading, and reports whether it is now what the answer rests on.
func (w *weighing) add(t trial) bool {
	o := atMost(w.decision, t.value, t.limit, t.doubt)
	switch {
	case o == Pass:
	case len(w.faults) < mostFaults:
		w.faults = append(w.faults, fault{t.of, int64(t.value), int64(t.limit)})
	default:
		w.cut = true
	}
	switch {
	case w.outcome == "" || graver(o, w.outcome):
	case o != w.outcome || t.margin() >= w.worst.margin():
		return false
	}
	w.outcome, w.worst = o, t
	return true
}

// addSaid is add, and says which reading it is where the answer rests on it: most
// pass, and nobody reads what they are called.
func (w *weighing) addSaid(t trial, words say.Words) {
	if w.add(t) {
		w.worst.words = words.Text()
	}
}

// matters reports whether a reading could change the answer, or be a fault that
// is still to be kept, of which is known that its margin is no less than m and
// its expanded uncertainty from lo to hi, 0 and 0 where none counts.
func (w *weighing) matters(m length.Length, lo, hi float64) bool {
	mayFail, mayNotPass := float64(m) < -lo, float64(m) < hi
	nearer := m < w.worst.margin()
	switch {
	case w.outcome == "" || mayNotPass && !w.cut:
		return true
	case w.outcome == Fail:
		return mayFail && nearer
	case w.outcome == Undecided:
		return mayFail || mayNotPass && nearer
	}
	return nearer
}

// graver reports whether the answer a to one reading counts before b.
func graver(a, b Outcome) bool {
	return a == Fail && b != Fail || a == Undecided && b == Pass
}

// conclude adds the result of a subject, of which the readings were weighed and
// the unseen ones were not made. What does not hold is told whatever nobody
// looked at; only a pass needs everything. all says what was to be read where
// nobody read any of it, finding writes what the worst reading says, and at
// leads to the plan of the subject.
func (b *bench) conclude(s Subject, at string, all say.Text, w *weighing, unseen []say.Text, finding func(trial) say.Text) {
	switch {
	case w.outcome == "":
		b.notObserved(s, at, all)
	case w.outcome == Pass && len(unseen) > 0:
		b.unseen(s, at, say.That("%[1]s not observed; the rest within the limit", say.And(unseen...)))
	default:
		b.decided(Result{
			Subject: s, Limit: LengthOf(w.worst.limit), Outcome: w.outcome, Finding: andUnseen(finding(w.worst), unseen), faults: w.faults, unseen: len(unseen) > 0,
			Visit: w.worst.visit, Pointer: w.worst.at.pointer(),
		}, w.worst.value, w.worst.doubt)
	}
}

// andUnseen is a finding, and what nobody looked at beside it.
func andUnseen(finding say.Text, unseen []say.Text) say.Text {
	if len(unseen) == 0 {
		return finding
	}
	return say.That("%[1]s; %[2]s not observed", finding, say.And(unseen...))
}

// names are names as texts.
func names(of []string) []say.Text {
	all := make([]say.Text, len(of))
	for i, n := range of {
		all[i] = say.Name(n).Text()
	}
	return all
}
