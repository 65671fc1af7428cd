package checks

import (
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
)

// theAll is what is said of all of an elevation at once.
var theAll = &Thing{
	Of: OfElevation, Field: "all", kind: Used,
	words: named(map[string]say.Words{
		saidLabels: "all labels as drawn and listed", saidBearing: "all levelers bear", saidFastened: "all fastened as planned",
		saidInSight: "no fastener in sight", saidHeld: "all fillers held from inside only", saidTopOn: "the top is on", saidComesOff: "all fillers come off again",
		saidAlignment: "all fronts in line",
		saidWorks:     "all doors and drawers work", saidDrawers: "all drawers in their home slots",
		saidClosing: "closed out, that is 1 services behind the run clear, 2 anchored as drawn, 3 released for its top, 4 no damage left, 5 loose parts there, 6 clean, 7 protected",
	}),
	boxes: func(*asker, whose) []Blank {
		return []Blank{{Kind: Used, Words: say.That("so"), Required: true}, {Steps: []string{"except"}, Kind: Words, Words: say.That("except")}}
	},
}

// boxesOfAll is how many boxes one question of all takes: it is worth them where
// what it answers takes more.
const boxesOfAll = 2

// boxes is how many boxes a blank takes that is ticked or written.
func (b *Blank) boxes() int {
	switch b.Kind {
	case YesNo:
		return 2
	case Several:
		return len(b.Choices) + 1 // or nothing
	}
	return 1
}

// worthAsking reports whether asks are answered with fewer boxes at once.
func worthAsking(asks []*ask) bool {
	n := 0
	for _, x := range asks {
		for i := range x.Blanks {
			n += x.Blanks[i].boxes()
		}
	}
	return n > boxesOfAll
}

// said reports whether a visit said so of all of an elevation: what it excepted
// is asked by itself, unless that is all there is.
func (e *elevation) said(of string) bool {
	return slices.ContainsFunc(e.seen.all, func(s sighting[schema.ElevationSeen]) bool {
		return slices.ContainsFunc(s.seen.All, func(said schema.SaidOfAll) bool {
			return said.Of == of && said.Answer && (of != saidClosing || len(said.Except) < len(schema.ClosesOut()))
		})
	})
}

// ofAll is what can be said of all of an elevation at once.
type ofAll struct {
	e  *elevation
	of string
}

// offerAll asks "all of it, except" for what nobody has observed yet of an
// elevation and can be said of all of it at once. Of the rest a sheet of before may
// have asked so, and is taken all the same.
func (a *asker) offerAll() {
	covered := map[ofAll][]*ask{}
	var groups []ofAll // as they are asked
	for _, x := range a.asks {
		of := x.Thing.All
		if of == "" || !a.canSay(of, x) {
			continue
		}
		g := ofAll{x.whose.e, of}
		if !slices.Contains(groups, g) {
			groups = append(groups, g)
		}
		if x.Open && x.visit < 0 {
			covered[g] = append(covered[g], x)
		}
	}
	a.ofTheVisit()
	for _, g := range groups {
		all := a.ask(theAll, whose{e: g.e}, g.of)
		if asks := covered[g]; worthAsking(asks) && !g.e.said(g.of) && (g.of != saidClosing || len(asks) == len(schema.ClosesOut())) {
			all.cover(asks)
		} else {
			all.Past = true
		}
	}
}

// cover lets what is said of all answer these.
func (x *ask) cover(asks []*ask) {
	x.Covers, x.Limit = len(asks), say.Text{}
	if x.Key == saidAlignment {
		x.Limit = asks[0].Limit
	}
	for _, one := range asks {
		one.Covered = true
		for _, rule := range one.Rules {
			if !slices.Contains(x.Rules, rule) {
				x.Rules = append(x.Rules, rule)
			}
		}
	}
}

// ofTheVisit covers what the visit itself answers, unless something else is said:
// on what day, and by whom.
func (a *asker) ofTheVisit() {
	for _, x := range a.asks {
		if x.visit < 0 && (x.Thing == theHandedOn.Thing || x.Thing == theReleasedBy.Thing) {
			x.Covered = true
		}
	}
}

// canSay reports whether what an ask asks follows from what is said of all:
// "as planned" says nothing where no screw is planned, and where uncertainty
// counts "in line" is no measurement; a label of a part that no list has is not as
// listed.
func (a *asker) canSay(of string, x *ask) bool {
	switch {
	case of == saidAlignment:
		return a.rec.Planned.DecisionRule != Guarded
	case of == saidLabels:
		return a.listsPart(x.whose.u)
	case of != saidFastened:
		return true
	case x.whose.u != nil:
		return x.whose.u.fillerAllSo(a.rec, of).Fastening != nil
	}
	seen := x.whose.j.allSo(a.rec, of)
	return seen != nil && theJointScrews.read(seen, x.Key) != nil
}
