package checks

import (
	"setline.example/schema"
	"setline.example/schema/length"
)

// corner is one of the four corners of a cabinet.
type corner struct {
	key, word    string
	front, right bool
	bearing      func(*schema.CabinetSeen) *bool
	top          func(*schema.CabinetSeen) *length.Length
	extension    func(*schema.CabinetSeen) *length.Length
	packing      func(*schema.CabinetSeen) *length.Length
}

type seenCabinet = schema.CabinetSeen

// corners are always in this order: front-left, front-right, back-left, back-right.
var corners = [...]corner{
	{"FL", "front-left", true, false,
		func(c *seenCabinet) *bool { return c.Bearing.FL },
		func(c *seenCabinet) *length.Length { return c.Tops.FL },
		func(c *seenCabinet) *length.Length { return c.Extension.FL },
		func(c *seenCabinet) *length.Length { return c.Packing.FL }},
	{"FR", "front-right", true, true,
		func(c *seenCabinet) *bool { return c.Bearing.FR },
		func(c *seenCabinet) *length.Length { return c.Tops.FR },
		func(c *seenCabinet) *length.Length { return c.Extension.FR },
		func(c *seenCabinet) *length.Length { return c.Packing.FR }},
	{"BL", "back-left", false, false,
		func(c *seenCabinet) *bool { return c.Bearing.BL },
		func(c *seenCabinet) *length.Length { return c.Tops.BL },
		func(c *seenCabinet) *length.Length { return c.Extension.BL },
		func(c *seenCabinet) *length.Length { return c.Packing.BL }},
	{"BR", "back-right", false, true,
		func(c *seenCabinet) *bool { return c.Bearing.BR },
		func(c *seenCabinet) *length.Length { return c.Tops.BR },
		func(c *seenCabinet) *length.Length { return c.Extension.BR },
		func(c *seenCabinet) *length.Length { return c.Packing.BR }},
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
