package checks

import (
	"setline.example/checks/say"
	"setline.example/schema/length"
)

// corner is one of the four corners of a cabinet.
type corner struct {
	key          string
	word         say.Words
	front, right bool
}

// corners are always in this order: front-left, front-right, back-left, back-right.
var corners = [...]corner{
	{"FL", "front-left", true, false},
	{"FR", "front-right", true, true},
	{"BL", "back-left", false, false},
	{"BR", "back-right", false, true},
}

// place gives where a corner of a cabinet stands in plan: along the elevation
// from its left end, and out from the back of the deepest cabinet, where the back
// line of the floor runs. The front line runs under the fronts, which are flush
// whatever stands behind them.
func (u *unit) place(c corner) (x, y length.Length) {
	x = u.x
	if c.right {
		x += u.width
	}
	y = u.behind
	if c.front {
		y += *u.body.Depth
	}
	return x, y
}
