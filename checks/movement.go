package checks

import (
	"fmt"
	"math"

	"setline.example/checks/zone"
	"setline.example/schema/length"
)

var movement = &Rule{
	ID:         "movement-between-visits",
	Name:       "movement between visits",
	Family:     SiteFamily,
	Asks:       "Between visits that both read them, top corners have not moved by more than the uncertainty of the difference.",
	Why:        "A common tilt is the floor moving under the run; one cabinet alone is that cabinet. The one is for the general contractor, the other for the installer. Level and joints are judged as they are now; this says why.",
	LimitWords: "no more than the expanded uncertainty of a difference",
	Formula:    "rise = (top - mark) of the first visit - (top - mark) of the last; against 2u, of the four readings",
	Source:     "computed for every corner (JCGM 100:2008, 5.1.2 and 6.2)",
	Needs:      "Read the tops on both visits, with the set-height mark on the wall",
	Remedy:     "Where the floor moves, tell the general contractor and agree a re-inspection; where one cabinet moved, level it again",
	judge:      eachElevation((*bench).movement),
	Advises:    true,
}

// change is how far a top corner came up between two visits.
type change struct {
	point
	corner string // in words
	up     length.Length
	doubt  doubt
}

// changes compares the first and the last reading of every top corner.
// Heights are taken from the set-height mark; ok is false where some visit did
// not read it.
func (b *bench) changes(e *elevation) (all []change, ok bool) {
	ok = true
	for _, u := range e.units {
		if u.cabinet != nil {
			own, tied := b.unitChanges(e, u)
			all, ok = append(all, own...), ok && tied
		}
	}
	return all, ok
}

// unitChanges are the changes of one cabinet.
func (b *bench) unitChanges(e *elevation, u *unit) (all []change, ok bool) {
	ok = true
	for _, c := range corners {
		last := latest(u.asCab, c.top, "tops", c.key)
		first, seen := firstTop(u, c)
		if !seen || first.visit == last.visit {
			continue
		}
		moved, tied := rise(u, c, topReading{b, e, first}, topReading{b, e, last})
		if !tied {
			ok = false
			continue
		}
		all = append(all, moved)
	}
	return all, ok
}

// topReading is what a visit read at a top corner of an elevation.
type topReading struct {
	*bench
	e *elevation
	observed[length.Length]
}

// aboveMark is how high the corner stood above the set-height mark; ok is false
// where the visit did not read the mark.
func (r topReading) aboveMark() (height length.Length, ok bool) {
	mark, ok := r.e.mark(r.visit)
	return mark - r.value, ok
}

// rise is how far corner c of u came up from one reading to a later one, in
// the same record or in another of the same job; ok is false where no mark
// ties the two together.
func rise(u *unit, c corner, was, is topReading) (moved change, ok bool) {
	before, ok1 := was.aboveMark()
	after, ok2 := is.aboveMark()
	x, y := u.place(c)
	d1, d2 := was.readingDoubt(was.visit, "heights"), is.readingDoubt(is.visit, "heights")
	d := d1.and(d1).and(d2).and(d2) // each visit reads corner and mark
	at := point{u.plan.Tag + " " + c.word, u, x, y, is.value, is.when, is.visit, is.at}
	return change{at, c.word, after - before, d}, ok1 && ok2
}

func (b *bench) movement(e *elevation) {
	all, tied := b.changes(e)
	if len(all) == 0 {
		if !tied {
			b.add(Result{Subject: e.subject, Outcome: NotApplicable, Visit: -1, Pointer: e.at,
				Finding: "Tops were read on several visits, but no reading of the set-height mark ties them together"})
		}
		return
	}
	worst := largest(all)
	r := Result{Subject: e.subject, Visit: worst.visit, Pointer: worst.at.pointer(), Value: LengthOf(worst.up.Abs())}
	if !worst.doubt.known {
		r.Outcome = NotApplicable
		r.Finding = "Tops were read on several visits, but the resolution of an instrument is not known"
		b.add(r)
		return
	}
	u := coverage * worst.doubt.u
	r.Limit = LengthOf(nearest(math.Floor(u)))
	if float64(worst.up.Abs()) <= u {
		r.Outcome = Pass
		r.Finding = fmt.Sprintf("No movement beyond the uncertainty of a difference; most, %s, at %s", b.write(worst.up.Abs()), worst.name)
		b.add(r)
		return
	}
	r.Outcome = Notice
	r.Finding = fmt.Sprintf("%s came %s by %s. ", worst.name, upOrDown(worst.up), b.write(worst.up.Abs())) + b.cause(all)
	b.add(r)
}

func upOrDown(l length.Length) string {
	if l < 0 {
		return "down"
	}
	return "up"
}

// cause tells a floor that moves from a cabinet that moves. A plane through
// the changes is the floor; what lies off it is that cabinet.
func (b *bench) cause(all []change) string {
	odd := oddCabinets(all)
	if len(odd) == 0 {
		return "The changes lie in one plane: the floor has moved under the run"
	}
	return "Not in one plane with the rest: " + few(odd) + "; that is the cabinet, not the floor"
}

// oddCabinets names the cabinets whose change is not that of the rest: for
// each, a plane is laid through the changes of all others.
func oddCabinets(all []change) []string {
	var odd []string
	for i := 0; i < len(all); {
		j := i
		for j < len(all) && all[j].unit == all[i].unit {
			j++
		}
		own := all[i:j]
		var rest []zone.Point
		for k, c := range all {
			if k < i || k >= j {
				rest = append(rest, zone.Point{X: c.x, Y: c.y, Z: c.up})
			}
		}
		if p, ok := zone.Fit(rest); ok && len(rest) >= 4 {
			for _, c := range own {
				expected := p.At(float64(c.x), float64(c.y))
				if math.Abs(float64(c.up)-expected) > 2*coverage*c.doubt.u {
					odd = append(odd, own[0].unit.plan.Tag)
					break
				}
			}
		}
		i = j
	}
	// Where most are odd there is no common plane to be odd from.
	if len(odd)*2 > len(all)/len(corners) {
		odd = odd[:0]
		for i, c := range all {
			if float64(c.up.Abs()) > coverage*c.doubt.u && (i == 0 || all[i-1].unit != c.unit || len(odd) == 0) {
				odd = append(odd, c.unit.plan.Tag)
			}
		}
	}
	return odd
}
