package checks

import (
	"cmp"
	"encoding/json"
	"slices"
	"strconv"

	"setline.example/schema"
)

// entry is one thing that was put into the record: a packing list, a count, a
// change of the plan, a visit, the correction of one, that it was taken back, or
// that it was not.
type entry struct {
	what       entryKind
	list       string // the packing list
	index      int    // position of the count, or of the visit
	correction int    // of the visit
	number     int    // as the record has it, 0 where it has none
	withdrawn  bool   // the visit was taken back since
}

type entryKind int

const (
	listEntry entryKind = iota + 1
	countEntry
	planEntry
	visitEntry
	correctionEntry
	withdrawEntry
	restoreEntry // the withdrawal was undone
)

// entriesOf gives everything that was put into a record, in that order: what
// has no number first, deliveries before visits, and those in time order, then
// by number. Of the visits only those given and the withdrawn ones count.
func entriesOf(rec *schema.Record, visits []int) []entry {
	var all []entry
	for _, list := range sortedNames(rec.Arrived.PackingLists) {
		all = append(all, entry{what: listEntry, list: list, number: rec.Arrived.PackingLists[list].Entered})
	}
	for i := range rec.Arrived.Receipts {
		all = append(all, entry{what: countEntry, index: i, number: rec.Arrived.Receipts[i].Entered})
	}
	whole := len(visits) == len(rec.Measured.VisitsInTime())
	if whole {
		for _, c := range replans(rec) {
			all = append(all, entry{what: planEntry, index: -1, number: c.Entered})
		}
	}
	for _, v := range visits {
		all = append(all, entry{what: visitEntry, index: v, number: rec.Measured.Visits[v].Entered})
	}
	for v := range rec.Measured.Visits {
		if whole && rec.Measured.Visits[v].Withdrawn != nil {
			all = append(all, entry{what: visitEntry, index: v, number: rec.Measured.Visits[v].Entered, withdrawn: true})
		}
	}
	for _, e := range slices.Clone(all) {
		if e.what != visitEntry {
			continue
		}
		if e.withdrawn {
			number := cmp.Or(rec.Measured.Visits[e.index].Withdrawn.Entered, last)
			all = append(all, entry{what: withdrawEntry, index: e.index, number: number})
		}
		for _, u := range rec.Measured.Visits[e.index].Undone {
			if u.Withdrawn.Entered > e.number && u.Entered > u.Withdrawn.Entered { // without numbers it is no story
				all = append(all, entry{what: withdrawEntry, index: e.index, number: u.Withdrawn.Entered, withdrawn: e.withdrawn},
					entry{what: restoreEntry, index: e.index, number: u.Entered, withdrawn: e.withdrawn})
			}
		}
		for k, c := range rec.Measured.Visits[e.index].Corrections {
			if c.Entered > e.number { // one without a number is part of the visit
				all = append(all, entry{what: correctionEntry, index: e.index, correction: k, number: c.Entered, withdrawn: e.withdrawn})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b entry) int {
		early := func(e entry) bool { return e.number == 0 && e.what != visitEntry }
		switch {
		case early(a) != early(b):
			return before(early(a))
		case a.number == 0 && b.number == 0 && a.what == visitEntry && b.what == visitEntry:
			return cmp.Compare(rec.Measured.Visits[a.index].Date, rec.Measured.Visits[b.index].Date)
		}
		return cmp.Compare(a.number, b.number)
	})
	return all
}

func before(is bool) int {
	if is {
		return -1
	}
	return 1
}

// takesBack reports whether an entry says of others that they were wrong, or are
// to be held against another plan.
func (e entry) takesBack() bool { return e.what >= correctionEntry || e.what == planEntry }

// last is the place of what was entered nobody knows when, after everything else.
const last = 1 << 30

// visitAsEntered is a visit as it was before its corrections from one on, which
// is their number in the order of entry: all of those entered later are undone.
// A correction that cannot be undone is left as it is.
func visitAsEntered(v *schema.Visit, until int) schema.Visit {
	corrections := slices.DeleteFunc(slices.Clone(v.Corrections), func(c schema.Correction) bool { return c.Entered <= until })
	if len(corrections) == 0 {
		return *v
	}
	slices.SortStableFunc(corrections, func(a, b schema.Correction) int { return cmp.Compare(b.Entered, a.Entered) })
	tree := visitTree(v)
	for _, c := range corrections {
		undo(tree, c)
	}
	text, err := json.Marshal(tree)
	if err != nil {
		return *v
	}
	var was schema.Visit
	if json.Unmarshal(text, &was) != nil {
		return *v
	}
	return was
}

// undo puts into a visit what stood there before a correction.
func undo(tree any, c schema.Correction) {
	steps := schema.Steps(c.At)
	at := tree
	for i, step := range steps {
		last := i == len(steps)-1
		switch v := at.(type) {
		case map[string]any:
			if !last {
				if v[step] == nil {
					v[step] = map[string]any{}
				}
				at = v[step]
				continue
			}
			if c.Was == nil {
				delete(v, step)
				return
			}
			v[step] = plainValue(c.Was)
		case []any:
			n, err := strconv.Atoi(step)
			if err != nil || n < 0 || n >= len(v) {
				return
			}
			if !last {
				at = v[n]
			} else if c.Was != nil {
				v[n] = plainValue(c.Was)
			}
		default:
			return
		}
	}
}

func plainValue(text json.RawMessage) (v any) {
	if json.Unmarshal(text, &v) != nil {
		return nil
	}
	return v
}
