package checks

import (
	"fmt"
	"math"

	"setline.example/schema/length"
)

// closure is what an elevation puts into its clear opening.
type closure struct {
	fixed     length.Length // cabinets and spaces
	available length.Length // fillers as they come, with scribe
	worst     length.Length // sum of the cabinets' width tolerances
	likely    length.Length // their root sum of squares
	tolerated bool          // every cabinet has one
}

func (e *elevation) closure() closure {
	c := closure{tolerated: true}
	var squares float64
	for _, u := range e.units {
		if u.plan.SpaceBefore != nil {
			c.fixed += *u.plan.SpaceBefore
		}
		if u.filler != nil {
			c.available += u.filler.Width
			if u.filler.Scribe != nil {
				c.available += *u.filler.Scribe
			}
			continue
		}
		c.fixed += u.width
		if t := u.body.WidthTolerance; t != nil {
			c.worst += *t
			squares += float64(*t) * float64(*t)
		} else {
			c.tolerated = false
		}
	}
	c.likely = nearest(math.Sqrt(squares))
	return c
}

// fillersAt counts the fillers at the left and at the right end.
func (e *elevation) fillersAt() (left, right *unit) {
	if u := e.units[0]; u.filler != nil {
		left = u
	}
	if u := e.units[len(e.units)-1]; u.filler != nil && u != left {
		right = u
	}
	return left, right
}

// split says how wide the fillers at the two ends become when both are cut
// alike.
func (b *bench) split(e *elevation, least, most length.Length) string {
	left, right := e.fillersAt()
	between := func(a, c length.Length) string {
		if a == c {
			return b.write(a)
		}
		return b.write(a) + " to " + b.write(c)
	}
	switch {
	case left != nil && right != nil:
		return fmt.Sprintf("; cut alike, left (%s) and right (%s) each %s", left.plan.Tag, right.plan.Tag, between(least/2, most/2))
	case left != nil:
		return fmt.Sprintf("; left (%s) %s", left.plan.Tag, between(least, most))
	case right != nil:
		return fmt.Sprintf("; right (%s) %s", right.plan.Tag, between(least, most))
	}
	return ""
}

// accumulation says what the cabinets' width tolerances can add up to.
func (b *bench) accumulation(e *elevation, c closure) string {
	if !c.tolerated || c.worst == 0 {
		return ""
	}
	return fmt.Sprintf("; widths can add up to ± %s at worst, ± %s as root sum of squares", b.write(c.worst), b.write(c.likely))
}
