package checks

import (
	"slices"
	"strings"

	"setline.example/schema"
	"setline.example/schema/length"
)

// mirror turns a record of one visit left for right.
func mirror(rec *schema.Record) {
	for i := range rec.Planned.Rooms {
		room := &rec.Planned.Rooms[i]
		seen := rec.Measured.Visits[0].Rooms[room.Name]
		for j := range room.Elevations {
			e := &room.Elevations[j]
			width := newElevationWidth(rec, e)
			alter(seen.Elevations, e.Name, func(s *schema.ElevationSeen) {
				s.Floor.Front, s.Floor.Back = mirrorLine(s.Floor.Front, width), mirrorLine(s.Floor.Back, width)
				if s.MarkAt != nil {
					*s.MarkAt = width - *s.MarkAt
				}
			})
			mirrorUnits(e)
		}
		for tag := range seen.Cabinets {
			alter(seen.Cabinets, tag, func(c *schema.CabinetSeen) {
				c.Tops = mirrorLengths(c.Tops)
				c.Extension = mirrorLengths(c.Extension)
				b := c.Bearing
				c.Bearing = schema.CornerAnswers{FL: b.FR, FR: b.FL, BL: b.BR, BR: b.BL}
				c.Plumb.Left, c.Plumb.Right = c.Plumb.Right, c.Plumb.Left
			})
		}
		joints := map[string]schema.JointSeen{}
		for name, j := range seen.Joints {
			if j.FrontOffset != nil {
				*j.FrontOffset = -*j.FrontOffset
			}
			if j.TopOffset != nil {
				*j.TopOffset = -*j.TopOffset
			}
			joints[mirroredJoint(name)] = j
		}
		seen.Joints = joints
		rec.Measured.Visits[0].Rooms[room.Name] = seen
	}
}

func newElevationWidth(rec *schema.Record, e *schema.Elevation) length.Length {
	width := length.Length(0)
	for _, u := range e.Units {
		if u.SpaceBefore != nil {
			width += *u.SpaceBefore
		}
		width += rec.Planned.Cabinets[u.Part].Width + rec.Planned.Fillers[u.Part].Width
	}
	return width
}

func mirrorUnits(e *schema.Elevation) {
	e.Left, e.Right = e.Right, e.Left
	spaces := make([]*length.Length, len(e.Units))
	for i, u := range e.Units {
		if u.SpaceBefore != nil {
			spaces[len(e.Units)-i] = u.SpaceBefore
		}
	}
	slices.Reverse(e.Units)
	slices.Reverse(e.Tops)
	for i := range e.Tops {
		e.Tops[i].From, e.Tops[i].To = e.Tops[i].To, e.Tops[i].From
	}
	for i := range e.Units {
		e.Units[i].SpaceBefore = spaces[i]
	}
}

func mirrorLine(l []schema.FloorReading, width length.Length) []schema.FloorReading {
	out := make([]schema.FloorReading, 0, len(l))
	for _, r := range slices.Backward(l) {
		out = append(out, schema.FloorReading{width - r.At(), r.Down()})
	}
	return out
}

func mirrorLengths(c schema.CornerLengths) schema.CornerLengths {
	return schema.CornerLengths{FL: c.FR, FR: c.FL, BL: c.BR, BR: c.BL}
}

func mirroredJoint(name string) string {
	left, right, _ := strings.Cut(name, "+")
	return right + "+" + left
}

// mirroredName gives the name of a result after mirroring.
func mirroredName(k string) string {
	i := strings.LastIndex(k, "/")
	item := k[i+1:]
	switch {
	case strings.HasPrefix(item, "run "):
		left, right, _ := strings.Cut(strings.TrimPrefix(item, "run "), " to ")
		item = "run " + right + " to " + left
	case strings.Contains(item, "+"):
		item = mirroredJoint(item)
	}
	return k[:i+1] + item
}
