package compare

import (
	"cmp"
	"slices"

	"setline.example/checks"
)

// FaultNote is a fault that was opened or closed.
type FaultNote struct {
	// Number on the punch list of the record in which the fault is open, 0
	// where a later count of parts has taken it off the list.
	Number  int    `json:"number,omitempty"`
	Room    string `json:"room"`
	Item    string `json:"item"`
	Rule    string `json:"rule"`
	RuleID  string `json:"rule_id"`
	Finding string `json:"finding"`
	// Visits, by date, "" where there is none: a part short is found on receipt,
	// and what is planned no more is put right by no visit.
	FoundOn    string `json:"found_on,omitempty"`
	PutRightOn string `json:"put_right_on,omitempty"`
	// PutRight says that it was put right; where PutRightOn is "", by what came.
	PutRight bool `json:"put_right,omitempty"`
	// Withdrawn says that the visit that found it was taken back: it never was.
	Withdrawn bool `json:"withdrawn,omitempty"`
	// Corrected says that what showed it was corrected since: it never was.
	Corrected bool `json:"corrected,omitempty"`
	// Replanned says that it was one of what the plan has no more, or otherwise.
	Replanned bool `json:"replanned,omitempty"`
	// Conceded says that it may stay, by written permission.
	Conceded bool `json:"conceded,omitempty"`
}

// became is what became of a fault.
type became string

const (
	unknown  became = "unknown"
	open     became = "open"
	conceded became = "conceded"
	putRight became = "put right"
	never    became = "never was" // what showed it was withdrawn, or corrected
	gone     became = "gone"      // it was of what is planned no more, or otherwise
)

// told is a fault of one side.
type told struct {
	*checks.Fault
	became
}

// became is what became of a fault by the time of a side.
func (s *side) became(f *checks.Fault) became {
	switch {
	case f.TakenBack:
		return never
	case f.Replanned:
		return gone
	case f.PutRight:
		return putRight
	case s.conceded[keyOf(f.Result)]:
		return conceded
	}
	return open
}

// told are the faults of a side, those of which only the numbers are left too.
func (s *side) told() []told {
	all := make([]told, 0, len(s.Faults)+len(s.Empty))
	for _, list := range [][]checks.Fault{s.Faults, s.Empty} {
		for i := range list {
			all = append(all, told{&list[i], s.became(&list[i])})
		}
	}
	slices.SortStableFunc(all, func(a, b told) int { return cmp.Compare(a.Number, b.Number) })
	return all
}

// sameFaults finds for faults of the one side those of the other: by what they
// are of and their numbers, which a record keeps. Of two copies that numbered on
// their own, those that are left are the same in turn: a fault that came back after
// it was put right is another.
func sameFaults(then, now []told) (is map[*checks.Fault]told, was map[*checks.Fault]told) {
	is, was = map[*checks.Fault]told{}, map[*checks.Fault]told{}
	pair := func(a, b told) { is[a.Fault], was[b.Fault] = b, a }
	type numbered struct {
		judgedKey
		number int
	}
	by := map[numbered]told{}
	for _, f := range now {
		by[numbered{keyOf(f.Result), f.Number}] = f
	}
	for _, f := range then {
		if other, ok := by[numbered{keyOf(f.Result), f.Number}]; ok && was[other.Fault].Fault == nil {
			pair(f, other)
		}
	}
	left := map[judgedKey][]told{}
	for _, f := range now {
		if was[f.Fault].Fault == nil && !f.Empty() {
			left[keyOf(f.Result)] = append(left[keyOf(f.Result)], f)
		}
	}
	for _, f := range then {
		k := keyOf(f.Result)
		if is[f.Fault].Fault == nil && !f.Empty() && len(left[k]) > 0 {
			pair(f, left[k][0])
			left[k] = left[k][1:]
		}
	}
	return is, was
}

// faults compares what is left to put right on the two sides, and tells what
// became of what is not: what was open and is not any more, and what was told then
// as another thing than it is told as now; and what came and went between the two.
func (p pair) faults() (opened, closed, passing []FaultNote) {
	opened, closed, passing = []FaultNote{}, []FaultNote{}, []FaultNote{}
	then, now := byPlace(p.then.told()), byPlace(p.now.told())
	is, was := sameFaults(then, now)
	for _, f := range now {
		before := cmp.Or(was[f.Fault].became, unknown)
		switch {
		case f.became == open && before != open:
			opened = append(opened, p.note(p.now, f.Fault))
		case (f.became == putRight || f.became == conceded) && (before == unknown || before == never || before == gone):
			passing = append(passing, p.ended(p.note(p.now, f.Fault), f, f))
		}
	}
	for _, f := range then {
		after := is[f.Fault]
		forgotten := f.became == putRight && after.Fault == nil // it came later, and is over either way
		if !f.Empty() && after.became != open && after.became != f.became && !forgotten {
			closed = append(closed, p.ended(p.note(p.then, f.Fault), f, after))
		}
	}
	return opened, closed, passing
}

// ended says how a fault ended: was is what it was, is what it is now, nothing
// where nobody knows of it any more.
func (p pair) ended(n FaultNote, was, is told) FaultNote {
	back := was.FoundOn >= 0 && was.Fault != is.Fault && p.withdrawn(&p.then.Record.Measured.Visits[was.FoundOn]) != nil
	n.PutRightOn = ""
	switch is.became {
	case putRight:
		n.PutRight, n.PutRightOn = true, p.now.visitName(is.PutRightOn)
	case conceded:
		n.Conceded = true
	case gone:
		n.Replanned = true
	case never:
		n.Withdrawn, n.Corrected = back, !back
	case "":
		n.Withdrawn = back
	}
	return n
}

// byPlace puts faults in walking order.
func byPlace(faults []told) []told {
	slices.SortStableFunc(faults, func(a, b told) int { return a.Subject.Compare(&b.Subject) })
	return faults
}

func (p pair) note(s *side, f *checks.Fault) FaultNote {
	return FaultNote{
		Number: f.Number, Room: f.Subject.Room, Item: f.Subject.Item, Rule: f.Rule.Name, RuleID: f.Rule.ID,
		Finding: p.write(f.Finding), FoundOn: s.visitName(f.FoundOn),
	}
}
