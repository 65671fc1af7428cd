package merge

import (
	"cmp"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"setline.example/schema"
)

// sighting is a visit of a copy, and what it saw when it was entered.
type sighting struct {
	node    *node
	date    string
	people  string
	leaves  map[string]*node // values by their places
	places  []string         // in order
	entered int
}

func newSighting(n *node) *sighting {
	s := &sighting{node: n, entered: n.member("entered").number(), leaves: map[string]*node{}}
	then := asEntered(n)
	s.date = then.member("date").word()
	for _, p := range then.member("people").elements() {
		s.people += p.member("name").word() + "\n"
	}
	for _, part := range []string{"rooms", "former"} { // what is history now was seen with the rest
		for i, room := range then.member(part).names0() {
			s.collect("/"+room, then.member(part).kids[i])
		}
	}
	s.places = slices.Sorted(maps.Keys(s.leaves))
	return s
}

// names0 are the names of an object's members, none of nothing.
func (n *node) names0() []string {
	if n == nil {
		return nil
	}
	return n.names
}

// collect notes the values of what was seen. Photographs and remarks may be added
// to a visit later, and a change of the plan adds exceptions to what is said of all.
func (s *sighting) collect(at string, n *node) {
	switch {
	case n.kind == '{':
		for i, name := range n.names {
			switch name {
			case "photos", "remarks", "remark", "except":
				continue
			}
			s.collect(at+"/"+name, n.kids[i])
		}
	case n.kind == '[' && strings.HasSuffix(at, "/all"):
		for _, kid := range n.kids {
			s.leaves[at+"/"+kid.member("of").word()] = kid.member("answer")
		}
	case n.kind == '[' && (strings.HasSuffix(at, "/floor/front") || strings.HasSuffix(at, "/floor/back")):
		for _, kid := range n.kids {
			s.leaves[at+"/"+lengthOf(kid.at("0"))] = kid.at("1")
		}
	default:
		s.leaves[at] = n
	}
}

// asEntered is a visit without its corrections.
func asEntered(n *node) *node {
	corrections := slices.Clone(n.member("corrections").elements())
	slices.SortStableFunc(corrections, func(a, b *node) int {
		return cmp.Compare(b.member("entered").number(), a.member("entered").number())
	})
	for _, c := range corrections {
		n = n.put(schema.Steps(c.member("at").word()), c.member("was"))
	}
	return n
}

// agree counts the places that two visits saw, and of how many they say the same.
func agree(a, b *sighting) (both, alike int) {
	for _, at := range a.places {
		if other, ok := b.leaves[at]; ok {
			both++
			if same(other, a.leaves[at]) {
				alike++
			}
		}
	}
	return both, alike
}

// sameVisit reports whether two visits are copies of one: by the same people on
// the same day, and one saw all that the other saw, or they were entered at the
// same place and say the same of most.
func sameVisit(a, b *sighting) bool {
	if a.date != b.date || a.people != b.people {
		return false
	}
	both, alike := agree(a, b)
	least := min(len(a.leaves), len(b.leaves))
	if least == 0 {
		return len(a.leaves) == len(b.leaves) || a.entered == b.entered && a.entered > 0
	}
	return alike == least || a.entered == b.entered && both > 0 && 2*alike >= both
}

// visits merges visits: those that both copies have value by value. What the
// second alone has comes last of its day; where it and a visit of the first on
// that day contradict each other, it is asked which was later.
func (m *merger) visits(path []string, a, b, base *node) *node {
	var first, second, old []*sighting
	for _, n := range a.kids {
		first = append(first, newSighting(n))
	}
	for _, n := range b.kids {
		second = append(second, newSighting(n))
	}
	for _, n := range base.elements() {
		old = append(old, newSighting(n))
	}
	pairs, _ := paired(second, first)
	bases, _ := paired(first, old)
	m.fresh = map[int]bool{}
	out := &node{kind: '[', kids: slices.Clone(a.kids)}
	of := map[int]int{} // positions in out of the second's
	for j := range second {
		i, ok := pairs[j]
		if !ok {
			continue
		}
		of[j] = i
		var z *node
		if k, ok := bases[i]; ok {
			z = old[k].node
		}
		out.kids[i] = m.visit(with(path, visitName(first, i)), first[i].node, second[j].node, z)
	}
	common := map[int]bool{}
	for _, i := range pairs {
		common[i] = true
	}
	var before []int // for what is inserted
	for j, s := range second {
		if _, ok := of[j]; ok {
			continue
		}
		m.added(with(path, visitName(second, j)))
		m.fresh[j] = true
		at := m.place(path, first, common, s)
		of[j] = at
		before = append(before, j)
	}
	return m.inserted(out, second, of, before)
}

// place is before which visit of the first one of the second comes.
func (m *merger) place(path []string, first []*sighting, common map[int]bool, s *sighting) int {
	at := len(first)
	for i, f := range first {
		if common[i] || f.date != s.date || f.node.member("withdrawn") != nil || s.node.member("withdrawn") != nil {
			continue
		}
		if where := disagree(f, s); where != "" {
			_, answer := m.contradiction(with(path, visitName(first, i), "later"), f.leaves[where], s.leaves[where], nil, false,
				"of "+strings.TrimPrefix(where, "/")+"; which of the two visits of that day was later, since it counts")
			if answer == First {
				at = min(at, i)
			}
		}
	}
	return at
}

// saidOf is in which fields that stands which can be said of all.
var saidOf = map[string][]string{
	"labels": {"label"}, "bearing": {"bearing"}, "fastened": {"fastened", "fastening"}, "in_sight": {"in_sight"},
	"held_from": {"held_from"}, "top_on": {"top_on"}, "comes_off": {"comes_off"}, "alignment": {"alignment"}, "works": {"works"}, "drawers": {"drawers"},
}

// disagree is the first place of which two visits say different things, "" where
// there is none. Of what one said of all the other may have said something by
// itself.
func disagree(a, b *sighting) string {
	var found []string
	for _, at := range a.places {
		if other, ok := b.leaves[at]; ok && !same(other, a.leaves[at]) {
			found = append(found, at)
		}
	}
	for _, pair := range [][2]*sighting{{a, b}, {b, a}} {
		for _, at := range pair[0].places {
			room, said, ok := strings.Cut(at, "/all/")
			room, _, _ = strings.Cut(room, "/elevations/")
			if !ok {
				continue
			}
			for _, other := range pair[1].places {
				steps := strings.Split(strings.TrimPrefix(other, room+"/"), "/")
				if strings.HasPrefix(other, room+"/") && len(steps) > 2 && steps[0] != "elevations" && slices.Contains(saidOf[said], steps[2]) {
					found = append(found, other)
				}
			}
		}
	}
	if len(found) == 0 {
		return ""
	}
	return slices.Min(found)
}

// inserted puts visits of the second between those of the first. of says before
// which, and is told where each is.
func (m *merger) inserted(out *node, second []*sighting, of map[int]int, added []int) *node {
	all := &node{kind: '['}
	at := map[int]int{} // where a visit of the first is now
	m.at = at
	for i := 0; i <= len(out.kids); i++ {
		for _, j := range added {
			if of[j] == i {
				m.out.Visits[j] = len(all.kids)
				all.kids = append(all.kids, m.entry(second[j].node))
			}
		}
		if i < len(out.kids) {
			at[i] = len(all.kids)
			all.kids = append(all.kids, out.kids[i])
		}
	}
	for j := range second {
		if !slices.Contains(added, j) {
			m.out.Visits[j] = at[of[j]]
		}
	}
	return all
}

// paired finds for visits of one list the same of another, each once: first those
// that were entered at the same place.
func paired(list, other []*sighting) (of map[int]int, taken map[int]bool) {
	of, taken = map[int]int{}, map[int]bool{}
	for _, atSame := range []bool{true, false} {
		for j, s := range list {
			if _, done := of[j]; done {
				continue
			}
			for i, o := range other {
				if !taken[i] && (!atSame || s.entered == o.entered) && sameVisit(s, o) {
					of[j], taken[i] = i, true
					break
				}
			}
		}
	}
	return of, taken
}

// visitName names a visit by its day, and where a copy has several by their number.
func visitName(all []*sighting, i int) string {
	n, k := 0, 0
	for j, s := range all {
		if s.date == all[i].date {
			n++
			if j <= i {
				k++
			}
		}
	}
	if n == 1 {
		return all[i].date
	}
	return all[i].date + " (" + strconv.Itoa(k) + ")"
}

// withoutUndone is a visit without a withdrawal that the other copy undid. It may
// have been undone and said again in the same words: the other has to have undone
// it more often.
func withoutUndone(n, other *node) *node {
	said := n.member("withdrawn")
	if said != nil && len(undone(other, said)) > len(undone(n, said)) {
		return n.with("withdrawn", nil)
	}
	return n
}

// undone are the positions, among what was undone of a visit, of a withdrawal in
// the same words.
func undone(n, said *node) (at []int) {
	for i, u := range n.member("undone").elements() {
		if same(u.member("withdrawn"), said) {
			at = append(at, i)
		}
	}
	return at
}

// placed is a merged visit in which a withdrawal of the first copy, that the second
// undid, keeps the place in the order of entry that the first gave it.
func placed(out, first *node) *node {
	said := first.member("withdrawn")
	at := undone(out, said)
	if k := len(undone(first, said)); said != nil && k < len(at) {
		return out.put([]string{"undone", strconv.Itoa(at[k]), "withdrawn"}, said)
	}
	return out
}

// visit merges a visit that both copies have.
func (m *merger) visit(path []string, a, b, base *node) *node {
	if same(a, b) {
		return a
	}
	first := a
	a, b, base = withoutUndone(a, b), withoutUndone(b, a), withoutUndone(withoutUndone(base, a), b)
	m.trail = correctedTrail(a, b, len(path))
	m.mended = nil
	out := m.parts(reflect.TypeFor[schema.Visit](), path, a, b, base)
	m.trail = nil
	if a != first {
		out = placed(out, first)
	}
	for _, w := range m.mended {
		all := &node{kind: '['}
		if old := out.member("corrections"); old != nil {
			all.kids = slices.Clone(old.kids)
		}
		for _, was := range w.was {
			all.kids = append(all.kids, m.decision("at", textNode(w.at), "was", was))
		}
		out = out.with("corrections", all)
	}
	return out
}

func (s *sighting) String() string { return fmt.Sprint(s.date, " ", s.people) }
