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
	line := e.floor.back
	if front {
		line = e.floor.front
	}
	at := func(r floor.Reading, weight float64) []part { return e.floor.lineParts(line, r.At, 0, weight) }
	return b.together(e, slices.Concat(at(g.At, 1), at(g.From, right-1), at(g.To, -right))...)
}

// betweenReadings is the uncertainty of the floor at a place that nobody read: along
// the lines that it rests on, and from the one to the other.
func (e *elevation) betweenReadings(x, y length.Length) doubt {
	f := e.floor.floor
	switch y {
	case 0:
		return between(f.Back, x)
	case e.depth:
		return between(f.Front, x)
	}
	share := float64(y) / float64(e.depth)
	front, _ := f.Front.DownAt(x)
	back, _ := f.Back.DownAt(x)
	across := doubt{u: float64(apart(front, back)) / 2 / math.Sqrt(3), known: true}
	return across.and(between(f.Back, x).times(1 - share)).and(between(f.Front, x).times(share))
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
