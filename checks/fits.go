package checks

import (
	"fmt"
	"strings"

	"setline.example/schema"
	"setline.example/schema/length"
)

var fastenerFits = &Rule{
	ID:         "fastener-fits",
	Name:       "fastener fits",
	Family:     Joining,
	Asks:       "Every joint's screws leave at least three threads beyond the last sheet, drill no more steel than their point can, and break no surface in sight.",
	Why:        "A screw too short strips, one too long cuts a hand or shows, and a point too small burns out before it is through.",
	LimitWords: "length at least what it goes through and three threads; steel within the drilling capacity; no tip in sight",
	Formula:    "length >= what it goes through + 3 / threads per inch; steel <= drilling capacity; sheet thickness = ounces per square foot / 16 / 41.82 in",
	Source:     "AISI S200 (three threads); UFGS 05 40 00, 3.1.2 (drilling capacity); sheet by 15 U.S.C. 206 at 41.82 lb/ft² per inch",
	Needs:      "Look whether a tip breaks a surface in sight; plan the gauge of the cabinets and, for door cabinets, the depth of the front rail",
	Remedy:     "Use a screw of the right length and point; take one whose tip shows out and hide the hole",
	observe:    askJoints((*asker).fits),
	judge:      eachJoint((*bench).fits),
}

func (b *bench) fits(j *joint) {
	if j.left.cabinet == nil || j.right.cabinet == nil {
		return
	}
	front, rear := j.fastenings()
	if !front.ok && !rear.ok {
		b.notObserved(j.subject, j.at, "Fasteners of the joint")
		return
	}
	var wrong, unseen, good []string
	r := Result{Subject: j.subject}
	r.Visit, r.Pointer = newer(front, rear)
	for _, p := range []struct {
		words string
		got   observed[schema.Fastening]
	}{{"front", front}, {"upper rear", rear}} {
		if !p.got.ok {
			unseen = append(unseen, p.words+" not observed")
			continue
		}
		if p.got.value.Count == 0 {
			continue // the rule for fastened joints says so
		}
		fault, lacking, fit := b.fit(j, p.got.value)
		switch {
		case fault != "":
			wrong = append(wrong, p.words+": "+fault)
			r.Visit, r.Pointer = p.got.visit, p.got.at.pointer()
		case lacking != "":
			unseen = append(unseen, p.words+": "+lacking)
		default:
			good = append(good, p.words+" "+fit)
		}
	}
	switch {
	case len(wrong) > 0:
		r.Outcome, r.Finding = Fail, capital(strings.Join(wrong, "; "))
	case len(unseen) > 0:
		b.unseen(j.subject, j.at, capital(strings.Join(unseen, "; ")))
		return
	case len(good) == 0:
		r.Outcome, r.Finding = NotApplicable, "No fasteners"
	default:
		r.Outcome, r.Finding = Pass, capital(strings.Join(good, "; "))
	}
	b.add(r)
}

// fit judges the screws at one place of a joint: what is wrong, else what is
// lacking to tell, else how they fit.
func (b *bench) fit(j *joint, f schema.Fastening) (fault, lacking, fit string) {
	screw := b.rec.Planned.Fasteners[f.Fastener]
	path, steel, lacking := j.path(f.Through)
	if lacking != "" {
		return "", lacking, ""
	}
	least, ok := leastScrew(screw.Size, path)
	if !ok {
		return "", "threads of screw size " + screw.Size + " not known", ""
	}
	if screw.Length < least {
		return fmt.Sprintf("screw %s long, at least %s needed for %s and three threads", b.write(screw.Length), b.write(least), b.write(path)), "", ""
	}
	if screw.Point == "self-drilling" {
		capacity, ok := drillingCapacity[screwPoint{screw.Size, screw.PointNumber}]
		if !ok {
			return "", fmt.Sprintf("drilling capacity of %s with point %d not known", screw.Size, screw.PointNumber), ""
		}
		if steel > capacity {
			return fmt.Sprintf("%s of steel, more than the %s that %s with point %d drills", b.write(steel), b.write(capacity), screw.Size, screw.PointNumber), "", ""
		}
	}
	switch {
	case f.TipShows == nil:
		return "", "whether a tip shows not observed", ""
	case *f.TipShows:
		return "a tip breaks a surface in sight", "", ""
	}
	return "", "", fmt.Sprintf("%s screw %s, %s needed", screw.Size, b.write(screw.Length), b.write(least))
}

// path is what a screw goes through from head to the last sheet, and how much
// of that is steel. Through a hinge hole it first passes the depth of the front
// rail, which is hollow: its two sheets, then the neighbour's side.
func (j *joint) path(through string) (path, steel length.Length, lacking string) {
	left, okL := sheetThickness(j.left.body.Gauge)
	right, okR := sheetThickness(j.right.body.Gauge)
	if !okL || !okR {
		return 0, 0, "sheet gauge of the cabinets not planned"
	}
	switch through {
	case "":
		return 0, 0, "what the screws go through not observed"
	case "vacated hinge hole":
		door, own, other := j.left, left, right
		if door.cabinet.Doors() == 0 {
			door, own, other = j.right, right, left
		}
		if door.body.FrontRailDepth == nil {
			return 0, 0, "depth of the front rail not planned"
		}
		return *door.body.FrontRailDepth + other, own + own + other, ""
	}
	return left + right, left + right, ""
}
