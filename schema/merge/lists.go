package merge

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"setline.example/schema"
	"setline.example/schema/length"
)

// keys tell elements of a list from their neighbours.
var keys = map[reflect.Type]func(*node) string{
	reflect.TypeFor[schema.Room]():         named("name"),
	reflect.TypeFor[schema.Elevation]():    named("name"),
	reflect.TypeFor[schema.Unit]():         named("tag"),
	reflect.TypeFor[schema.Party]():        named("name"),
	reflect.TypeFor[schema.SaidOfAll]():    named("of"),
	reflect.TypeFor[schema.Concession]():   named("rule", "subject"),
	reflect.TypeFor[schema.OpenItem]():     named("room", "what"),
	reflect.TypeFor[schema.Reinspection](): named("room", "date"),
	reflect.TypeFor[schema.Photo]():        named("sha256", "of"),
	reflect.TypeFor[schema.PlanChange]():   func(n *node) string { return n.with("before", nil).value() },
	reflect.TypeFor[schema.Correction]():   (*node).value,
	reflect.TypeFor[schema.Undone]():       (*node).value,
}

func named(members ...string) func(*node) string {
	return func(n *node) string {
		words := make([]string, len(members))
		for i, name := range members {
			words[i] = strings.ToLower(n.member(name).word())
			if name != "sha256" {
				words[i] = n.member(name).word()
			}
		}
		return strings.Join(slices.DeleteFunc(words, func(s string) bool { return s == "" }), ", ")
	}
}

// lists merges two lists.
func (m *merger) lists(elem reflect.Type, path []string, a, b, base *node) *node {
	elem = indirect(elem)
	switch key := keys[elem]; {
	case elem == reflect.TypeFor[schema.Visit]():
		return m.visits(path, a, b, base)
	case elem == reflect.TypeFor[schema.Receipt]():
		return m.receipts(path, a, b)
	case elem.Kind() == reflect.String, strings.HasPrefix(path[len(path)-1], "former_"):
		return union(a, b)
	case key != nil:
		return m.keyed(elem, path, a, b, base, key)
	case len(a.kids) == len(b.kids):
		out := &node{kind: '[', kids: slices.Clone(a.kids)}
		for i := range a.kids {
			out.kids[i] = m.merge(elem, with(path, strconv.Itoa(i)), a.kids[i], b.kids[i], base.at(strconv.Itoa(i)))
		}
		return out
	}
	return m.settle(path, a, b, base)
}

// union is the first list and what else the second has. What one of them has
// twice was said twice.
func union(a, b *node) *node {
	out := &node{kind: '[', kids: slices.Clone(a.kids)}
	out.kids = append(out.kids, moreThan(b.kids, a.kids)...)
	return out
}

// moreThan are the elements of a list that another has not, or not so often: the
// same words again are another entry.
func moreThan(list, other []*node) (more []*node) {
	left := map[string]int{}
	for _, kid := range other {
		left[kid.value()]++
	}
	for _, kid := range list {
		if left[kid.value()]--; left[kid.value()] < 0 {
			more = append(more, kid)
		}
	}
	return more
}

// table is a list by its keys.
type table struct {
	order []string
	by    map[string]*node
}

// newTable numbers those of one key that it has twice.
func newTable(n *node, key func(*node) string) table {
	t := table{by: map[string]*node{}}
	for _, kid := range n.elements() {
		name := key(kid)
		for k := 2; t.by[name] != nil; k++ {
			name = fmt.Sprintf("%s (%d)", key(kid), k)
		}
		t.order = append(t.order, name)
		t.by[name] = kid
	}
	return t
}

func (m *merger) keyed(elem reflect.Type, path []string, a, b, base *node, key func(*node) string) *node {
	x, y, z := newTable(a, key), newTable(b, key), newTable(base, key)
	got := map[string]*node{}
	for _, name := range slices.Concat(x.order, y.order) {
		if _, done := got[name]; done {
			continue
		}
		if got[name] = x.by[name]; elem == reflect.TypeFor[schema.PlanChange]() && got[name] != nil {
			continue // it is the same, but for the way back to the plan before it
		}
		got[name] = m.merge(elem, with(path, stepOf(elem, x.by[name], y.by[name], name)), x.by[name], y.by[name], z.by[name])
	}
	stays := func(t table) []string {
		return slices.DeleteFunc(slices.Clone(t.order), func(name string) bool { return got[name] == nil })
	}
	out := &node{kind: '['}
	for _, name := range m.order(elem, path, stays(x), stays(y), stays(z)) {
		n := got[name]
		if x.by[name] == nil && elem == reflect.TypeFor[schema.PlanChange]() {
			n = m.entry(y.by[name])
		}
		out.kids = append(out.kids, n)
	}
	return out
}

// stepOf is how an element is called: what is long is called by its first words.
func stepOf(elem reflect.Type, a, b *node, name string) string {
	n := a
	if n == nil {
		n = b
	}
	switch elem {
	case reflect.TypeFor[schema.PlanChange](), reflect.TypeFor[schema.Correction](), reflect.TypeFor[schema.Undone]():
		return strings.TrimSpace(n.member("date").word() + " " + n.member("at").word())
	case reflect.TypeFor[schema.Photo]():
		return n.member("file").word()
	}
	return name
}

// order merges the orders of two lists. Of rooms and elevations it is that in
// which somebody walks; of units it is where they stand.
func (m *merger) order(elem reflect.Type, path, a, b, base []string) []string {
	units := elem == reflect.TypeFor[schema.Unit]()
	inA, inB := common(a, b), common(b, a)
	if !slices.Equal(inA, inB) && units {
		first, second := m.touched(with(path, "order"))
		stays := m.keeps(with(path, "order"), words(a), words(b))
		switch {
		case stays == First:
		case stays == Second:
			a, b = b, a
		case second && !first, !first && slices.Equal(common(base, inA), inA) && len(base) > 0:
			a, b = b, a
		case first && !second, slices.Equal(common(base, inB), inB) && len(base) > 0:
		case m.before(with(path, "order"), words(a), words(b)) == First:
		case m.before(with(path, "order"), words(a), words(b)) == Second:
			a, b = b, a
		default:
			_, answer := m.contradiction(with(path, "order"), words(a), words(b), nil, false, "how the units stand, from left to right")
			m.keepOrder(path, a, b, answer)
			if answer == Second {
				a, b = b, a
			}
		}
		return inserted(a, b)
	}
	if one, other := inserted(a, b), inserted(b, a); units && !slices.Equal(one, other) {
		_, answer := m.contradiction(with(path, "order"), words(one), words(other), nil, false, "how the units stand, from left to right")
		if answer == Second {
			return other
		}
		return one
	}
	return inserted(a, b)
}

// keepOrder keeps the order of units that was not taken.
func (m *merger) keepOrder(path, a, b []string, answer Answer) {
	if answer != 0 {
		m.keep(with(path, "order"), words(a), words(b), answer)
	}
}

func words(names []string) *node {
	out := &node{kind: '['}
	for _, name := range names {
		out.kids = append(out.kids, textNode(name))
	}
	return out
}

// common are the names of a that b has too.
func common(a, b []string) []string {
	has := map[string]bool{}
	for _, name := range b {
		has[name] = true
	}
	return slices.DeleteFunc(slices.Clone(a), func(name string) bool { return !has[name] })
}

// inserted puts what b alone has into a: behind what it follows there.
func inserted(a, b []string) []string {
	in := map[string]bool{}
	for _, name := range a {
		in[name] = true
	}
	out := slices.Clone(a)
	for i, name := range b {
		if in[name] {
			continue
		}
		in[name] = true
		at := 0
		if i > 0 {
			at = slices.Index(out, b[i-1]) + 1
			// behind what a has there alone
			for at < len(out) && !slices.Contains(b, out[at]) {
				at++
			}
		} else {
			for at < len(out) && !slices.Contains(b, out[at]) {
				at++
			}
		}
		out = slices.Insert(out, at, name)
	}
	return out
}

// receipts merges counts. Two of one packing list, day and counter that say
// different things are one that was written down twice, or two.
func (m *merger) receipts(path []string, a, b *node) *node {
	out := &node{kind: '[', kids: slices.Clone(a.kids)}
	used := map[int]bool{}
	find := func(is func(*node) bool) int {
		for i, old := range a.kids {
			if !used[i] && is(old) {
				used[i] = true
				return i
			}
		}
		return -1
	}
	var left []*node
	for _, n := range b.kids {
		if find(func(old *node) bool { return same(old, n) }) < 0 {
			left = append(left, n)
		}
	}
	name := named("packing_list", "date", "by")
	for _, n := range left {
		i := find(func(old *node) bool {
			return name(old) == name(n) && !slices.ContainsFunc(b.kids, func(o *node) bool { return same(o, old) })
		})
		here := with(path, name(n))
		if i < 0 {
			m.added(here)
			out.kids = append(out.kids, m.entry(n))
			continue
		}
		switch m.before(here, a.kids[i], n) {
		case First:
			continue
		case Second:
			out.kids[i] = m.entry(n)
			continue
		}
		_, answer := m.contradiction(here, a.kids[i], n, nil, true, "which count is right, or whether both were counted")
		switch answer {
		case Both:
			out.kids = append(out.kids, m.entry(n))
		case Second:
			m.keep(here, a.kids[i], n, answer)
			out.kids[i] = m.entry(n)
		case First:
			m.keep(here, a.kids[i], n, answer)
		}
	}
	return out
}

// lengthOf is a length in a plain way, whatever unit it was written in.
func lengthOf(n *node) string {
	if l, err := length.Parse(n.word()); err == nil {
		return l.String()
	}
	return n.value()
}
