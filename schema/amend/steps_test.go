package amend_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	jsonpatch "github.com/evanphx/json-patch/v5"
	"github.com/wI2L/jsondiff"

	"setline.example/schema/amend"
	"setline.example/schema/chance"
)

// TestPatchedAsOthersDo lets one library make patches between random values, and
// another apply them: what it makes of the first value is what Patched makes, and
// is the second.
func TestPatchedAsOthersDo(t *testing.T) {
	m := maker{chance.Source(t)}
	for range 1000 {
		was, is := m.value(4), m.value(4)
		from, moved, to := m.text(t, map[string]any{"x": was}), m.text(t, map[string]any{"y": was}), m.text(t, map[string]any{"y": is})
		patch, err := jsondiff.CompareJSON(moved, to, jsondiff.LCS(), jsondiff.UnmarshalFunc(numbersAsWritten))
		if err != nil {
			t.Fatal(err)
		}
		patch = slices.Insert(patch, 0, jsondiff.Operation{Type: jsondiff.OperationMove, From: "/x", Path: "/y"})
		steps := make([]amend.Step, len(patch))
		for i, op := range patch {
			value, err := json.Marshal(op.Value)
			if err != nil {
				t.Fatal(err)
			}
			steps[i] = amend.Step{Op: op.Type, From: op.From, Path: op.Path, Value: value}
		}
		got, err := amend.Patched(from, steps)
		if err != nil {
			t.Fatalf("%s\nto\n%s\nby\n%s: %v", from, to, patch, err)
		}
		if !reflect.DeepEqual(decoded(t, got), decoded(t, to)) {
			t.Fatalf("%s\nby\n%s\nfound\n%s\nexpected\n%s", from, patch, got, to)
		}
		if slices.ContainsFunc(patch, nameless) {
			continue // they know no member whose name is empty
		}
		other, err := jsonpatch.DecodePatch([]byte(mustJSON(t, patch)))
		if err != nil {
			t.Fatal(err)
		}
		theirs, err := other.Apply(from)
		if err != nil {
			t.Fatalf("%s by %s: %v", from, patch, err)
		}
		if !reflect.DeepEqual(decoded(t, got), decoded(t, theirs)) {
			t.Fatalf("%s\nby\n%s\nfound\n%s\nthey\n%s", from, patch, got, theirs)
		}
	}
}

func nameless(op jsondiff.Operation) bool {
	return strings.Contains(op.Path+"/", "//") || strings.Contains(op.From+"/", "//")
}

func numbersAsWritten(text []byte, to any) error {
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	return dec.Decode(to)
}

func mustJSON(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestPatchedRefuses: a patch is applied as a whole or not at all. The first cases
// are those of RFC 6902, appendix A.9, A.12 and A.14.
func TestPatchedRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		text  string
		steps []amend.Step
		is    error
	}{
		"a test that does not hold":     {`{"baz": "qux"}`, []amend.Step{{Op: "test", Path: "/baz", Value: []byte(`"bar"`)}}, amend.ErrOp},
		"to what is not there":          {`{"foo": "bar"}`, []amend.Step{{Op: "add", Path: "/baz/bat", Value: []byte(`"qux"`)}}, amend.ErrMissing},
		"a number is no text":           {`{"/": 9, "~1": 10}`, []amend.Step{{Op: "test", Path: "/~01", Value: []byte(`"10"`)}}, amend.ErrOp},
		"a test of what is not there":   {`{}`, []amend.Step{{Op: "test", Path: "/a", Value: []byte(`1`)}}, amend.ErrMissing},
		"a move from what is not there": {`{}`, []amend.Step{{Op: "move", From: "/a", Path: "/b"}}, amend.ErrMissing},
		"a move into itself":            {`{"a": {}}`, []amend.Step{{Op: "move", From: "/a", Path: "/a/b"}}, amend.ErrOp},
		"an operation of its own":       {`{}`, []amend.Step{{Op: "copy", From: "/a", Path: "/b"}}, amend.ErrOp},
		"the second of two":             {`{}`, []amend.Step{{Op: "add", Path: "/a", Value: []byte(`1`)}, {Op: "remove", Path: "/b"}}, amend.ErrMissing},
	} {
		if got, err := amend.Patched([]byte(c.text), c.steps); !errors.Is(err, c.is) || got != nil {
			t.Errorf("%s: found %s and %v, expected %v", name, got, err, c.is)
		}
	}
	got, err := amend.Patched([]byte(`{"a": {"b": 1.0}, "c": []}`), []amend.Step{
		{Op: "test", Path: "/a/b", Value: []byte("1")}, {Op: "move", From: "/a/b", Path: "/c/-"}, {Op: "replace", Path: "/a", Value: []byte("null")}})
	if err != nil || string(got) != `{"a": null, "c": [1.0]}` {
		t.Errorf("found %s and %v", got, err)
	}
}
