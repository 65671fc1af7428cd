package checks

import (
	"cmp"
	"slices"
)

// Judged is a result whose outcome changed.
type Judged struct {
	Room      string    `json:"room"`
	Elevation string    `json:"elevation,omitempty"`
	Item      string    `json:"item"`
	Rule      string    `json:"rule"`
	Then      Judgement `json:"then"`
	Now       Judgement `json:"now"`
}

// Judgement is what a rule said. The zero Judgement is that of a rule that did
// not judge this subject.
type Judgement struct {
	Outcome Outcome `json:"outcome,omitempty"`
	Finding string  `json:"finding,omitempty"`
	Value   string  `json:"value,omitempty"`
	Limit   string  `json:"limit,omitempty"`
}

// FaultNote is a fault that was opened or closed.
type FaultNote struct {
	// Number on the punch list of the record in which the fault is open, 0
	// where a later count of parts has taken it off the list.
	Number  int    `json:"number,omitempty"`
	Room    string `json:"room"`
	Item    string `json:"item"`
	Rule    string `json:"rule"`
	Finding string `json:"finding"`
	// Visits, by date, "" where there is none: a part short is found on receipt,
	// and what is planned no more is put right by no visit.
	FoundOn    string `json:"found_on,omitempty"`
	PutRightOn string `json:"put_right_on,omitempty"`
}

// faultKey is what makes two faults the same one: a fault that came back after
// it was put right is another.
type faultKey struct {
	rule, subject string
	nth           int
}

// byKey are the faults of a side, and their keys in their own order.
func (s *side) byKey() (map[faultKey]*Fault, map[*Fault]faultKey) {
	faults, keys := map[faultKey]*Fault{}, map[*Fault]faultKey{}
	seen := map[faultKey]int{}
	for i := range s.faults {
		f := &s.faults[i]
		key := faultKey{f.Rule.Name, f.Subject.String(), 0}
		seen[key]++
		key.nth = seen[key]
		faults[key], keys[f] = f, key
	}
	return faults, keys
}

func (f *Fault) open() bool { return f != nil && f.PutRightOn < 0 }

// judged lists the results whose outcome changed, and those of subjects that
// only one side has where they keep a room from being ready.
func (p pair) judged() []Judged {
	key := func(r Result) string { return r.Subject.String() + "\x00" + r.Rule.Name }
	a, b := byName(p.then.results, key), byName(p.now.results, key)
	all := []Judged{}
	for _, k := range merged(p.then.results, p.now.results, key) {
		was, had := a[k]
		is, has := b[k]
		switch {
		case had && has && was.Outcome == is.Outcome, !had && is.Outcome.Holds(), !has && was.Outcome.Holds():
			continue
		}
		named := is
		if !has {
			named = was
		}
		all = append(all, Judged{named.Subject.Room, named.Subject.Elevation, named.Subject.Item, named.Rule.Name, p.judgement(was, had), p.judgement(is, has)})
	}
	return all
}

func (p pair) judgement(r Result, ok bool) Judgement {
	if !ok {
		return Judgement{}
	}
	return Judgement{r.Outcome, r.Finding, r.Value.In(p.sys), r.Limit.In(p.sys)}
}

// history is that of a side, with the numbers that the whole record gives.
func (s *side) history(limits map[string]limitChange) []Fault {
	faults := history(s.rec, limits, s.Visits)
	if s.rec == s.full {
		return faults
	}
	type found struct {
		rule, subject string
		on            int
	}
	of := func(f Fault) found { return found{f.Rule.Name, f.Subject.String(), f.FoundOn} }
	numbers := map[found]int{}
	for _, f := range history(s.full, limits, s.full.Measured.VisitsInTime()) {
		numbers[of(f)] = f.Number
	}
	for i := range faults {
		faults[i].Number = numbers[of(faults[i])]
	}
	return faults
}

// faults compares what is open on the two sides.
func (p pair) faults() (opened, closed, passing []FaultNote) {
	opened, closed, passing = []FaultNote{}, []FaultNote{}, []FaultNote{}
	then, thenKey := p.then.byKey()
	now, nowKey := p.now.byKey()
	for _, f := range byPlace(p.now.faults) {
		was := then[nowKey[f]]
		switch {
		case f.open() && !was.open():
			opened = append(opened, p.now.note(f))
		case !f.open() && was == nil:
			passing = append(passing, p.now.note(f))
		}
	}
	for _, f := range byPlace(p.then.faults) {
		is := now[thenKey[f]]
		if !f.open() || is.open() {
			continue
		}
		n := p.then.note(f)
		if is != nil {
			n.PutRightOn = p.now.visitName(is.PutRightOn)
		}
		closed = append(closed, n)
	}
	return opened, closed, passing
}

// byPlace gives faults in walking order.
func byPlace(faults []Fault) []*Fault {
	all := make([]*Fault, len(faults))
	for i := range faults {
		all[i] = &faults[i]
	}
	slices.SortStableFunc(all, func(x, y *Fault) int {
		a, b := x.Subject, y.Subject
		return cmp.Or(cmp.Compare(a.room, b.room), cmp.Compare(a.elevation, b.elevation), cmp.Compare(a.unit, b.unit))
	})
	return all
}

func (s *side) note(f *Fault) FaultNote {
	return FaultNote{f.Number, f.Subject.Room, f.Subject.Item, f.Rule.Name, f.Finding, s.visitName(f.FoundOn), s.visitName(f.PutRightOn)}
}
