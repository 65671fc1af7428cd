package zone

import (
	"cmp"
	"math"
	"slices"
)

// The programme has a dual: weights of zero or more on the points, signed by
// the plane that a point touches, that balance, with the greatest sum of
// weighted heights. A basis of it is four points (three on a line in plan, two
// in one spot), which carry the two planes.

// column is a point under the upper plane or over the lower one, as a column
// of the dual: one for the sum of weights, the sign, the signed place in plan.
type column struct {
	v    [4]float64
	cost float64 // less the signed height
	i    int     // the point; -1 for an artificial column
}

type answer int

const (
	found answer = iota // with proof
	lost                // rounding got in the way
)

// agreed is how far apart two numbers of a frame may lie that should be equal.
const agreed = 1e-11

// exchange solves the programme by the simplex method on its dual. Each step
// lays the planes through the basis, finds the point furthest outside them, and
// exchanges it for the one whose weight would first turn negative. At the end
// no point is outside and no weight negative: the one shows that the planes
// hold all points, the other that no closer ones do.
//
// A basis is solved anew in each step, so that errors do not add up. A dozen
// steps are usual. After sixty the first point outside is taken in place of the
// furthest (R. G. Bland, Mathematics of Operations Research 2, 1977), which
// ends cycles. In a second and later try the heights are first shaken by less
// than the nanometre matters, which unties what rounding tied.
func (f *frame) exchange(try int) (plane, []Weight, answer) {
	const steps = 400
	r := f.r
	if try > 0 {
		r = f.shaken(try)
	}
	b := artificial(f.dims + 2)
	for step := range steps {
		weights, y, ok := b.solve()
		if !ok {
			return plane{}, nil, lost
		}
		in, outside := f.entering(r, y, b.n, step > 60)
		if !outside {
			if !b.proves(weights) {
				return plane{}, nil, lost
			}
			return planeOf(y, b.n), rests(b.columns[:b.n], weights), found
		}
		if !b.exchange(in, weights) {
			return plane{}, nil, lost
		}
	}
	return plane{}, nil, lost
}

// basis is the columns that carry the planes: the first n of four.
type basis struct {
	columns [4]column
	n       int
	matrix  [4][4]float64 // of the columns, as last solved
}

// artificial is the basis to begin with, of columns that are no points.
func artificial(n int) *basis {
	const dear = 1e4 // cost of an artificial column, far above any height
	b := &basis{n: n}
	for j := range n {
		b.columns[j] = column{cost: dear, i: -1}
		b.columns[j].v[j] = 1
	}
	return b
}

// solve gives the weights of the columns, and the multipliers. ok is false
// where they do not carry planes.
func (b *basis) solve() (weights, y [4]float64, ok bool) {
	var transposed [4][4]float64
	var costs [4]float64
	for j := range b.n {
		for k := range b.n {
			b.matrix[k][j], transposed[j][k] = b.columns[j].v[k], b.columns[j].v[k]
		}
		costs[j] = b.columns[j].cost
	}
	weights, ok1 := solve(b.matrix, [4]float64{1}, b.n)
	y, ok2 := solve(transposed, costs, b.n)
	return weights, y, ok1 && ok2
}

// proves reports whether no weight is negative, and none on what is no point.
func (b *basis) proves(weights [4]float64) bool {
	for j := range b.n {
		if weights[j] < -agreed || b.columns[j].i < 0 && weights[j] > agreed {
			return false
		}
	}
	return true
}

// exchange takes a column in for the one whose weight would first turn
// negative. It reports whether there is one.
func (b *basis) exchange(in column, weights [4]float64) bool {
	const tiny = 1e-12
	move, ok := solve(b.matrix, in.v, b.n)
	if !ok {
		return false
	}
	out, least := -1, math.Inf(1)
	for j := range b.n {
		if move[j] <= tiny {
			continue
		}
		ratio := max(weights[j], 0) / move[j]
		// Of equals an artificial column goes first, then the first point.
		if ratio < least || ratio == least && b.columns[j].i < b.columns[out].i {
			out, least = j, ratio
		}
	}
	if out < 0 {
		return false
	}
	b.columns[out] = in
	return true
}

// rests gives the weights of a basis as those of the width, which is twice what
// the dual counts up: the distance of the middle plane from either.
func rests(basis []column, weights [4]float64) (all []Weight) {
	for j, c := range basis {
		if c.i >= 0 && weights[j] > agreed {
			all = append(all, Weight{c.i, float64(2 * weights[j] * c.v[1])})
		}
	}
	slices.SortFunc(all, func(a, b Weight) int { return cmp.Compare(a.Point, b.Point) })
	return all
}

// planeOf reads the middle plane from the multipliers of a basis of m columns.
func planeOf(y [4]float64, m int) plane {
	p := plane{c: -y[1]}
	if m > 2 {
		p.a = -y[2]
	}
	if m > 3 {
		p.b = -y[3]
	}
	return p
}

// entering finds a point outside the two planes: the furthest, or the first.
func (f *frame) entering(r []float64, y [4]float64, m int, first bool) (in column, outside bool) {
	p, worst := planeOf(y, m), -y[0]+agreed
	at, sign := -1, 0.0
	for i := range r {
		d := r[i] - (float64(p.a*f.p[i]) + float64(p.b*f.q[i]) + p.c)
		if s := math.Abs(d); s > worst {
			worst, at, sign = s, i, math.Copysign(1, d)
			if first {
				break
			}
		}
	}
	if at < 0 {
		return column{}, false
	}
	return column{[4]float64{1, sign, float64(sign * f.p[at]), float64(sign * f.q[at])}, float64(-sign * r[at]), at}, true
}

// shaken moves every height a little, each its own way and the same in every run.
func (f *frame) shaken(try int) []float64 {
	size := 0.02 * float64(try) / f.unit // nanometres
	r := make([]float64, len(f.r))
	state := uint64(try)
	for i := range r {
		state = state*6364136223846793005 + 1442695040888963407 // Knuth's MMIX generator
		r[i] = f.r[i] + float64(size*(float64(state>>11)/(1<<53)-0.5))
	}
	return r
}

// solve solves the first n of four equations by elimination with partial
// pivoting. ok is false where they are singular.
func solve(m [4][4]float64, right [4]float64, n int) (x [4]float64, ok bool) {
	for k := range n {
		pivot := k
		for i := k + 1; i < n; i++ {
			if math.Abs(m[i][k]) > math.Abs(m[pivot][k]) {
				pivot = i
			}
		}
		if math.Abs(m[pivot][k]) < 1e-14 {
			return x, false
		}
		m[k], m[pivot] = m[pivot], m[k]
		right[k], right[pivot] = right[pivot], right[k]
		for i := k + 1; i < n; i++ {
			factor := m[i][k] / m[k][k]
			for j := k; j < n; j++ {
				m[i][j] -= float64(factor * m[k][j])
			}
			right[i] -= float64(factor * right[k])
		}
	}
	for k := n - 1; k >= 0; k-- {
		x[k] = right[k]
		for j := k + 1; j < n; j++ {
			x[k] -= float64(m[k][j] * x[j])
		}
		x[k] /= m[k][k]
	}
	return x, true
}
