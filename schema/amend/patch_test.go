package amend_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/chance"
)

// patched computes on plain values what RFC 6902 says of "add" and "replace",
// by other means than the package under test. ok is false where it refuses.
func patched(doc any, steps []string, value any, add bool) (any, bool) {
	if len(steps) == 0 {
		return value, true
	}
	step, last := steps[0], len(steps) == 1
	switch at := doc.(type) {
	case map[string]any:
		child, there := at[step]
		if !there && !(last && add) {
			return nil, false
		}
		next, ok := patched(child, steps[1:], value, add)
		if !ok {
			return nil, false
		}
		out := map[string]any{step: next}
		for k, v := range at {
			if k != step {
				out[k] = v
			}
		}
		return out, true
	case []any:
		if last && add && step == "-" {
			return append(slices.Clone(at), value), true
		}
		i, err := strconv.ParseUint(step, 10, 32)
		if err != nil || len(step) > 1 && step[0] == '0' || i > uint64(len(at)) || !(last && add) && i == uint64(len(at)) {
			return nil, false
		}
		if last && add {
			return slices.Insert(slices.Clone(at), int(i), value), true
		}
		next, ok := patched(at[i], steps[1:], value, add)
		out := slices.Clone(at)
		out[i] = next
		return out, ok
	}
	return nil, false
}

func decoded(t *testing.T, text []byte) any {
	t.Helper()
	dec := json.NewDecoder(strings.NewReader(string(text)))
	dec.UseNumber()
	var v any
	if err := dec.Decode(&v); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	return v
}

// hold applies one edit both ways and compares.
func hold(t *testing.T, text []byte, steps []string, value []byte, add bool) []byte {
	t.Helper()
	pointer := ""
	for _, s := range steps {
		pointer = schema.Pointer(pointer, s)
	}
	do := amend.Replace
	if add {
		do = amend.Add
	}
	got, err := do(text, pointer, value)
	want, ok := patched(decoded(t, text), steps, decoded(t, value), add)
	if ok != (err == nil) {
		t.Fatalf("%q into\n%s\nerror %v, on values %v", pointer, text, err, ok)
	}
	if err != nil {
		return text
	}
	if !reflect.DeepEqual(decoded(t, got), want) {
		t.Fatalf("%q := %s into\n%s\ngives\n%s\nwant %v", pointer, value, text, got, want)
	}
	return got
}

// maker makes random values, texts and pointers.
type maker struct{ *rand.Rand }

func (m maker) value(depth int) any {
	switch n := m.IntN(8); {
	case depth <= 0 || n < 3:
		return []any{"34 1/2 in", "å/~\"\\", json.Number("12.50"), true, nil, ""}[m.IntN(6)]
	case n < 6:
		out := map[string]any{}
		for range m.IntN(5) {
			out[m.name()] = m.value(depth - 1)
		}
		return out
	default:
		out := []any{}
		for range m.IntN(5) {
			out = append(out, m.value(depth-1))
		}
		return out
	}
}

func (m maker) name() string {
	return []string{"a", "b", "rooms", "", "m~n", "a/b", "~1", "-", "0", "ä\n\"", "S-104"}[m.IntN(11)]
}

// text writes v in one of the styles that files come in.
func (m maker) text(t *testing.T, v any) []byte {
	var out []byte
	var err error
	if indent := []string{"", "  ", "    ", "\t", " "}[m.IntN(5)]; indent == "" {
		out, err = json.Marshal(v)
	} else {
		out, err = json.MarshalIndent(v, "", indent)
	}
	if err != nil {
		t.Fatal(err)
	}
	text := strings.ReplaceAll(string(out), "\n", []string{"\n", "\r\n", "\r", "\n\n"}[m.IntN(4)])
	return []byte(text + []string{"", "\n", "\r\n", "\t\n"}[m.IntN(4)])
}

// steps gives a way into v that is mostly there.
func (m maker) steps(v any) []string {
	var steps []string
	for m.IntN(5) > 0 {
		step := m.name()
		switch at := v.(type) {
		case map[string]any:
			for k := range at {
				if m.IntN(3) == 0 {
					step = k
					break
				}
			}
			v = at[step]
		case []any:
			i := m.IntN(len(at) + 2)
			step, v = strconv.Itoa(i), nil
			if m.IntN(3) == 0 {
				step = "-"
			} else if i < len(at) {
				v = at[i]
			}
		}
		steps = append(steps, step)
		if v == nil {
			break
		}
	}
	return steps
}

// TestSameAsOnValues holds random edits of random texts against the same
// edits of decoded values (RFC 6902, sections 4.1 and 4.3).
func TestSameAsOnValues(t *testing.T) {
	m := maker{chance.Source(t)}
	n := 4000
	if testing.Short() {
		n = 800
	}
	for range n {
		text := m.text(t, m.value(4))
		for range 3 {
			value, err := json.Marshal(m.value(4))
			if err != nil {
				t.Fatal(err)
			}
			text = hold(t, text, m.steps(decoded(t, text)), value, m.IntN(4) > 0)
		}
	}
}

// TestOnlyNewLines: a new member on a line of its own leaves every line as it
// was, but for the comma behind the one that was last.
func TestOnlyNewLines(t *testing.T) {
	for _, path := range []string{"../../examples/annex/job.json", "../../examples/metric/job.json"} {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, ends := range []string{"\n", "\r\n"} {
			text := strings.ReplaceAll(string(data), "\n", ends)
			for _, pointer := range []string{
				"/planned/rooms/-", "/planned/rooms/0", "/planned/rooms/0/elevations/-", "/planned/rooms/0/elevations/0/units/-",
				"/planned/rooms/0/elevations/0/units/2", "/planned/cabinets/new", "/planned/new", "/new", "/measured/visits/-", "/agreed/new",
				"/planned/fasteners/new", "/arrived/packing_lists/new", "/measured/visits/0/rooms/new",
			} {
				value := fmt.Sprintf(`{"name": "new", "list": [["0 in", "44 in"], ["12 in", "44 in"]], "text": %q}`, strings.Repeat("x", 80))
				got, err := amend.Add([]byte(text), pointer, []byte(value))
				if err != nil {
					t.Fatal(err)
				}
				old, now := strings.SplitAfter(text, ends), strings.SplitAfter(string(got), ends)
				i := 0
				for i < len(old) && old[i] == now[i] {
					i++
				}
				commas := 0
				if i < len(old) && strings.Replace(old[i], ends, ","+ends, 1) == now[i] {
					i++
					commas = 1
				}
				added := len(now) - len(old)
				if added < 1 || !slices.Equal(old[i:], now[i+added:]) {
					t.Errorf("%s %s: lines other than the new ones changed, from line %d", path, pointer, i+1)
				}
				if end := strings.HasSuffix(pointer, "-") || strings.HasSuffix(pointer, "new"); end != (commas == 1) {
					t.Errorf("%s %s: %d commas added to the line before", path, pointer, commas)
				}
				for _, line := range now[i : i+added] {
					if !strings.HasSuffix(line, ends) || strings.Contains(strings.TrimSuffix(line, ends), "\r") {
						t.Errorf("%s %s: line end of %q", path, pointer, line)
					}
				}
			}
		}
	}
}

// TestTakenApartAndPutBack: a record made again by adding its members to
// nothing holds the same values, and is laid out over lines.
func TestTakenApartAndPutBack(t *testing.T) {
	data, err := os.ReadFile("../../examples/annex/job.json")
	if err != nil {
		t.Fatal(err)
	}
	text := []byte("{\n  \"setline\": 1\n}\n")
	for _, part := range []string{"planned", "arrived", "measured", "agreed", "$schema"} {
		value, err := json.Marshal(decoded(t, data).(map[string]any)[part])
		if err != nil {
			t.Fatal(err)
		}
		text, err = amend.Add(text, schema.Pointer("", part), value)
		if err != nil {
			t.Fatal(err)
		}
	}
	if !reflect.DeepEqual(decoded(t, text), decoded(t, data)) {
		t.Error("values differ")
	}
	if lines := strings.Count(string(text), "\n"); lines < 500 {
		t.Errorf("%d lines", lines)
	}
}

func FuzzAdd(f *testing.F) {
	for _, tc := range edits {
		f.Add([]byte(tc.text), tc.pointer, []byte(tc.value))
	}
	f.Fuzz(func(t *testing.T, text []byte, pointer string, value []byte) {
		for name, do := range map[string]edit{"add": amend.Add, "replace": amend.Replace, "parents": amend.AddWithParents} {
			got, err := do(text, pointer, value)
			if err != nil {
				if got != nil {
					t.Errorf("%s: text with error %v", name, err)
				}
				continue
			}
			if name == "parents" {
				if !json.Valid(got) {
					t.Errorf("%s: broken JSON: %q", name, got)
				}
				continue
			}
			var steps []string
			if pointer != "" {
				for step := range strings.SplitSeq(pointer[1:], "/") {
					steps = append(steps, strings.NewReplacer("~1", "/", "~0", "~").Replace(step))
				}
			}
			want, ok := patched(decoded(t, text), steps, decoded(t, value), name == "add")
			if !ok || !reflect.DeepEqual(decoded(t, got), want) {
				t.Errorf("%s %q := %q into %q gives %q", name, pointer, value, text, got)
			}
		}
	})
}
