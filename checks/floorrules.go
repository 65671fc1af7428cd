package checks

import (
	"fmt"
	"strings"

	"setline.example/checks/floor"
	"setline.example/schema/length"
)

// straightedge is the length of the straightedge under which a floor is judged.
const straightedge = 10 * length.Foot

var surveyCoverage = &Rule{
	ID:      "survey-coverage",
	Name:    "survey coverage",
	Family:  Floor,
	Asks:    "The floor is read along the front and the back levelers, past both ends of the elevation, with no gap between readings wider than the limit.",
	Why:     "The set height is fixed at the high point. A high point nobody found lifts one cabinet out of the run, or sends the crew back to lower all of them.",
	Limit:   LengthOf(36 * length.Inch),
	Formula: "gap = distance between neighbouring readings of a line, from 0 to the width of the elevation",
	Source:  "common practice, no source",
	Needs:   "Read the floor from the reference line along the front and the back levelers, from before the left end to past the right end",
	Remedy:  "Read the floor in the gap too, before the set height is marked",
	observe: askElevations((*asker).coverage),
	judge:   eachElevation((*bench).coverage),
}

var floorWithinContract = &Rule{
	ID:      "floor-within-contract",
	Name:    "floor within contract",
	Family:  Floor,
	Asks:    "The gap under a 10 ft straightedge laid on the high spots of the floor is within what the contract allows.",
	Why:     "Fitting to a floor beyond the contract's tolerance is not the installer's responsibility (ANSI/AWI 0620-2018, 3.1 d). It has to be told before setting, and is a notice to the general contractor, never a failure of the installer.",
	Limit:   LengthOf(length.Inch / 4),
	Over:    straightedge,
	Formula: "gap = upper convex hull of the floor over each 10 ft window - floor; the greatest counts",
	Source:  "ACI 117-10, 4.8.6 (method; the default limit from memory)",
	Needs:   "Read the floor from the reference line along the front and the back levelers",
	Remedy:  "Tell the general contractor before setting, with these readings",
	observe: askElevations((*asker).floor),
	judge:   eachElevation((*bench).flatness),
	Advises: true,
}

var floorWithinTravel = &Rule{
	ID:           "floor-within-travel",
	Name:         "floor within travel",
	Family:       Floor,
	Asks:         "At the set height, every leveler stands out no less than its least and no more than its greatest extension.",
	Why:          "A leveler run out too far wobbles and can let go; one run in fully leaves the body on the floor, and the corner can no longer be lowered.",
	Limit:        CountOf(0),
	LimitWords:   "every leveler between its least and greatest extension",
	Formula:      "extension = floor reading - top reading - body height; least <= extension <= greatest",
	Source:       "the cabinet maker's least and greatest extension, as planned",
	Needs:        "Read the floor from the reference line along the front and the back levelers, past both ends of the elevation",
	Remedy:       "Choose another set height, or pack the corners named",
	NoConcession: "a leveler run out beyond its greatest extension can let go under load",
	observe:      askElevations((*asker).floor),
	judge:        eachElevation((*bench).travel),
}

var workHeight = &Rule{
	ID:        "work-height",
	Name:      "work height",
	Family:    Floor,
	Asks:      "The finished work surface stands as high above the floor's high point as drawn; at an accessible station it is 28 in to 34 in above the floor everywhere.",
	Why:       "Sinks, equipment and people are fitted to the height drawn; an accessible station too high shuts people out.",
	Limit:     LengthOf(length.Inch / 4),
	BothSides: true,
	Formula:   "|reading of the high point - top reading + thickness of the top - work height drawn|",
	Source:    "common practice, no source; accessible stations: 2010 ADA Standards for Accessible Design, 902.3",
	Needs:     "Read the floor from the reference line, and mark the set height",
	Remedy:    "Settle the height with the general contractor before setting: levelers, body height or top has to change",
	observe:   askElevations((*asker).workHeight),
	judge:     eachElevation((*bench).workHeight),
}

// Heights of an accessible work surface above the floor (2010 ADA Standards, 902.3).
const (
	accessibleLeast    = 28 * length.Inch
	accessibleGreatest = 34 * length.Inch
)

// hasCabinets reports whether anything on the elevation stands on levelers.
func (e *elevation) hasCabinets() bool {
	for _, u := range e.units {
		if u.cabinet != nil {
			return true
		}
	}
	return false
}

func (b *bench) coverage(e *elevation) {
	if !e.hasCabinets() {
		return
	}
	s := e.floor
	if !s.ok {
		b.notObserved(e.subject, e.at, "Floor")
		return
	}
	var short []string
	widest, at, where := length.Length(0), length.Length(0), ""
	for _, l := range s.lines() {
		if len(l.line) == 0 {
			short = append(short, l.name+" line not observed")
			continue
		}
		if !l.line.Reaches(0, e.width) {
			short = append(short, fmt.Sprintf("%s line reaches from %s to %s of %s", l.name,
				b.write(l.line[0].At), b.write(l.line[len(l.line)-1].At), b.write(e.width)))
		}
		if gap, from := l.line.WidestGap(0, e.width); gap > widest {
			widest, at, where = gap, from, l.name
		}
	}
	finding := fmt.Sprintf("Widest gap between readings %s, on the %s line from %s", b.write(widest), where, b.write(at))
	switch {
	case widest > length.Length(b.limit.N) || len(short) == 0:
		if len(short) > 0 {
			finding += "; " + strings.Join(short, "; ")
		}
		// Where a reading stands along the wall needs no finer judgment.
		r := Result{Subject: e.subject, Outcome: Pass, Value: LengthOf(widest), Finding: finding, Visit: s.visit, Pointer: s.at}
		if widest > length.Length(b.limit.N) {
			r.Outcome = Fail
		}
		b.add(r)
	default:
		b.unseen(e.subject, s.at, capital(strings.Join(short, "; ")))
	}
}

func (b *bench) flatness(e *elevation) {
	if !e.hasCabinets() {
		return
	}
	s := e.floor
	var worst floor.Gap
	found, where := false, ""
	for _, l := range s.lines() {
		if gap, ok := l.line.StraightedgeGap(straightedge); ok && (!found || gap.Size > worst.Size) {
			worst, found, where = gap, true, l.name
		}
	}
	if !found {
		b.add(Result{Subject: e.subject, Outcome: NotApplicable, Visit: -1, Pointer: e.at, Finding: "Floor not observed"})
		return
	}
	r := Result{
		Subject: e.subject, Visit: s.visit, Pointer: s.at,
		Finding: fmt.Sprintf("Greatest gap under the straightedge %s, on the %s line at %s", b.write(worst.Size), where, b.write(worst.At.At)),
	}
	b.judge(r, worst.Size, b.gapDoubt(e, s.visit, worst))
}

func (b *bench) travel(e *elevation) {
	if !e.hasCabinets() {
		return
	}
	s := e.floor
	if !s.ok {
		b.notObserved(e.subject, e.at, "Floor")
		return
	}
	all := s.corners
	var unknown []string
	for _, c := range all {
		if !c.Known {
			unknown = append(unknown, c.Name)
		}
	}
	top, ok := s.setTop(e, all)
	if !ok {
		b.notObserved(e.subject, s.at, "Floor along the elevation")
		return
	}
	var out []string
	for _, c := range all {
		if !c.Known {
			continue
		}
		switch ext := c.Extension(top); {
		case ext < c.Least:
			out = append(out, fmt.Sprintf("%s too little by %s", c.Name, b.write(c.Least-ext)))
		case ext > c.Greatest:
			out = append(out, fmt.Sprintf("%s too much by %s", c.Name, b.write(ext-c.Greatest)))
		}
	}
	r := Result{Subject: e.subject, Visit: s.visit, Pointer: s.at, Value: CountOf(len(out))}
	switch {
	case len(out) > 0:
		r.Outcome = Fail
		r.Finding = "Out of travel at the set height: " + few(out)
		r.Remedy = b.travelRemedy(top, all)
	case len(unknown) > 0:
		b.unseen(e.subject, s.at, "Floor not observed at "+few(unknown))
		return
	default:
		r.Outcome, r.Finding = Pass, fmt.Sprintf("All %d levelers within their travel", len(all))
	}
	b.add(r)
}

// travelRemedy says which set heights serve, or what to pack.
func (b *bench) travelRemedy(top length.Length, all []floor.Corner) string {
	t := floor.TravelOf(all)
	if t.Serves {
		move := func(to length.Length) string {
			if to < top {
				return "up by " + b.write(top-to)
			}
			return "down by " + b.write(to-top)
		}
		nearest := t.Highest
		if top > t.Lowest {
			nearest = t.Lowest
		}
		return fmt.Sprintf("Move the set height %s: tops from %s to %s below the reference line of the survey keep every leveler within its travel",
			move(nearest), b.write(t.Highest), b.write(t.Lowest))
	}
	packing := floor.Packing(top, all)
	var parts []string
	for _, c := range all {
		if p, ok := packing[c.Name]; ok {
			parts = append(parts, fmt.Sprintf("%s by at least %s", c.Name, b.write(p)))
		}
	}
	if len(parts) == 0 {
		return "No set height serves: lower the high spot, or raise the set height and pack the low corners"
	}
	return "No set height serves. Pack under " + few(parts)
}

func (b *bench) workHeight(e *elevation) {
	if !e.hasCabinets() || e.plan.WorkHeight == nil && !e.plan.Accessible {
		return
	}
	if e.plan.TopThickness == nil {
		b.unseen(e.subject, e.at, "Thickness of the top not planned")
		return
	}
	s := e.floor
	top, ok := s.setTop(e, s.corners)
	high, found := s.floor.High(0, e.width)
	if !s.ok || !ok || !found {
		b.notObserved(e.subject, e.at, "Floor")
		return
	}
	surface := high.Down - top + *e.plan.TopThickness
	d := b.readingDoubt(s.visit, "heights")
	r := Result{Subject: e.subject, Visit: s.visit, Pointer: s.at}
	if e.plan.Accessible {
		low, _ := s.floor.Low(0, e.width)
		lowest := low.Down - top + *e.plan.TopThickness
		r.Limit = LengthOf((accessibleGreatest - accessibleLeast) / 2)
		middle := (accessibleGreatest + accessibleLeast) / 2
		off := max((surface - middle).Abs(), (lowest - middle).Abs())
		r.Finding = fmt.Sprintf("Accessible surface %s to %s above the floor; %s to %s is asked for",
			b.write(surface), b.write(lowest), b.write(accessibleLeast), b.write(accessibleGreatest))
		if e.plan.WorkHeight != nil && (surface-*e.plan.WorkHeight).Abs() > length.Length(b.limit.N) {
			r.Limit, off = b.limit, (surface - *e.plan.WorkHeight).Abs()
			r.Finding += "; drawn " + b.write(*e.plan.WorkHeight)
		}
		b.judge(r, off, d.and(d))
		return
	}
	r.Finding = fmt.Sprintf("Work surface %s above the floor's high point, drawn %s", b.write(surface), b.write(*e.plan.WorkHeight))
	b.judge(r, (surface - *e.plan.WorkHeight).Abs(), d.and(d))
}
