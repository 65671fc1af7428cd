package compare

import (
	"slices"

	"setline.example/checks"
)

// Judged is a result whose outcome changed.
type Judged struct {
	Room      string    `json:"room"`
	Elevation string    `json:"elevation,omitempty"`
	Item      string    `json:"item"`
	Rule      string    `json:"rule"`
	RuleID    string    `json:"rule_id"`
	Then      Judgement `json:"then"`
	Now       Judgement `json:"now"`
	// Same says that the two say the same of what is so.
	Same bool `json:"-"`
}

// Judgement is what a rule said. The zero Judgement is that of a rule that did
// not judge this subject.
type Judgement struct {
	Outcome checks.Outcome `json:"outcome,omitempty"`
	Finding string         `json:"finding,omitempty"`
	Value   string         `json:"value,omitempty"`
	Limit   string         `json:"limit,omitempty"`
}

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
	// Withdrawn says that the visit that found it was taken back: it never was.
	Withdrawn bool `json:"withdrawn,omitempty"`
	// Corrected says that what showed it was corrected since: it never was.
	Corrected bool `json:"corrected,omitempty"`
	// Replanned says that it was one of what the plan has no more, or otherwise.
	Replanned bool `json:"replanned,omitempty"`
}

// faultKey is what makes two faults the same one: a fault that came back after
// it was put right is another.
type faultKey struct {
	judgedKey
	nth int
}

// judgedKey is what makes two results the same one: rule and subject.
type judgedKey struct {
	rule       *checks.Rule
	room, item string
}

func keyOf(r checks.Result) judgedKey { return judgedKey{r.Rule, r.Subject.Room, r.Subject.Item} }

// byKey are the faults of a side, and their keys in their own order.
func (s *side) byKey() (map[faultKey]*checks.Fault, map[*checks.Fault]faultKey) {
	faults, keys := map[faultKey]*checks.Fault{}, map[*checks.Fault]faultKey{}
	seen := map[judgedKey]int{}
	for i := range s.Faults {
		f := &s.Faults[i]
		of := keyOf(f.Result)
		seen[of]++
		key := faultKey{of, seen[of]}
		faults[key], keys[f] = f, key
	}
	return faults, keys
}

func open(f *checks.Fault) bool { return f != nil && !f.PutRight }

// judged lists the results whose outcome changed, and those of subjects that
// only one side has where they keep a room from being ready.
func (p pair) judged() []Judged {
	a, b := byName(p.then.Results, keyOf), byName(p.now.Results, keyOf)
	all := []Judged{}
	for _, k := range merged(p.then.Results, p.now.Results, keyOf) {
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
		all = append(all, Judged{
			Room: named.Subject.Room, Elevation: named.Subject.Elevation, Item: named.Subject.Item,
			Rule: named.Rule.Name, RuleID: named.Rule.ID,
			Then: p.judgement(was, had), Now: p.judgement(is, has), Same: was.Finding.Equal(is.Finding),
		})
	}
	return all
}

func (p pair) judgement(r checks.Result, ok bool) Judgement {
	if !ok {
		return Judgement{}
	}
	return Judgement{r.Outcome, p.write(r.Finding), r.Value.In(p.sys), r.Limit.In(p.sys)}
}

// faults compares what is open on the two sides.
func (p pair) faults() (opened, closed, passing []FaultNote) {
	opened, closed, passing = []FaultNote{}, []FaultNote{}, []FaultNote{}
	then, thenKey := p.then.byKey()
	now, nowKey := p.now.byKey()
	for _, f := range byPlace(p.now.Faults) {
		was := then[nowKey[f]]
		switch {
		case open(f) && !open(was):
			opened = append(opened, p.note(p.now, f))
		case !open(f) && was == nil:
			passing = append(passing, p.note(p.now, f))
		}
	}
	for _, f := range byPlace(p.then.Faults) {
		is := now[thenKey[f]]
		if !open(f) || open(is) {
			continue
		}
		n := p.note(p.then, f)
		if is == nil && f.FoundOn >= 0 {
			n.Withdrawn = p.withdrawn(&p.then.Record.Measured.Visits[f.FoundOn]) != nil
		}
		if e := p.emptied(f); is == nil && e != nil && !n.Withdrawn {
			n.Corrected, n.Replanned = e.TakenBack, e.Replanned
		}
		if is != nil {
			n.PutRightOn = p.now.visitName(is.PutRightOn)
		}
		closed = append(closed, n)
	}
	return opened, closed, passing
}

// emptied is a fault of then of which only the number is left now, nil where it is
// none.
func (p pair) emptied(f *checks.Fault) *checks.Fault {
	i := slices.IndexFunc(p.now.Empty, func(e checks.Fault) bool { return e.Number == f.Number && keyOf(e.Result) == keyOf(f.Result) })
	if i < 0 {
		return nil
	}
	return &p.now.Empty[i]
}

// byPlace gives faults in walking order.
func byPlace(faults []checks.Fault) []*checks.Fault {
	all := make([]*checks.Fault, len(faults))
	for i := range faults {
		all[i] = &faults[i]
	}
	slices.SortStableFunc(all, func(a, b *checks.Fault) int { return a.Subject.Compare(&b.Subject) })
	return all
}

func (p pair) note(s *side, f *checks.Fault) FaultNote {
	return FaultNote{f.Number, f.Subject.Room, f.Subject.Item, f.Rule.Name, f.Rule.ID, p.write(f.Finding), s.visitName(f.FoundOn), s.visitName(f.PutRightOn), false, false, false}
}
