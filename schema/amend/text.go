package amend

import (
	"bytes"
	"fmt"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"
)

// text is the text that is changed. It is well formed and names nothing twice.
type text struct {
	data []byte
	root span
}

// span is where something stands: from start up to end.
type span struct{ start, end int }

// container is an object or a list and where its members stand. The members
// of a list have no name.
type container struct {
	span
	kind    jsontext.Kind // '{' or '['
	members []member
}

type member struct {
	name  string
	whole span // name and value
	value span
}

// member returns the member that a step names.
func (c *container) member(step string) (member, bool) {
	if c.kind == '[' {
		if i, ok := parseIndex(step); ok && i < len(c.members) {
			return c.members[i], true
		}
		return member{}, false
	}
	for _, m := range c.members {
		if m.name == step {
			return m, true
		}
	}
	return member{}, false
}

// open reads the object or list at s, one level deep.
func (t *text) open(s span) (*container, error) {
	c := &container{span: s, kind: jsontext.Kind(t.data[s.start])}
	if c.kind != '{' && c.kind != '[' {
		return nil, ErrInside
	}
	dec := jsontext.NewDecoder(bytes.NewBuffer(t.data[s.start:s.end]))
	if _, err := dec.ReadToken(); err != nil {
		return nil, fmt.Errorf("%w (%w)", ErrText, err)
	}
	next := func() (span, error) {
		v, err := dec.ReadValue()
		end := s.start + int(dec.InputOffset())
		return span{end - len(v), end}, err
	}
	for dec.PeekKind() != '}' && dec.PeekKind() != ']' {
		var m member
		first, err := next()
		if err == nil && c.kind == '{' {
			var name []byte
			if name, err = jsontext.AppendUnquote(nil, t.data[first.start:first.end]); err == nil {
				m.name = string(name)
				m.value, err = next()
			}
		} else {
			m.value = first
		}
		if err != nil {
			return nil, fmt.Errorf("%w (%w)", ErrText, err)
		}
		m.whole = span{first.start, m.value.end}
		c.members = append(c.members, m)
	}
	return c, nil
}

// parent opens what holds the place that steps lead to.
func (t *text) parent(steps []string) (*container, error) {
	c, err := t.open(t.root)
	for _, step := range steps[:len(steps)-1] {
		if err != nil {
			return nil, err
		}
		m, ok := c.member(step)
		if !ok {
			return nil, fmt.Errorf("%w: there is no %q", ErrMissing, step)
		}
		c, err = t.open(m.value)
	}
	return c, err
}

// make makes what steps lead to and what is missing on the way: a list where
// the next step is "-" and, with list, at the end; objects everywhere else.
func (t *text) make(steps []string, list bool) error {
	at := t.root
	for i := range steps {
		c, err := t.open(at)
		if err != nil {
			return err
		}
		m, ok := c.member(steps[i])
		if !ok && c.kind == '[' && steps[i] != "-" {
			return fmt.Errorf("%w: there is no %q", ErrMissing, steps[i])
		}
		if !ok {
			empty := jsontext.Value("{}")
			if i+1 < len(steps) && steps[i+1] == "-" || i+1 == len(steps) && list {
				empty = jsontext.Value("[]")
			}
			if err := t.add(steps[:i+1], empty); err != nil {
				return err
			}
			// What was added is the last of its list now.
			if c.kind == '[' {
				steps[i] = strconv.Itoa(len(c.members))
			}
			if c, err = t.parent(steps[:i+1]); err != nil {
				return err
			}
			m, _ = c.member(steps[i])
		}
		at = m.value
	}
	return nil
}

func (t *text) replace(steps []string, v jsontext.Value) error {
	if len(steps) == 0 {
		t.put(t.root, v)
		return nil
	}
	c, err := t.parent(steps)
	if err != nil {
		return err
	}
	m, ok := c.member(steps[len(steps)-1])
	if !ok {
		return fmt.Errorf("%w: there is no %q", ErrMissing, steps[len(steps)-1])
	}
	t.put(m.value, v)
	return nil
}

func (t *text) add(steps []string, v jsontext.Value) error {
	if len(steps) == 0 {
		t.put(t.root, v)
		return nil
	}
	c, err := t.parent(steps)
	if err != nil {
		return err
	}
	last := steps[len(steps)-1]
	if c.kind == '{' {
		if m, ok := c.member(last); ok {
			t.put(m.value, v)
			return nil
		}
		name, err := jsontext.AppendQuote(nil, last)
		if err != nil {
			return fmt.Errorf("%w (%w)", ErrPointer, err)
		}
		t.insert(c, len(c.members), named{name, v})
		return nil
	}
	i, ok := parseIndex(last)
	switch {
	case last == "-":
		i = len(c.members)
	case !ok:
		return fmt.Errorf("%w: %q is no index of a list", ErrMissing, last)
	case i > len(c.members):
		return fmt.Errorf("%w: index %d of a list of %d", ErrMissing, i, len(c.members))
	}
	t.insert(c, i, named{nil, v})
	return nil
}

// put writes v over what stands at s. The same value again changes nothing.
func (t *text) put(s span, v jsontext.Value) {
	if same(t.data[s.start:s.end], v) {
		return
	}
	w := t.styleAround(s.start)
	w.value(v, t.indentOf(s.start), t.columnOf(s.start))
	t.splice(s, w.out)
}

// same reports whether two values are the same but for white space.
func same(a, b jsontext.Value) bool {
	a, b = a.Clone(), b.Clone()
	return a.Compact() == nil && b.Compact() == nil && bytes.Equal(a, b)
}

// splice writes b over what stands at s.
func (t *text) splice(s span, b []byte) {
	out := make([]byte, 0, len(t.data)+len(b))
	out = append(out, t.data[:s.start]...)
	out = append(out, b...)
	t.data = append(out, t.data[s.end:]...)
	t.root.end += len(b) - (s.end - s.start)
}
