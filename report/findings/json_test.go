package findings_test

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"
	"setline.example/checks"
	"setline.example/report/findings"
)

// valid holds a document against a JSON Schema with a validator from outside.
func valid(t *testing.T, schemaText, document []byte) {
	t.Helper()
	c := jsonschema.NewCompiler()
	c.AssertFormat = true
	if err := c.AddResource("mem:schema", bytes.NewReader(schemaText)); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("mem:schema")
	if err != nil {
		t.Fatal(err)
	}
	d := json.NewDecoder(bytes.NewReader(document))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		t.Fatalf("%v in\n%.2000s", err, document)
	}
	if err := s.Validate(v); err != nil {
		t.Errorf("%#v", err)
	}
	// A schema that takes anything would say nothing.
	v.(map[string]any)["unheard of"] = 1
	if s.Validate(v) == nil {
		t.Error("the schema takes a member that it does not know")
	}
}

func TestJSONFitsItsSchema(t *testing.T) {
	long(t)
	s := findings.Selection{All: true}
	files := sample(t, s, "json")
	for name, files := range map[string][]*findings.File{"none": nil, "one": files[:1], "all": files} {
		t.Run(name, func(t *testing.T) {
			out := write(t, "json", findings.Run{Program: "devel", Shown: s.Shown()}, files)
			valid(t, findings.Schema(), out)
			// It is the model itself, with nothing lost.
			d := json.NewDecoder(bytes.NewReader(out))
			d.DisallowUnknownFields()
			var back findings.Report
			if err := d.Decode(&back); err != nil {
				t.Fatal(err)
			}
			if len(back.Files) != len(files) || back.Summary.Files != len(files) {
				t.Fatalf("%d files, %d in the summary, want %d", len(back.Files), back.Summary.Files, len(files))
			}
			for i := range files {
				want, _ := json.Marshal(files[i])
				got, _ := json.Marshal(back.Files[i])
				if !bytes.Equal(got, want) {
					t.Errorf("file %d is not what was written:\n%.300s\nwant\n%.300s", i, got, want)
				}
			}
		})
	}
}

// TestPlaces: line and column of every result lead to the value that its
// pointer names, found here by another way: encoding/json and the line's text.
func TestPlaces(t *testing.T) {
	data := read(t, annex)
	rows := strings.Split(string(data), "\n")
	var root any
	if err := json.Unmarshal(data, &root); err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, room := range judge(t, findings.Selection{All: true}, annex, data, "json").Rooms {
		for _, r := range room.Results {
			at := root
			for _, step := range strings.Split(strings.TrimPrefix(r.Pointer, "/"), "/") {
				step = strings.NewReplacer("~1", "/", "~0", "~").Replace(step)
				switch v := at.(type) {
				case map[string]any:
					at = v[step]
				case []any:
					if n, err := strconv.Atoi(step); err == nil && n < len(v) {
						at = v[n]
					}
				}
			}
			text, ok := at.(string)
			if !ok {
				continue
			}
			quoted, _ := json.Marshal(text)
			if rest := string([]rune(rows[r.Line-1])[r.Column-1:]); !strings.HasPrefix(rest, string(quoted)) {
				t.Errorf("%s %s: %d:%d is %.40q, want %s", r.Rule, r.Subject, r.Line, r.Column, rest, quoted)
			}
			seen++
		}
	}
	if seen < 50 {
		t.Errorf("only %d places held against the text", seen)
	}
}

// TestFingerprints: they are one of a kind in a record, and stay when the
// record is put in another order or something else is found in it.
func TestFingerprints(t *testing.T) {
	data := read(t, annex)
	prints := func(data []byte, path string) map[string]string {
		out := map[string]string{}
		for _, room := range judge(t, findings.Selection{All: true}, path, data, "json").Rooms {
			for _, r := range room.Results {
				if was, ok := out[r.Fingerprint]; ok {
					t.Errorf("%s %s has the fingerprint of %s", r.Rule, r.Subject, was)
				}
				out[r.Fingerprint] = r.Rule + " " + r.Subject
			}
		}
		return out
	}
	want := prints(data, annex)
	moved := shuffled(t, rand.New(rand.NewPCG(1, 1)), data)
	if bytes.Equal(moved, data) {
		t.Fatal("nothing was put in another order")
	}
	got := prints(moved, "elsewhere/other.json")
	if len(got) != len(want) || len(want) < 100 {
		t.Errorf("%d fingerprints, %d in another order", len(want), len(got))
	}
	for f, of := range want {
		if got[f] != of {
			t.Errorf("%s is now %q", of, got[f])
		}
	}
}

func TestSelection(t *testing.T) {
	data := read(t, annex)
	outcomes := func(f *findings.File) map[checks.Outcome]int {
		n := map[checks.Outcome]int{}
		for _, room := range f.Rooms {
			for _, r := range room.Results {
				n[r.Outcome]++
			}
		}
		return n
	}
	for _, tc := range []struct {
		name   string
		s      findings.Selection
		format string
		rooms  int
		passes bool
		shown  map[checks.Outcome]int
	}{
		{"what is not right", findings.Selection{}, "text", 2, false, map[checks.Outcome]int{checks.Fail: 5, checks.NotObserved: 9, checks.Conceded: 1}},
		{"everything", findings.Selection{All: true}, "text", 2, false, map[checks.Outcome]int{checks.Fail: 5, checks.NotObserved: 9, checks.Conceded: 1, checks.Pass: 364}},
		{"a format that wants passes", findings.Selection{}, "junit", 2, false, map[checks.Outcome]int{checks.Fail: 5, checks.NotObserved: 9, checks.Conceded: 1, checks.Pass: 364}},
		{"one rule that fails", findings.Selection{Rules: []string{"drawers home"}}, "text", 2, false, map[checks.Outcome]int{checks.Fail: 1}},
		{"one rule that does not", findings.Selection{Rules: []string{"cabinet twist"}}, "text", 2, true, map[checks.Outcome]int{}},
		{"rooms not ready", findings.Selection{NotReadyOnly: true}, "text", 1, false, map[checks.Outcome]int{checks.Fail: 5, checks.NotObserved: 9}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			f := judge(t, tc.s, annex, data, tc.format)
			if f.Answer != findings.NotReady {
				t.Errorf("answer %q: it must not change with what is shown", f.Answer)
			}
			got := outcomes(f)
			for _, o := range checks.Outcomes() {
				if got[o] != tc.shown[o] {
					t.Errorf("%d %s, want %d", got[o], o, tc.shown[o])
				}
			}
			if len(f.Rooms) != tc.rooms || f.Passes != tc.passes {
				t.Errorf("%d rooms, passes %t; want %d, %t", len(f.Rooms), f.Passes, tc.rooms, tc.passes)
			}
		})
	}
}
