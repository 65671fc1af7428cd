package amend

import (
	"bytes"

	"github.com/go-json-experiment/json/jsontext"
)

// Remove returns data without the member or element at pointer, as "remove" of
// RFC 6902, section 4.2, does. What stood around it keeps its place: a line
// that was the member's alone goes with it. The error is one of this
// package's; the whole cannot be removed.
func Remove(data []byte, pointer string) ([]byte, error) {
	return change(data, pointer, []byte("null"), func(t *text, steps []string, _ jsontext.Value) error {
		if len(steps) == 0 {
			return ErrMissing
		}
		c, err := t.parent(steps)
		if err != nil {
			return err
		}
		m, ok := c.member(steps[len(steps)-1])
		if !ok {
			return ErrMissing
		}
		t.splice(t.around(c, m), nil)
		return nil
	})
}

// around is what goes with a member: the comma and the space between it and its
// neighbour, and of the only member all that is inside the brackets.
func (t *text) around(c *container, m member) span {
	for i := range c.members {
		switch here := c.members[i].whole; {
		case here != m.whole:
		case len(c.members) == 1:
			return span{c.start + 1, c.end - 1}
		case i == 0:
			return span{here.start, c.members[1].whole.start}
		default:
			return span{c.members[i-1].whole.end, here.end}
		}
	}
	return span{m.whole.start, m.whole.start}
}

// Get returns the text of the value at pointer, as it stands in data. ok is
// false where nothing is there, or data is no JSON text.
func Get(data []byte, pointer string) (value []byte, ok bool) {
	_, err := change(data, pointer, []byte("null"), func(t *text, steps []string, _ jsontext.Value) error {
		if len(steps) == 0 {
			value = t.data[t.root.start:t.root.end]
			return nil
		}
		c, err := t.parent(steps)
		if err != nil {
			return err
		}
		m, ok := c.member(steps[len(steps)-1])
		if !ok {
			return ErrMissing
		}
		value = t.data[m.value.start:m.value.end]
		return nil
	})
	return bytes.Clone(value), err == nil
}
