package checks

import (
	"cmp"
	"slices"

	"setline.example/schema"
)

// Fault is something that did not conform when it was found, and since when.
type Fault struct {
	Result // as it was when it was found
	// Number of the fault on the punch list, from 1. Faults are numbered by the
	// entry into the record that first showed them, so that nothing that is
	// entered later changes a number.
	Number int
	// FoundOn is the position in the record of the visit that found it, -1 where
	// it was found before any visit: a part short.
	FoundOn int
	// PutRightOn is that of the visit that saw it put right, -1 while it is open
	// or conceded, and where no visit but a delivery put it right.
	PutRightOn int
	// PutRight says that it was put right.
	PutRight bool
	// TakenBack says that it never was: a visit that was withdrawn since showed
	// it, or a value that was corrected. Its number stays empty.
	TakenBack bool
	// Replanned says that it was one of what the plan has no more, or has
	// otherwise now. Its number stays empty too.
	Replanned bool

	from, to int       // places in the order of entry: where it was found, and put right
	lost     entryKind // what made it one that is told no more, 0 where nothing did
}

// Empty reports whether only the number of a fault is left.
func (f *Fault) Empty() bool { return f.TakenBack || f.Replanned }

// History returns every fault that was found, by number: those put right since,
// those still open, and those that were entered and never were, or are of what is
// planned no more, of which only the numbers are left. A fault that came back after it was put right is a fault
// of its own.
//
// It judges the record anew as known after each entry, without concessions. The
// error is that of [Run].
func History(rec *schema.Record, src *schema.Source) ([]Fault, error) {
	limits, problems := contractLimits(rec, src)
	if len(problems) > 0 {
		return nil, problems
	}
	h := told(rec, limits, rec.Measured.VisitsInTime())
	faults := append(h.faults, h.empty...)
	slices.SortStableFunc(faults, byNumber)
	return faults, nil
}

// history is the faults of a record, by number: those that were there, and those
// of which only the numbers are left. entered are those that each entry showed on
// its day, whatever was taken back since.
type history struct{ faults, empty, entered []Fault }

// told gives the faults over some visits, positions in the record in time order.
// What is there is told of the record as it stands now; what number it has is told
// of the record as it was entered, each entry on the plan of its time, which later
// entries do not change.
//
// An entry changes what is known of some rooms. Only these are judged again, on
// facts to which a visit is added: a long history takes no more time for a visit
// than a short one.
func told(rec *schema.Record, limits map[string]limitChange, visits []int) history {
	entries := entriesOf(rec, visits)
	faults := replay(rec, limits, entries)
	if !slices.ContainsFunc(entries, entry.takesBack) {
		return history{faults: faults, entered: faults}
	}
	var empty []Fault
	entered := replayEntered(erasOf(rec, limits), entries)
	unused := giveNumbers(faults, entered)
	foundThen(rec, faults, entered, entries)
	for k, f := range entered {
		if unused[k] {
			f.PutRight, f.PutRightOn = false, -1
			f.Replanned = f.lost == planEntry
			f.TakenBack = !f.Replanned
			empty = append(empty, f)
		}
	}
	slices.SortStableFunc(faults, byNumber)
	return history{faults, empty, entered}
}

// foundThen tells faults that were found before the plan was last changed as they
// were found then: on the plan of today one part too few may be another number.
// What was corrected or withdrawn since is told as it stands now.
func foundThen(rec *schema.Record, faults, entered []Fault, entries []entry) {
	last := -1
	for k, e := range entries {
		if e.what == planEntry {
			last = k
		}
	}
	then := map[int]*Fault{}
	for k := range entered {
		then[entered[k].Number] = &entered[k]
	}
	for i := range faults {
		f := &faults[i]
		e := then[f.Number]
		if e == nil || e.from >= last {
			continue
		}
		if e.FoundOn >= 0 {
			if v := &rec.Measured.Visits[e.FoundOn]; v.Withdrawn != nil || len(v.Corrections) > 0 {
				continue
			}
		}
		where, at := f.Subject, f.Pointer
		f.Result, f.FoundOn = e.Result, e.FoundOn
		f.Subject, f.Pointer = where, at // as it stands now
	}
}

func byNumber(a, b Fault) int { return cmp.Compare(a.Number, b.Number) }

// giveNumbers gives faults the numbers under which they were entered: that of the
// same subject and rule of which something overlaps, else of a later one. What
// was never entered keeps 0. It says of what was entered which is
// none of them.
func giveNumbers(faults, entered []Fault) (unused []bool) {
	unused = slices.Repeat([]bool{true}, len(entered))
	for i := range faults {
		f := &faults[i]
		f.Number = 0
		same := func(k int) bool {
			e := &entered[k]
			return unused[k] && e.Rule == f.Rule && e.Subject.String() == f.Subject.String()
		}
		k := first(len(entered), func(k int) bool { return same(k) && entered[k].from <= f.to && f.from <= entered[k].to })
		if k < 0 {
			k = first(len(entered), func(k int) bool { return same(k) && entered[k].from >= f.from })
		}
		if k >= 0 {
			unused[k] = false
			f.Number = entered[k].Number
		}
	}
	return unused
}

// first is the first of n numbers from 0 of which something is so, -1 where it
// is of none.
func first(n int, is func(int) bool) int {
	for k := range n {
		if is(k) {
			return k
		}
	}
	return -1
}

// replay tells the faults of a record entry by entry, as it stands now.
func replay(rec *schema.Record, limits map[string]limitChange, entries []entry) []Fault {
	early := earlyOf(entries)
	c := newChronicle(rec, limits, entries[:early])
	t := newTale(c)
	for k := early; k < len(entries); k++ {
		if e := entries[k]; !e.withdrawn && !e.takesBack() {
			t.add(c.add(e), e, k)
		}
	}
	return t.faults
}

// replayEntered tells the faults of a record as it was entered, on the plan of
// the time. Where an entry takes something back, what that shows to have been
// there all the time is told then.
func replayEntered(eras []era, entries []entry) []Fault {
	early := earlyOf(entries)
	c := newChronicle(eras[0].rec, eras[0].limits, entries[:early])
	c.asEntered(0)
	t := newTale(c)
	for k := early; k < len(entries); k++ {
		e := entries[k]
		if e.what == planEntry {
			t.replanned(c.replan(eraAt(eras, e.number), e.number), k)
		} else {
			t.add(c.add(e), e, k)
		}
		if e.takesBack() {
			now := eraAt(eras, e.number)
			t.also(replay(asOf(now.rec, e.number), now.limits, uptoNow(entries[:k+1])), e)
		}
	}
	return t.faults
}

// earlyOf is how many entries came before anybody wrote down what came when.
func earlyOf(entries []entry) int {
	early := first(len(entries), func(k int) bool { return entries[k].number > 0 || entries[k].what == visitEntry })
	if early < 0 {
		return len(entries)
	}
	return early
}

// asOf is a record as it stood after an entry, but for what was withdrawn.
func asOf(rec *schema.Record, number int) *schema.Record {
	then := *rec
	then.Measured.Visits = slices.Clone(rec.Measured.Visits)
	for v := range then.Measured.Visits {
		then.Measured.Visits[v] = visitAsEntered(&then.Measured.Visits[v], number)
	}
	return &then
}

// uptoNow gives entries as they stood after the last of them: withdrawn is what was
// withdrawn last, and not restored since.
func uptoNow(entries []entry) []entry {
	withdrawn := map[int]bool{}
	for _, e := range entries {
		if e.what == withdrawEntry || e.what == restoreEntry {
			withdrawn[e.index] = e.what == withdrawEntry
		}
	}
	then := slices.Clone(entries)
	for i := range then {
		then[i].withdrawn = withdrawn[then[i].index] && then[i].what >= visitEntry
	}
	return then
}

// tale is the faults so far.
type tale struct {
	faults []Fault
	open   map[resultKey]int // position in faults
}

// newTale tells what is there before the first entry.
func newTale(c *chronicle) *tale {
	t := &tale{open: map[resultKey]int{}}
	for i := range c.rooms {
		t.tell(c.judge(c.rooms[i], failing(), nil), -1, -1)
	}
	return t
}

// add tells what an entry at a place in the order shows.
func (t *tale) add(all [][]Result, e entry, at int) {
	visit := -1
	if e.what >= visitEntry {
		visit = e.index
	}
	for _, results := range all {
		t.tell(results, visit, at)
	}
}

// replanned tells what a change of the plan shows. What was found of what is
// planned no more, or was not observed as it is planned now, is over.
func (t *tale) replanned(all [][]Result, at int) {
	still := map[resultKey]bool{}
	for _, results := range all {
		for _, r := range results {
			if r.Outcome != NotObserved && r.Outcome != NotApplicable {
				still[resultKey{r.Rule.Name, r.Subject.String()}] = true
			}
		}
	}
	for i := range t.faults {
		f := &t.faults[i]
		id := resultKey{f.Rule.Name, f.Subject.String()}
		if k, open := t.open[id]; open && k == i && !still[id] {
			f.to = at
			delete(t.open, id)
		}
	}
	for _, results := range all {
		t.tell(results, -1, at)
	}
}

// ever is later than any entry.
const ever = 1 << 30

// tell notes what was found, and what was put right, by the entry at a place in
// the order, of a visit or of none.
func (t *tale) tell(results []Result, visit, at int) {
	for _, r := range results {
		id := resultKey{r.Rule.Name, r.Subject.String()}
		i, known := t.open[id]
		switch {
		case r.Outcome == Fail && !known:
			t.open[id] = len(t.faults)
			t.faults = append(t.faults, Fault{Result: r, Number: len(t.faults) + 1, FoundOn: visit, PutRightOn: -1, from: at, to: ever})
		case known && r.Outcome == Pass:
			f := &t.faults[i]
			f.PutRightOn, f.PutRight, f.to = visit, true, at
			delete(t.open, id)
		}
	}
}

// also tells faults that were there and that nobody could see: they are numbered
// behind all others. What is told no more since an entry is lost by it.
func (t *tale) also(there []Fault, e entry) {
	for k, unused := range giveNumbers(there, t.faults) {
		switch f := &t.faults[k]; {
		case !unused:
			f.lost = 0
		case f.lost == 0:
			f.lost = e.what
		}
	}
	for _, f := range there {
		if f.Number == 0 {
			f.Number = len(t.faults) + 1
			t.faults = append(t.faults, f)
		}
	}
}

// failing are the rules by which anything can fail.
func failing() []*Rule {
	return slices.DeleteFunc(rules(), func(r *Rule) bool { return r.Advises })
}
