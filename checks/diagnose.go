package checks

import "setline.example/checks/say"

// diagnoseLast gives the result just added, where it fails, the ordered
// diagnosis of its cabinet as remedy.
func (b *bench) diagnoseLast(e *elevation, u *unit) {
	r := &b.results[len(b.results)-1]
	if r.Outcome == Fail {
		r.Remedy = b.diagnose(e, say.That("adjust the hinge or slide"), u)
	}
}

// diagnose looks for the cause of a fault of fronts in the order in which the
// trade does: the cabinet is out of level; the building has moved since; only
// then the part itself, for which last says what to do. It goes by the
// readings, and says where there are none.
func (b *bench) diagnose(e *elevation, last say.Text, units ...*unit) say.Text {
	var level, near, moved, unseen, untold []say.Text
	for _, u := range units {
		if u.cabinet == nil {
			continue
		}
		tag := say.Name(u.plan.Tag).Text()
		w := b.weigh()
		unread := b.weighLevel(e, u, w)
		switch w.outcome {
		case Fail:
			t := w.worst
			level = append(level, say.That("%[1]s is out of level %[2]s by %[3]s over %[4]s", tag, t.words, t.value, t.over))
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
			moved = append(moved, say.That("%[1]s since it was first read", most.came()))
		case !known || !tied:
			untold = append(untold, tag)
		}
	}
	switch {
	case len(level) > 0:
		return say.That("1. Level: %[1]s. Level it first; adjusting a front on it hides the fault", say.Semicolons(level...))
	case len(near) > 0:
		return say.That("1. Level: too near its limit to tell for %[1]s. Read it with a finer instrument before anything is adjusted", say.And(near...))
	case len(unseen) > 0:
		return say.That("1. Level: not fully observed for %[1]s. Read it before anything is adjusted", say.And(unseen...))
	case len(moved) > 0:
		return say.That("1. Level: within its limit. 2. Movement: %[1]s. Find out whether the floor or the cabinet moved, and level again, before anything is adjusted", say.Semicolons(moved...))
	case len(untold) > 0:
		return say.That("1. Level: within its limit. 2. Movement: cannot be told for %[1]s, tops were read once. 3. If it has not moved, %[2]s", say.And(untold...), last)
	}
	return say.That("1. Level: within its limit. 2. Movement: none. 3. What is left: %[1]s", last)
}
