package merge

import (
	"slices"
	"strings"
)

// What was decided when copies were merged before is not asked again: a copy that
// keeps a value as one that was not taken decided against it. Of observations the
// corrections tell, of concessions the former ones; this is of all else, which is
// kept as a change of the plan.

// refused are values that were not taken, by where they stood.
type refused map[noted][]string

// noted is where a change of the plan says that something was otherwise.
type noted struct{ of, field string }

// refusedBy are the values that changes of the plan say stood where something else
// does now. A long one is in pieces.
func refusedBy(changes []ownChange) refused {
	all := refused{}
	for _, c := range changes {
		var at noted
		piece := false
		for _, w := range c.What {
			here := noted{w.Of, w.Field}
			if w.Change != "otherwise" {
				piece = false
				continue
			}
			if piece && here == at {
				all[at][len(all[at])-1] += w.Was
			} else {
				all[here] = append(all[here], w.Was)
			}
			at, piece = here, len(w.Was) > longest-4 // cut between two characters
		}
	}
	return all
}

// has reports whether a value was not taken at a place.
func (r refused) has(path []string, n *node) bool {
	at := notedAt(path)
	for _, was := range r[at] {
		if was == "" || n == nil {
			if was == "" && n == nil {
				return true
			}
			continue
		}
		if old, err := parse([]byte(was)); err == nil && same(old, n) || same(textNode(was), n) {
			return true
		}
	}
	return false
}

// before is which of two values was taken when these copies were merged before, 0
// where nobody decided, or each copy otherwise.
func (m *merger) before(path []string, a, b *node) Answer {
	first, second := m.refused[0].has(path, b), m.refused[1].has(path, a)
	switch {
	case first && !second:
		return First
	case second && !first:
		return Second
	}
	return 0
}

// notedAt is where a change of the plan tells of a place.
func notedAt(path []string) noted {
	of, rest := "job", path
	if path[0] == "planned" {
		names, inside := planNames(path)
		of, rest = names[len(names)-1], inside
	}
	if strings.HasPrefix(of, "part ") && len(of) > 200 {
		of = "job"
	}
	return noted{of, cut(strings.Join(rest, " "), 60)}
}

// stays says which of two values a copy keeps on its way through the changes of the
// other, 0 where they decide.
type stays func(path []string, a, b *node) Answer

// keeps is which of two values stays on the way, 0 where nobody is on it.
func (m *merger) keeps(path []string, a, b *node) Answer {
	if m.stays == nil {
		return 0
	}
	return m.stays(path, a, b)
}

// idle are the refused of changes that changed no plan: what they took was always so,
// and makes nothing history that was observed under what they did not take.
func idle(changes []ownChange) refused {
	return refusedBy(slices.DeleteFunc(slices.Clone(changes), func(c ownChange) bool {
		return c.before == nil || !same(c.before, c.after)
	}))
}

// staysSecond is for the second copy: it keeps what the first did not take of it, and
// what stands there already where the first has it otherwise for a while.
func staysSecond(idle, later refused) stays {
	return func(path []string, a, b *node) Answer {
		if idle.has(path, b) || later.has(path, a) {
			return Second
		}
		return 0
	}
}

func staysFirst(idle, later refused) stays {
	second := staysSecond(idle, later)
	return func(path []string, a, b *node) Answer {
		if second(path, b, a) == Second {
			return First
		}
		return 0
	}
}
