package checks

import (
	"fmt"

	"setline.example/checks/floor"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

var floorWithinTravel = &Rule{
	ID:           "floor-within-travel",
	Name:         "floor within travel",
	Family:       Floor,
	Asks:         "At the set height every leveler stands out no less than its least and no more than its greatest extension; nor is one recorded further out.",
	Why:          "A leveler run out too far wobbles and can let go; one run in fully leaves the body on the floor, and the corner can no longer be lowered.",
	Limit:        CountOf(0),
	LimitWords:   "every leveler between its least and greatest extension",
	Formula:      "extension = reading of the floor or packing under it - top reading - body height; least <= extension <= greatest",
	Source:       "common practice, no source; least and greatest extension are the cabinet maker's, as planned",
	Needs:        "Read the floor from the reference line along the front and the back levelers, past both ends of the elevation",
	Remedy:       "Choose another set height, or pack the corners named",
	NoConcession: "a leveler run out beyond its greatest extension can let go under load",
	observe:      asks(theFloor.Thing),
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
	Source:     "common practice, no source",
	Needs:      "Read the floor from the reference line along the front and the back levelers, past both ends of the elevation",
	Remedy:     "Raise the set height by what is lacking before anything is set",
	observe:    asks(theFloor.Thing),
	judge:      eachElevation((*bench).reserve),
	Advises:    true,
}

// stance is how far a leveler stands out: at the set height, or further than it
// may as somebody recorded it. One recorded further in than it goes was misread,
// which is for the rule that compares extensions.
type stance struct {
	floor.Corner
	extension length.Length
	as        string // "" at the set height
	visit     int
	at        string
}

// stances are those of an elevation, and the corners of which there is none at
// the set height.
func (e *elevation) stances() (all []stance, unknown []string) {
	s := e.floor
	top, set := s.setTop(e, s.corners)
	i := 0
	for _, u := range cabinetsOf(e.units) {
		for _, c := range corners {
			k := s.corners[i]
			i++
			if set && k.Known {
				all = append(all, stance{k, k.Extension(top), "", s.visit, s.at})
			} else {
				unknown = append(unknown, k.Name)
			}
			if o := theExtension.latest(u.asCab, c.key); o.ok && o.value > k.Greatest {
				all = append(all, stance{k, o.value, " as recorded", o.visit, o.at.pointer()})
			}
		}
	}
	return all, unknown
}

func (b *bench) travel(e *elevation) {
	if !e.hasCabinets() {
		return
	}
	s := e.floor
	all, unknown := e.stances()
	r := Result{Subject: e.subject, Visit: s.visit, Pointer: s.at}
	var out []string
	last := ""
	for _, k := range all {
		text, f := b.outOfTravel(k)
		if text == "" || k.Name == last {
			continue // of a corner that is wrong both ways the first says it
		}
		if len(out) == 0 {
			r.Visit, r.Pointer = k.visit, k.at
		}
		out, last = append(out, k.Name+" "+text+k.as), k.Name
		r.faults = append(r.faults, f)
	}
	r.Value, r.unseen = CountOf(len(out)), len(unknown) > 0
	switch {
	case len(out) > 0:
		r.Outcome, r.Finding = Fail, "Out of travel at the set height: "+few(out)
		if len(unknown) > 0 {
			r.Finding += "; floor not observed at " + few(unknown)
		}
		r.Finding += b.standing(s)
		r.Remedy = b.travelRemedy(e)
	case !s.ok:
		b.notObserved(e.subject, e.at, "Floor")
		return
	case len(unknown) > 0:
		b.unseen(e.subject, s.at, "Floor not observed at "+few(unknown)+b.standing(s))
		return
	default:
		r.Outcome, r.Finding = Pass, fmt.Sprintf("All %d levelers within their travel", len(s.corners))+b.standing(s)
	}
	b.add(r)
}

// outOfTravel says what is wrong with a stance, "" where nothing is.
func (b *bench) outOfTravel(k stance) (string, fault) {
	of := faultOf{"extension", k.Name, ""}
	switch {
	case k.extension < k.Least:
		return "too little by " + b.write(k.Least-k.extension), fault{of, -int64(k.extension), -int64(k.Least)}
	case k.extension > k.Greatest:
		return "too much by " + b.write(k.extension-k.Greatest), fault{of, int64(k.extension), int64(k.Greatest)}
	}
	return "", fault{}
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
		r.Finding = fmt.Sprintf("%s can come down by %s, its reserve is %s", least.Name, b.write(max(0, least.extension-least.Least)), b.write(least.Reserve))
		if n > 1 {
			r.Finding += "; " + plaintext.Counted(n-1, "more corner has", "more corners have") + " less than the reserve"
		}
		r.Finding += b.standing(s)
		if e.begun() {
			r.Remedy = "What stands within its travel may stay; only it cannot follow its neighbours down any further"
		}
	case !s.ok:
		b.notObserved(e.subject, e.at, "Floor")
		return
	case len(unknown) > 0:
		b.unseen(e.subject, s.at, "Floor not observed at "+few(unknown)+b.standing(s))
		return
	default:
		r.Outcome, r.Finding = Pass, fmt.Sprintf("All %d levelers can come down by their reserve", len(s.corners))+b.standing(s)
	}
	b.add(r)
}

// travelRemedy says which set heights serve, or what to pack.
func (b *bench) travelRemedy(e *elevation) string {
	s := e.floor
	top, ok := s.setTop(e, s.corners)
	if !ok {
		return ""
	}
	all := s.corners
	serving := "keep every leveler within its travel and its reserve"
	t := floor.TravelOf(all)
	if !t.Serves {
		serving = "keep every leveler within its travel, though not all with their reserve"
		t = floor.TravelOf(withoutReserve(all))
	}
	if t.Serves && t.Highest <= top && top <= t.Lowest {
		return "" // what is wrong is recorded otherwise than the set height has it
	}
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
		return fmt.Sprintf("Move the set height %s: tops from %s to %s below the reference line of the survey %s",
			move(nearest), b.write(t.Highest), b.write(t.Lowest), serving)
	}
	packing := floor.Packing(top, all)
	var parts []string
	for _, c := range all {
		if p, ok := packing[c.Name]; ok {
			parts = append(parts, c.Name+" by "+PackingWords(p, s.packed[c.Name], b.sys))
		}
	}
	if len(parts) == 0 {
		return "No set height serves: lower the high spot, or raise the set height and pack the low corners"
	}
	return "No set height serves. Pack under " + few(parts)
}

// PackingWords says how thick the packing under a corner has to be that needs
// so much more than is there. It is rounded up to what can be cut or stacked:
// a 64th of an inch, or a tenth of a millimetre.
func PackingWords(more, there length.Length, sys length.System) string {
	step := length.Inch / 64
	if sys == length.Metric {
		step = length.Millimetre / 10
	}
	text := "at least " + ((there + more + step - 1) / step * step).In(sys)
	if there > 0 {
		text += " in place of its " + there.In(sys)
	}
	return text
}

func withoutReserve(all []floor.Corner) []floor.Corner {
	none := make([]floor.Corner, len(all))
	for i, c := range all {
		none[i] = c
		none[i].Reserve = 0
	}
	return none
}
