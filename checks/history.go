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

	from, to int // places in the order of entry: where it was found, and put right
}

// History returns every fault that was found, by number: those put right since,
// those still open, and those that were entered and never were, of which only
// the numbers are left. A fault that came back after it was put right is a fault
// of its own.
//
// It judges the record anew as known after each entry, without concessions. The
// error is that of [Run].
func History(rec *schema.Record, src *schema.Source) ([]Fault, error) {
	limits, problems := contractLimits(rec, src)
	if len(problems) > 0 {
		return nil, problems
	}
	faults, empty := told(rec, limits, rec.Measured.VisitsInTime())
	for _, f := range empty {
		f.PutRight, f.PutRightOn, f.TakenBack = false, -1, true
		faults = append(faults, f)
	}
	slices.SortStableFunc(faults, byNumber)
	return faults, nil
}

// history are the faults that were there as [History] has them, over some
// visits, positions in the record in time order.
//
// An entry changes what is known of some rooms. Only these are judged again, on
// facts to which a visit is added: a long history takes no more time for a visit
// than a short one.
func history(rec *schema.Record, limits map[string]limitChange, visits []int) []Fault {
	faults, _ := told(rec, limits, visits)
	return faults
}

// told gives the faults that were there, and those that were entered and never
// were. What is there is told of the record as it stands now; what number it has
// is told of the record as it was entered, which later entries do not change.
func told(rec *schema.Record, limits map[string]limitChange, visits []int) (faults, empty []Fault) {
	entries := entriesOf(rec, visits)
	faults = replay(rec, limits, entries, nil)
	if !slices.ContainsFunc(entries, entry.takesBack) {
		return faults, nil
	}
	entered := replay(rec, limits, entries, entry.takesBack)
	unused := giveNumbers(faults, entered)
	for k := range entered {
		if unused[k] {
			empty = append(empty, entered[k])
		}
	}
	slices.SortStableFunc(faults, byNumber)
	return faults, empty
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

// replay tells the faults of a record entry by entry. Without takesBack it is
// told as it stands now. With it, as it was entered: where an entry takes
// something back, what that shows to have been there all the time is told then.
func replay(rec *schema.Record, limits map[string]limitChange, entries []entry, takesBack func(entry) bool) []Fault {
	early := first(len(entries), func(k int) bool { return entries[k].number > 0 || entries[k].what == visitEntry })
	if early < 0 {
		early = len(entries)
	}
	c := newChronicle(rec, limits, entries[:early])
	if takesBack != nil {
		for v := range c.rec.Measured.Visits {
			visit := &c.rec.Measured.Visits[v]
			*visit = visitAsEntered(visit, visit.Entered)
		}
	}
	t := tale{open: map[resultKey]int{}}
	for i := range c.rooms {
		t.tell(c.judge(c.rooms[i], failing(), nil), -1, -1)
	}
	for k := early; k < len(entries); k++ {
		e := entries[k]
		if takesBack == nil && (e.withdrawn || e.takesBack()) {
			continue
		}
		visit := -1
		if e.what >= visitEntry {
			visit = e.index
		}
		for _, results := range c.add(e) {
			t.tell(results, visit, k)
		}
		if takesBack != nil && takesBack(e) {
			t.also(replay(asOf(rec, e.number), limits, uptoNow(entries[:k+1]), nil))
		}
	}
	return t.faults
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
// behind all others.
func (t *tale) also(there []Fault) {
	giveNumbers(there, t.faults)
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
