package checks

import (
	"math"

	"setline.example/schema/length"
)

// sweep goes once along the points of a long run, which lie in order from
// left to right but for the depth of a cabinet. It reports clear where no pair
// can be beyond its limit, and then the pair with the greatest difference
// among those at most [levelOver] apart.
//
// Distances along the run stand for distances in plan, which are never less,
// so that limits are never taken too large: a run that is clear is so for
// certain.
func (b *bench) sweep(points []point) (p, q point, clear bool) {
	limit := b.levelWithin
	slope := float64(limit) / float64(levelOver)
	var lows, highs window
	greatest := length.Length(-1)
	// Of the points that lie more than levelOver to the left: the least of
	// down + slope*x, and the greatest of down - slope*x. They bound what a
	// point further right may read.
	least, most := math.Inf(1), math.Inf(-1)
	far := 0
	for i := range points {
		here := points[i]
		for points[far].x < here.x-levelOver {
			x, down := float64(points[far].x), float64(points[far].down)
			least = min(least, down-float64(slope*x))
			most = max(most, down+float64(slope*x))
			far++
		}
		x, down := float64(here.x), float64(here.down)
		// The nanometre is for rounding in these two lines.
		if down-float64(slope*x) > least+1 && far > 0 || down+float64(slope*x) < most-1 && far > 0 {
			return p, q, false
		}
		for _, other := range []int{lows.push(points, i, func(a, b length.Length) bool { return a <= b }), highs.push(points, i, func(a, b length.Length) bool { return a >= b })} {
			if d := (here.down - points[other].down).Abs(); d > greatest {
				greatest, p, q = d, points[other], here
			}
		}
	}
	return p, q, greatest <= limit
}

// window holds positions of points at most levelOver behind the newest, such
// that the first is the lowest or highest among them.
type window []int

// push adds point i and returns the position of the extreme one. before says
// whether a reading goes before another.
func (w *window) push(points []point, i int, before func(a, b length.Length) bool) int {
	for len(*w) > 0 && points[(*w)[0]].x < points[i].x-levelOver {
		*w = (*w)[1:]
	}
	for len(*w) > 0 && before(points[i].down, points[(*w)[len(*w)-1]].down) {
		*w = (*w)[:len(*w)-1]
	}
	*w = append(*w, i)
	return (*w)[0]
}
