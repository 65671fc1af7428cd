package cut

import (
	"math/big"

	"setline.example/schema/length"
)

// Lean is how far a wall leans: Off over the distance Over, above 0 where it
// leans away from the cabinets, so that the opening grows upwards.
type Lean struct{ Off, Over length.Length }

// End is one end of an opening.
type End struct {
	Wall   Lean          // of its wall; not known where Over is not above 0
	Filler bool          // a filler closes it; else a cabinet stands against the wall
	Comes  length.Length // how wide the filler comes, with its scribe
	Height length.Length // of the filler, or where none is of the cabinet, from the floor to the tops
}

// Opening is a clear opening and what is to close it. Heights are the floor,
// half way up and the tops, in that order.
type Opening struct {
	Clear       [3]length.Length
	Units       length.Length // all that stands in it and is not cut
	Left, Right End
}

// Panel is how one filler is cut.
type Panel struct {
	Width [3]Size
	Taper Size             // the width at the tops less that at the floor
	Left  [3]length.Length // scribe left over; below 0 where the filler comes too narrow
	// ToTop is the diagonal from the foot of the straight edge to the top of the
	// cut one; ToFoot that from its top to the foot of the cut one.
	ToTop, ToFoot length.Length
}

// Size is a length, and how it changes with what was read.
type Size struct {
	length.Length
	Weights
}

// By is how the lean of the walls is known.
type By int

// What the widths at the two ends rest on.
const (
	ByNone  By = iota // neither wall was read: with fillers at both ends as if both leaned alike, else as if the other were plumb
	ByLeft            // the wall at the left end was read, the other follows from the openings
	ByRight           // likewise, the other way
	ByBoth            // both were read; what the openings say beyond them goes to each by half
)

// Cuts are the fillers of an opening. Left or Right is nil where no filler is.
type Cuts struct {
	Left, Right *Panel
	By          By
	// Apart is by how much the openings say otherwise than both walls, half way
	// up and at the tops, where both were read.
	Apart [2]Size
}

// cutting is an opening whose fillers are being cut.
type cutting struct {
	Opening
	read        [readings]length.Length
	left, right [3]form // how far each wall lies farther out than at the floor
}

// Cut finds how the fillers of an opening are cut.
//
// With w the distance by which a wall lies farther out at a height than at the
// floor, the opening at that height is the one at the floor and both walls' w.
// A wall that was read has w = off x height / over; the other has what is left.
// Fillers at both ends are as wide as each other at the floor, or as near to
// that as lets both be cut from what comes; a filler at one end reaches to where
// the last cabinet at the other touches its wall.
func (o Opening) Cut() Cuts {
	c, cuts := o.cutting()
	need := c.need()
	switch {
	case o.Left.Filler && o.Right.Filler:
		left := c.share(need)
		cuts.Left = c.panel(left, c.left, o.Left)
		cuts.Right = c.panel(need.minus(left), c.right, o.Right)
	case o.Left.Filler:
		cuts.Left = c.panel(need.plus(1, 1, c.innermost(c.right)), c.left, o.Left)
	case o.Right.Filler:
		cuts.Right = c.panel(need.plus(1, 1, c.innermost(c.left)), c.right, o.Right)
	}
	return cuts
}

// cutting is the opening with its walls, before anything is cut.
func (o Opening) cutting() (c *cutting, cuts Cuts) {
	c = &cutting{Opening: o}
	c.read = [readings]length.Length{o.Clear[0], o.Clear[1], o.Clear[2], o.Units, o.Left.Wall.Off, o.Right.Wall.Off}
	cuts.By = o.by()
	cuts.Apart = c.walls(cuts.By)
	return c, cuts
}

// need is what is to be filled at the floor.
func (c *cutting) need() form { return reading(AtFloor, 1, 1).minus(reading(OfUnits, 1, 1)) }

func (o Opening) by() By {
	switch left, right := o.Left.Wall.Over > 0, o.Right.Wall.Over > 0; {
	case left && right:
		return ByBoth
	case left:
		return ByLeft
	case right:
		return ByRight
	}
	return ByNone
}

// walls finds how far out each wall lies at each height.
func (c *cutting) walls(by By) (apart [2]Size) {
	for i := AtMiddle; i <= AtTop; i++ {
		grown := reading(i, 1, 1).minus(reading(AtFloor, 1, 1))
		left, right := c.lean(LeanLeft, c.Left, i), c.lean(LeanRight, c.Right, i)
		switch by {
		case ByBoth:
			rest := grown.minus(left).minus(right)
			apart[i-1] = c.size(rest)
			left, right = left.plus(1, 2, rest), right.plus(1, 2, rest)
		case ByLeft:
			right = grown.minus(left)
		case ByRight:
			left = grown.minus(right)
		default:
			left, right = c.alike(grown)
		}
		c.left[i], c.right[i] = left, right
	}
	return apart
}

// alike shares what the opening has grown by where neither wall was read.
func (c *cutting) alike(grown form) (left, right form) {
	switch {
	case c.Left.Filler && !c.Right.Filler:
		return grown, right
	case c.Right.Filler && !c.Left.Filler:
		return left, grown
	}
	half := form{}.plus(1, 2, grown)
	return half, half
}

// lean is how far a wall that was read lies farther out at a height, which is
// so many halves of the filler's.
func (c *cutting) lean(which int, e End, halves int) form {
	if e.Wall.Over <= 0 {
		return form{}
	}
	height := c.height(e)
	return form{}.plus(int64(halves), 2, reading(which, height, e.Wall.Over))
}

// height is that of the filler at an end; of an end without one that of the other,
// and where there is none at all its own.
func (c *cutting) height(e End) length.Length {
	switch {
	case e.Filler:
		return e.Height
	case c.Left.Filler:
		return c.Left.Height
	case c.Right.Filler:
		return c.Right.Height
	}
	return e.Height
}

// innermost is where a wall comes farthest in: a cabinet beside it touches there.
func (c *cutting) innermost(wall [3]form) form {
	in := 0
	for i := range wall {
		if wall[i].at(&c.read).Cmp(wall[in].at(&c.read)) < 0 {
			in = i
		}
	}
	return wall[in]
}

// share is how wide the left filler is at the floor: half of what both fill,
// or as near to it as lets both be cut from what comes. Where no share does it
// is half.
func (c *cutting) share(need form) form {
	half := form{}.plus(1, 2, need)
	at := func(f form) *big.Rat { return f.at(&c.read) }
	k := c.bounds(need)
	least, most := k.stands, k.reaches
	if at(k.rightComes).Cmp(at(least)) > 0 {
		least = k.rightComes
	}
	if at(k.leftComes).Cmp(at(most)) < 0 {
		most = k.leftComes
	}
	switch {
	case at(least).Cmp(at(most)) > 0:
	case at(half).Cmp(at(least)) < 0:
		return least
	case at(half).Cmp(at(most)) > 0:
		return most
	}
	return half
}

// bounds are what holds the first cabinet's distance from the left wall at the
// floor. It is no less than
type bounds struct {
	stands     form // lets it stand clear of that wall,
	rightComes form // and the right filler reach; and no more than
	reaches    form // lets the last cabinet stand clear of the right wall,
	leftComes  form // and the left filler reach
}

func (c *cutting) bounds(need form) (k bounds) {
	leftComes, rightComes := fixed(c.Left.Comes), fixed(c.Right.Comes)
	for i := range c.left {
		right := need.plus(1, 1, c.right[i])
		of := bounds{form{}.minus(c.left[i]), right.minus(rightComes), right, leftComes.minus(c.left[i])}
		if i == 0 {
			k = of
			continue
		}
		k.stands, k.rightComes = c.greater(k.stands, of.stands), c.greater(k.rightComes, of.rightComes)
		k.reaches, k.leftComes = c.less(k.reaches, of.reaches), c.less(k.leftComes, of.leftComes)
	}
	return k
}

// greater is the greater of two, the first where they are as great.
func (c *cutting) greater(a, b form) form {
	if b.at(&c.read).Cmp(a.at(&c.read)) > 0 {
		return b
	}
	return a
}

func (c *cutting) less(a, b form) form {
	if b.at(&c.read).Cmp(a.at(&c.read)) < 0 {
		return b
	}
	return a
}

// Lacks returns by how much the cabinets, which stand plumb, are too wide to
// stand between the walls, and by how much the fillers come too narrow for any
// place of the cabinets. Neither lacks anything where it is 0. Walls that lean
// the same way leave less than the clear opening says at any one height.
func (o Opening) Lacks() (room, fillers length.Length) {
	c, _ := o.cutting()
	k := c.bounds(c.need())
	over := func(least, most form) length.Length {
		lacks := least.minus(most)
		by := lacks.at(&c.read)
		if by.Sign() <= 0 {
			return 0
		}
		return max(1, round(by))
	}
	room = over(k.stands, k.reaches)
	if o.Left.Filler {
		fillers = over(k.stands, k.leftComes)
	}
	if o.Right.Filler {
		fillers = max(fillers, over(k.rightComes, k.reaches))
	}
	if o.Left.Filler && o.Right.Filler {
		fillers = max(fillers, over(k.rightComes, k.leftComes))
	}
	return room, fillers
}

// panel is a filler that is so wide at the floor, at a wall.
func (c *cutting) panel(foot form, wall [3]form, e End) *Panel {
	p := new(Panel)
	var width [3]form
	for i := range width {
		width[i] = foot.plus(1, 1, wall[i])
		p.Width[i] = c.size(width[i])
		p.Left[i] = round(new(big.Rat).Sub(new(big.Rat).SetInt64(int64(e.Comes)), width[i].at(&c.read)))
	}
	p.Taper = c.size(width[AtTop].minus(width[AtFloor]))
	height := new(big.Rat).SetInt64(int64(e.Height))
	p.ToTop, p.ToFoot = hypot(width[AtTop].at(&c.read), height), hypot(width[AtFloor].at(&c.read), height)
	return p
}

func (c *cutting) size(f form) Size { return Size{round(f.at(&c.read)), f.weights()} }
