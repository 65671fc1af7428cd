package merge

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"setline.example/schema"
)

// wholes are the types that are one value: what they hold belongs together.
var wholes = map[reflect.Type]bool{
	reflect.TypeFor[schema.LimitChange]():  true,
	reflect.TypeFor[schema.FloorFinish]():  true,
	reflect.TypeFor[schema.PackingLine]():  true,
	reflect.TypeFor[schema.Withdrawn]():    true,
	reflect.TypeFor[schema.Undone]():       true,
	reflect.TypeFor[schema.Correction]():   true,
	reflect.TypeFor[schema.PlanChange]():   true,
	reflect.TypeFor[schema.Party]():        true,
	reflect.TypeFor[schema.TwoPeg]():       true,
	reflect.TypeFor[schema.Station]():      true,
	reflect.TypeFor[schema.FloorReading](): true,
	reflect.TypeFor[schema.Label]():        true,
	reflect.TypeFor[schema.Deviation]():    true,
	reflect.TypeFor[schema.Fastening]():    true,
	reflect.TypeFor[schema.Concession]():   true,
	reflect.TypeFor[schema.Closing]():      true,
	reflect.TypeFor[schema.Signer]():       true,
}

// indirect is the type of what stands in the record.
func indirect(t reflect.Type) reflect.Type {
	if t.Kind() == reflect.Pointer {
		return t.Elem()
	}
	return t
}

// divisible reports whether values of a type, members of a name, are merged part
// by part.
func divisible(t reflect.Type, name string) bool {
	if wholes[t] {
		return false
	}
	switch t.Kind() {
	case reflect.Struct, reflect.Map:
		return true
	case reflect.Slice:
		kind := t.Elem().Kind()
		return kind != reflect.String && kind != reflect.Uint8 || name == "remarks"
	}
	return false
}

// memberType is the type of a member of an object, nil where there is none.
func memberType(t reflect.Type, name string) reflect.Type {
	if t.Kind() == reflect.Map {
		return indirect(t.Elem())
	}
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			if got := memberType(f.Type, name); got != nil {
				return got
			}
		}
		if tag, _, _ := strings.Cut(f.Tag.Get("json"), ","); tag == name {
			return indirect(f.Type)
		}
	}
	return nil
}

// member merges a part of the record.
func (m *merger) member(part string, a, b, base *node) *node {
	t := memberType(reflect.TypeFor[schema.Record](), part)
	x, y := a.member(part), b.member(part)
	if y == nil {
		return x
	}
	if x == nil {
		x = &node{kind: '{'}
	}
	return m.merge(t, []string{part}, x, y, base.member(part))
}

// merge merges two values of a type, to which path leads; nil is nothing.
func (m *merger) merge(t reflect.Type, path []string, a, b, base *node) *node {
	switch {
	case a == nil && b == nil:
		return nil
	case same(a, b), a == nil && b.empty(), b == nil && a.empty():
		return a
	case a != nil && b != nil && a.kind == b.kind && divisible(t, path[len(path)-1]):
		return m.parts(t, path, a, b, base)
	}
	switch m.keeps(path, a, b) {
	case First:
		return a
	case Second:
		return m.adopt(b)
	}
	first, second := m.touched(path)
	keeps := path[0] != "planned" // there nothing goes without a word
	switch {
	case first && !second:
		return a
	case second && !first:
		return m.adopt(b)
	case base != nil && same(a, base) && (b != nil || !keeps):
		return m.adopt(b)
	case base != nil && same(b, base) && (a != nil || !keeps):
		return a
	case base == nil && b == nil && !first:
		return a
	case base == nil && a == nil && !first:
		m.added(path)
		return m.adopt(b)
	}
	return m.settle(path, a, b, base)
}

// parts merges two values part by part.
func (m *merger) parts(t reflect.Type, path []string, a, b, base *node) *node {
	if t.Kind() == reflect.Slice {
		return m.lists(t.Elem(), path, a, b, base)
	}
	out := a
	names := slices.Clone(a.names)
	for _, name := range b.names {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, name := range names {
		kid := memberType(t, name)
		if kid == nil || name == "entered" || name == "$schema" || name == "file" && t == reflect.TypeFor[schema.Photo]() {
			continue // the first copy's; a picture is known by its SHA-256
		}
		x, y := a.member(name), b.member(name)
		if x == nil && kid.Kind() == reflect.Slice && divisible(kid, name) {
			x = &node{kind: '['} // its elements are told apart
		}
		if got := m.merge(kid, with(path, name), x, y, base.member(name)); got != x {
			out = out.with(name, got)
		}
	}
	return out
}

func with(path []string, more ...string) []string { return append(slices.Clone(path), more...) }

// adopt is what the second copy alone has: when it was entered is told anew.
func (m *merger) adopt(n *node) *node {
	if n == nil || n.kind == 0 {
		return n
	}
	out := &node{kind: n.kind, names: n.names, kids: slices.Clone(n.kids)}
	for i, kid := range n.kids {
		if n.kind == '{' && n.names[i] == "entered" {
			out.kids[i] = &node{text: later + kid.text}
			continue
		}
		out.kids[i] = m.adopt(kid)
	}
	return out
}

// entry is adopt for what has a place in the order of entry, and gets one where
// it had none.
func (m *merger) entry(n *node) *node {
	if n.member("entered") == nil {
		n = n.with("entered", numberNode(0))
	}
	return m.adopt(n)
}

// later marks a place in the order of entry of the second copy.
const later = "later "

func laterNode(k int) *node { return &node{text: later + strconv.Itoa(k)} }

// unnumbered leaves out places in the order of entry that are not told yet.
func unnumbered(n *node) *node {
	out := &node{kind: n.kind, text: n.text}
	for i, kid := range n.kids {
		if strings.HasPrefix(kid.text, later) {
			continue
		}
		if n.kind == '{' {
			out.names = append(out.names, n.names[i])
		}
		out.kids = append(out.kids, unnumbered(kid))
	}
	return out
}

// numbered gives entries of the second copy their places, behind those of the
// first and in their order.
func (m *merger) numbered(n *node) *node {
	var order []int
	each(n, func(k int) { order = append(order, k) })
	slices.Sort(order)
	taken := map[int]int{}
	var put func(*node) *node
	put = func(n *node) *node {
		if k, ok := laterPlace(n); ok {
			at, _ := slices.BinarySearch(order, k)
			taken[k]++
			return numberNode(m.next + at + taken[k] - 1)
		}
		if n.kind == 0 {
			return n
		}
		out := &node{kind: n.kind, names: n.names, kids: slices.Clone(n.kids)}
		for i, kid := range n.kids {
			out.kids[i] = put(kid)
		}
		return out
	}
	return put(n)
}

// each goes through the places that are not told yet.
func each(n *node, do func(int)) {
	if k, ok := laterPlace(n); ok {
		do(k)
	}
	for _, kid := range n.kids {
		each(kid, do)
	}
}

func laterPlace(n *node) (int, bool) {
	if n == nil {
		return 0, false
	}
	was, ok := strings.CutPrefix(n.text, later)
	k, _ := strconv.Atoi(was)
	return k, ok
}
