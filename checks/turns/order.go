package turns

import (
	"cmp"
	"slices"

	"setline.example/checks/zone"
	"setline.example/schema/length"
)

// A run and its image in a mirror have to have answers that are images too.
// Where several answers are as good, the order of the corners decides; so it
// must not be from left to right, but from the end that the heights name.

// ordered are the corners of a run from one of its ends.
type ordered struct {
	corners []Corner
	at      []int // position in the run of each
}

// fromEitherEnd is the run from the end from which its numbers come first.
func fromEitherEnd(r *Run) ordered {
	left, right := fromLeft(r), fromRight(r)
	if slices.CompareFunc(right.corners, left.corners, compareCorners) < 0 {
		return right
	}
	return left
}

func fromLeft(r *Run) ordered {
	o := ordered{slices.Clone(r.Corners), make([]int, len(r.Corners))}
	for i := range o.at {
		o.at[i] = i
	}
	o.settle()
	return o
}

func fromRight(r *Run) ordered {
	all := slices.Clone(r.Corners)
	for i := range all {
		c := &all[i]
		c.Cabinet, c.Place, c.X = -c.Cabinet, c.Place^1, -c.X
	}
	at := make([]int, len(all))
	for i := range at {
		at[i] = i
	}
	slices.SortFunc(at, func(i, j int) int {
		return cmp.Or(cmp.Compare(all[i].Cabinet, all[j].Cabinet), cmp.Compare(all[i].Place, all[j].Place))
	})
	o := ordered{make([]Corner, len(all)), at}
	for i, from := range at {
		o.corners[i] = all[from]
	}
	o.settle()
	return o
}

// settle counts cabinets and places from the end, and joined corners by their
// new positions.
func (o *ordered) settle() {
	if len(o.corners) == 0 {
		return
	}
	now := make([]int, len(o.at))
	for i, from := range o.at {
		now[from] = i
	}
	end, first := o.corners[0].X, o.corners[0].Cabinet
	for _, c := range o.corners {
		end = min(end, c.X)
	}
	for i := range o.corners {
		c := &o.corners[i]
		c.X -= end
		c.Cabinet -= first
		c.Joined = now[c.Joined]
	}
}

func compareCorners(a, b Corner) int {
	travel := func(c Corner) int {
		if c.Travel {
			return 1
		}
		return 0
	}
	return cmp.Or(
		cmp.Compare(a.H, b.H), cmp.Compare(a.Cabinet, b.Cabinet), cmp.Compare(a.Place, b.Place),
		cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y), cmp.Compare(a.Joined, b.Joined),
		cmp.Compare(a.Step.Num, b.Step.Num), cmp.Compare(a.Step.Den, b.Step.Den),
		cmp.Compare(travel(a), travel(b)), cmp.Compare(a.Down, b.Down), cmp.Compare(a.Up, b.Up),
		cmp.Compare(a.Reserve, b.Reserve),
	)
}

// run is r with its corners in this order.
func (o *ordered) run(r *Run) *Run {
	own := *r
	own.Corners = o.corners
	own.Level = func(i, j int) length.Length { return r.Level(o.at[i], o.at[j]) }
	if r.Guard != nil {
		own.Guard = func(parts []zone.Weight) (length.Length, bool) {
			all := make([]zone.Weight, len(parts))
			for i, p := range parts {
				all[i] = zone.Weight{Point: o.at[p.Point], Weight: p.Weight}
			}
			return r.Guard(all)
		}
	}
	return &own
}

// back gives the answer in the order of the run.
func (o *ordered) back(a Answer) Answer {
	if a.Eighths != nil {
		own := make([]int, len(a.Eighths))
		for i, n := range a.Eighths {
			own[o.at[i]] = n
		}
		a.Eighths = own
	}
	for i, l := range a.Loosen {
		p, q := o.at[l[0]], o.at[l[1]]
		a.Loosen[i] = [2]int{min(p, q), max(p, q)}
	}
	slices.SortFunc(a.Loosen, func(p, q [2]int) int { return cmp.Compare(p[0], q[0]) })
	return a
}
