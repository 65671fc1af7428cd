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
// from its left end, and out from its back.
func (u *unit) place(c corner) (x, y length.Length) {
	x = u.x
	if c.right {
		x += u.width
	}
	if c.front {
		y = *u.body.Depth
	}
	return x, y
}
