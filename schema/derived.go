package schema

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// JointName is how a record and a report name the joint between two units.
func JointName(left, right string) string { return left + "+" + right }

// RoomOf is the room of a subject as a concession or a change of plan names it,
// such as "S-104/A3". The name of a room has no "/".
func RoomOf(subject string) string {
	room, _, _ := strings.Cut(subject, "/")
	return room
}

// BodyOf returns the cabinet's own body, filled in from what the job's
// cabinets usually have.
func (p *Planned) BodyOf(c Cabinet) Body {
	b := c.Body
	b.Height = cmp.Or(b.Height, p.Usual.Height)
	b.Depth = cmp.Or(b.Depth, p.Usual.Depth)
	b.WidthTolerance = cmp.Or(b.WidthTolerance, p.Usual.WidthTolerance)
	b.Gauge = cmp.Or(b.Gauge, p.Usual.Gauge)
	b.FrontRailDepth = cmp.Or(b.FrontRailDepth, p.Usual.FrontRailDepth)
	b.Leveler = cmp.Or(b.Leveler, p.Usual.Leveler)
	return b
}

// Drawers returns how many drawers the cabinet has.
func (c Cabinet) Drawers() int {
	n := 0
	for _, row := range c.Front {
		n += row.Drawers
	}
	return n
}

// Doors returns how many doors the cabinet has.
func (c Cabinet) Doors() int {
	n := 0
	for _, row := range c.Front {
		n += row.Doors
	}
	return n
}

// FrontNames returns the names of the cabinet's doors and drawers, "drawer 1"
// and so on, from the top down.
func (c Cabinet) FrontNames() []string {
	var names []string
	drawers, doors := 0, 0
	for _, row := range c.Front {
		for range row.Drawers {
			drawers++
			names = append(names, "drawer "+strconv.Itoa(drawers))
		}
		for range row.Doors {
			doors++
			names = append(names, "door "+strconv.Itoa(doors))
		}
	}
	return names
}

// hasFront reports whether name is one of [Cabinet.FrontNames].
func (c Cabinet) hasFront(name string) bool {
	switch kind, number, _ := strings.Cut(name, " "); kind {
	case "drawer":
		return isNumber(number, c.Drawers())
	case "door":
		return isNumber(number, c.Doors())
	}
	return false
}

// isNumber reports whether text is a number from 1 to n, written plainly.
func isNumber(text string, n int) bool {
	i, err := strconv.Atoi(text)
	return err == nil && 1 <= i && i <= n && strconv.Itoa(i) == text
}

// NoDrawer is what a record writes for a drawer slot that stands empty.
const NoDrawer = "none"

// DrawerHome reads what a record says of the drawer in a slot of the unit
// tag: whose cabinet and which slot it belongs to. It returns ok false where
// it cannot be read.
func DrawerHome(tag, text string) (home string, slot int, ok bool) {
	home = tag
	if other, number, found := strings.Cut(text, "/"); found {
		home, text = other, number
	}
	slot, err := strconv.Atoi(text)
	return home, slot, err == nil && slot >= 1 && strconv.Itoa(slot) == text
}

// VisitsInTime returns positions in p.Visits in time order: by date, and in
// the record's own order within a day. What was withdrawn is not among them.
func (m *Measured) VisitsInTime() []int {
	order := make([]int, 0, len(m.Visits))
	for i := range m.Visits {
		if m.Visits[i].Withdrawn == nil {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(m.Visits[a].Date, m.Visits[b].Date)
	})
	return order
}
