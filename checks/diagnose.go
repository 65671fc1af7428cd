package checks

import (
	"fmt"
	"strings"
)

// diagnoseLast gives the result just added, where it fails, the ordered
// diagnosis of its cabinet as remedy.
func (b *bench) diagnoseLast(e *elevation, u *unit) {
	r := &b.results[len(b.results)-1]
	if r.Outcome == Fail {
		r.Remedy = b.diagnose(e, "adjust the hinge or slide", u)
	}
}

// diagnose looks for the cause of a fault of fronts in the order in which the
// trade does: the cabinet is out of level; the building has moved since; only
// then the part itself, for which last says what to do. It goes by the
// readings, and says where there are none.
func (b *bench) diagnose(e *elevation, last string, units ...*unit) string {
	var level, near, moved, unseen, untold []string
	for _, u := range units {
		if u.cabinet == nil {
			continue
		}
		tag := u.plan.Tag
		w := b.weigh()
		unread := b.weighLevel(e, u, w)
		switch w.outcome {
		case Fail:
			t := w.worst
			level = append(level, fmt.Sprintf("%s is out of level %s by %s over %s", tag, t.words, b.write(t.value), b.write(t.over)))
			continue
		case Undecided:
			near = append(near, tag)
			continue
		}
		if len(unread) > 0 {
			unseen = append(unseen, tag)
		}
		all, tied := b.unitChanges(e, u)
		switch most, known := mostMoved(all); {
		case known && most.moved():
			moved = append(moved, fmt.Sprintf("%s came %s by %s since it was first read", most.name, upOrDown(most.up), b.write(most.up.Abs())))
		case !known || !tied:
			untold = append(untold, tag)
		}
	}
	switch {
	case len(level) > 0:
		return fmt.Sprintf("1. Level: %s. Level it first; adjusting a front on it hides the fault", strings.Join(level, "; "))
	case len(near) > 0:
		return fmt.Sprintf("1. Level: too near its limit to tell for %s. Read it with a finer instrument before anything is adjusted", listed(near))
	case len(unseen) > 0:
		return fmt.Sprintf("1. Level: not fully observed for %s. Read it before anything is adjusted", listed(unseen))
	case len(moved) > 0:
		return fmt.Sprintf("1. Level: within its limit. 2. Movement: %s. Find out whether the floor or the cabinet moved, and level again, before anything is adjusted", strings.Join(moved, "; "))
	case len(untold) > 0:
		return fmt.Sprintf("1. Level: within its limit. 2. Movement: cannot be told for %s, tops were read once. 3. If it has not moved, %s", listed(untold), last)
	}
	return fmt.Sprintf("1. Level: within its limit. 2. Movement: none. 3. What is left: %s", last)
}
