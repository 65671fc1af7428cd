package checks

import (
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// CommonPractice is the source of a rule for which nothing published is known.
const CommonPractice say.Words = "common practice, no source"

// Rule is one rule of the trade, declared once. Everything that is said of it
// anywhere is said here.
type Rule struct {
	// ID names the rule for machines: lower case with hyphens, the same for
	// ever, whatever becomes of the name.
	ID string
	// Name is how the record, the report and every output format call it, in the trade's words.
	Name string
	// Family is the part of the work it belongs to.
	Family Family
	// Asks says what must be so, in one sentence.
	Asks say.Words
	// Why says why it matters, in a sentence or two.
	Why say.Words
	// Limit is the default limit. A rule that asks for a yes has none, and says in LimitWords what it asks for.
	Limit Quantity
	// Over is the distance over which the limit is stated, where it is.
	Over length.Length
	// Least is what the limit comes to however short the distance, where it is a
	// rate; 0 where it is none.
	Least length.Length
	// LimitWords is the limit in words where it is no quantity.
	LimitWords say.Words
	// BothSides says that the limit holds on both sides of zero, so that the
	// size of something that may be off either way is held against it.
	BothSides bool
	// Formula says what is computed, where anything is.
	Formula say.Words
	// Source says where the limit comes from.
	Source say.Words
	// Needs says what has to be observed for the rule to judge.
	Needs say.Words
	// Remedy says what to do where it fails.
	Remedy say.Words
	// RemedyOnceSetting says what to do instead once setting has begun; "" where
	// that is the same.
	RemedyOnceSetting say.Words
	// NoConcession says why this rule cannot be conceded; "" where it can.
	NoConcession say.Words
	// Advises says that what the rule finds is a notice, nobody's failure, and
	// keeps no room from being ready.
	Advises bool

	// At is where on the drawing of an elevation what it finds is.
	At DrawnAt
	// OnLayout says that what it finds is told on a layout, also where all is right.
	OnLayout bool

	// judge judges every subject of the rule and hands each result to the bench.
	judge func(*bench)
	// observe says thing by thing what judge needs to have been observed. It is
	// nil where there is nothing for a visit to observe.
	observe func(*asker)
	// again says of what a result rests on and was observed whether it has to be
	// observed again so that the result is decided anew; where it is nil, what the
	// result's faults name ([faulted]).
	again func(*asker, *ask, *Result) bool
}

// Title is the rule's name as people read it.
func (r *Rule) Title() say.Words { return say.Words(r.Name) }

// DrawnAt is where on the drawing of an elevation something is.
type DrawnAt int

// Where something is on a drawing.
const (
	DrawnAtFront DrawnAt = iota
	DrawnAtTop
	DrawnAtFoot
	DrawnAtJoint
)

// Family is a part of the work.
type Family string

// The families, in the order in which the work goes.
const (
	Receiving   Family = "receiving"
	Instruments Family = "instruments"
	Floor       Family = "floor and layout"
	Setting     Family = "setting"
	Joining     Family = "joining"
	Fillers     Family = "fillers"
	Fronts      Family = "doors and drawers"
	ClosingOut  Family = "closing out"
	SiteFamily  Family = "site"
)

// rules are all rules in the order in which the work goes; reports keep it.
func rules() []*Rule {
	return []*Rule{
		partsReceived, labelComplete,
		instrumentChecked, readingsPlausible,
		surveyCoverage, floorWithinContract, floorWithinTravel, reserveLeft, workHeight, accessibleHeight, runCloses,
		levelAndPlumb, setHeightHeld, topsInOnePlane, cabinetTwist, levelersBearing, extensionAgrees, topBears,
		frontsFlush, topsFlush, jointGap, jointFastened, fastenersHidden, fastenerFits,
		fillerFirst, fillerFlush, fillersRemovable,
		drawersHome, frontsAligned, frontsWork,
		siteSettled, movement,
		instructionsOnSite, servicesClear, anchoredAsDrawn, topsReleased, noDamage, loosePartsThere, clean, protected, handedOver,
	}
}

// All returns every rule, in the order in which the work goes.
func All() []*Rule { return rules() }

// LimitIn says the default limit to a reader of lengths in the given system.
// What is whole in inches only is said in millimetres as a person says it, with
// what it is exactly, which alone counts: "at most 1.6 mm (exactly 1/16 in)".
func (r *Rule) LimitIn(sys length.System) say.Text {
	switch {
	case r.LimitWords != "":
		return r.LimitWords.Text()
	case r.Limit.Unit != Length:
		return atMostText(r.Limit.Text())
	}
	of := [...]length.Length{length.Length(r.Limit.N), r.Over, r.Least}
	var said, exact [3]say.Text
	rounded := false
	for i, l := range of {
		if i > 0 && l <= 0 {
			continue
		}
		said[i], exact[i] = say.That("%[1]s", l), say.That("%[1]s", say.Inches(l))
		if sys == length.Metric && asSaid(l) != l {
			rounded = true
		}
	}
	if !rounded {
		return atMostText(rateText(said[0], said[1], said[2]))
	}
	for i, l := range of {
		if !said[i].Empty() {
			said[i] = say.That("%[1]s", asSaid(l))
		}
	}
	return say.That("%[1]s (exactly %[2]s)",
		atMostText(rateText(said[0], said[1], said[2])), rateText(exact[0], exact[1], exact[2]))
}

// asSaid is a length as a person says it in millimetres: whole ones from 100 mm
// on, tenths below.
func asSaid(l length.Length) length.Length {
	step := length.Millimetre / 10
	if l >= 100*length.Millimetre {
		step = length.Millimetre
	}
	return (l + step/2) / step * step
}

// ContractLimit says a limit that the contract sets in place of the default one,
// its own words first.
func (r *Rule) ContractLimit(change schema.LimitChange) say.Text {
	over, least := r.Over, r.Least
	if change.Over != nil {
		over = *change.Over
	}
	if change.Least != nil {
		least = *change.Least
	}
	return limitText(say.Name(change.Limit).Text(), over, least)
}

func limitText(limit say.Text, over, least length.Length) say.Text {
	var a, b say.Text
	if over > 0 {
		a = say.That("%[1]s", over)
	}
	if least > 0 {
		b = say.That("%[1]s", least)
	}
	return atMostText(rateText(limit, a, b))
}

func atMostText(limit say.Text) say.Text { return say.That("at most %[1]s", limit) }

// rateText says a limit with the distance over which it is stated and the least
// that it comes to, which say nothing where there are none.
func rateText(limit, over, least say.Text) say.Text {
	switch {
	case over.Empty() && least.Empty():
		return limit
	case least.Empty():
		return say.That("%[1]s over %[2]s", limit, over)
	case over.Empty():
		return say.That("%[1]s, or %[2]s if that is more", limit, least)
	}
	return say.That("%[1]s over %[2]s, or %[3]s if that is more", limit, over, least)
}

// Find returns the rule called name, or nil.
func Find(name string) *Rule {
	for _, r := range rules() {
		if r.Name == name {
			return r
		}
	}
	return nil
}

// Names returns the names of all rules, in the order in which the work goes.
func Names() []string {
	var names []string
	for _, r := range rules() {
		names = append(names, r.Name)
	}
	return names
}
