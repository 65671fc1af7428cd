package amend_test

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"setline.example/schema/amend"
)

type edit func(data []byte, pointer string, value []byte) ([]byte, error)

var edits = []struct {
	name           string
	edit           edit
	text           string
	pointer, value string
	want           string
}{
	{"member after the last", amend.Add, "{\n  \"a\": 1,\n  \"b\": 2\n}\n", "/c", "3", "{\n  \"a\": 1,\n  \"b\": 2,\n  \"c\": 3\n}\n"},
	{"member that is there", amend.Add, "{\n  \"a\": 1,\n  \"b\": 2\n}\n", "/a", "3", "{\n  \"a\": 3,\n  \"b\": 2\n}\n"},
	{"line ends of two bytes", amend.Add, "{\r\n  \"a\": [\r\n    1\r\n  ]\r\n}\r\n", "/a/-", `{"b":[[[1]]]}`, "{\r\n  \"a\": [\r\n    1,\r\n    {\r\n      \"b\": [[[1]]]\r\n    }\r\n  ]\r\n}\r\n"},
	{"line ends of old machines", amend.Add, "{\r \"a\": 1\r}\r", "/b", "2", "{\r \"a\": 1,\r \"b\": 2\r}\r"},
	{"tabs", amend.Add, "{\n\t\"a\": {\n\t\t\"b\": 1\n\t}\n}", "/a/c", `{"d":{"e":{"f":{"g":1}}}}`, "{\n\t\"a\": {\n\t\t\"b\": 1,\n\t\t\"c\": {\n\t\t\t\"d\": {\"e\": {\"f\": {\"g\": 1}}}\n\t\t}\n\t}\n}"},
	{"four spaces", amend.Add, "{\n    \"a\": {}\n}\n", "/a/b", `[{"c":{"d":[1]}}]`, "{\n    \"a\": {\n        \"b\": [\n            {\"c\": {\"d\": [1]}}\n        ]\n    }\n}\n"},
	{"one line", amend.Add, `{"a": [1, 2]}`, "/b", `{"c":[[[[1,2]]]]}`, `{"a": [1, 2], "b": {"c": [[[[1, 2]]]]}}`},
	{"one line without spaces", amend.Add, `{"a":[1,2]}` + "\n", "/b", `{"c": [1, 2]}`, `{"a":[1,2],"b":{"c":[1,2]}}` + "\n"},
	{"empty object", amend.Add, "{}", "/a", "1", `{"a": 1}`},
	{"empty object over lines", amend.Add, "{\n}\n", "/a", "1", "{\n  \"a\": 1\n}\n"},
	{"empty list", amend.Add, "{\n  \"a\": []\n}\n", "/a/-", `["0 in", "44 in"]`, "{\n  \"a\": [[\"0 in\", \"44 in\"]]\n}\n"},
	{"empty list by index", amend.Add, "[ ]", "/0", "1", "[1]"},
	{"before the first", amend.Add, "[1, 2]", "/0", "0", "[0, 1, 2]"},
	{"between, each on a line", amend.Add, "[\n  1,\n  2\n]", "/1", "9", "[\n  1,\n  9,\n  2\n]"},
	{"before the first, each on a line", amend.Add, "[\n  1,\n  2\n]", "/0", "9", "[\n  9,\n  1,\n  2\n]"},
	{"at the end by index", amend.Add, "[1]", "/1", "2", "[1, 2]"},
	{"units begun beside the bracket", amend.Add, "{\"u\": [\n  {\"t\": \"A1\"}, {\"t\": \"A2\"}\n]}", "/u/-", `{"t":"A3"}`, "{\"u\": [\n  {\"t\": \"A1\"}, {\"t\": \"A2\"}, {\"t\": \"A3\"}\n]}"},
	{"escaped names", amend.Add, `{"a/b": {"m~n": {}}}`, "/a~1b/m~0n/~01", "1", `{"a/b": {"m~n": {"~1": 1}}}`},
	{"empty name", amend.Add, `{"": {}}`, "//", "1", `{"": {"": 1}}`},
	{"the whole", amend.Add, " {\"a\": 1}\n", "", `[2]`, " [2]\n"},
	{"a string stays as it is written", amend.Add, `{"a": "\u00e5\/"}`, "/b", `"\u00e9\/ \u2028"`, `{"a": "\u00e5\/", "b": "\u00e9\/ \u2028"}`},
	{"numbers stay as they are written", amend.Add, `[1.00]`, "/-", `-0.10e+5`, `[1.00, -0.10e+5]`},
	{"missing parents", amend.AddWithParents, "{\n  \"planned\": {}\n}\n", "/measured/visits/-", `{"date": "2026-09-08"}`, "{\n  \"planned\": {},\n  \"measured\": {\n    \"visits\": [\n      {\"date\": \"2026-09-08\"}\n    ]\n  }\n}\n"},
	{"parents that are there", amend.AddWithParents, `{"a": {"b": [1]}}`, "/a/b/-", "2", `{"a": {"b": [1, 2]}}`},
	{"parents inside a new element", amend.AddWithParents, `{"a": []}`, "/a/-", "2", `{"a": [2]}`},
	{"replace", amend.Replace, "{\n  \"a\": [1,\n 2]\n}\n", "/a/1", `{"b":2}`, "{\n  \"a\": [1,\n {\"b\": 2}]\n}\n"},
	{"replace by the same", amend.Replace, `{"a":   [1 , 2]}`, "/a", "[1,2]", `{"a":   [1 , 2]}`},
	{"too wide for one line", amend.Add, "{\n  \"a\": 1\n}\n", "/b", `["` + strings.Repeat("x", 60) + `","` + strings.Repeat("y", 30) + `"]`,
		"{\n  \"a\": 1,\n  \"b\": [\n    \"" + strings.Repeat("x", 60) + "\",\n    \"" + strings.Repeat("y", 30) + "\"\n  ]\n}\n"},
	{"just fits on one line", amend.Add, "{\n  \"a\": 1\n}\n", "/b", `["` + strings.Repeat("x", 84) + `",1]`,
		"{\n  \"a\": 1,\n  \"b\": [\"" + strings.Repeat("x", 84) + "\", 1]\n}\n"},
	{"one more does not fit", amend.Add, "{\n  \"a\": 1\n}\n", "/b", `["` + strings.Repeat("x", 86) + `",1]`,
		"{\n  \"a\": 1,\n  \"b\": [\n    \"" + strings.Repeat("x", 86) + "\",\n    1\n  ]\n}\n"},
	{"objects given over lines", amend.Add, "{\n\t\"a\": 1\n}\n", "/b", "{\"u\":[\n{\"t\":[\n1,\n2]}]}", "{\n\t\"a\": 1,\n\t\"b\": {\n\t\t\"u\": [\n\t\t\t{\"t\": [1, 2]}\n\t\t]\n\t}\n}\n"},
	{"objects given over lines, on one line", amend.Add, `{"a": 1}`, "/b", "[\n{}]", `{"a": 1, "b": [{}]}`},
	{"floor readings are pairs", amend.Add, "{\n  \"e\": {}\n}\n", "/e/front", `[["0 in","44 in"],["12 in","44 in"],["24 in","44 1/32 in"],["36 in","44 1/16 in"],["48 in","44 3/32 in"]]`, `{
  "e": {
    "front": [
      ["0 in", "44 in"],
      ["12 in", "44 in"],
      ["24 in", "44 1/32 in"],
      ["36 in", "44 1/16 in"],
      ["48 in", "44 3/32 in"]
    ]
  }
}
`},
}

func TestEdits(t *testing.T) {
	for _, tc := range edits {
		t.Run(tc.name, func(t *testing.T) {
			before := tc.text
			got, err := tc.edit([]byte(tc.text), tc.pointer, []byte(tc.value))
			if err != nil {
				t.Fatal(err)
			}
			if string(got) != tc.want {
				t.Errorf("got\n%s\nwant\n%s", got, tc.want)
			}
			if before != tc.text {
				t.Error("the input was changed")
			}
		})
	}
}

// TestAppend: several members at once come out as one after the other does.
func TestAppend(t *testing.T) {
	members := []amend.Member{{Name: "x", Value: []byte(`{"a":[1,2]}`)}, {Name: "y/~", Value: []byte(`"` + strings.Repeat("y", 90) + `"`)}, {Name: "z", Value: []byte("3")}}
	for _, text := range []string{"{\n\t\"a\": {\n\t\t\"b\": 1\n\t}\n}\n", "{\r\n  \"a\": {}\r\n}", `{"a":{"b":1,"c":2}}`, "{\n}\n"} {
		got, err := amend.Append([]byte(text), "/a", false, members)
		if err != nil {
			t.Fatal(err)
		}
		want := []byte(text)
		for i, pointer := range []string{"/a/x", "/a/y~1~0", "/a/z"} {
			if want, err = amend.AddWithParents(want, pointer, members[i].Value); err != nil {
				t.Fatal(err)
			}
		}
		if !reflect.DeepEqual(decoded(t, got), decoded(t, want)) {
			t.Errorf("got\n%s\nwant\n%s", got, want)
		}
		if strings.Contains(text, `"b"`) && string(got) != string(want) {
			t.Errorf("got\n%s\nwant\n%s", got, want)
		}
	}
	got, err := amend.Append([]byte("[\n 1\n]"), "", true, members)
	if want := "[\n 1,\n {\"a\": [1, 2]},\n \"" + strings.Repeat("y", 90) + "\",\n 3\n]"; err != nil || string(got) != want {
		t.Errorf("%s %v", got, err)
	}
	if got, err := amend.Append([]byte(`{}`), "/a/b", true, members[2:]); err != nil || string(got) != `{"a": {"b": [3]}}` {
		t.Errorf("%s %v", got, err)
	}
	for _, tc := range []struct {
		text string
		list bool
		want error
	}{{`{"a": {"z": 1}}`, false, amend.ErrThere}, {`{"a": []}`, false, amend.ErrInside}, {`{"a": {}}`, true, amend.ErrInside}, {`{"a": 1}`, true, amend.ErrInside}} {
		if _, err := amend.Append([]byte(tc.text), "/a", tc.list, members); !errors.Is(err, tc.want) {
			t.Errorf("%s: %v, want %v", tc.text, err, tc.want)
		}
	}
	if _, err := amend.Append([]byte(`{}`), "/a", false, append(members, members[0])); !errors.Is(err, amend.ErrThere) {
		t.Errorf("%v", err)
	}
}

func TestRefusals(t *testing.T) {
	for _, tc := range []struct {
		name                 string
		edit                 edit
		text, pointer, value string
		want                 error
	}{
		{"text that is no JSON", amend.Add, `{"a": `, "/b", "1", amend.ErrText},
		{"two texts", amend.Add, `{} {}`, "/b", "1", amend.ErrText},
		{"a byte-order mark", amend.Add, "\ufeff{}", "/b", "1", amend.ErrText},
		{"a name twice", amend.Add, `{"a": 1, "a": 2}`, "/b", "1", amend.ErrText},
		{"not UTF-8", amend.Add, "{\"a\": \"\xff\"}", "/b", "1", amend.ErrText},
		{"nothing", amend.Add, ``, "/b", "1", amend.ErrText},
		{"a value that is none", amend.Add, `{}`, "/b", "in", amend.ErrValue},
		{"two values", amend.Add, `{}`, "/b", "1 2", amend.ErrValue},
		{"a pointer without a slash", amend.Add, `{}`, "b", "1", amend.ErrPointer},
		{"a stray tilde", amend.Add, `{}`, "/b~2", "1", amend.ErrPointer},
		{"a pointer that is not UTF-8", amend.Add, `{}`, "/\xff", "1", amend.ErrPointer},
		{"a missing parent", amend.Add, `{}`, "/a/b", "1", amend.ErrMissing},
		{"an index past the end", amend.Add, `[1]`, "/2", "1", amend.ErrMissing},
		{"an index with a zero in front", amend.Add, `[1, 2]`, "/01", "1", amend.ErrMissing},
		{"a name in a list", amend.Add, `[1, 2]`, "/a", "1", amend.ErrMissing},
		{"into a string", amend.Add, `{"a": "b"}`, "/a/b", "1", amend.ErrInside},
		{"into a number, with parents", amend.AddWithParents, `{"a": 1}`, "/a/b/c", "1", amend.ErrInside},
		{"a missing parent in a list", amend.AddWithParents, `{"a": []}`, "/a/0/c", "1", amend.ErrMissing},
		{"replacing what is not there", amend.Replace, `{}`, "/a", "1", amend.ErrMissing},
		{"replacing past the end", amend.Replace, `[1]`, "/-", "1", amend.ErrMissing},
		{"too deep", amend.Add, strings.Repeat("[", 600) + strings.Repeat("]", 600), "/-", "1", amend.ErrText},
		{"a value too deep", amend.Add, "[]", "/-", strings.Repeat("[", 600) + strings.Repeat("]", 600), amend.ErrValue},
		{"a pointer too deep", amend.AddWithParents, "{}", strings.Repeat("/a", 600), "1", amend.ErrPointer},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := tc.edit([]byte(tc.text), tc.pointer, []byte(tc.value))
			if !errors.Is(err, tc.want) || got != nil {
				t.Errorf("%q, %v, want %v", got, err, tc.want)
			}
		})
	}
}
