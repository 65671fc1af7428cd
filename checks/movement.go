package checks

import (
	"math"

	"setline.example/checks/say"
	"setline.example/schema/length"
)

var movement = &Rule{
	ID:         "movement-between-visits",
	Name:       "movement between visits",
	Family:     SiteFamily,
	Asks:       "Between the first and the last visit that read them and the set-height mark, top corners have not moved by more than the uncertainty of the difference.",
	Why:        "A common tilt of three or more cabinets is the floor moving under the run; one corner or one cabinet that changed against neighbours that did not is that cabinet. The one is for the general contractor, the other for the installer. Where all changed alike, the mark may have been read wrong. Level and joints are judged as they are now; this says why, where the readings can tell it.",
	LimitWords: "no more than the expanded uncertainty of a difference",
	Formula:    "rise = (mark - top) of the last visit - (mark - top) of the first; against 2u, of both visits' readings and lines; the corner with the greatest rise / u counts. The cause: what all changes agree with, residuals from their mean or plane held against the uncertainty of a prediction, with a factor that all corners keep by chance in 19 of 20 runs",
	Source:     "JCGM 100:2008, 5.1.2 and 6.2, computed for every corner",
	Needs:      "Read the tops on both visits, with the set-height mark on the wall",
	Remedy:     "Where the floor moves, tell the general contractor and agree a re-inspection; where one cabinet moved, level it again",
	judge:      eachElevation((*bench).movement),
	Advises:    true,
}

// change is how far a top corner came up between two visits.
type change struct {
	point     // as last read
	from  int // the visit that read it first, a position in the record
	up    length.Length
	doubt doubt

	// Changes over the same two visits have the readings of the mark in common,
	// and the tilt of the lines. What they do not: the uncertainty of the two
	// readings of the corner. And what a tilt adds to it in each nanometre
	// between two corners.
	read, tilt float64
}

// size is how far it moved, over the uncertainty of that.
func (c change) size() float64 { return math.Abs(float64(c.up)) / c.doubt.u }

// moved reports whether it moved by more than the uncertainty.
func (c change) moved() bool { return float64(c.up.Abs()) > float64(coverage*c.doubt.u) }

// changes compares the first and the last reading of every top corner that the
// set-height mark ties; visits that did not read the mark are passed over. ok
// is false where a corner was read on several visits and not two of them are tied.
func (b *bench) changes(e *elevation) (all []change, ok bool) {
	ok = true
	for _, u := range cabinetsOf(e.units) {
		own, tied := b.unitChanges(e, u)
		all, ok = append(all, own...), ok && tied
	}
	return all, ok
}

// unitChanges are the changes of one cabinet.
func (b *bench) unitChanges(e *elevation, u *unit) (all []change, ok bool) {
	ok = true
	for _, c := range corners {
		read, marked := b.topReadings(e, u, c)
		if n := len(marked); n > 1 {
			all = append(all, rise(u, c, marked[0], marked[n-1]))
		} else if len(read) > 1 {
			ok = false
		}
	}
	return all, ok
}

// changesOver are the changes of all corners between two visits of the record.
func (b *bench) changesOver(e *elevation, from, to int) (all []change) {
	for _, u := range cabinetsOf(e.units) {
		for _, c := range corners {
			var was, is *topReading
			_, marked := b.topReadings(e, u, c)
			for i := range marked {
				switch marked[i].visit {
				case from:
					was = &marked[i]
				case to:
					is = &marked[i]
				}
			}
			if was != nil && is != nil {
				all = append(all, rise(u, c, *was, *is))
			}
		}
	}
	return all
}

// topReading is what a visit read at a top corner of an elevation.
type topReading struct {
	*bench
	e *elevation
	observed[length.Length]
}

// topReadings are all readings of a corner in time order, and those of visits
// that read the set-height mark too.
func (b *bench) topReadings(e *elevation, u *unit, c corner) (read, marked []topReading) {
	for i := range u.asCab.all {
		s := &u.asCab.all[i]
		v := theTops.read(s.seen, c.key)
		if v == nil {
			continue
		}
		r := topReading{b, e, observed[length.Length]{true, *v, s.when, s.visit, origin{s.at, "tops", c.key}}}
		read = append(read, r)
		if _, ok := e.mark(s.visit); ok {
			marked = append(marked, r)
		}
	}
	return read, marked
}

// aboveMark is how high the corner stood above the set-height mark, which was read.
func (r topReading) aboveMark() length.Length {
	mark, _ := r.e.mark(r.visit)
	return less(mark, r.value)
}

// alone is the uncertainty of that height, from the readings and the line of
// its visit only.
func (r topReading) alone(at point) doubt {
	return r.together(r.e, part{at, 1})
}

// rise is how far corner c of u came up from one reading to a later one, in
// the same record or in another of the same job. Both are tied by the mark.
func rise(u *unit, c corner, was, is topReading) change {
	x, y := u.place(c)
	at := point{u.plan.Tag + " " + c.key, u, c.word, x, y, is.value, is.when, is.visit, is.at}
	then := at
	then.visit = was.visit
	first, last := was.readers.of(was.visit, "heights"), is.readers.of(is.visit, "heights")
	return change{
		point: at, from: was.visit, up: less(is.aboveMark(), was.aboveMark()),
		doubt: was.alone(then).and(is.alone(at)),
		read:  was.readingDoubt(was.visit, "heights").and(is.readingDoubt(is.visit, "heights")).u,
		tilt:  hypot(stated(first), stated(last)),
	}
}

func (b *bench) movement(e *elevation) {
	all, tied := b.changes(e)
	if len(all) == 0 {
		if !tied {
			b.add(Result{Subject: e.subject, Outcome: NotApplicable, Visit: -1, Pointer: e.at,
				Finding: say.That("Tops were read on several visits, but not on two that read the set-height mark too, which would tie them together")})
		}
		return
	}
	worst, known := mostMoved(all)
	r := Result{Subject: e.subject, Visit: worst.visit, Pointer: worst.at.pointer(), Value: LengthOf(worst.up.Abs())}
	if !known {
		r.Outcome = NotApplicable
		r.Finding = say.That("Tops were read on several visits, but the resolution of an instrument is not known")
		b.add(r)
		return
	}
	r.Limit = LengthOf(nearest(math.Floor(coverage * worst.doubt.u)))
	r.Outcome = Pass
	r.Finding = say.That("No movement beyond the uncertainty of a difference; most, %[1]s, at %[2]s", worst.up.Abs(), worst.words())
	switch corners := untold(all); {
	case worst.moved():
		r.Outcome = Notice
		r.Finding = say.Sentences(worst.came(), explain(b.changesOver(e, worst.from, worst.visit)).words())
	case len(corners) > 0:
		r.Outcome = NotApplicable
		r.Finding = say.Sentences(r.Finding, say.That("Of %[1]s it cannot be told: the resolution of an instrument is not known", say.Few(corners...)))
	}
	b.forecast(e).told(&r, b.rule)
	b.add(r)
}

// mostMoved returns the change that is largest over its uncertainty: the one
// furthest from no change. known is false where none of them has one that is
// known; then it is the largest.
func mostMoved(all []change) (most change, known bool) {
	for _, c := range all {
		if !c.doubt.known {
			if !known && c.up.Abs() >= most.up.Abs() {
				most = c
			}
			continue
		}
		if !known || c.size() > most.size() {
			most, known = c, true
		}
	}
	return most, known
}

// untold are the corners of which nobody can say whether they moved.
func untold(all []change) (corners []say.Text) {
	for _, c := range all {
		if !c.doubt.known {
			corners = append(corners, c.words())
		}
	}
	return corners
}

// came says which way a corner moved, and by how much.
func (c change) came() say.Text {
	if c.up < 0 {
		return say.That("%[1]s came down by %[2]s", c.words(), c.up.Abs())
	}
	return say.That("%[1]s came up by %[2]s", c.words(), c.up)
}
