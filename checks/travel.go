package checks

import (
	"iter"
	"slices"

	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/schema/length"
)

var floorWithinTravel = &Rule{
	ID:           "floor-within-travel",
	Name:         "floor within travel",
	Family:       Floor,
	Asks:         "At the set height every leveler stands out no less than its least and no more than its greatest extension; nor does one stand further out by its top as read, or as recorded.",
	Why:          "A leveler run out too far wobbles and can let go; one run in fully leaves the body on the floor, and the corner can no longer be lowered.",
	Limit:        CountOf(0),
	LimitWords:   "every leveler between its least and greatest extension",
	Formula:      "extension = reading of the floor or packing under it - top reading - body height; least <= extension <= greatest",
	Source:       "common practice, no source; least and greatest extension are the cabinet maker's, as planned",
	Needs:        "Read the floor from the reference line along the front and the back levelers, past both ends of the elevation",
	Remedy:       "Bring the tops to the set height where they are above it; else choose another set height, or pack the corners named",
	NoConcession: "a leveler run out beyond its greatest extension can let go under load",
	observe:      askElevations((*asker).askTravel),
	again:        (*asker).againTravel,
	judge:        eachElevation((*bench).travel),
}

var reserveLeft = &Rule{
	ID:         "reserve-left",
	Name:       "reserve left",
	Family:     Floor,
	Asks:       "Every leveler can still come down by its reserve from where it stands.",
	Why:        "A corner set on a bolt that cannot come down cannot follow when the next cabinet, or the floor, turns out lower; every other corner of the run has to come up instead.",
	Limit:      CountOf(0),
	LimitWords: "the reserve planned at every corner, 1/8 in where none is",
	Formula:    "extension - least extension >= reserve",
	Source:     CommonPractice,
	Needs:      "Read the floor from the reference line along the front and the back levelers, past both ends of the elevation",
	Remedy:     "Raise the set height by what is lacking before anything is set",
	observe:    asks(theFloor.Thing),
	again:      (*asker).againSurface,
	judge:      eachElevation((*bench).reserve),
	Advises:    true,
}

// stance is how far a leveler stands out: at the set height, or further than it
// may by its top as read, or as somebody recorded it. One recorded further in than
// it goes was misread, which is for the rule that compares extensions, and so was
// a top that stands lower than its leveler lets it.
type stance struct {
	floor.Corner
	extension length.Length
	of        *unit
	corner
	how   stanceBy
	visit int
	at    string
}

// stanceBy is how a stance is known.
type stanceBy int

const (
	atSetHeight stanceBy = iota
	topRead              // by the top over it, as read
	recorded             // as somebody recorded it
)

// words say which leveler. They are not made for one that stands well.
func (k *stance) words() say.Text { return cornerWords(k.of, k.word) }

// leveler is a leveler of a cabinet, and what the floor is under it.
type leveler struct {
	floor.Corner
	of *unit
	corner
}

func (l leveler) words() say.Text { return cornerWords(l.of, l.word) }

// levelers are those of an elevation, from the left.
func (e *elevation) levelers() iter.Seq[leveler] {
	return func(yield func(leveler) bool) {
		i := 0
		for _, u := range cabinetsOf(e.units) {
			for _, c := range corners {
				if !yield(leveler{e.floor.corners[i], u, c}) {
					return
				}
				i++
			}
		}
	}
}

// stances are those of an elevation, and the corners of which there is none at
// the set height.
func (e *elevation) stances() (all []stance, unknown []say.Text) {
	s := e.floor
	top, set := s.setTop(e, s.corners)
	all = make([]stance, 0, len(s.corners))
	for l := range e.levelers() {
		k, u, c := l.Corner, l.of, l.corner
		if set && k.Known {
			all = append(all, stance{k, k.Extension(top), u, c, atSetHeight, s.visit, s.at})
		} else {
			unknown = append(unknown, l.words())
		}
		if down, ok := e.stands(u, c); ok && k.Known && k.Extension(down) > k.Greatest {
			o := theTops.latest(&u.asCab, c.key)
			all = append(all, stance{k, k.Extension(down), u, c, topRead, o.visit, o.at.pointer()})
		}
		if o := theExtension.latest(&u.asCab, c.key); o.ok && o.value > k.Greatest {
			all = append(all, stance{k, o.value, u, c, recorded, o.visit, o.at.pointer()})
		}
	}
	return all, unknown
}

// askTravel asks for the floor, for the packing under corners that are beyond
// their travel at the set height: put there, the floor is read on it; and again
// for the tops, or the recorded extensions, by which one is.
func (a *asker) askTravel(e *elevation) {
	a.askFloor(e, e.subject)
	all, _ := e.stances()
	for _, k := range all {
		switch w := (whose{e: e, u: k.of}); {
		case k.extension <= k.Greatest:
		case k.how == atSetHeight:
			a.ask(thePacking.Thing, w, k.key, e.subject)
		case k.how == recorded:
			a.ask(theExtension.Thing, w, k.key, e.subject)
		default:
			a.askEach(theTops.Thing, w, e.subject)
			a.askEach(theMark.Thing, whose{e: e}, e.subject)
		}
	}
}

func (b *bench) travel(e *elevation) {
	if !e.hasCabinets() {
		return
	}
	s := e.floor
	all, unknown := e.stances()
	r := Result{Subject: e.subject, Visit: s.visit, Pointer: s.at}
	var out []say.Text
	last := ""
	for _, k := range all {
		text, f := outOfTravel(k)
		if text.Empty() || k.Name == last {
			continue // of a corner that is wrong both ways the first says it
		}
		if len(out) == 0 {
			r.Visit, r.Pointer = k.visit, k.at
		}
		out, last = append(out, text), k.Name
		r.faults = append(r.faults, f)
	}
	r.Value, r.unseen = CountOf(len(out)), len(unknown) > 0
	switch {
	case len(out) > 0:
		r.Outcome = Fail
		r.Finding = say.Semicolons(say.That("Out of travel at the set height: %[1]s", say.Few(out...)), floorUnseen(unknown), b.standing(s))
		r.Remedy = b.travelRemedy(e)
	case !s.ok:
		b.notObserved(e.subject, e.at, say.That("floor"))
		return
	case len(unknown) > 0:
		b.unseen(e.subject, s.at, say.Semicolons(floorUnseen(unknown), b.standing(s)))
		return
	default:
		r.Outcome = Pass
		r.Finding = say.Semicolons(say.That("All %[1]s levelers within their travel", len(s.corners)), b.standing(s))
	}
	b.add(r)
}

// floorUnseen says at which corners the floor was not observed, nothing where it was at all.
func floorUnseen(corners []say.Text) say.Text {
	if len(corners) == 0 {
		return say.Text{}
	}
	return say.That("floor not observed at %[1]s", say.Few(corners...))
}

// outOfTravel says what is wrong with a stance, nothing where nothing is.
func outOfTravel(k stance) (say.Text, fault) {
	of := faultOf{"extension", k.Name, ""}
	switch {
	case k.extension < k.Least:
		return say.That("%[1]s too little by %[2]s", k.words(), k.Least-k.extension), fault{of, -int64(k.extension), -int64(k.Least)}
	case k.extension > k.Greatest && k.how == topRead:
		return say.That("%[1]s too much by %[2]s as its top was read", k.words(), k.extension-k.Greatest), fault{of, int64(k.extension), int64(k.Greatest)}
	case k.extension > k.Greatest && k.how == recorded:
		return say.That("%[1]s too much by %[2]s as recorded", k.words(), k.extension-k.Greatest), fault{of, int64(k.extension), int64(k.Greatest)}
	case k.extension > k.Greatest:
		return say.That("%[1]s too much by %[2]s", k.words(), k.extension-k.Greatest), fault{of, int64(k.extension), int64(k.Greatest)}
	}
	return say.Text{}, fault{}
}

// reserve tells of the corner that has least left, and how many others have
// less than their reserve.
func (b *bench) reserve(e *elevation) {
	if !e.hasCabinets() {
		return
	}
	s := e.floor
	all, unknown := e.stances()
	r := Result{Subject: e.subject, Visit: s.visit, Pointer: s.at}
	var least stance
	for _, k := range all {
		left := k.extension - k.Least
		if left >= k.Reserve {
			continue
		}
		if len(r.faults) == 0 || left < least.extension-least.Least {
			least = k
		}
		r.faults = append(r.faults, fault{faultOf{"reserve", k.Name, ""}, -int64(left), -int64(k.Reserve)})
	}
	n := len(r.faults)
	r.Value, r.unseen = CountOf(n), len(unknown) > 0
	switch {
	case n > 0:
		r.Outcome = Fail
		var more say.Text
		if n > 1 {
			more = say.Count(n-1, "%[1]s more corner has less than the reserve", "%[1]s more corners have less than the reserve")
		}
		r.Finding = say.Semicolons(say.That("%[1]s can come down by %[2]s, its reserve is %[3]s",
			least.words(), max(0, least.extension-least.Least), least.Reserve), more, b.standing(s))
		if e.begun() {
			r.Remedy = say.That("What stands within its travel may stay; only it cannot follow its neighbours down any further")
		}
	case !s.ok:
		b.notObserved(e.subject, e.at, say.That("floor"))
		return
	case len(unknown) > 0:
		b.unseen(e.subject, s.at, say.Semicolons(floorUnseen(unknown), b.standing(s)))
		return
	default:
		r.Outcome = Pass
		r.Finding = say.Semicolons(say.That("All %[1]s levelers can come down by their reserve", len(s.corners)), b.standing(s))
	}
	b.add(r)
}

// travelRemedy says which set heights serve, or what to pack.
func (b *bench) travelRemedy(e *elevation) say.Text {
	s := e.floor
	top, ok := s.setTop(e, s.corners)
	if !ok {
		return say.Text{}
	}
	all := s.corners
	// Where the floor was not read nobody knows what serves the leveler there.
	partly := slices.ContainsFunc(all, func(c floor.Corner) bool { return !c.Known })
	serving := say.Words("keep every leveler within its travel and its reserve")
	if partly {
		serving = "keep every leveler of which the floor was read within its travel and its reserve"
	}
	t := floor.TravelOf(all)
	if !t.Serves {
		serving = "keep every leveler within its travel, though not all with their reserve"
		if partly {
			serving = "keep every leveler of which the floor was read within its travel, though not all with their reserve"
		}
		t = floor.TravelOf(withoutReserve(all))
	}
	if t.Serves && t.Highest <= top && top <= t.Lowest {
		return say.Text{} // what is wrong stands, or is recorded, otherwise than the set height has it
	}
	if t.Serves {
		by, move := top-t.Lowest, "Move the set height up by %[1]s: tops from %[2]s to %[3]s below the reference line of the survey %[4]s"
		if top <= t.Lowest {
			by, move = t.Highest-top, "Move the set height down by %[1]s: tops from %[2]s to %[3]s below the reference line of the survey %[4]s"
		}
		return say.That(move, by, t.Highest, t.Lowest, serving)
	}
	packing := floor.Packing(top, all)
	var parts []say.Text
	i := 0
	for _, u := range cabinetsOf(e.units) {
		for _, c := range corners {
			name := all[i].Name
			i++
			if p, ok := packing[name]; ok {
				parts = append(parts, say.That("%[1]s by %[2]s", cornerWords(u, c.word), PackingWords(p, s.packed[name], b.sys)))
			}
		}
	}
	if len(parts) == 0 {
		return say.That("No set height serves: lower the high spot, or raise the set height and pack the low corners")
	}
	return say.That("No set height serves. Pack under %[1]s", say.Few(parts...))
}

// PackingWords says how thick the packing under a corner has to be that needs
// so much more than is there. It is rounded up to what can be cut or stacked:
// a 64th of an inch, or a tenth of a millimetre.
func PackingWords(more, there length.Length, sys length.System) say.Text {
	least := RoundedUp(less(there, -more), sys)
	if there > 0 {
		return say.That("at least %[1]s in place of its %[2]s", least, there)
	}
	return say.That("at least %[1]s", least)
}

// RoundedUp is the least length of whole 64ths of an inch, or tenths of a
// millimetre, that is no less than l.
func RoundedUp(l length.Length, sys length.System) length.Length {
	step := length.Inch / 64
	if sys == length.Metric {
		step = length.Millimetre / 10
	}
	if over := l % step; over > 0 {
		return less(l, over-step)
	}
	return l - l%step
}

func withoutReserve(all []floor.Corner) []floor.Corner {
	none := make([]floor.Corner, len(all))
	for i, c := range all {
		none[i] = c
		none[i].Reserve = 0
	}
	return none
}
