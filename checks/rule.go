package checks

import (
	"strings"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

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
}

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
		levelAndPlumb, setHeightHeld, topsInOnePlane, cabinetTwist, levelersBearing, extensionAgrees,
		frontsFlush, topsFlush, jointGap, jointFastened, fastenersHidden, fastenerFits,
		fillerFirst, fillerFlush, fillersRemovable,
		drawersHome, frontsAligned, frontsWork,
		siteSettled, movement,
		instructionsOnSite, servicesClear, anchoredAsDrawn, topsReleased, noDamage, loosePartsThere, clean,
	}
}

// All returns every rule, in the order in which the work goes.
func All() []*Rule { return rules() }

// LimitIn writes the default limit, lengths in the given system. What is whole
// in inches only is written in millimetres as a person says it, with what it
// is exactly, which alone counts: "at most 1.6 mm (exactly 1/16 in)".
func (r *Rule) LimitIn(sys length.System) string {
	if r.LimitWords != "" {
		return string(r.LimitWords)
	}
	exact := r.limitText(func(l length.Length) string { return l.In(length.InchSystem) })
	if sys != length.Metric || r.Limit.Unit != Length {
		return exact
	}
	said := r.limitText(func(l length.Length) string { return asSaid(l).In(sys) })
	for _, l := range []length.Length{length.Length(r.Limit.N), r.Over, r.Least} {
		if asSaid(l) != l {
			return said + " (exactly" + strings.TrimPrefix(exact, "at most") + ")"
		}
	}
	return said
}

// limitText writes the default limit, each length by write.
func (r *Rule) limitText(write func(length.Length) string) string {
	limit := r.Limit.In(length.InchSystem)
	if r.Limit.Unit == Length {
		limit = write(length.Length(r.Limit.N))
	}
	return limitText(limit, r.Over, r.Least, write)
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

// ContractLimitIn writes a limit that the contract sets in place of the default
// one, its own words first.
func (r *Rule) ContractLimitIn(change schema.LimitChange, sys length.System) string {
	over, least := r.Over, r.Least
	if change.Over != nil {
		over = *change.Over
	}
	if change.Least != nil {
		least = *change.Least
	}
	return limitText(change.Limit, over, least, func(l length.Length) string { return l.In(sys) })
}

func limitText(limit string, over, least length.Length, write func(length.Length) string) string {
	text := "at most " + limit
	if over > 0 {
		text += " over " + write(over)
	}
	if least > 0 {
		text += ", or " + write(least) + " if that is more"
	}
	return text
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
