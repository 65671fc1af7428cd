package checks

import (
	"slices"
	"strings"

	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// What was observed and does not hold is asked again: as little of it as decides
// anew, which is what a mend changes. A corner that was packed is read where it
// stands; a cabinet of which a bolt is turned moves as a whole, so that its four
// tops are read, and no others of its run.

// open decides which asks are to be looked at, by the results that rest on them.
func (a *asker) open(results []Result) {
	wanted := map[*Rule]bool{}
	for _, x := range a.asks {
		for _, rule := range x.Rules {
			wanted[rule] = true
		}
	}
	wrong := map[resultKey]*Result{}
	for i := range results {
		if r := &results[i]; wanted[r.Rule] && !r.Outcome.Holds() {
			wrong[resultKey{r.Rule.Name, r.Subject.String()}] = r
		}
	}
	// What nobody observed may be all that a result lacks, or there may be more
	// to it: readings that nothing ties together.
	lacking := map[resultKey]bool{}
	for _, x := range a.asks {
		for _, key := range x.judged {
			lacking[key] = lacking[key] || wrong[key] != nil && a.unseen(x)
		}
	}
	for _, x := range a.asks {
		for _, key := range x.judged {
			if r := wrong[key]; r != nil && a.reopens(x, r, lacking[key]) {
				x.Open = true
			}
		}
	}
}

// reopens reports whether a result that does not hold asks for x.
func (a *asker) reopens(x *ask, r *Result, lacking bool) bool {
	switch {
	case a.unseen(x) && (r.Outcome == NotObserved || r.unseen):
		return true
	case r.Rule.again != nil:
		return r.Rule.again(a, x, r)
	case r.Outcome == NotObserved:
		return !lacking
	}
	return faulted(a, x, r)
}

// unseen reports whether nobody has observed it, by itself or with all of its
// elevation.
func (a *asker) unseen(x *ask) bool { return x.visit < 0 && !a.saidSo(x) }

// saidSo reports whether a visit said it of all of its elevation.
func (a *asker) saidSo(x *ask) bool {
	of, e := x.Thing.All, x.whose.e
	if of == "" || e == nil || !a.canSay(of, x) {
		return false
	}
	name := x.Thing.only
	switch {
	case x.whose.j != nil:
		name = x.whose.j.name
	case x.whose.u != nil:
		name = x.whose.u.plan.Tag
	}
	return slices.ContainsFunc(e.seen.all, func(s sighting[schema.ElevationSeen]) bool {
		return slices.ContainsFunc(s.seen.All, func(said schema.SaidOfAll) bool {
			return said.Of == of && said.Answer && !slices.Contains(said.Except, name)
		})
	})
}

// faulted reports whether one of a result's faults is of what is asked: of this
// one of its kind, or of all that the result rests on.
func faulted(_ *asker, x *ask, r *Result) bool {
	return slices.ContainsFunc(r.faults, func(f fault) bool {
		return f.of.where == "" || x.Key == "" || f.of.where == x.Key
	})
}

// faultedBy is [faulted] where it is what is wrong that tells the asks of a result
// apart.
func faultedBy(is func(x *ask, what string) bool) func(*asker, *ask, *Result) bool {
	return func(_ *asker, x *ask, r *Result) bool {
		return slices.ContainsFunc(r.faults, func(f fault) bool { return is(x, f.of.what) })
	}
}

func byField(x *ask, what string) bool { return x.Thing.Field == what }

func byOnly(x *ask, what string) bool { return x.Thing.only == what }

// Tops.

// untied reports whether it was read on a visit that did not read the set-height
// mark, so that what is read now cannot be held against it.
func (x *ask) untied() bool {
	if x == nil || x.visit < 0 {
		return false
	}
	_, marked := x.whose.e.mark(x.visit)
	return !marked
}

// againTops is for the rules of level, set height, plane and twist: the tops of
// the cabinets that are turned, and what was read with a level.
func (a *asker) againTops(x *ask, r *Result) bool {
	byLevel := x.Thing == theLevel.Thing || x.Thing == thePlumb.Thing
	switch {
	case byLevel:
		return slices.ContainsFunc(r.faults, func(f fault) bool { return f.of.what == x.Thing.Field && f.of.where == x.Key })
	case x.Thing != theTops.Thing:
		return false // the mark is asked with them
	case r.Outcome == NotObserved:
		return x.untied()
	case !slices.ContainsFunc(r.faults, func(f fault) bool { return !f.byLevel() }):
		return false
	}
	list := a.listOf(x.whose)
	if list == nil || list.Nothing() {
		return true // what has to be done is not known, or moves all
	}
	return slices.Contains(list.Touched(), x.whose.u.plan.Tag)
}

// listOf is what to turn in the run of a cabinet, nil where nothing is.
func (a *asker) listOf(w whose) *TurnList {
	for i := range a.lists {
		l := &a.lists[i]
		if s := &w.u.subject; l.Elevation == w.e.plan.Name && l.from.Compare(s) <= 0 && s.Compare(&l.to) <= 0 {
			return l
		}
	}
	return nil
}

// againUntied is for what is right by the tops as they were read, or cannot be
// told of them.
func againUntied(_ *asker, x *ask, r *Result) bool {
	return r.Outcome == NotObserved && x.untied()
}

// againExtension is for a recorded extension: it, its top, and the floor there.
func (a *asker) againExtension(x *ask, r *Result) bool {
	here := false
	for _, c := range corners {
		wrong := r.Outcome == NotObserved || slices.ContainsFunc(r.faults, func(f fault) bool { return f.of.where == c.key })
		switch {
		case !wrong:
		case x.Thing == theFloor.Thing && r.Outcome != NotObserved && x.whose.e.unit(r.Subject.First).rests(c, x.Key):
			at, _ := x.whose.e.unit(r.Subject.First).place(c)
			here = x.at(at)
		case x.Thing != theFloor.Thing && x.Key == c.key:
			here = true
		}
	}
	return here || r.Outcome == NotObserved && x.Thing == theFloor.Thing && a.missing(x)
}

// unit is the unit of an elevation with a tag, which it has.
func (e *elevation) unit(tag string) *unit {
	return e.units[slices.IndexFunc(e.units, func(u *unit) bool { return u.plan.Tag == tag })]
}

// The floor.

// rests reports whether what is known of the floor under a corner rests on a line.
func (u *unit) rests(c corner, line string) bool {
	return c.front == (line == floor.Front) || u.between(c)
}

// between reports whether a corner stands between the two lines, so that nothing
// that is put under it can be read along them.
func (u *unit) between(c corner) bool { return !c.front && u.behind > 0 }

// at has a line of the floor read again at a place.
func (x *ask) at(place length.Length) bool {
	x.places = append(x.places, place)
	return true
}

// all has a line of the floor read again all along.
func (x *ask) all() {
	x.Open, x.whole = true, true
}

// againCoverage asks for the floor where nobody read it.
func (a *asker) againCoverage(x *ask, _ *Result) bool { return a.missing(x) }

// missing has a line read at the suggested places where no reading is near
// enough: beyond those there are, and in gaps that are too wide. It reports
// whether there are any.
func (a *asker) missing(x *ask) bool {
	line := x.line()
	for _, place := range suggested(x.Blanks) {
		i, read := slices.BinarySearchFunc(line, place, func(r floor.Reading, at length.Length) int { return int(max(-1, min(1, r.At-at))) })
		if !read && (i == 0 || i == len(line) || line[i].At-line[i-1].At > a.widest) {
			x.at(place)
		}
	}
	return len(x.places) > 0
}

// line is the floor as surveyed along the line that an ask is of.
func (x *ask) line() floor.Line {
	if x.Key == "front" {
		return x.whose.e.floor.floor.Front
	}
	return x.whose.e.floor.floor.Back
}

// suggested are the places of a line's blanks.
func suggested(blanks []Blank) (all []length.Length) {
	for _, b := range blanks {
		if at, err := length.Parse(b.Usual); err == nil {
			all = append(all, at)
		}
	}
	return all
}

// againSurface is for what rests on the floor all along, and on the mark: where
// all of it was read, the mark is drawn anew and all is read from it.
func (a *asker) againSurface(x *ask, r *Result) bool {
	asRead := func(f fault) bool { return f.of.to != "" } // of tops as they were read
	switch {
	case x.Thing == theTops.Thing:
		return slices.ContainsFunc(r.faults, asRead)
	case x.Thing != theFloor.Thing:
		return false // the mark is asked with it
	case r.Outcome == NotObserved:
		return a.missing(x)
	}
	x.whole = x.whole || slices.ContainsFunc(r.faults, func(f fault) bool { return !asRead(f) })
	return x.whole
}

// againFlat asks for a reading between two, for a straightedge to rest on.
func (a *asker) againFlat(x *ask, r *Result) bool {
	if r.Outcome != NotObserved {
		return false
	}
	if a.missing(x) {
		return true
	}
	for _, place := range suggested(x.Blanks) {
		if !slices.ContainsFunc(x.line(), func(r floor.Reading) bool { return r.At == place }) {
			x.at(place)
		}
	}
	return len(x.places) > 0
}

// againTravel asks for the corners that are out of travel: what was packed under
// them, and the floor there; the tops of the cabinet, or the recorded extension,
// by which alone one is. Where one stands too far in the mark has to move, and all
// is read from it.
func (a *asker) againTravel(x *ask, r *Result) bool {
	here := false
	all, _ := x.whose.e.stances()
	last := "" // that is out at the set height
	for i := range all {
		k := &all[i]
		if text, _ := outOfTravel(*k); text.Empty() {
			continue
		}
		own := x.whose.u == k.of && x.Key == k.key
		switch {
		case x.Thing == theExtension.Thing:
			here = here || own && k.how == recorded
		case x.Thing == theTops.Thing:
			here = here || x.whose.u == k.of && k.how == topRead && k.Name != last
		case x.Thing == thePacking.Thing:
			here = here || own && k.how == atSetHeight
		case k.how == atSetHeight && x.Thing == theFloor.Thing && k.of.rests(k.corner, x.Key):
			here = x.outOfTravel(k) || here
		}
		if k.how == atSetHeight {
			last = k.Name
		}
	}
	return here || x.Thing == theFloor.Thing && r.Outcome == NotObserved && a.missing(x)
}

// outOfTravel has a line read again where a corner is out of travel.
func (x *ask) outOfTravel(k *stance) bool {
	if k.extension < k.Least {
		x.whole = true
		return true
	}
	if k.of.between(k.corner) {
		return false
	}
	x.packed = true
	at, _ := k.of.place(k.corner)
	return x.at(at)
}

// leastOfLines leaves of each line of the floor the places that are to be read
// again, where it is not all of it.
func (a *asker) leastOfLines() {
	for _, x := range a.asks {
		if x.Thing != theFloor.Thing || !x.Open || x.visit < 0 || x.whole {
			continue
		}
		for i := 0; i+1 < len(x.Blanks); i += 2 {
			at, err := length.Parse(x.Blanks[i].Usual)
			if err == nil && slices.Contains(x.places, at) {
				x.Again = append(x.Again, x.Blanks[i], x.Blanks[i+1])
			}
		}
		if x.packed {
			x.held(say.That("on the packing, once it is packed"))
		}
	}
}

// What is seen.

// againHeld is for fillers: how one is held, or whether it comes off.
func againHeld(a *asker, x *ask, r *Result) bool {
	if r.Outcome == NotObserved {
		return x.Thing == theComesOff.Thing // seen before the top was on
	}
	return faultedBy(func(x *ask, what string) bool {
		if what == "comes off" {
			return x.Thing == theComesOff.Thing
		}
		return x.Thing == theHeldFrom.Thing
	})(a, x, r)
}

// againScrews is for screws of which something was seen, and not all.
func againScrews(a *asker, x *ask, r *Result) bool {
	if r.Outcome != NotObserved {
		return faulted(a, x, r)
	}
	got := observed[schema.Fastening]{}
	if x.whose.j != nil {
		got = theJointScrews.latest(&x.whose.j.seen, x.Key)
	} else {
		got = theFillerScrews.latest(&x.whose.u.asFill, "")
	}
	return got.ok && got.value.Count > 0 && (got.value.Through == "" || got.value.TipShows == nil)
}

// againDrawers asks for slots that hold another drawer than their own, for those
// whose drawers these are, and for those of which what was seen is no longer so.
func (a *asker) againDrawers(x *ask, r *Result) bool {
	if slices.ContainsFunc(r.faults, func(f fault) bool { return f.of.where == x.Key || f.of.to == x.Key }) {
		return true
	}
	if a.drawers == nil {
		a.drawers = newDrawerPlan(a.rooms[0])
	}
	n := slices.Index(x.Thing.keysOf(x.whose), x.Key)
	return !a.drawers.seen[a.drawers.first[x.whose.u]+n].ok
}

// againOpening asks for the heights at which the fillers do not close the run.
func againOpening(_ *asker, x *ask, _ *Result) bool {
	c := x.whose.e.closure()
	o := theOpening.latest(&x.whose.e.seen, x.Key)
	need := o.value - c.fixed
	return need > c.available || need < 0
}

// againReleased asks whether a run is released, and which where there are several.
func againReleased(_ *asker, x *ask, _ *Result) bool {
	return x.Thing == theTopsReleased.Thing || x.Thing == theReleasedRuns.Thing
}

// againGap asks for the width of a gap, or for its length.
func againGap(x *ask, what string) bool {
	return strings.ReplaceAll(what, " ", "_") == x.Thing.Field
}
