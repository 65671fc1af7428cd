package merge

import (
	"fmt"
	"slices"
	"strings"

	"setline.example/schema"
)

// trail says of a place whether the first or the second copy alone says why it
// is otherwise than it was.
type trail func(path []string) (first, second bool)

func (m *merger) touched(path []string) (first, second bool) {
	if m.trail == nil {
		return false, false
	}
	return m.trail(path)
}

// plannedTrail goes by the changes of the plan that one copy alone has.
func plannedTrail(first, second []ownChange) trail {
	a, b := whatOf(first), whatOf(second)
	return func(path []string) (bool, bool) { return replanned(a, path), replanned(b, path) }
}

func whatOf(changes []ownChange) (what []schema.Replanned) {
	for _, c := range changes {
		what = append(what, c.What...)
	}
	return what
}

// replanned reports whether changes of the plan are of a place.
func replanned(what []schema.Replanned, path []string) bool {
	of, rest := planNames(path)
	return slices.ContainsFunc(what, func(c schema.Replanned) bool {
		i := slices.Index(of, c.Of)
		inside := slices.Equal(rest, []string{"order"})
		switch {
		case inside: // of units that came, went or moved
			room, _, _ := strings.Cut(of[0], "/")
			return c.Change != "otherwise" && strings.HasPrefix(c.Of, room+"/")
		case i < 0:
			return false
		case i < len(of)-1 || len(rest) == 0:
			return c.Change != "otherwise" || len(rest) == 0 && c.Field == ""
		case c.Change == "new":
			return true
		}
		return c.Change == "otherwise" && fieldIs(c.Field, rest)
	})
}

// planNames are the names by which changes of the plan call what a path leads
// to, the outermost first, and the rest of the path.
func planNames(path []string) (of, rest []string) {
	part := func(i int) string {
		if i < len(path) {
			return path[i]
		}
		return ""
	}
	switch part(1) {
	case "rooms":
		of, rest = []string{part(2)}, path[min(3, len(path)):]
		if part(3) == "elevations" {
			of, rest = append(of, part(2)+"/"+part(4)), path[min(5, len(path)):]
		}
		if part(5) == "units" && len(path) > 6 && part(6) != "order" {
			of, rest = append(of, part(2)+"/"+part(6)), path[7:]
		} else if part(5) == "units" && part(6) == "order" {
			rest = path[6:]
		}
		return of, rest
	case "cabinets", "fillers":
		return []string{"part " + part(2)}, path[min(3, len(path)):]
	case "instruments":
		return []string{fmt.Sprintf("instrument %q", part(2))}, path[min(3, len(path)):]
	case "fasteners":
		return []string{fmt.Sprintf("screw %q", part(2))}, path[min(3, len(path)):]
	case "limits":
		return []string{"job"}, []string{"limit of " + part(2)}
	}
	return []string{"job"}, path[1:]
}

// fieldIs reports whether a change of a field is of a path: "leveler least" is of
// leveler/least, "lengths" of lengths_in.
func fieldIs(field string, rest []string) bool {
	if field == "" {
		return true
	}
	last := strings.ReplaceAll(rest[len(rest)-1], "_", " ")
	first := strings.ReplaceAll(rest[0], "_", " ")
	return first == field || last == field || strings.HasPrefix(last, strings.TrimPrefix(field, "leveler "))
}

// correctedTrail goes by the corrections of a visit that one copy alone has. n
// steps lead to the visit.
func correctedTrail(a, b *node, n int) trail {
	x, y := onlyCorrections(a, b), onlyCorrections(b, a)
	of := func(at []string, path []string) bool {
		ways := []string{schema.Pointer("", anyOf(path[n:])...)}
		return slices.ContainsFunc(at, func(way string) bool {
			return slices.ContainsFunc(ways, func(w string) bool { return within(w, way) || within(way, w) })
		})
	}
	return func(path []string) (bool, bool) { return of(x, path), of(y, path) }
}

// within reports whether a pointer leads into what another leads to, or to it.
func within(inner, outer string) bool {
	rest, ok := strings.CutPrefix(inner, outer)
	return ok && (rest == "" || rest[0] == '/')
}

func anyOf(steps []string) []any {
	out := make([]any, len(steps))
	for i, s := range steps {
		out[i] = s
	}
	return out
}

// onlyCorrections are the places of the corrections that another copy has not, or
// not so often. Where both have the same words and another value, both have one of
// their own.
func onlyCorrections(n, other *node) (at []string) {
	mine, others := n.member("corrections").elements(), other.member("corrections").elements()
	more, less := correctedAt(moreThan(mine, others)), correctedAt(moreThan(others, mine))
	for _, way := range correctedAt(mine) {
		alike := n.at(schema.Steps(way)...).value() == other.at(schema.Steps(way)...).value()
		if slices.Contains(more, way) || !alike && !slices.Contains(less, way) {
			at = append(at, way)
		}
	}
	return at
}

// correctedAt are the places that corrections are of.
func correctedAt(corrections []*node) (at []string) {
	for _, c := range corrections {
		at = append(at, c.member("at").word())
	}
	return at
}
