package compare

import (
	"cmp"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"setline.example/schema"
	"setline.example/schema/length"
)

// item is the smallest part of a record that is written anew as a whole: one
// reading, one label, one line of a packing list.
type item struct {
	path   []step // what leads to it
	leaves []leaf
	skip   int // steps of the path that words leave out
}

// step leads to a member of an object or an element of a list.
type step struct {
	ids  []string // what tells it from its neighbours, whatever the language
	said string   // how people call it; "" for a field of the record
}

func field(name string) step { return step{ids: []string{name}} }

// words are how people call a step.
func (s step) words() string { return cmp.Or(s.said, inWords(s.ids[0])) }

// pointer leads along steps, as in JSON (RFC 6901); what several fields tell
// from its neighbours takes as many steps.
func pointer(path []step) string {
	var ids []any
	for _, s := range path {
		for _, id := range s.ids {
			ids = append(ids, id)
		}
	}
	return schema.Pointer("", ids...)
}

func inWordsOf(path []step) string {
	words := make([]string, len(path))
	for i, s := range path {
		words[i] = s.words()
	}
	return strings.Join(words, " ")
}

// leaf is one value of an item.
type leaf struct {
	path  []step // within the item, none where it is the item
	exact string // equal only where the values are
	shown string // as people read it
}

func (l leaf) key() string { return pointer(l.path) }

// wholes are the types that are written anew as a whole. What is not inside
// one of them is an item of its own.
var wholes = map[reflect.Type]bool{
	reflect.TypeFor[schema.LimitChange]():    true,
	reflect.TypeFor[schema.Instrument]():     true,
	reflect.TypeFor[schema.Fastener]():       true,
	reflect.TypeFor[schema.Cabinet]():        true,
	reflect.TypeFor[schema.Filler]():         true,
	reflect.TypeFor[schema.PackingLine]():    true,
	reflect.TypeFor[schema.Receipt]():        true,
	reflect.TypeFor[schema.InstrumentUse]():  true,
	reflect.TypeFor[schema.Party]():          true,
	reflect.TypeFor[schema.Station]():        true,
	reflect.TypeFor[[]schema.FloorReading](): true,
	reflect.TypeFor[schema.Label]():          true,
	reflect.TypeFor[schema.Deviation]():      true,
	reflect.TypeFor[schema.Fastening]():      true,
	reflect.TypeFor[schema.Photo]():          true,
	reflect.TypeFor[schema.Concession]():     true,
	reflect.TypeFor[schema.OpenItem]():       true,
	reflect.TypeFor[schema.Reinspection]():   true,
	reflect.TypeFor[schema.Signer]():         true,
}

// items takes a part of a record apart, in the order of its fields; members
// of an object are in the order of their names, numbers among them by value.
// It goes by the types alone, so that a field that is new to the record is
// told apart without further ado.
func items(value any, sys length.System) []item {
	w := itemWalk{sys: sys}
	w.walk(reflect.ValueOf(value), nil, -1)
	return w.all
}

type itemWalk struct {
	sys length.System
	all []item
}

// walk takes v apart, to which path leads. The first whole steps of path lead
// to the item that v is part of; whole is -1 where v is in none.
func (w *itemWalk) walk(v reflect.Value, path []step, whole int) {
	if whole < 0 && wholes[v.Type()] {
		whole = len(path)
		before := len(w.all)
		defer func() {
			if len(w.all) == before && v.Kind() == reflect.Struct {
				w.add(path, whole, "{}", "recorded") // and nothing more said of it
			}
		}()
	}
	switch {
	case v.Kind() == reflect.Pointer:
		if !v.IsNil() {
			w.walk(v.Elem(), path, whole)
		}
	case v.Type() == reflect.TypeFor[length.Length]():
		l := length.Length(v.Int())
		w.add(path, whole, l.String(), l.In(w.sys))
	case v.Type() == reflect.TypeFor[schema.FloorReading]():
		r := v.Interface().(schema.FloorReading)
		w.add(path, whole, r.At().String()+" "+r.Down().String(), r.Down().In(w.sys)) // path says at what distance
	case v.Type() == reflect.TypeFor[schema.Party]() && whole < len(path):
		p := v.Interface().(schema.Party)
		w.add(path, whole, fmt.Sprintf("%q", p), partyWords(p))
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if f.Anonymous {
				w.walk(v.Field(i), path, whole)
				continue
			}
			name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
			if slices.Contains(inName[v.Type()], name) {
				continue
			}
			if !strings.HasPrefix(options, "omit") || !v.Field(i).IsZero() {
				w.walk(v.Field(i), with(path, field(name)), whole)
			}
		}
	case v.Kind() == reflect.Map:
		members := map[string]reflect.Value{}
		for iter := v.MapRange(); iter.Next(); {
			members[iter.Key().String()] = iter.Value()
		}
		for _, name := range slices.SortedFunc(maps.Keys(members), byNumber) {
			w.walk(members[name], with(path, step{[]string{name}, name}), whole)
		}
	case v.Kind() == reflect.Slice || v.Kind() == reflect.Array:
		w.list(v, path, whole)
	case v.Kind() == reflect.Bool:
		word := "no"
		if v.Bool() {
			word = "yes"
		}
		w.add(path, whole, strconv.FormatBool(v.Bool()), word)
	default:
		text := fmt.Sprint(v.Interface())
		w.add(path, whole, text, text)
	}
}

// list takes a list apart. Where its elements have a name, it is that which
// leads to them, so that one more in the middle does not change the rest.
func (w *itemWalk) list(v reflect.Value, path []step, whole int) {
	if v.Type().Elem().Kind() == reflect.String && len(path) > 0 && path[len(path)-1].ids[0] != "remarks" {
		words := make([]string, v.Len())
		for i := range words {
			words[i] = v.Index(i).String()
		}
		slices.Sort(words) // such lists say which, not in what order
		w.add(path, whole, fmt.Sprintf("%q", words), cmp.Or(strings.Join(words, ", "), "nothing"))
		return
	}
	taken := map[string]int{}
	for i := range v.Len() {
		name := w.nameOf(v.Index(i), i)
		id := pointer([]step{name})
		if taken[id]++; taken[id] > 1 {
			name.ids = append(name.ids, strconv.Itoa(taken[id]))
			name.said = fmt.Sprintf("%s (%d)", name.said, taken[id])
		}
		w.walk(v.Index(i), with(path, name), whole)
	}
}

// nameOf is the name of element i of a list.
func (w *itemWalk) nameOf(v reflect.Value, i int) step {
	named := func(said string, ids ...string) step { return step{ids, said} }
	switch e := v.Interface().(type) {
	case schema.FloorReading:
		return named("at "+e.At().In(w.sys), e.At().String())
	case schema.Photo:
		return named(e.File, e.File)
	case schema.Party:
		return named(e.Name, e.Name)
	case schema.Receipt:
		return named(fmt.Sprintf("of %s on %s by %s", e.PackingList, e.Date, e.By), e.PackingList, string(e.Date), e.By)
	case schema.Concession:
		return named(e.Rule+" for "+e.Subject, e.Rule, e.Subject)
	case schema.OpenItem:
		return named(e.Room+", "+e.What, e.Room, e.What)
	case schema.Reinspection:
		return named(fmt.Sprintf("of %s on %s", e.Room, e.Date), e.Room, string(e.Date))
	case string:
		return named(e, e)
	}
	n := strconv.Itoa(i + 1)
	return named(n, n)
}

// inName are the fields that nameOf has told already.
var inName = map[reflect.Type][]string{
	reflect.TypeFor[schema.PlanChange]():   {"before"}, // what it made otherwise is compared itself
	reflect.TypeFor[schema.Photo]():        {"file"},
	reflect.TypeFor[schema.Receipt]():      {"packing_list", "date", "by"},
	reflect.TypeFor[schema.Concession]():   {"rule", "subject"},
	reflect.TypeFor[schema.OpenItem]():     {"room", "what"},
	reflect.TypeFor[schema.Reinspection](): {"room", "date"},
}

func partyWords(p schema.Party) string {
	var more []string
	for _, s := range []string{p.Role, p.Firm} {
		if s != "" {
			more = append(more, s)
		}
	}
	if len(more) == 0 {
		return p.Name
	}
	return p.Name + " (" + strings.Join(more, ", ") + ")"
}

func (w *itemWalk) add(path []step, whole int, exact, shown string) {
	if whole < 0 {
		whole = len(path)
	}
	if n := len(w.all) - 1; n < 0 || !samePath(w.all[n].path, path[:whole]) {
		w.all = append(w.all, item{path: path[:whole:whole]})
	}
	last := &w.all[len(w.all)-1]
	last.leaves = append(last.leaves, leaf{path[whole:], exact, shown})
}

func samePath(a, b []step) bool {
	return slices.EqualFunc(a, b, func(s, t step) bool { return slices.Equal(s.ids, t.ids) })
}

// with is path and one step more, in memory of its own.
func with(path []step, next step) []step {
	return append(slices.Clone(path), next)
}

// byNumber compares names; where both are numbers, by their value.
func byNumber(a, b string) int {
	m, err1 := strconv.Atoi(a)
	n, err2 := strconv.Atoi(b)
	if err1 == nil && err2 == nil {
		return cmp.Or(cmp.Compare(m, n), cmp.Compare(a, b))
	}
	return cmp.Compare(a, b)
}

// text is all of an item for people to read.
func (i item) text() string {
	parts := make([]string, len(i.leaves))
	for n, l := range i.leaves {
		parts[n] = strings.TrimSpace(inWordsOf(l.path) + " " + l.shown)
	}
	return strings.Join(parts, ", ")
}
