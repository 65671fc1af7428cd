package schema

import (
	"bytes"
	stdjson "encoding/json"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"unicode"

	"setline.example/schema/chance"
)

// missing skips a test whose outside program is not there, but fails where
// CI=true: a check that nobody made is not a check passed.
func missing(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is missing; see .ci/run", what)
	}
	t.Skipf("%s is missing, so this was not checked", what)
}

// ask gives an outside program a question as JSON and reads its answer.
func ask(t *testing.T, question, answer any, program ...string) {
	t.Helper()
	in, err := stdjson.Marshal(question)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), program[0], program[1:]...)
	var told bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), &told
	out, err := cmd.Output()
	if err == nil {
		err = stdjson.Unmarshal(out, answer)
	}
	if err != nil {
		t.Fatalf("%v: %v\n%.2000s", program, err, told.Bytes())
	}
}

// question is what the scripts in testdata/clients read.
type question struct {
	Schema  stdjson.RawMessage `json:"schema"`
	Records []string           `json:"records,omitempty"`
	Probes  []probe            `json:"probes,omitempty"`
}

// probe is a place in a text, in characters of UTF-16.
type probe struct {
	Text string `json:"text"`
	At   int    `json:"at"`
}

// editorAnswer is what testdata/clients/schema.cjs writes.
type editorAnswer struct {
	Ajv, Editor [][]string // what is wrong with each record
	Probes      []struct {
		Hover   string
		Offered []string
	}
}

func askEditor(t *testing.T, q question) (a editorAnswer) {
	t.Helper()
	if err := exec.Command("node", "-e", `require("ajv-formats"), require("vscode-json-languageservice")`).Run(); err != nil {
		missing(t, "node with ajv, ajv-formats and vscode-json-languageservice in NODE_PATH")
	}
	q.Schema = schemaJSON
	ask(t, q, &a, "node", "../testdata/clients/schema.cjs")
	return a
}

// pythonWithSchema names a Python that has jsonschema: the system's has it where
// it was installed as a package of the system, whichever stands first in PATH.
func pythonWithSchema(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(name, "-c", "import jsonschema").Run() == nil {
			return name
		}
	}
	missing(t, "python3-jsonschema")
	return ""
}

// changedRecords returns the examples, a record with everything, and 300 records
// changed value by value.
func changedRecords(t *testing.T) []string {
	t.Helper()
	rng := chance.Source(t)
	from := [][]byte{[]byte(full), examples(t)[1]}
	all := []string{full, string(examples(t)[0]), string(examples(t)[1])}
	for range 300 {
		all = append(all, string(changedValue(t, rng, from[rng.IntN(2)])))
	}
	return all
}

// TestOthersAgree: programs that know JSON Schema and nothing of the trade make
// of records what we make of them. Only that a length which has the pattern of
// one cannot be read, as 1/3 in, is seen by us alone; and the language service
// alone takes 1.0 for no whole number.
func TestOthersAgree(t *testing.T) {
	records := changedRecords(t)
	editor := askEditor(t, question{Records: records})
	var python [][]string
	ask(t, question{Schema: schemaJSON, Records: records}, &python, pythonWithSchema(t), "../testdata/clients/schema.py")
	for i, text := range records {
		ours, alone := fits(t, text)
		for _, other := range []struct {
			name  string
			wrong []string
		}{{"ajv", editor.Ajv[i]}, {"the language service", editor.Editor[i]}, {"python3-jsonschema", python[i]}} {
			theirs := !slices.ContainsFunc(other.wrong, func(s string) bool { return !ours || !strings.HasSuffix(s, `Expected "integer".`) })
			if ours != theirs && !(theirs && alone) {
				t.Errorf("record %d: we say fits=%v, %s finds %q in\n%.300s", i, ours, other.name, other.wrong, text)
			}
		}
	}
}

// fits says whether a record fits, and where it does not, whether all that is
// wrong are lengths whose text fits the pattern.
func fits(t *testing.T, text string) (fits, alone bool) {
	t.Helper()
	tree, err := newTreeBuilder(NewSource("x", []byte(text))).whole()
	if err != nil {
		t.Fatal(err)
	}
	failures := record.fit(tree)
	length := func(f failure) bool { return f.keyword == "format" && f.node["format"] == lengthFormat }
	patterns := slices.ContainsFunc(failures, func(f failure) bool { return f.keyword == "pattern" })
	return len(failures) == 0, !patterns && !slices.ContainsFunc(failures, func(f failure) bool { return !length(f) })
}

// TestEditorsExplain: at every field of a record an editor says what the schema
// says of that field, not of its type, and in a half-written record offers what
// can stand there.
func TestEditorsExplain(t *testing.T) {
	probes, want := fieldsOf(t, examples(t)[0])
	half := `{"setline": 1, "planned": {"rooms": [{"name": "1", "elevations": [{"name": "A", "opening": | }]}], "|`
	at := strings.Split(half, "|")
	probes = append(probes, probe{strings.Join(at, ""), len(at[0])}, probe{strings.Join(at, ""), len(at[0] + at[1])})
	answer := askEditor(t, question{Probes: probes})
	for i, description := range want {
		if got := plainHover(answer.Probes[i].Hover); got != plainHover(description) {
			t.Errorf("at %.60q an editor says\n\t%s\nexpected\n\t%s", probes[i].Text[probes[i].At:], got, description)
		}
	}
	if len(want) < 80 {
		t.Errorf("only %d fields looked at", len(want))
	}
	if got := answer.Probes[len(want)].Offered; !slices.Contains(got, `"34 1/2 in"`) {
		t.Errorf("for a length an editor offers %q", got)
	}
	if got := answer.Probes[len(want)+1].Offered; !slices.Contains(got, "limits") || slices.Contains(got, "rooms") {
		t.Errorf("for a field of what is planned an editor offers %q", got)
	}
}

// plainHover leaves of a text its letters and digits; an editor writes the rest
// in its own way.
func plainHover(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.In(r, unicode.L, unicode.N) {
			return r
		}
		return -1
	}, strings.ReplaceAll(s, "&nbsp;", " "))
}

// fieldsOf returns a place in each kind of field that a record has, and what the
// schema says of it.
func fieldsOf(t *testing.T, data []byte) (probes []probe, descriptions []string) {
	t.Helper()
	src := NewSource("x", data)
	tree, err := newTreeBuilder(src).whole()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	var walk func(value any, node map[string]any, at string)
	walk = func(value any, node map[string]any, at string) {
		if ref, ok := node["$ref"].(string); ok {
			to, _ := Lookup(record.raw(), Steps(strings.TrimPrefix(ref, "#")))
			node = to.(map[string]any)
		}
		switch value := value.(type) {
		case []any:
			for i, item := range value {
				walk(item, node["items"].(map[string]any), Pointer(at, i))
			}
		case map[string]any:
			for _, name := range sortedKeys(value) {
				field, known := Lookup(node, []string{"properties", name})
				if !known {
					field = node["additionalProperties"]
				}
				below, _ := field.(map[string]any)
				description, _ := below["description"].(string)
				if known && !seen[description] {
					seen[description] = true
					line, column := src.PlaceOfName(Pointer(at, name))
					probes = append(probes, probe{string(data), offsetUTF16(data, line, column) + 1})
					descriptions = append(descriptions, description)
				}
				walk(value[name], below, Pointer(at, name))
			}
		}
	}
	walk(tree, record.raw(), "")
	return probes, descriptions
}

// offsetUTF16 counts the characters of UTF-16 before a place.
func offsetUTF16(data []byte, line, column int) int {
	lines := bytes.SplitAfter(data, []byte("\n"))
	before := string(bytes.Join(lines[:line-1], nil)) + string([]rune(string(lines[line-1]))[:column-1])
	n := 0
	for _, r := range before {
		n += len(string(r)) / 4 // one more for those beyond the first plane
		n++
	}
	return n
}
