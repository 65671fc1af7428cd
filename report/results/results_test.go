package results

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"
	"setline.example/checks"
	"setline.example/schema"
)

func of(t testing.TB, path string, edit ...string) (*Results, *checks.Findings) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	rec, src, err := schema.Read(path, []byte(strings.NewReplacer(edit...).Replace(string(data))))
	if err != nil {
		t.Fatal(err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	return Of(found), found
}

const metric = "../../examples/metric/job.json"

// TestThereAndBack: what is written is what the rules said, and fits the schema
// by a validator of its own.
func TestThereAndBack(t *testing.T) {
	validator, err := jsonschema.CompileString("results.schema.json", string(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{metric, "../../examples/annex/job.json"} {
		r, found := of(t, path)
		written := r.JSON()
		var tree any
		if err := json.Unmarshal(written, &tree); err != nil {
			t.Fatal(err)
		}
		if err := validator.Validate(tree); err != nil {
			t.Error(err)
		}
		back, err := Read(written)
		if err != nil {
			t.Fatal(err)
		}
		if diff := Compare(r, back); len(diff) > 0 || !bytes.Equal(back.JSON(), written) {
			t.Errorf("%s: %v", path, diff)
		}
		if back.Ready != found.Ready() || len(back.Results) != len(found.Results) || len(back.Rooms) != len(found.Rooms) {
			t.Errorf("%s: ready %v, %d results, %d rooms", path, back.Ready, len(back.Results), len(back.Rooms))
		}
		for i, one := range back.Results {
			f := found.Results[i]
			if one.Rule != f.Rule.ID || one.Outcome != string(f.Outcome) || (one.Value == nil) != (f.Value.Unit == checks.NoUnit) || one.Value != nil && one.Value.Number != f.Value.N {
				t.Errorf("%s: %+v is not %+v", path, one, f)
			}
		}
	}
}

func TestCompare(t *testing.T) {
	was, _ := of(t, metric)
	is, _ := of(t, metric, `"front_offset": "0.8 mm"`, `"front_offset": "2.8 mm"`)
	diff := Compare(was, is)
	if len(diff) != 1 || diff[0].Was.Outcome != "pass" || diff[0].Is.Outcome != "fail" {
		t.Fatalf("%v", diff)
	}
	want := "fronts-flush at 1.12/N2+N3: the report says pass (800000 nm, limit 1500000 nm), this version says fail (2800000 nm, limit 1500000 nm)"
	if got := diff[0].String(); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}

	// Rules that came and went, and one that speaks twice of one place.
	dropped := *was
	dropped.Results = was.Results[1:]
	if d := Compare(was, &dropped); len(d) != 1 || d[0].Is != nil || d[0].Was.Rule != was.Results[0].Rule || !strings.HasSuffix(d[0].String(), "this version says nothing") {
		t.Errorf("%v", d)
	}
	if d := Compare(&dropped, was); len(d) != 1 || d[0].Was != nil {
		t.Errorf("%v", d)
	}
	twice := *was
	twice.Results = append(append([]Result{}, was.Results...), was.Results[0])
	if d := Compare(&twice, was); len(d) != 1 || d[0].Is != nil {
		t.Errorf("%v", d)
	}
}

func TestReadRefuses(t *testing.T) {
	for _, text := range []string{"", "[]", `{"setline_results": 2}`, `{"ready": true}`, `{"setline_results": 1, "results": {}}`} {
		if _, err := Read([]byte(text)); !errors.Is(err, ErrForm) {
			t.Errorf("%q: %v", text, err)
		}
	}
	if _, err := Read([]byte(`{"setline_results": 1, "weather": "fine", "results": [{"rule": "a", "mood": 1}]}`)); err != nil {
		t.Errorf("fields of a later version: %v", err)
	}
}
