// Package amend edits the text of a job record with the smallest change.
//
// [Add] and [Replace] are the operations of those names of JSON Patch (RFC
// 6902), on text instead of on values: all bytes that are not part of the
// change stay as they were, so that the record keeps the order of its members,
// its white space, its line ends and the hand of whoever wrote it, and a
// comparison line by line shows what was added and nothing else. New text
// takes the indentation and line ends that the text has around the place; a
// text on one line stays on one line. A list or object whose objects the value
// has over lines has them over lines in the text too; for the rest what is
// short stands on one line. [AddWithParents] also makes the objects
// and lists that are not there yet on the way. [Patched] applies a whole patch.
package amend

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
)

// What an error of this package is about, for [errors.Is].
var (
	ErrText    = errors.New("not one JSON text")                // the text to change
	ErrValue   = errors.New("not one JSON value")               // the value to put into it
	ErrPointer = errors.New("not a JSON Pointer (RFC 6901)")    // a pointer that is none
	ErrMissing = errors.New("names a place that is not there")  // a pointer that leads nowhere
	ErrInside  = errors.New("leads into what holds no members") // a pointer into a string, a number, true, false or null
	ErrThere   = errors.New("names a member that is there")     // a member to append whose name is taken
	ErrOp      = errors.New("cannot be done")                   // an operation that a patch cannot have, or a test that does not hold
)

// Add returns data with value added at pointer, as "add" of RFC 6902, section
// 4.1, does: a member of an object is set, or comes after the last one if
// there was none of its name; an element goes into a list before the one at
// the index, or at its end for "-". The error is one of this package's.
func Add(data []byte, pointer string, value []byte) ([]byte, error) {
	return change(data, pointer, value, (*text).add)
}

// Replace returns data with value in place of what stands at pointer, as
// "replace" of RFC 6902, section 4.3, does. The error is one of this
// package's.
func Replace(data []byte, pointer string, value []byte) ([]byte, error) {
	return change(data, pointer, value, (*text).replace)
}

// AddWithParents is like [Add], and makes what is missing on the way: a list
// where the next step is "-", an object everywhere else.
func AddWithParents(data []byte, pointer string, value []byte) ([]byte, error) {
	return change(data, pointer, value, func(t *text, steps []string, v jsontext.Value) error {
		if len(steps) > 0 {
			if err := t.make(steps[:len(steps)-1], steps[len(steps)-1] == "-"); err != nil {
				return err
			}
		}
		return t.add(steps, v)
	})
}

// Member is a member of an object, or of a list where Name is not used.
type Member struct {
	Name  string
	Value []byte
}

// Append returns data with members added in one go at the end of the object
// or list at pointer. Where nothing is there, list says which of the two to
// make, and what is missing on the way is made as by [AddWithParents]. A name
// that the object has is [ErrThere]; other errors are as for [Add].
func Append(data []byte, pointer string, list bool, members []Member) ([]byte, error) {
	if len(members) == 0 {
		return data, nil
	}
	added := make([]named, len(members))
	for i, m := range members {
		v, err := one(m.Value)
		if err != nil {
			return nil, fmt.Errorf("the value for %q: %w (%w)", m.Name, ErrValue, err)
		}
		name, err := jsontext.AppendQuote(nil, m.Name)
		if err != nil {
			return nil, fmt.Errorf("%q: %w: not UTF-8", m.Name, ErrPointer)
		}
		added[i] = named{name, v}
		if list {
			added[i].name = nil
		}
	}
	return change(data, pointer, []byte("null"), func(t *text, steps []string, _ jsontext.Value) error {
		if err := t.make(steps, list); err != nil {
			return err
		}
		c, err := t.parent(append(slices.Clone(steps), ""))
		if err != nil {
			return err
		}
		if (c.kind == '[') != list {
			return fmt.Errorf("%w of this kind", ErrInside)
		}
		taken := map[string]bool{}
		for _, m := range c.members {
			taken[m.name] = true
		}
		for _, m := range members {
			if !list && taken[m.Name] {
				return fmt.Errorf("%q: %w", m.Name, ErrThere)
			}
			taken[m.Name] = true
		}
		t.insert(c, len(c.members), added...)
		return nil
	})
}

func joined(parts ...string) jsontext.Value { return jsontext.Value(strings.Join(parts, "")) }

// maxDepth is how deep a text, a value and a pointer may go. It is far above
// what a record needs, and together they stay below what the reader of JSON
// text allows.
const maxDepth = 512

func change(data []byte, pointer string, value []byte, do func(*text, []string, jsontext.Value) error) ([]byte, error) {
	steps, err := parsePointer(pointer)
	if err != nil {
		return nil, err
	}
	v, err := one(value)
	if err != nil {
		return nil, fmt.Errorf("the value for %q: %w (%w)", pointer, ErrValue, err)
	}
	whole, err := one(data)
	if err != nil {
		return nil, fmt.Errorf("%w (%w)", ErrText, err)
	}
	start := bytes.Index(data, whole)
	t := &text{data: data, root: span{start, start + len(whole)}}
	if err := do(t, steps, v); err != nil {
		return nil, fmt.Errorf("%q: %w", pointer, err)
	}
	return t.data, nil
}

// one returns the one value that data is, without the white space around it.
func one(data []byte) (jsontext.Value, error) {
	dec := jsontext.NewDecoder(bytes.NewBuffer(data))
	v, err := dec.ReadValue()
	if err != nil {
		return nil, err
	}
	v = v.Clone()
	if depth, _ := shape(v); depth > maxDepth {
		return nil, fmt.Errorf("nested more than %d deep", maxDepth)
	}
	switch _, err := dec.ReadToken(); {
	case err == nil:
		return nil, errors.New("more text after its end")
	case !errors.Is(err, io.EOF):
		return nil, err
	}
	return v, nil
}

// parsePointer splits a pointer into its steps.
func parsePointer(pointer string) ([]string, error) {
	if pointer == "" {
		return nil, nil
	}
	steps := strings.Split(pointer, "/")
	if steps[0] != "" {
		return nil, fmt.Errorf("%q: %w: it begins with /", pointer, ErrPointer)
	}
	steps = steps[1:]
	if len(steps) > maxDepth {
		return nil, fmt.Errorf("%.40q…: %w: more than %d steps", pointer, ErrPointer, maxDepth)
	}
	for i, step := range steps {
		plain := strings.ReplaceAll(strings.ReplaceAll(step, "~0", ""), "~1", "")
		if strings.Contains(plain, "~") {
			return nil, fmt.Errorf("%q: %w: ~ is written ~0, and / in a name ~1", pointer, ErrPointer)
		}
		if _, err := jsontext.AppendQuote(nil, step); err != nil {
			return nil, fmt.Errorf("%q: %w: not UTF-8", pointer, ErrPointer)
		}
		steps[i] = strings.ReplaceAll(strings.ReplaceAll(step, "~1", "/"), "~0", "~")
	}
	return steps, nil
}

// parseIndex reads an index of RFC 6901: digits without a zero in front.
func parseIndex(step string) (int, bool) {
	n, err := strconv.Atoi(step)
	return n, err == nil && n >= 0 && strconv.Itoa(n) == step
}
