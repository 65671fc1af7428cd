package checks

import (
	"math/big"

	"setline.example/checks/rest"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// top is a piece of top as planned, and what is under it.
type top struct {
	plan     *schema.Top
	from, to length.Length // along the elevation
	back     length.Length // of its back edge, as [unit.place] has it: over the back that lies farthest behind
	out      length.Length // of its front edge, likewise
	cabinets []*unit       // that it covers, in whole or in part
	bearings []bearing
}

// bearing is a place that can carry a top: a corner of a cabinet, or a rail
// under an end of the top, between two corners.
type bearing struct {
	unit        *unit
	left, right corner // the same at a corner
	x, y        length.Length
	share       *big.Rat // of the right one in its height; nil at a corner
}

// tops are the pieces of top planned along an elevation, from left to right.
func (e *elevation) tops() []*top {
	if len(e.plan.Tops) == 0 {
		return nil
	}
	stands := make([]schema.Stand, len(e.units))
	for i, u := range e.units {
		stands[i] = schema.Stand{Left: u.x, Right: u.x + u.width}
	}
	all := make([]*top, len(e.plan.Tops))
	for i := range e.plan.Tops {
		t := &top{plan: &e.plan.Tops[i]}
		t.from, t.to, _, _ = t.plan.Span(e.plan, stands)
		t.cover(e)
		all[i] = t
	}
	return all
}

// cover finds what is under a piece. A cabinet that it only meets carries nothing.
func (t *top) cover(e *elevation) {
	cabinets := cabinetsOf(e.units)
	t.cabinets = make([]*unit, 0, len(cabinets))
	t.bearings = make([]bearing, 0, len(corners)*len(cabinets))
	for _, u := range cabinets {
		if u.x >= t.to || u.x+u.width <= t.from {
			continue
		}
		if len(t.cabinets) == 0 || u.behind < t.back {
			t.back = u.behind
		}
		t.cabinets, t.out = append(t.cabinets, u), e.depth
		for _, c := range corners {
			if x, y := u.place(c); t.from <= x && x <= t.to {
				t.bearings = append(t.bearings, bearing{unit: u, left: c, right: c, x: x, y: y})
			}
		}
		for _, end := range [2]length.Length{t.from, t.to} {
			if u.x < end && end < u.x+u.width {
				t.bearings = append(t.bearings, u.rail(corners[0], corners[1], end), u.rail(corners[2], corners[3], end))
			}
		}
	}
	if t.plan.Overhang != nil {
		t.out += *t.plan.Overhang
	}
}

// rail is the place on a cabinet's rail from one corner to the next that is so
// far along the elevation.
func (u *unit) rail(left, right corner, at length.Length) bearing {
	_, y := u.place(left)
	return bearing{u, left, right, at, y, big.NewRat(int64(at-u.x), int64(u.width))}
}

// words name a piece: "top A1 to A3".
func (t *top) words() say.Text {
	return say.That("top %[1]s to %[2]s", t.end(t.plan.From, t.from), t.end(t.plan.To, t.to))
}

// end is a tag, or a length in the reader's units.
func (t *top) end(planned string, at length.Length) say.Text {
	if _, err := length.Parse(planned); err == nil {
		return say.That("%[1]s", at)
	}
	return say.Name(planned).Text()
}

func (b *bearing) words() say.Text {
	switch {
	case b.share == nil:
		return cornerWords(b.unit, b.left.word)
	case b.left.front:
		return say.That("%[1]s front rail at %[2]s", say.Name(b.unit.plan.Tag), b.x)
	}
	return say.That("%[1]s back rail at %[2]s", say.Name(b.unit.plan.Tag), b.x)
}

// centre is the centre of gravity of pieces of the same thickness, from their
// outlines.
func centre(pieces ...*top) rest.Centre {
	if len(pieces) == 1 && pieces[0].to > pieces[0].from && pieces[0].out > pieces[0].back {
		t := pieces[0]
		return rest.Centre{X: middle(t.from, t.to), Y: middle(t.back, t.out)}
	}
	area, x, y := new(big.Rat), new(big.Rat), new(big.Rat)
	for _, t := range pieces {
		part := new(big.Rat).Mul(exactly(t.to-t.from), exactly(t.out-t.back))
		area.Add(area, part)
		x.Add(x, new(big.Rat).Mul(part, middle(t.from, t.to)))
		y.Add(y, new(big.Rat).Mul(part, middle(t.back, t.out)))
	}
	if area.Sign() == 0 {
		return rest.Centre{X: x, Y: y} // on no cabinet, and nothing stands out
	}
	return rest.Centre{X: x.Quo(x, area), Y: y.Quo(y, area)}
}

func exactly(l length.Length) *big.Rat { return new(big.Rat).SetInt64(int64(l)) }

func middle(a, b length.Length) *big.Rat {
	sum := new(big.Rat).Add(exactly(a), exactly(b))
	return sum.Mul(sum, big.NewRat(1, 2))
}

// heights are top corners that were read, from one line.
type heights struct {
	all    []point
	byName map[string]point
}

// topHeights are the heights under planned tops, and what of them is not known.
func (e *elevation) topHeights(tops []*top) (h *heights, unseen []say.Text) {
	var cabinets []*unit
	for _, t := range tops {
		for _, u := range t.cabinets {
			if n := len(cabinets); n == 0 || cabinets[n-1] != u {
				cabinets = append(cabinets, u)
			}
		}
	}
	groups, unseen := runPoints(e, cabinets)
	if len(unseen) > 0 || len(cabinets) == 0 {
		return nil, unseen
	}
	h = &heights{groups[0], map[string]point{}}
	for _, p := range groups[0] {
		h.byName[p.name] = p
	}
	return h, nil
}

// up is how high a place is.
func (b *bearing) up(h *heights) *big.Rat {
	name := b.unit.plan.Tag + " "
	left := exactly(h.byName[name+b.left.key].down)
	if b.share != nil {
		fall := new(big.Rat).Sub(exactly(h.byName[name+b.right.key].down), left)
		left.Add(left, fall.Mul(fall, b.share))
	}
	return left.Neg(left)
}

// restOn is how a stiff plate with a centre of gravity rests on places.
func restOn(c rest.Centre, places []bearing, h *heights) rest.Rest {
	supports := make([]rest.Support, len(places))
	for i := range places {
		supports[i] = rest.Support{X: places[i].x, Y: places[i].y, Z: places[i].up(h)}
	}
	return rest.Of(c, supports)
}

// stands is how a piece stands whatever the heights are: whether it tips, or
// stands on an edge, is told by the plan alone.
func (t *top) stands() rest.State {
	level := new(big.Rat)
	supports := make([]rest.Support, len(t.bearings))
	for i, b := range t.bearings {
		supports[i] = rest.Support{X: b.x, Y: b.y, Z: level}
	}
	return rest.Stands(centre(t), supports)
}

// parts are the readings that a place's height is made of.
func (b *bearing) parts(h *heights, weight float64) []part {
	name := b.unit.plan.Tag + " "
	if b.share == nil {
		return []part{{h.byName[name+b.left.key], weight}}
	}
	share, _ := b.share.Float64()
	return []part{
		{h.byName[name+b.left.key], float64(weight * (1 - share))},
		{h.byName[name+b.right.key], float64(weight * share)},
	}
}
