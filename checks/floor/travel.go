package floor

import "setline.example/schema/length"

// SetTop returns where the cabinet tops of an elevation stand, down from the
// reference line, when the row is set as low as its levelers allow: at the
// greatest of floor height + Least + Reserve + Body over all known corners, which
// is the least of Floor - Least - Reserve - Body. Only what a leveler stands on
// counts; where all cabinets are alike that is the high point of the method of
// the US Navy manual NAVEDTRA 14045 (Builder, base units), with the reserve left
// there. ok is false where no corner is known.
func SetTop(corners []Corner) (top length.Length, ok bool) {
	var highest wide
	for _, c := range corners {
		if !c.Known {
			continue
		}
		if t := c.lowest(); !ok || t.less(highest) {
			highest, ok = t, true
		}
	}
	return highest.length(), ok
}

// lowest is the lowest top that leaves the leveler its reserve.
func (c Corner) lowest() wide {
	return widen(c.Floor).minus(c.Body).minus(c.Least).minus(c.Reserve)
}

// Travel says which tops the levelers can serve. Every top from Highest to
// Lowest, both included, keeps every known corner between its least
// extension with its reserve, and its greatest. Both are read down from the reference line, so Highest
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
		h, l := widen(c.Floor).minus(c.Body).minus(c.Greatest), c.lowest()
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
