// Package merge makes one job record of two copies that went different ways.
//
// What one of them has and the other has not is taken; what both have is held
// against each other value by value, by the types of the record, so that a field
// that is new to it is merged without further ado. Who changed what is known from
// the record's own trail, corrections and changes of the plan, and from a common
// ancestor where one is given. What is left is a [Contradiction]: it is named, and
// decided by whoever merges, never here. What was not taken stays in the record,
// as what a correction or a change of the plan found there.
//
// Entries that both have keep their place in the order of entry, and so do those
// of the first copy: no fault that it numbered gets another number. What the
// second alone has comes after them, in its own order.
//
// What is where: walk.go merges by the types of the record, lists.go and visits.go say
// which elements are the same, trail.go who changed what by the record's own corrections
// and changes of the plan, plans.go takes the copies through each other's changes of the
// plan and formerplans.go keeps the way back, keep.go keeps in the record what was not taken, decided.go
// knows by that what was decided before, rewrite.go puts it into the text. Contradictions are named there and decided by the caller.
package merge

import (
	"fmt"
	"slices"
	"strings"

	"setline.example/schema"
)

// Copy is a copy of a record, as it was read.
type Copy struct {
	Name   string
	Text   []byte
	Record *schema.Record
}

// Answer says which of two counts.
type Answer int

const (
	First Answer = iota + 1
	Second
	Both // where both can stand
)

// Contradiction is a place of which the copies say different things.
type Contradiction struct {
	Place         string // the way to it, by which it is decided
	First, Second string // what they say, in JSON; "" where one says nothing
	Base          string // what their common ancestor says, "" where nothing, or where none is given
	Asks          string // what is asked, where it is not which value is right
	Both          bool   // both can stand
}

// Decision is who decided contradictions, when and why.
type Decision struct {
	By     schema.Party
	Date   schema.Date
	Reason string
}

// Outcome is what came of it.
type Outcome struct {
	Text []byte // the first copy with what the second has
	// All are the contradictions, in the order of the record; Open are those of
	// them that are not decided. While there are any, Text is of no use.
	All, Open []Contradiction
	// Added is what the second alone had, a line each.
	Added []string
	// Visits says which visit of the merged record a visit of the second is, by
	// their positions.
	Visits map[int]int
	// Former is what was observed or conceded of what the merged plan has otherwise.
	Former []string
}

// Copies merges second into first. base is their common ancestor, nil where
// nobody has it. decided has the answers, by place.
func Copies(first, second Copy, base *Copy, decided map[string]Answer, by Decision) (*Outcome, error) {
	m := &merger{decided: decided, by: by, out: &Outcome{Visits: map[int]int{}}, next: first.Record.NextEntry()}
	trees, err := parseAll(first, second, base)
	if err != nil {
		return nil, err
	}
	planned, err := m.planned(first, second, base, &trees)
	if err != nil {
		return nil, err
	}
	if err := m.underPlan(planned, &trees); err != nil {
		return nil, err
	}
	was := trees[0] // as its text is
	trees = [3]*node{withoutFormer(trees[0], trees[1]), withoutFormer(trees[1], trees[0]), withoutFormer(withoutFormer(trees[2], trees[0]), trees[1])}
	merged := trees[0].with("planned", planned.merged)
	for _, part := range []string{"arrived", "measured", "agreed"} {
		merged = merged.with(part, m.member(part, trees[0], trees[1], trees[2]))
	}
	if merged, err = m.ledBack(planned, m.noted(merged)); err != nil {
		return nil, fmt.Errorf("%s: %w", second.Name, err)
	}
	merged = m.numbered(merged)
	text, err := rewritten(planned.copies[0].text, "", was, merged)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", first.Name, err)
	}
	m.out.Text = text
	slices.Sort(m.out.Former)
	m.out.Former = slices.Compact(m.out.Former)
	return m.out, nil
}

// withoutFormer is a record without what is agreed in it and is history in the
// other copy.
func withoutFormer(n, other *node) *node {
	agreed := n.member("agreed")
	for _, name := range []string{"concessions", "reinspections"} {
		all := agreed.member(name).elements()
		// What was withdrawn and agreed again in the same words is agreed.
		ended := moreThan(asAgreed(other.at("agreed", "former_"+name)), asAgreed(n.at("agreed", "former_"+name)))
		switch still := moreThan(all, ended); {
		case len(still) == 0 && len(all) > 0:
			agreed = agreed.with(name, nil)
		case len(still) < len(all):
			agreed = agreed.with(name, list(still...))
		}
	}
	if agreed == nil {
		return n
	}
	return n.with("agreed", agreed)
}

// asAgreed are the elements of a list of what was agreed, as they were before they
// were withdrawn.
func asAgreed(former *node) (all []*node) {
	for _, kid := range former.elements() {
		all = append(all, kid.with("withdrawn", nil))
	}
	return all
}

func parseAll(first, second Copy, base *Copy) (trees [3]*node, err error) {
	for i, c := range []*Copy{&first, &second, base} {
		if c == nil {
			continue
		}
		if trees[i], err = parse(c.Text); err != nil {
			return trees, fmt.Errorf("%s: %w", c.Name, err)
		}
	}
	return trees, nil
}

// merger is a merge under way.
type merger struct {
	decided  map[string]Answer
	by       Decision
	out      *Outcome
	trail    trail
	refused  [2]refused   // by what each copy alone tells
	stays    stays        // of a copy on its way through changes of the other
	next     int          // free place in the order of entry
	told     int          // how many decisions are in the record
	notes    []*node      // what was not taken of the first copy, as changes of the plan hold it
	stayed   []*node      // the same of the second
	mended   []mend       // of the visit that is merged
	conceded []*node      // concessions that were not taken
	at       map[int]int  // where visits of the first copy are now
	fresh    map[int]bool // visits that the second copy alone has
}

// contradiction asks which of two counts, and gives it.
func (m *merger) contradiction(path []string, a, b, base *node, both bool, asks string) (*node, Answer) {
	c := Contradiction{Place: strings.Join(path, "/"), First: shown(a), Second: shown(b), Base: shown(base), Asks: asks, Both: both}
	m.out.All = append(m.out.All, c)
	answer := m.decided[c.Place]
	if answer == 0 || answer == Both && !both {
		m.out.Open = append(m.out.Open, c)
		return a, 0
	}
	if answer == Second {
		return b, answer
	}
	return a, answer
}

func shown(n *node) string {
	if n == nil {
		return ""
	}
	return string(n.json())
}

// settle asks which of two values counts, and keeps the other in the record.
func (m *merger) settle(path []string, a, b, base *node) *node {
	switch m.before(path, a, b) {
	case First:
		return a
	case Second:
		return m.adopt(b)
	}
	taken, answer := m.contradiction(path, a, b, base, false, "")
	if answer == 0 {
		return taken
	}
	m.keep(path, a, b, answer)
	if answer != Second {
		return taken
	}
	out := m.adopt(b)
	if at := a.member("entered"); at != nil && out.member("entered") != nil {
		out = out.with("entered", at) // it was entered when the first was, in other words
	}
	return out
}

// added notes what the second copy alone has.
func (m *merger) added(path []string) {
	m.out.Added = append(m.out.Added, strings.Join(path, "/"))
}
