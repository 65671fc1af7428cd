package floor

import "setline.example/schema/length"

// SetTop returns where the cabinet tops of an elevation stand, down from the
// reference line, when the row is set from the high point of the floor: the
// cabinet that needs most height stands there with its levelers fully in, so
// high less the greatest Least + Body. Every corner counts, Known or not.
// Without corners it is high itself. Setting from the high point is the method
// of the US Navy manual NAVEDTRA 14045 (Builder, base units).
func SetTop(high length.Length, corners []Corner) length.Length {
	if len(corners) == 0 {
		return high
	}
	top := widen(high).minus(corners[0].Least).minus(corners[0].Body)
	for _, c := range corners[1:] {
		if t := widen(high).minus(c.Least).minus(c.Body); t.less(top) {
			top = t
		}
	}
	return top.length()
}

// Travel says which tops the levelers can serve. Every top from Highest to
// Lowest, both included, keeps every known corner between its least and
// greatest extension. Both are read down from the reference line, so Highest
// is the smaller number.
//
// Where Serves is false no top does: Highest is then the highest that the
// corner over the lowest floor reaches, Lowest the lowest that the corner over
// the highest floor allows, and Highest is the larger number; they differ by
// what is missing. Where no corner is known Serves is false and both are 0.
type Travel struct {
	Highest, Lowest length.Length
	Serves          bool
}

// TravelOf returns the tops that serve all known corners at once.
func TravelOf(corners []Corner) Travel {
	var highest, lowest wide
	known := false
	for _, c := range corners {
		if !c.Known {
			continue
		}
		body := widen(c.Floor).minus(c.Body) // its underside at no extension, as a top
		h, l := body.minus(c.Greatest), body.minus(c.Least)
		if !known || highest.less(h) {
			highest = h
		}
		if !known || l.less(lowest) {
			lowest = l
		}
		known = true
	}
	return Travel{
		Highest: highest.length(),
		Lowest:  lowest.length(),
		// A span wholly beyond what a length holds has no top in it either.
		Serves: known && !lowest.less(highest) && !widen(maxLength).less(highest) && !lowest.less(widen(minLength)),
	}
}

// Packing returns what has to go under each known corner whose leveler would
// otherwise stand out too far at top, by the corner's name: at least its
// extension less its greatest. A corner within its travel is not in the map;
// nor is one below its least extension, which packing does not mend. Of corners
// of one name the greatest counts.
func Packing(top length.Length, corners []Corner) map[string]length.Length {
	packing := make(map[string]length.Length)
	for _, c := range corners {
		if !c.Known {
			continue
		}
		if beyond := c.extension(top).minus(c.Greatest).length(); beyond > 0 {
			packing[c.Name] = max(packing[c.Name], beyond)
		}
	}
	return packing
}
