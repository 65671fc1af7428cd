package merge

import (
	"bytes"
	"slices"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
	"setline.example/schema/length"
)

// node is a JSON value whose members keep the order in which they were written.
type node struct {
	kind  byte     // '{', '[', or 0 for what holds nothing
	names []string // of an object
	kids  []*node
	text  string // of what holds nothing, as written
	same  string // the value however it was written, once asked for
}

// parse reads one JSON text.
func parse(text []byte) (*node, error) { return parseNext(jsontext.NewDecoder(bytes.NewBuffer(text))) }

func parseNext(dec *jsontext.Decoder) (*node, error) {
	kind := dec.PeekKind()
	if kind != '{' && kind != '[' {
		v, err := dec.ReadValue()
		return &node{text: string(v)}, err
	}
	if _, err := dec.ReadToken(); err != nil {
		return nil, err
	}
	n := &node{kind: byte(kind)}
	for end := dec.PeekKind(); end != '}' && end != ']'; end = dec.PeekKind() {
		if kind == '{' {
			name, err := dec.ReadToken()
			if err != nil {
				return nil, err
			}
			n.names = append(n.names, name.String())
		}
		kid, err := parseNext(dec)
		if err != nil {
			return nil, err
		}
		n.kids = append(n.kids, kid)
	}
	_, err := dec.ReadToken()
	return n, err
}

// member is a member of an object, nil where there is none.
func (n *node) member(name string) *node {
	if n == nil || n.kind != '{' {
		return nil
	}
	if i := slices.Index(n.names, name); i >= 0 {
		return n.kids[i]
	}
	return nil
}

// at is what steps lead to, nil where they lead nowhere.
func (n *node) at(steps ...string) *node {
	for _, step := range steps {
		if n != nil && n.kind == '[' {
			i, err := strconv.Atoi(step)
			if err != nil || i < 0 || i >= len(n.kids) {
				return nil
			}
			n = n.kids[i]
			continue
		}
		n = n.member(step)
	}
	return n
}

// elements are those of a list.
func (n *node) elements() []*node {
	if n == nil || n.kind != '[' {
		return nil
	}
	return n.kids
}

// empty reports whether an object says nothing: it may as well not be there.
func (n *node) empty() bool {
	return n.kind == '{' && !slices.ContainsFunc(n.kids, func(kid *node) bool { return !kid.empty() })
}

// word is a text without its quotation marks, "" of what is none.
func (n *node) word() string {
	if n == nil || !strings.HasPrefix(n.text, `"`) {
		return ""
	}
	word, err := jsontext.AppendUnquote(nil, n.text)
	if err != nil {
		return ""
	}
	return string(word)
}

// number is a whole number, 0 of what is none.
func (n *node) number() int {
	if n == nil {
		return 0
	}
	v, _ := strconv.Atoi(n.text) // what is none is refused elsewhere
	return v
}

// with is an object with a member set, "" for none.
func (n *node) with(name string, kid *node) *node {
	out := &node{kind: '{', names: slices.Clone(n.names), kids: slices.Clone(n.kids)}
	switch i := slices.Index(out.names, name); {
	case i >= 0 && kid != nil:
		out.kids[i] = kid
	case i >= 0:
		out.names, out.kids = slices.Delete(out.names, i, i+1), slices.Delete(out.kids, i, i+1)
	case kid != nil:
		out.names, out.kids = append(out.names, name), append(out.kids, kid)
	}
	return out
}

// put is a value with what steps lead to set, nil to take it out. Objects that
// are missing on the way are made.
func (n *node) put(steps []string, kid *node) *node {
	if len(steps) == 0 {
		return kid
	}
	if n != nil && n.kind == '[' {
		i, err := strconv.Atoi(steps[0])
		if err != nil || i < 0 || i >= len(n.kids) || kid == nil && len(steps) == 1 {
			return n
		}
		out := &node{kind: '[', kids: slices.Clone(n.kids)}
		out.kids[i] = out.kids[i].put(steps[1:], kid)
		return out
	}
	if n == nil || n.kind != '{' {
		n = &node{kind: '{'}
	}
	return n.with(steps[0], n.member(steps[0]).put(steps[1:], kid))
}

// json writes a value on one line.
func (n *node) json() []byte { return n.append(nil) }

func (n *node) append(to []byte) []byte {
	switch n.kind {
	case '{':
		to = append(to, '{')
		for i, kid := range n.kids {
			if i > 0 {
				to = append(to, ',')
			}
			to, _ = jsontext.AppendQuote(to, n.names[i]) // it was read from UTF-8
			to = kid.append(append(to, ':'))
		}
		return append(to, '}')
	case '[':
		to = append(to, '[')
		for i, kid := range n.kids {
			if i > 0 {
				to = append(to, ',')
			}
			to = kid.append(to)
		}
		return append(to, ']')
	}
	return append(to, n.text...)
}

// value is what a node says, however it is written: members in any order,
// lengths in any unit. When it was entered is not part of it.
func (n *node) value() string {
	if n == nil {
		return ""
	}
	if n.same == "" {
		n.same = n.canonical()
	}
	return n.same
}

func (n *node) canonical() string {
	switch n.kind {
	case '{':
		var parts []string
		for i, name := range n.names {
			if name != "entered" {
				parts = append(parts, strconv.Quote(name)+":"+n.kids[i].value())
			}
		}
		slices.Sort(parts)
		return "{" + strings.Join(parts, ",") + "}"
	case '[':
		parts := make([]string, len(n.kids))
		for i, kid := range n.kids {
			parts[i] = kid.value()
		}
		return "[" + strings.Join(parts, ",") + "]"
	}
	if word := n.word(); word != "" {
		if l, err := length.Parse(word); err == nil {
			return "length " + l.String()
		}
		return strconv.Quote(word)
	}
	return n.text
}

func same(a, b *node) bool { return a == b || a != nil && b != nil && a.value() == b.value() }

func object(members ...any) *node {
	n := &node{kind: '{'}
	for i := 0; i < len(members); i += 2 {
		if kid := members[i+1].(*node); kid != nil {
			n.names, n.kids = append(n.names, members[i].(string)), append(n.kids, kid)
		}
	}
	return n
}

func list(kids ...*node) *node { return &node{kind: '[', kids: kids} }

// textNode is a text, nil for "".
func textNode(s string) *node {
	if s == "" {
		return nil
	}
	quoted, _ := jsontext.AppendQuote(nil, s) // invalid UTF-8 is replaced
	return &node{text: string(quoted)}
}

func numberNode(n int) *node { return &node{text: strconv.Itoa(n)} }
