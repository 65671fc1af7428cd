// Package zone lays planes through points read on the tops of cabinets: the
// minimum zone, which is flatness as ISO 1101 defines it, by [Minimum], and the
// plane of least squares by [Fit].
//
// Heights are read plumb, and zones are measured so. Square to the planes, as
// ISO 1101 has it, a zone is narrower by about half the square of the slope:
// by a few nanometres where 1/16 in stands over the depth of a cabinet. That
// is far below any reading, and on the safe side.
package zone

import (
	"errors"
	"math"

	"setline.example/schema/length"
)

// Point is a point of a surface: X along the elevation, Y out from the wall, Z up.
type Point struct{ X, Y, Z length.Length }

// Zone is the space between two parallel planes that hold every point.
type Zone struct {
	// Width is the distance of the planes, in nanometres.
	Width float64
	// Upper and Lower are the points that touch the planes, as positions in the list.
	Upper, Lower []int
	// Rests are the points on which the width rests: it is the sum of their
	// heights, each times its weight. Weights of points on the upper plane are
	// above zero and add up to one, those of points on the lower one below it and
	// add up to minus one; both have the same middle in plan. There are at most
	// four. Where more points touch the planes than carry them, others could
	// stand in their place.
	Rests []Weight
}

// Weight is how often the height of a point counts.
type Weight struct {
	Point  int // its position in the list
	Weight float64
}

// ErrLost says that rounding got in the way of an answer. No input is known that does it.
var ErrLost = errors.New("no minimum zone found")

// touching is how near a point lies to a plane that it touches, in nanometres.
// Readings are ten thousand times coarser.
const touching = 0.5

// Minimum returns the narrowest zone that holds every point, right to a
// nanometre for the points of a run. Points on one line in plan have the zone
// of that line, points in one spot their difference in height, and no points a
// zone of no width.
//
// It is a linear programme: find a, b, c and the least h such that every
// |z - (a*x + b*y + c)| is at most h. Heights on a building site are whole
// 64ths or half millimetres, so that many points lie exactly on the planes and
// a general simplex code goes round in circles; see exchange for what is done
// instead.
func Minimum(points []Point) (Zone, error) {
	if len(points) == 0 {
		return Zone{}, nil
	}
	f := newFrame(points)
	for try := range 4 {
		p, rests, a := f.exchange(try)
		if a != found {
			continue
		}
		z := f.zone(p)
		z.Rests = rests
		return z, nil
	}
	return Zone{}, ErrLost
}

// zone measures how far all points lie from a plane of the frame.
func (f *frame) zone(p plane) Zone {
	hi, lo := math.Inf(-1), math.Inf(1)
	for i := range f.r {
		d := p.above(f, i)
		hi, lo = max(hi, d), min(lo, d)
	}
	z := Zone{Width: float64((hi - lo) * f.unit)}
	near := touching / f.unit
	for i := range f.r {
		d := p.above(f, i)
		if d >= hi-near {
			z.Upper = append(z.Upper, i)
		}
		if d <= lo+near {
			z.Lower = append(z.Lower, i)
		}
	}
	return z
}
