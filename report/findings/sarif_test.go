package findings_test

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/report/findings"
)

// log is what is looked at of a SARIF file.
type log struct {
	Runs []struct {
		Tool struct {
			Driver struct {
				Rules []struct {
					ID, Name string
					Help     struct{ Text string }
				}
			}
		}
		ColumnKind string
		Results    []struct {
			RuleID              string
			RuleIndex           int
			Kind, Level         string
			Message             struct{ Text string }
			BaselineState       string
			PartialFingerprints map[string]string
			Suppressions        []struct{ Kind, Status, Justification string }
			Locations           []struct {
				PhysicalLocation struct {
					ArtifactLocation struct {
						URI   string
						Index int
					}
					Region struct{ StartLine, StartColumn int }
				}
				LogicalLocations []struct{ FullyQualifiedName string }
			}
			Properties map[string]any
		}
		Artifacts []struct {
			Location struct{ URI string }
			Hashes   map[string]string
		}
		Invocations []struct {
			ExecutionSuccessful        bool
			ExitCode                   int
			ToolExecutionNotifications []struct {
				Level   string
				Message struct{ Text string }
			}
		}
	}
}

func sarifOf(t *testing.T, s findings.Selection, files []*findings.File) (log, []byte) {
	t.Helper()
	out := write(t, "sarif", findings.Run{Program: "devel", Shown: s.Shown()}, files)
	var l log
	if err := json.Unmarshal(out, &l); err != nil {
		t.Fatal(err)
	}
	if len(l.Runs) != 1 {
		t.Fatalf("%d runs", len(l.Runs))
	}
	return l, out
}

// TestSARIFFitsTheStandard holds the output against the JSON Schema that
// OASIS publishes for SARIF 2.1.0 with errata 01.
func TestSARIFFitsTheStandard(t *testing.T) {
	long(t)
	published := read(t, filepath.FromSlash("../../testdata/published/formats/sarif-schema-2.1.0.json"))
	s := findings.Selection{All: true}
	files := sample(t, s, "sarif")
	for name, files := range map[string][]*findings.File{"none": nil, "one": files[:1], "all": files} {
		t.Run(name, func(t *testing.T) {
			_, out := sarifOf(t, s, files)
			valid(t, published, out)
		})
	}
}

// TestSARIFMeans holds the output against what the standard asks in words that
// its schema cannot check; the section stands beside each.
func TestSARIFMeans(t *testing.T) {
	s := findings.Selection{All: true}
	files := sample(t, s, "sarif")
	l, _ := sarifOf(t, s, files)
	run := l.Runs[0]
	const unusable = "record can be used"
	if n := len(run.Tool.Driver.Rules) - 1; n != len(checks.All()) || run.Tool.Driver.Rules[n].ID != unusable {
		t.Errorf("%d rules, want %d and that the record can be used", n, len(checks.All()))
	}
	for _, r := range run.Tool.Driver.Rules {
		if !regexp.MustCompile(`^([A-Z][a-z]*)+$`).MatchString(r.Name) {
			t.Errorf("rule %q has the name %q", r.ID, r.Name)
		}
		if r.ID == unusable {
			continue
		}
		if rule := checks.Find(r.ID); rule == nil || !strings.Contains(r.Help.Text, string(rule.Source)) {
			t.Errorf("rule %q: its help does not name its source", r.ID)
		}
	}
	if len(run.Artifacts) != len(files) {
		t.Errorf("%d artifacts, want %d", len(run.Artifacts), len(files))
	}
	kinds, hashes, broken := map[string]int{}, map[string]bool{}, 0
	for _, r := range run.Results {
		kinds[r.Kind]++
		hash := r.PartialFingerprints["primaryLocationLineHash"]
		made := r.Locations[0].PhysicalLocation.ArtifactLocation.Index == 3 // the results made up, which share a subject
		if hash == "" || hashes[hash] && !made {
			t.Errorf("%s: the hash of its place, %q, is not its own", r.RuleID, hash)
		}
		hashes[hash] = true
		if r.RuleID == unusable {
			broken++
			continue
		}
		if run.Tool.Driver.Rules[r.RuleIndex].ID != r.RuleID { // 3.27.6
			t.Errorf("rule index %d is not that of %q", r.RuleIndex, r.RuleID)
		}
		if r.Kind != "fail" && r.Level != "none" || r.Kind == "fail" && r.Level == "none" { // 3.27.10
			t.Errorf("kind %q with level %q", r.Kind, r.Level)
		}
		if r.Suppressions == nil { // 3.27.23: all results or none
			t.Errorf("%s does not say whether it is suppressed", r.RuleID)
		}
		at := r.Locations[0].PhysicalLocation
		if run.Artifacts[at.ArtifactLocation.Index].Location.URI != at.ArtifactLocation.URI { // 3.4.5
			t.Errorf("artifact %d is not %q", at.ArtifactLocation.Index, at.ArtifactLocation.URI)
		}
		if u, err := url.Parse(at.ArtifactLocation.URI); err != nil || u.Scheme != "" && u.Scheme != "file" { // RFC 3986
			t.Errorf("%q: %v", at.ArtifactLocation.URI, err)
		}
		text := strings.NewReplacer("{{", "", "}}", "").Replace(r.Message.Text)
		if strings.ContainsAny(text, "{}") { // 3.11.5
			t.Errorf("a placeholder in %q", r.Message.Text)
		}
		if strings.Contains(strings.ReplaceAll(r.Message.Text, `\]`, ""), "](") { // 3.11.6
			t.Errorf("a link in %q", r.Message.Text)
		}
		if got, want := r.PartialFingerprints["ruleAndSubject/v1"], findings.Fingerprint(r.RuleID, r.Locations[0].LogicalLocations[0].FullyQualifiedName); at.ArtifactLocation.Index < 2 && got != want {
			t.Errorf("%s: fingerprint %q, want %q", r.RuleID, got, want)
		}
		if r.Properties["outcome"] == string(checks.NotObserved) && r.Level != "warning" {
			t.Errorf("%s: not observed, and %q is not loud", r.RuleID, r.Level)
		}
	}
	for _, kind := range []string{"pass", "fail", "open", "informational", "notApplicable"} {
		if kinds[kind] == 0 {
			t.Errorf("no result of kind %q", kind)
		}
	}
	told := run.Invocations[0]
	if broken != len(told.ToolExecutionNotifications) {
		t.Errorf("%d results and %d notifications of records that cannot be used", broken, len(told.ToolExecutionNotifications))
	}
	if told.ExecutionSuccessful || told.ExitCode != 2 || len(told.ToolExecutionNotifications) != 2 {
		t.Errorf("%+v, want no success, exit code 2 and two notifications", told)
	}
}

// TestSARIFPaths: a path below the folder of the call is relative to it, however
// it was given, and the same result has the same fingerprints.
func TestSARIFPaths(t *testing.T) {
	data := read(t, annex)
	prints := map[string]string{}
	for given, want := range map[string]string{
		"jobs/annex.json": "jobs/annex.json", "./jobs/annex.json": "jobs/annex.json", "/srv/room/jobs/annex.json": "jobs/annex.json",
		"/elsewhere/annex.json": "file:///elsewhere/annex.json", "/srv/roommate/annex.json": "file:///srv/roommate/annex.json",
	} {
		s := findings.Selection{}
		out := write(t, "sarif", findings.Run{Folder: "/srv/room"}, []*findings.File{judge(t, s, given, data, "sarif")})
		var l log
		if err := json.Unmarshal(out, &l); err != nil {
			t.Fatal(err)
		}
		first := l.Runs[0].Results[0]
		if got := first.Locations[0].PhysicalLocation.ArtifactLocation.URI; got != want {
			t.Errorf("%s is written %s, want %s", given, got, want)
		}
		hash := first.PartialFingerprints["primaryLocationLineHash"]
		if prints[want] == "" {
			prints[want] = hash
		} else if prints[want] != hash {
			t.Errorf("%s has another fingerprint than %s", given, want)
		}
	}
	if prints["jobs/annex.json"] == prints["file:///elsewhere/annex.json"] {
		t.Error("the fingerprint does not know the file")
	}
}

// TestSARIFSaysWhatIsDropped: more results than servers take are not dropped
// without a word. What else bounds a run there, 10 MB as it is packed for the way
// (GitHub's documentation of SARIF uploads), is met long after the number.
func TestSARIFSaysWhatIsDropped(t *testing.T) {
	long(t)
	file := judge(t, findings.Selection{All: true}, annex, read(t, annex), "sarif")
	format, _ := findings.FindFormat("sarif")
	var sent bytes.Buffer
	packed := gzip.NewWriter(&sent)
	w := format.New(packed)
	if err := w.Begin(findings.Run{}); err != nil {
		t.Fatal(err)
	}
	results := 0
	for results <= 25_000 {
		if told := w.(findings.Warner).Warning(); told != "" {
			t.Fatalf("after %d results: %s", results, told)
		}
		if err := w.File(file); err != nil {
			t.Fatal(err)
		}
		for _, room := range file.Rooms {
			results += len(room.Results)
		}
	}
	if told := w.(findings.Warner).Warning(); !strings.Contains(told, fmt.Sprint(results)) {
		t.Errorf("after %d results it says %q", results, told)
	}
	if err := w.End(findings.Summary{}, 1); err != nil {
		t.Fatal(err)
	}
	if err := packed.Close(); err != nil {
		t.Fatal(err)
	}
	if t.Logf("%d results are %d bytes, packed", results, sent.Len()); sent.Len() > 10_000_000/2 {
		t.Errorf("%d results are %d bytes, packed: the size has to be said too", results, sent.Len())
	}
}

func TestSARIFSuppressionsAndBaseline(t *testing.T) {
	data := read(t, annex)
	first := write(t, "json", findings.Run{}, []*findings.File{judge(t, findings.Selection{}, annex, data, "json")})
	b, err := findings.ReadBaseline(strings.NewReader(string(first)), nil)
	if err != nil {
		t.Fatal(err)
	}
	s := findings.Selection{Baseline: b}
	l, _ := sarifOf(t, s, []*findings.File{judge(t, s, annex, data, "sarif")})
	suppressed, unchanged := 0, 0
	for _, r := range l.Runs[0].Results {
		if len(r.Suppressions) > 0 {
			suppressed++
			if c := r.Suppressions[0]; c.Kind != "external" || c.Status != "accepted" || c.Justification == "" {
				t.Errorf("suppression %+v", c)
			}
		}
		if r.BaselineState == "unchanged" {
			unchanged++
		}
	}
	if suppressed != 1 || unchanged != 14 {
		t.Errorf("%d suppressed, %d unchanged; want 1, 14", suppressed, unchanged)
	}
}
