package amend_test

import (
	"bytes"
	"errors"
	"reflect"
	"slices"
	"strconv"
	"testing"

	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/chance"
)

func TestRemove(t *testing.T) {
	for _, tc := range []struct{ name, text, pointer, want string }{
		{"the first", `{"a": 1, "b": 2}`, "/a", `{"b": 2}`},
		{"one between", "[1, 2 , 3]", "/1", "[1 , 3]"},
		{"the last, on a line of its own", "{\n  \"a\": 1,\n  \"b\": 2\n}\n", "/b", "{\n  \"a\": 1\n}\n"},
		{"the first, on a line of its own", "{\n  \"a\": 1,\n  \"b\": 2\n}\n", "/a", "{\n  \"b\": 2\n}\n"},
		{"the only one", "{\n  \"a\": [\n    1\n  ]\n}\n", "/a/0", "{\n  \"a\": []\n}\n"},
		{"an escaped name", `{"a/b": {"c": 1, "d": 2}}`, "/a~1b/c", `{"a/b": {"d": 2}}`},
	} {
		got, err := amend.Remove([]byte(tc.text), tc.pointer)
		if err != nil || string(got) != tc.want {
			t.Errorf("%s: got %q %v, want %q", tc.name, got, err, tc.want)
		}
	}
	for _, pointer := range []string{"", "/c", "/a/1", "/b/0"} {
		if _, err := amend.Remove([]byte(`{"a": [1], "b": 2}`), pointer); err == nil {
			t.Errorf("%q was removed", pointer)
		}
	}
	if _, err := amend.Remove([]byte(`{"a": 1}`), "/c"); !errors.Is(err, amend.ErrMissing) {
		t.Errorf("%v", err)
	}
}

// removed computes on plain values what RFC 6902 says of "remove".
func removed(doc any, steps []string) any {
	switch at := doc.(type) {
	case map[string]any:
		out := map[string]any{}
		for k, v := range at {
			if k != steps[0] {
				out[k] = v
			} else if len(steps) > 1 {
				out[k] = removed(v, steps[1:])
			}
		}
		return out
	case []any:
		i, _ := strconv.Atoi(steps[0])
		out := slices.Clone(at)
		if len(steps) == 1 {
			return slices.Delete(out, i, i+1)
		}
		out[i] = removed(at[i], steps[1:])
		return out
	}
	return doc
}

// ways gives the steps to every value inside doc.
func ways(doc any, to []string) (all [][]string) {
	if len(to) > 0 {
		all = append(all, slices.Clone(to))
	}
	switch at := doc.(type) {
	case map[string]any:
		for k, v := range at {
			all = append(all, ways(v, append(to, k))...)
		}
	case []any:
		for i, v := range at {
			all = append(all, ways(v, append(to, strconv.Itoa(i)))...)
		}
	}
	return all
}

// TestRemoveAsOnValues removes every value of random texts, and holds what is
// left against what is left of the plain values; what was there is what Get gives.
func TestRemoveAsOnValues(t *testing.T) {
	m := maker{chance.Source(t)}
	for range 200 {
		text := m.text(t, m.value(3))
		doc := decoded(t, text)
		for _, steps := range ways(doc, nil) {
			pointer := ""
			for _, s := range steps {
				pointer = schema.Pointer(pointer, s)
			}
			got, err := amend.Remove(text, pointer)
			if err != nil {
				t.Fatalf("%q of\n%s\n%v", pointer, text, err)
			}
			if want := removed(doc, steps); !reflect.DeepEqual(decoded(t, got), want) {
				t.Fatalf("%q of\n%s\ngives\n%s\nwant %v", pointer, text, got, want)
			}
			value, ok := amend.Get(text, pointer)
			if there, _ := schema.Lookup(doc, steps); !ok || !reflect.DeepEqual(decoded(t, bytes.TrimSpace(value)), there) {
				t.Fatalf("%q of\n%s\nis %s, want %v", pointer, text, value, there)
			}
		}
	}
}
