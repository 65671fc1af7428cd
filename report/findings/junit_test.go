package findings_test

import (
	"encoding/xml"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"setline.example/checks"
	"setline.example/report/findings"
)

// TestJUnit reads the output with a reader of XML, and holds it against the
// schema of the tasks that made the format known, with xmllint.
func TestJUnit(t *testing.T) {
	files := sample(t, findings.Selection{}, "junit")
	out := write(t, "junit", findings.Run{}, files)
	var suites struct {
		Suites []struct {
			Name       string `xml:"name,attr"`
			Tests      int    `xml:"tests,attr"`
			Failures   int    `xml:"failures,attr"`
			Errors     int    `xml:"errors,attr"`
			Skipped    int    `xml:"skipped,attr"`
			Properties struct {
				All []struct {
					Name  string `xml:"name,attr"`
					Value string `xml:"value,attr"`
				} `xml:"property"`
			} `xml:"properties"`
			Cases []struct {
				Name    string    `xml:"name,attr"`
				Failure *struct{} `xml:"failure"`
				Error   *struct{} `xml:"error"`
				Skipped *string   `xml:"skipped"`
			} `xml:"testcase"`
		} `xml:"testsuite"`
	}
	if err := xml.Unmarshal(out, &suites); err != nil {
		t.Fatalf("%v in\n%.2000s", err, out)
	}
	if len(suites.Suites) != 5 { // two rooms, one, a record that cannot be used, one
		t.Errorf("%d suites, want 5", len(suites.Suites))
	}
	total := [4]int{}
	for _, s := range suites.Suites {
		counted := [4]int{len(s.Cases)}
		for _, c := range s.Cases {
			switch {
			case c.Failure != nil:
				counted[1]++
			case c.Error != nil:
				counted[2]++
			case c.Skipped != nil:
				counted[3]++
			}
		}
		if said := [4]int{s.Tests, s.Failures, s.Errors, s.Skipped}; said != counted {
			t.Errorf("%s says %v, and has %v", s.Name, said, counted)
		}
		for i, n := range counted {
			total[i] += n
		}
	}
	for i, room := range files[0].Rooms {
		ids := map[string]string{}
		for _, p := range suites.Suites[i].Properties.All {
			ids[p.Name] = p.Value
		}
		for _, r := range room.Results {
			if ids["rule_id of "+r.Rule] != r.RuleID || r.RuleID == "" {
				t.Errorf("%s: %q is the id of %s, want %q", room.Name, ids["rule_id of "+r.Rule], r.Rule, r.RuleID)
			}
		}
	}
	want := [4]int{2 + len(checks.Outcomes()), 14 + 3, 2, 1 + 2}
	for _, f := range files[:2] {
		for _, room := range f.Rooms {
			for _, n := range room.Counts {
				want[0] += n
			}
		}
	}
	if total != want {
		t.Errorf("cases, failures, errors, skipped: %v, want %v", total, want)
	}

	xmllint(t, out)
}

func xmllint(t *testing.T, out []byte) {
	t.Helper()
	if _, err := exec.LookPath("xmllint"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("xmllint is not installed; .ci/run must install it")
		}
		t.Skip("xmllint is not installed; .ci/run installs it")
	}
	path := filepath.Join(t.TempDir(), "junit.xml")
	if err := os.WriteFile(path, out, 0o644); err != nil {
		t.Fatal(err)
	}
	c := exec.CommandContext(t.Context(), "xmllint", "--noout", "--nonet", "--schema", "../../testdata/published/formats/junit-4.xsd", path)
	if said, err := c.CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, said)
	}
}
