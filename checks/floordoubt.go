package checks

import (
	"cmp"
	"math"
	"slices"

	"setline.example/checks/floor"
	"setline.example/schema/length"
)

// gapDoubt is the uncertainty of a gap under a straightedge, of a floor read on
// a visit: of the reading below it and of the two that carry it, of which the
// nearer counts more.
func (b *bench) gapDoubt(e *elevation, g floor.Gap, front bool) doubt {
	right := 0.0
	if g.From.At < g.To.At {
		right = float64(g.At.At-g.From.At) / float64(g.To.At-g.From.At)
	}
	at := func(r floor.Reading, weight float64) []part { return e.floor.parts(front, r.At, 0, weight) }
	return b.together(e, slices.Concat(at(g.At, 1), at(g.From, right-1), at(g.To, -right))...)
}

// between is the uncertainty of the floor between two readings: it may lie
// anywhere from the one to the other (rectangular, JCGM 100:2008, 4.3.7). At a
// reading there is none.
func between(l floor.Line, x length.Length) doubt {
	i, at := slices.BinarySearchFunc(l, x, func(r floor.Reading, x length.Length) int { return cmp.Compare(r.At, x) })
	if at || i == 0 || i == len(l) {
		return doubt{known: true}
	}
	half := float64(apart(l[i].Down, l[i-1].Down)) / 2
	return doubt{u: half / math.Sqrt(3), known: true}
}
