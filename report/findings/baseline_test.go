package findings_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"setline.example/report/findings"
)

func TestBaseline(t *testing.T) {
	data := read(t, annex)
	first := write(t, "json", findings.Run{}, []*findings.File{judge(t, findings.Selection{}, annex, data, "json")})
	// An offset of an inch at a joint that was flush.
	worse := strings.Replace(string(data), `"front_offset": "-1/64 in"`, `"front_offset": "1 in"`, 1)
	if worse == string(data) {
		t.Fatal("nothing was made worse")
	}
	here := func(string) bool { return true }
	gone := func(string) bool { return false }
	unseen := strings.NewReplacer(`"outcome": "fail"`, `"outcome": "not observed"`)
	for _, tc := range []struct {
		name     string
		baseline string
		there    func(string) bool
		path     string
		data     string
		passes   bool
	}{
		{"the same", string(first), here, annex, string(data), true},
		{"a new fault", string(first), here, annex, worse, false},
		{"renamed", string(first), gone, "other.json", string(data), true},
		{"renamed, with a new fault", string(first), gone, "other.json", worse, false},
		{"another record beside it", string(first), here, "other.json", string(data), false},
		{"worse than it was", unseen.Replace(string(first)), here, annex, string(data), false},
		{"nothing known", `{"setline_findings": 1, "files": []}`, here, annex, string(data), false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b, err := findings.ReadBaseline(strings.NewReader(tc.baseline), tc.there)
			if err != nil {
				t.Fatal(err)
			}
			f := judge(t, findings.Selection{Baseline: b}, tc.path, []byte(tc.data), "json")
			if f.Passes != tc.passes || f.Answer != findings.NotReady {
				t.Errorf("passes %t, answer %q; want %t, not ready", f.Passes, f.Answer, tc.passes)
			}
		})
	}
}

func TestNoBaseline(t *testing.T) {
	for name, text := range map[string]string{
		"nothing":        "",
		"no JSON":        "findings",
		"another format": `{"version": "2.1.0", "runs": []}`,
		"a later form":   `{"setline_findings": 2, "files": []}`,
		"cut off":        `{"setline_findings": 1, "files": [`,
	} {
		if _, err := findings.ReadBaseline(bytes.NewReader([]byte(text)), nil); !errors.Is(err, findings.ErrNoBaseline) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}
