package amend

import (
	"bytes"
	"slices"

	"github.com/go-json-experiment/json/jsontext"
)

// named is a new member, with its name as written, nil in a list.
type named struct {
	name  []byte
	value jsontext.Value
}

// together is the object or list of members.
func together(members []named) jsontext.Value {
	ends, out := "[]", jsontext.Value{}
	for i, m := range members {
		if i > 0 {
			out = append(out, ',')
		}
		if m.name != nil {
			ends = "{}"
			out = append(append(out, m.name...), ':')
		}
		out = append(out, m.value...)
	}
	return joined(ends[:1], string(out), ends[1:])
}

// insert puts new members before the i-th of c.
func (t *text) insert(c *container, i int, added ...named) {
	if len(c.members) == 0 {
		t.fill(c, added)
		return
	}
	w := t.styleOf(c)
	// A new member stands as its neighbour does: on a line of its own, or beside it.
	beside := min(i, len(c.members)-1)
	at := c.members[beside].whole
	between := t.gapBefore(c, beside)
	if beside == 0 && !bytes.ContainsAny(between, "\r\n") {
		// The first stands beside its bracket, which says nothing of the others.
		between = []byte(w.space)
		if len(c.members) > 1 {
			between = t.gapBefore(c, 1)
		}
	}
	// Beside others, a line may grow too wide, but what is short is not torn apart for that.
	indent := t.indentOf(at.start)
	column := width(indent)
	if bytes.ContainsAny(between, "\r\n") {
		indent = string(between[bytes.LastIndexAny(between, "\r\n")+1:])
		between = []byte(w.newline + indent)
		column = width(indent)
	}
	if i == len(c.members) {
		for _, m := range added {
			w.out = append(append(w.out, ','), between...)
			w.member(m.name, m.value, indent, column)
		}
		t.splice(span{at.end, at.end}, w.out)
		return
	}
	for _, m := range added {
		w.member(m.name, m.value, indent, column)
		w.out = append(append(w.out, ','), between...)
	}
	t.splice(span{at.start, at.start}, w.out)
}

// fill writes the first members into c. What holds members itself comes on a
// line of its own, since more will follow; short lists of words do not.
func (t *text) fill(c *container, added []named) {
	w := t.styleOf(c)
	whole, indent := together(added), t.indentOf(c.start)
	objects := slices.ContainsFunc(added, func(m named) bool { return m.value[0] == '{' || string(m.value) == "[]" })
	if bytes.ContainsAny(t.data[c.start:c.end], "\r\n") || objects && w.newline != "" {
		w.broken(whole, indent)
	} else {
		w.value(whole, indent, t.columnOf(c.start))
	}
	t.splice(c.span, w.out)
}
