package floor

import (
	"math/bits"
	"slices"

	"setline.example/schema/length"
)

// Reading is a floor reading: At along the elevation from its left end, Down
// from the level reference line to the floor. A larger Down is a lower floor.
type Reading struct{ At, Down length.Length }

// Line is readings along one line, strictly increasing in At. One that is not
// gives no meaningful floor, but no panic either.
type Line []Reading

// search returns the first reading at or beyond x, and whether it is at x.
func (l Line) search(x length.Length) (int, bool) {
	return slices.BinarySearchFunc(l, x, func(r Reading, x length.Length) int {
		switch {
		case r.At < x:
			return -1
		case r.At > x:
			return 1
		}
		return 0
	})
}

// increasing reports whether l is what a line should be.
func (l Line) increasing() bool {
	for i := 1; i < len(l); i++ {
		if l[i].At <= l[i-1].At {
			return false
		}
	}
	return true
}

// DownAt returns the floor at x: the reading there, or the straight line
// between its two neighbours. It is computed exactly and rounded to the nearest
// nanometre, halves away from zero. ok is false where x lies outside the
// readings, be it by a nanometre.
func (l Line) DownAt(x length.Length) (down length.Length, ok bool) {
	i, found := l.search(x)
	switch {
	case found:
		return l[i].Down, true
	case i == 0 || i == len(l) || l[i-1].At >= x || l[i].At <= x:
		return 0, false
	}
	return between(l[i-1], l[i], x), true
}

// between interpolates from a to b at x, where a.At < x < b.At.
func between(a, b Reading, x length.Length) length.Length {
	span := distance(a.At, b.At)
	hi, lo := bits.Mul64(distance(a.Down, b.Down), distance(a.At, x))
	// x is short of b, so the quotient is less than the fall and fits.
	whole, rest := bits.Div64(hi, lo, span)
	if b.Down < a.Down {
		// Count from below in either case, so that rest adds.
		whole = -whole
		if rest > 0 {
			whole--
			rest = span - rest
		}
	}
	below := length.Length(uint64(a.Down) + whole)
	if up := rest > span-rest || rest == span-rest && below >= 0; up {
		return below + 1
	}
	return below
}

// Reaches reports whether l has readings at or beyond both ends of a stretch.
// That they are close enough together is for [Line.WidestGap] to say.
func (l Line) Reaches(from, to length.Length) bool {
	from, to = inOrder(from, to)
	return len(l) > 0 && l[0].At <= from && l[len(l)-1].At >= to
}

// WidestGap returns the greatest distance between neighbouring readings whose
// span overlaps the stretch, and the reading's place at which it begins: the
// leftmost of several. A span that only touches an end of the stretch does not
// overlap it. Where nothing overlaps the gap is 0, at the left end.
func (l Line) WidestGap(from, to length.Length) (gap, at length.Length) {
	from, to = inOrder(from, to)
	at = from
	for i := 1; i < len(l); i++ {
		a, b := l[i-1].At, l[i].At
		overlaps := a < to && from < b || from == to && a <= to && from <= b
		if g := difference(b, a); overlaps && g > gap {
			gap, at = g, a
		}
	}
	return gap, at
}
