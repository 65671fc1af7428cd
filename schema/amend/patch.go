package amend

import (
	"fmt"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
)

// Step is one operation of a JSON Patch (RFC 6902, section 4): "add", "remove",
// "replace", "move" or "test".
type Step struct {
	Op, From, Path string
	Value          []byte // JSON; for "add", "replace" and "test"
}

// Patched returns data with all steps of a patch applied, one after the other.
// Where one of them cannot be applied none is: the error is one of this
// package's and says which step it is, from 1.
func Patched(data []byte, steps []Step) ([]byte, error) {
	for i, s := range steps {
		var err error
		if data, err = s.apply(data); err != nil {
			return nil, fmt.Errorf("step %d, %q of %q: %w", i+1, s.Op, s.Path, err)
		}
	}
	return data, nil
}

func (s Step) apply(data []byte) ([]byte, error) {
	switch s.Op {
	case "add":
		return Add(data, s.Path, s.Value)
	case "remove":
		return Remove(data, s.Path)
	case "replace":
		return Replace(data, s.Path, s.Value)
	case "move":
		return s.move(data)
	case "test":
		return data, s.test(data)
	}
	return nil, fmt.Errorf("%w: found %q, expected add, remove, replace, move or test", ErrOp, s.Op)
}

func (s Step) move(data []byte) ([]byte, error) {
	value, ok := Get(data, s.From)
	if !ok {
		return nil, fmt.Errorf("%w: nothing stands at %q", ErrMissing, s.From)
	}
	if strings.HasPrefix(s.Path, s.From+"/") {
		return nil, fmt.Errorf("%w: a value cannot be moved into itself", ErrOp)
	}
	data, err := Remove(data, s.From)
	if err != nil {
		return nil, err
	}
	return Add(data, s.Path, value)
}

// test holds what stands at a place against a value, however either is written
// (RFC 6902, section 4.6).
func (s Step) test(data []byte) error {
	is, ok := Get(data, s.Path)
	if !ok {
		return fmt.Errorf("%w: nothing stands at %q", ErrMissing, s.Path)
	}
	a, b := jsontext.Value(is).Clone(), jsontext.Value(s.Value).Clone()
	if a.Canonicalize() != nil || b.Canonicalize() != nil || string(a) != string(b) {
		return fmt.Errorf("%w: found %s, expected %s", ErrOp, is, s.Value)
	}
	return nil
}
