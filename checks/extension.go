package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"setline.example/checks/floor"
	"setline.example/schema/length"
)

var extensionAgrees = &Rule{
	ID:         "extension-agrees",
	Name:       "extension agrees",
	Family:     Setting,
	Asks:       "Where leveler extensions are recorded, each is what the readings of the floor and of the top imply, within the uncertainty of the three.",
	Why:        "The three are read apart. Where they do not agree, one is a misreading or was never read, and the others stand in doubt with it.",
	Limit:      LengthOf(0),
	LimitWords: "no more than the expanded uncertainty of the comparison",
	Formula:    "|recorded - (floor reading - top reading - body height)| <= 2u, where u^2 is the sum of the squares of the uncertainties of every reading that goes in, and of the floor between two readings",
	Source:     "computed for every corner (JCGM 100:2008, 5.1.2 and 6.2)",
	Needs:      "Read floor, set-height mark and top corners so that a visit ties them together, with instruments whose resolution the record gives",
	Remedy:     "Read this corner's extension, its top and the floor beside it again, and correct the one that was wrong",
	observe:    askElevations((*asker).extensions),
	judge: eachElevation(func(b *bench, e *elevation) {
		s := e.floor
		for _, u := range cabinetsOf(e.units) {
			b.extension(e, u, s)
		}
	}),
}

func (b *bench) extension(e *elevation, u *unit, s surveyed) {
	var worst *deviation
	var read, implied length.Length // of the worst
	recorded, why := 0, ""
	for _, c := range corners {
		o := latest(u.asCab, c.extension, "extension", c.key)
		if !o.ok {
			continue
		}
		recorded++
		d, should, problem := b.compareExtension(e, u, c, s, o)
		switch {
		case problem != "":
			why = problem
		case worst == nil || d.margin() < worst.margin():
			worst, read, implied = &d, o.value, should
		}
	}
	switch {
	case recorded == 0:
		return // nothing is claimed, so nothing can disagree
	case worst != nil && (worst.margin() < 0 || why == ""):
		r := Result{Subject: u.subject, Visit: worst.visit, Pointer: worst.at.pointer(), Value: LengthOf(worst.off), Limit: LengthOf(worst.limit)}
		r.Finding = fmt.Sprintf("%s recorded %s, implied by floor and top %s", capital(worst.words), b.write(read), b.write(implied))
		r.Outcome = Pass
		if worst.margin() < 0 {
			r.Outcome = Fail
		}
		b.add(r)
	default:
		b.unseen(u.subject, u.at, why)
	}
}

// compareExtension holds one recorded extension against what floor and top
// imply. The problem says why it cannot be.
func (b *bench) compareExtension(e *elevation, u *unit, c corner, s surveyed, o observed[length.Length]) (d deviation, implied length.Length, problem string) {
	x, _ := u.place(c)
	if !s.ok {
		return d, 0, "Floor not observed, so that the extension cannot be told"
	}
	down, known := s.lineOf(c).DownAt(x)
	if !known {
		return d, 0, fmt.Sprintf("Floor not observed at %s, so that the extension cannot be told", c.word)
	}
	top, ok := topAfter(u, c, o.when)
	if !ok {
		return d, 0, fmt.Sprintf("Top not observed at %s since its extension was read", c.word)
	}
	set, tied := e.mark(top.visit)
	relative := top.value - set
	ground := down - s.mark
	if top.visit == s.visit {
		relative, ground, tied = top.value, down, true
	}
	if !tied || top.visit != s.visit && !s.marked {
		return d, 0, "Floor and tops were read on visits that no reading of the set-height mark ties together"
	}
	implied = ground - relative - *u.body.Height
	heights := b.readingDoubt(s.visit, "heights").and(b.readingDoubt(top.visit, "heights"))
	if top.visit != s.visit {
		heights = heights.and(heights) // two readings of the mark
	}
	all := heights.and(b.readingDoubt(o.visit, "extensions")).and(between(s.lineOf(c), x))
	if !all.known {
		return d, 0, "Extension cannot be compared: the resolution of an instrument is not known"
	}
	limit := length.Length(coverage * all.u)
	d = deviation{words: c.word, off: (o.value - implied).Abs(), limit: limit, visit: o.visit, at: o.at}
	return d, implied, ""
}

// topAfter returns the first reading of a top corner made on the visit that is
// the given place in time, or after it: later turns of the leveler change both.
func topAfter(u *unit, c corner, when int) (observed[length.Length], bool) {
	for i := range u.asCab {
		if s := &u.asCab[i]; s.when >= when {
			if v := c.top(s.seen); v != nil {
				return observed[length.Length]{true, *v, s.when, s.visit, origin{s.at, "tops", c.key}}, true
			}
		}
	}
	return observed[length.Length]{}, false
}

// between is the uncertainty of the floor between two readings: it may lie
// anywhere from the one to the other (rectangular, JCGM 100:2008, 4.3.7). At a
// reading there is none.
func between(l floor.Line, x length.Length) doubt {
	i, at := slices.BinarySearchFunc(l, x, func(r floor.Reading, x length.Length) int { return cmp.Compare(r.At, x) })
	if at || i == 0 || i == len(l) {
		return doubt{0, true}
	}
	half := float64((l[i].Down - l[i-1].Down).Abs()) / 2
	return doubt{half / math.Sqrt(3), true}
}
