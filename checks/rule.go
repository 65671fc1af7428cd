package checks

import "slices"

// Rule is one rule of the trade, declared once. Everything that is said of it
// anywhere is said here.
type Rule struct {
	// Name is how the record, the report and every output format call it, in the trade's words.
	Name string
	// Family is the part of the work it belongs to.
	Family Family
	// Asks says what must be so, in one sentence.
	Asks string
	// Why says why it matters, in a sentence or two.
	Why string
	// Limit is the default limit. A rule that asks for a yes has none, and says in LimitWords what it asks for.
	Limit Quantity
	// LimitWords is the limit in words where it is no quantity.
	LimitWords string
	// Source says where the limit comes from.
	Source string
	// Needs says what has to be observed for the rule to judge.
	Needs string
	// Remedy says what to do where it fails.
	Remedy string
	// NoConcession says why this rule cannot be conceded; "" where it can.
	NoConcession string

	// judge judges every subject of the rule and hands each result to the bench.
	judge func(*bench)
}

// Family is a part of the work.
type Family string

// The families, in the order in which the work goes.
const (
	Receiving Family = "receiving"
	Setting   Family = "setting"
	Joining   Family = "joining"
	Fillers   Family = "fillers"
	Fronts    Family = "doors and drawers"
)

// rules are all rules in the order in which the work goes; reports keep it.
var rules = [...]*Rule{
	partsReceived,
	levelersBearing,
	frontsFlush,
	fastenersHidden,
	fillersRemovable,
	drawersHome,
}

// All returns every rule, in the order in which the work goes.
func All() []*Rule { return slices.Clone(rules[:]) }

// Find returns the rule called name, or nil.
func Find(name string) *Rule {
	for _, r := range rules {
		if r.Name == name {
			return r
		}
	}
	return nil
}

// Names returns the names of all rules, in the order in which the work goes.
func Names() []string {
	names := make([]string, len(rules))
	for i, r := range rules {
		names[i] = r.Name
	}
	return names
}
