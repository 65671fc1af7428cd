package checks

import (
	"setline.example/checks/say"
	"setline.example/schema/length"
)

var fastenerFits = &Rule{
	ID:         "fastener-fits",
	Name:       "fastener fits",
	Family:     Joining,
	Asks:       "The screws of every joint and filler leave at least three threads beyond the last sheet, drill no more steel than their point can, and break no surface in sight.",
	Why:        "A screw too short strips, one too long cuts a hand or shows, and a point too small burns out before it is through.",
	LimitWords: "length at least what it goes through and three threads; steel within the drilling capacity; no tip in sight",
	Formula:    "length >= what it goes through + 3 / threads per inch; steel <= drilling capacity; sheet thickness = ounces per square foot / 16 / 41.82 in",
	Source:     "AISI S200 (three threads; from memory, since moved to AISI S240); UFGS 05 40 00, 3.1.2 (drilling capacity; the clause moved between editions); 15 U.S.C. 206 (sheet gauge, at the density of the manufacturers' standard gauge, 41.82 lb/ft² per inch)",
	Needs:      "Look whether a tip breaks a surface in sight; plan the gauge of the cabinets and, for door cabinets, the depth of the front rail",
	Remedy:     "Use a screw of the right length and point; take one whose tip shows out and hide the hole",
	At:         DrawnAtJoint,
	observe:    askFixings((*asker).askFits),
	again:      againScrews,
	judge:      eachFixed((*bench).fits),
}

func (b *bench) fits(f fixed) {
	var wrong, unseen, good []say.Text
	r := Result{Subject: f.subject, Visit: -1}
	when, seen := -1, false
	for _, p := range f.fixings {
		if !p.got.ok {
			unseen = append(unseen, say.That("%[1]s not observed", p.words))
			continue
		}
		if seen = true; p.got.when > when && len(wrong) == 0 {
			when = p.got.when
			r.Visit, r.Pointer = p.got.visit, p.got.at.pointer()
		}
		if p.got.value.Count == 0 {
			continue // the rule for fastened joints says so
		}
		words, faults, lacking, fit := b.fit(p)
		switch {
		case len(words) > 0:
			wrong, r.faults = append(wrong, say.That("%[1]s: %[2]s", p.words, say.Commas(words...))), append(r.faults, faults...)
			r.Visit, r.Pointer = p.got.visit, p.got.at.pointer()
		case !lacking.Empty():
			unseen = append(unseen, say.That("%[1]s: %[2]s", p.words, lacking))
		default:
			good = append(good, say.That("%[1]s %[2]s", p.words, fit))
		}
	}
	r.unseen = len(unseen) > 0
	switch {
	case !seen && f.filler():
		b.notObserved(f.subject, f.at, say.That("screws of the filler"))
		return
	case !seen:
		b.notObserved(f.subject, f.at, say.That("fasteners of the joint"))
		return
	case len(wrong) > 0:
		r.Outcome, r.Finding = Fail, say.Semicolons(wrong...)
	case len(unseen) > 0:
		b.unseen(f.subject, f.at, say.Semicolons(unseen...))
		return
	case len(good) == 0:
		r.Outcome, r.Finding = NotApplicable, say.That("No fasteners")
	default:
		r.Outcome, r.Finding = Pass, say.Semicolons(good...)
	}
	b.add(r)
}

// fit judges the screws at one place: all that is known to be wrong, else what
// is lacking to tell, else how they fit.
func (b *bench) fit(p fixing) (words []say.Text, faults []fault, lacking, fit say.Text) {
	f := p.got.value
	screw := b.rec.Planned.Fasteners[f.Fastener]
	add := func(what string, text say.Text, value, limit length.Length) {
		words, faults = append(words, text), append(faults, fault{faultOf{what, p.key, ""}, int64(value), int64(limit)})
	}
	path, steel, lacking := p.path(f.Through)
	if lacking.Empty() {
		least, ok := leastScrew(screw.Size, path)
		switch {
		case !ok:
			lacking = say.That("threads of screw size %[1]s not known", say.Name(screw.Size))
		case screw.Length < least:
			add("length", say.That("screw %[1]s long, at least %[2]s needed for %[3]s and three threads", screw.Length, least, path), -screw.Length, -least)
		default:
			fit = say.That("%[1]s screw %[2]s, %[3]s needed", say.Name(screw.Size), screw.Length, least)
		}
		if screw.Point == "self-drilling" {
			capacity, ok := drillingCapacity[screwPoint{screw.Size, screw.PointNumber}]
			switch {
			case screw.PointNumber == 0:
				lacking = say.That("number of the screw's point not planned")
			case !ok:
				lacking = say.That("drilling capacity of %[1]s with point %[2]s not known", say.Name(screw.Size), screw.PointNumber)
			case steel > capacity:
				add("steel", say.That("%[1]s of steel, more than the %[2]s that %[3]s with point %[4]s drills", steel, capacity, say.Name(screw.Size), screw.PointNumber), steel, capacity)
			}
		}
	}
	switch {
	case f.TipShows != nil && *f.TipShows:
		add("tip", say.That("a tip breaks a surface in sight"), 0, 0)
	case f.TipShows == nil && lacking.Empty():
		lacking = say.That("whether a tip shows not observed")
	}
	return words, faults, lacking, fit
}

// path is what a screw goes through from head to the last sheet, and how much
// of that is steel. Through a hinge hole it first passes the depth of the front
// rail, which is hollow: its two sheets, then the neighbour's side.
func (j *joint) path(through string) (path, steel length.Length, lacking say.Text) {
	left, okL := sheetThickness(j.left.gauge())
	right, okR := sheetThickness(j.right.gauge())
	if !okL || !okR {
		return 0, 0, say.That("sheet gauge of the units not planned")
	}
	switch through {
	case "":
		return 0, 0, say.That("what the screws go through not observed")
	case "vacated hinge hole":
		return j.throughRail(left, right)
	}
	return left + right, left + right, say.Text{}
}

// throughRail is the path through a hinge hole, where the sheets of the two units
// are so thick. Of two cabinets with doors nobody says from which one the screws
// were driven, so that the longer way counts, and the thicker steel.
func (j *joint) throughRail(left, right length.Length) (path, steel length.Length, lacking say.Text) {
	hinged := func(u *unit) bool { return u.cabinet != nil && u.cabinet.Doors() > 0 }
	from := func(u *unit, own, other length.Length) {
		if u.body.FrontRailDepth == nil {
			lacking = say.That("depth of the front rail not planned")
			return
		}
		path, steel = max(path, *u.body.FrontRailDepth+other), max(steel, own+own+other)
	}
	if hinged(j.left) || j.right.cabinet == nil {
		from(j.left, left, right)
	}
	if hinged(j.right) || !hinged(j.left) && j.right.cabinet != nil {
		from(j.right, right, left)
	}
	return path, steel, lacking
}

// gauge of a unit's sheet, 0 where none is planned.
func (u *unit) gauge() int {
	if u.filler != nil {
		return u.filler.Gauge
	}
	return u.body.Gauge
}

// askFits rests on the same as the rule for what is fastened, where the plan has
// what a visit cannot observe.
func (a *asker) askFits(f fixed) {
	for _, p := range f.fixings {
		through := p.through
		if f.filler() {
			through = "side"
		}
		if _, _, lacking := p.path(through); !lacking.Empty() {
			return
		}
	}
	a.askFastened(f)
}
