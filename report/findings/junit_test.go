package findings_test

import (
	"encoding/xml"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/report/findings"
)

// junitRead is what a reader of XML finds in the output.
type junitRead struct {
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
		Cases []junitReadCase `xml:"testcase"`
	} `xml:"testsuite"`
}

type junitReadCase struct {
	Class   string    `xml:"classname,attr"`
	Name    string    `xml:"name,attr"`
	Failure *struct{} `xml:"failure"`
	Error   *struct{} `xml:"error"`
	Skipped *string   `xml:"skipped"`
	Out     string    `xml:"system-out"`
}

func readJUnit(t *testing.T, out []byte) junitRead {
	t.Helper()
	var suites junitRead
	if err := xml.Unmarshal(out, &suites); err != nil {
		t.Fatalf("%v in\n%.2000s", err, out)
	}
	return suites
}

// results is how many results a case stands for.
func (c *junitReadCase) results(t *testing.T) int {
	t.Helper()
	says := c.Out
	if c.Skipped != nil {
		says = *c.Skipped
	}
	for _, o := range []checks.Outcome{checks.Pass, checks.NotApplicable} {
		count, ok := strings.CutPrefix(says, string(o)+": ")
		if !ok {
			continue
		}
		n, err := strconv.Atoi(count)
		if err != nil || n < 1 {
			t.Errorf("%s: %q counts nothing", c.Name, says)
		}
		return n
	}
	return 1
}

// TestJUnit reads the output with a reader of XML, and holds it against the
// schema of the tasks that made the format known, with xmllint: what suites
// say of their cases is so, every result is a case or counted by one, the
// class is the file, and a name is the name of one case.
func TestJUnit(t *testing.T) {
	files := sample(t, findings.Selection{}, "junit")
	out := write(t, "junit", findings.Run{}, files)
	suites := readJUnit(t, out)
	if len(suites.Suites) != 5 { // two rooms, one, a record that cannot be used, one
		t.Errorf("%d suites, want 5", len(suites.Suites))
	}
	total := [5]int{}
	for _, s := range suites.Suites {
		counted := [4]int{len(s.Cases)}
		names := map[string]bool{}
		for _, c := range s.Cases {
			switch {
			case c.Failure != nil:
				counted[1]++
			case c.Error != nil:
				counted[2]++
			case c.Skipped != nil:
				counted[3]++
			}
			if names[c.Name] {
				t.Errorf("%s has two cases named %q", s.Name, c.Name)
			}
			names[c.Name] = true
			if c.Class == "" || !strings.HasPrefix(s.Name, c.Class) {
				t.Errorf("%s: %q is of class %q, want its file", s.Name, c.Name, c.Class)
			}
			total[4] += c.results(t)
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
	results := 2 + len(checks.Outcomes())
	for _, f := range files[:2] {
		for _, room := range f.Rooms {
			for _, n := range room.Counts {
				results += n
			}
		}
	}
	if got, want := [4]int{total[1], total[2], total[4]}, [4]int{14 + 3, 2, results}; got != want {
		t.Errorf("failures, errors, results: %v, want %v", got, want)
	}
	if total[0]*3 > results {
		t.Errorf("%d cases for %d results: what passes is not counted", total[0], results)
	}

	xmllint(t, out)
}

// TestJUnitNamesAreUnique asks for one name again and again, also for those
// that a number made.
func TestJUnitNamesAreUnique(t *testing.T) {
	room := findings.Room{Name: "R", Answer: findings.NotReady, Counts: map[checks.Outcome]int{checks.Fail: 15}}
	for _, subject := range []string{"R/A", "R/A", "R/B", "R/A", "R/A"} {
		for _, rule := range []string{"fronts flush", "fronts flush (2)", "fronts flush (2) (2)"} {
			room.Results = append(room.Results, findings.Result{Rule: rule, Subject: subject, Outcome: checks.Fail})
		}
	}
	out := write(t, "junit", findings.Run{}, []*findings.File{{Path: "a.json", Answer: findings.NotReady, Rooms: []findings.Room{room}}})
	names := map[string]bool{}
	for _, c := range readJUnit(t, out).Suites[0].Cases {
		names[c.Name] = true
	}
	if len(names) != len(room.Results) {
		t.Errorf("%d names for %d cases: %v", len(names), len(room.Results), names)
	}
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
