package checks

import (
	"slices"

	"setline.example/checks/say"
)

// theAll is what is said of all of an elevation at once.
var theAll = &Thing{
	Of: OfElevation, Field: "all", kind: Used,
	words: named(map[string]say.Words{
		saidLabels: "All labels as drawn and listed", saidBearing: "All levelers bear", saidFastened: "All fastened as planned",
		saidInSight: "No fastener in sight", saidHeld: "All fillers held from inside only", saidAlignment: "All fronts in line",
		saidWorks: "All doors and drawers work", saidDrawers: "All drawers in their home slots",
	}),
	boxes: func(*asker, whose) []Blank {
		return []Blank{{Kind: Used, Words: say.That("so"), Required: true}, {Steps: []string{"except"}, Kind: Words, Words: say.That("except")}}
	},
}

// leastCovered is from how many asks on one that answers all of them is worth its boxes.
const leastCovered = 3

// offerAll asks "all of it, except" for what nobody has observed yet of an
// elevation and can be said of all of it at once.
func (a *asker) offerAll() {
	type group struct {
		e  *elevation
		of string
	}
	covered := map[group][]*ask{}
	var groups []group // as they are asked
	for _, x := range a.asks {
		if of := x.Thing.All; of != "" && x.Open && x.visit < 0 && a.canSay(of, x) {
			g := group{x.whose.e, of}
			if covered[g] == nil {
				groups = append(groups, g)
			}
			covered[g] = append(covered[g], x)
		}
	}
	for _, g := range groups {
		asks := covered[g]
		if len(asks) < leastCovered {
			continue
		}
		all := a.ask(theAll, whose{e: g.e}, g.of)
		all.Covers, all.Limit = len(asks), say.Text{}
		if g.of == saidAlignment {
			all.Limit = asks[0].Limit
		}
		for _, x := range asks {
			x.Covered = true
			for _, rule := range x.Rules {
				if !slices.Contains(all.Rules, rule) {
					all.Rules = append(all.Rules, rule)
				}
			}
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
