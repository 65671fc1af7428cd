package rest

import (
	"cmp"
	"math/big"
	"slices"
)

// waysOf are the ways of planes, in order.
func (f *frame) waysOf(planes []*plane) []Way {
	right, front := vector{x: one}, vector{y: one}
	slices.SortFunc(planes, func(p, q *plane) int {
		return cmp.Or(compareSteepness(p, q), compareSlopes(p, q, front), compareSlopes(p, q, right))
	})
	ways := make([]Way, len(planes))
	for i, p := range planes {
		ways[i] = f.way(p)
	}
	return ways
}

func (f *frame) way(p *plane) Way {
	w := Way{supports: f.supports, Gaps: make([]*big.Rat, len(f.all))}
	unit := p.z.times(f.rise)
	gaps := make([]big.Rat, len(f.all))
	for i, s := range f.all {
		n := p.above(s)
		w.Gaps[i] = &gaps[i]
		if n.sign() == 0 {
			w.On = append(w.On, i)
			continue
		}
		setFraction(w.Gaps[i], n.times(f.step).opposite(), unit)
	}
	return w
}

// Weights are how often the height of each of the supports in On counts in the
// height of the plane at support i, for the uncertainty of the gap there. Of more
// than three they are those with the least sum of squares, as in a plane that is
// fitted to all of them.
func (w *Way) Weights(i int) []float64 {
	at := w.supports[i]
	xs, ys := make([]float64, len(w.On)), make([]float64, len(w.On))
	for k, on := range w.On {
		xs[k], ys[k] = float64(w.supports[on].X)-float64(at.X), float64(w.supports[on].Y)-float64(at.Y)
	}
	mx, my := toMiddle(xs), toMiddle(ys)
	xx, xy, yy := products(xs, xs), products(xs, ys), products(ys, ys)
	area := float64(xx*yy) - float64(xy*xy)
	a := (float64(xy*my) - float64(yy*mx)) / area
	b := (float64(xy*mx) - float64(xx*my)) / area
	weights := make([]float64, len(xs))
	for k := range xs {
		weights[k] = 1/float64(len(xs)) + float64(a*xs[k]) + float64(b*ys[k])
	}
	return weights
}

// toMiddle takes the middle of values off them, and returns it.
func toMiddle(v []float64) (middle float64) {
	for _, x := range v {
		middle += x / float64(len(v))
	}
	for i := range v {
		v[i] -= middle
	}
	return middle
}

func products(a, b []float64) (sum float64) {
	for i := range a {
		sum += float64(a[i] * b[i])
	}
	return sum
}
