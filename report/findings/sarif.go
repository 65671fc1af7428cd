package findings

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/url"
	"path"
	"strings"

	"setline.example/checks"
	"setline.example/schema/plaintext"
)

// sarif writes SARIF 2.1.0 (OASIS, errata 01): one run, results as they come.
// Lists that the format wants of all records come after them.
type sarif struct {
	w         *bufio.Writer
	run       Run
	rules     map[string]int
	results   int // that have been written
	artifacts spool
	notices   spool
}

func newSARIF(w io.Writer) Writer { return &sarif{w: bufio.NewWriter(w)} }

// sarifSchema is where the standard says its schema is published.
const sarifSchema = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

// fingerprintName names how [Fingerprint] is made, with its version (3.27.17).
const fingerprintName = "ruleAndSubject/v1"

// lineHashName is the fingerprint by which servers that review code know a result
// again, in one file. That of the line itself would change with every reading.
const lineHashName = "primaryLocationLineHash"

func lineHash(parts ...string) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%q", parts))
	return hex.EncodeToString(sum[:8]) + ":1"
}

// mostResults is how many results of one run servers that review code take; more
// are dropped there without a word (GitHub's documentation of SARIF uploads).
const mostResults = 25_000

func (s *sarif) Begin(run Run) error {
	s.run = run
	s.rules = map[string]int{}
	driver := sarifDriver{Name: "setline", Version: run.Program}
	for i, r := range checks.All() {
		s.rules[r.Name] = i
		driver.Rules = append(driver.Rules, sarifRuleOf(r))
	}
	driver.Rules = append(driver.Rules, unusable)
	s.w.WriteString("{\n\"$schema\": \"" + sarifSchema + "\",\n\"version\": \"2.1.0\",\n\"runs\": [{\n")
	s.w.WriteString("\"tool\": ")
	s.write(map[string]any{"driver": driver})
	// Columns count characters, as places in a record do (3.14.17).
	s.w.WriteString(",\n\"columnKind\": \"unicodeCodePoints\",\n\"results\": [")
	return s.w.Flush()
}

func (s *sarif) File(f *File) error {
	index := s.artifacts.n
	if err := s.artifacts.add(encoded(s.artifactOf(f), "")); err != nil {
		return err
	}
	for _, p := range f.Problems {
		n := sarifNotification{Descriptor: sarifDescriptor{string(p.Kind)}, Level: "error", Message: message(sentence(p.Text()) + sarifMend(p.Mend))}
		n.Locations = []sarifLocation{{Physical: s.place(f.Path, index, p.Line, p.Column)}}
		if err := s.notices.add(encoded(n, "")); err != nil {
			return err
		}
		s.add(s.broken(f.Path, p, n))
	}
	for _, room := range f.Rooms {
		for _, r := range room.Results {
			s.add(s.result(f.Path, index, &r))
		}
	}
	return s.w.Flush()
}

func (s *sarif) add(r sarifResult) {
	if s.results > 0 {
		s.w.WriteString(",")
	}
	s.results++
	s.w.WriteString("\n")
	s.write(r)
}

// broken is a problem of a record as a result. As a notification alone it would
// be no finding, and all that was found in the record before would count as
// put right.
func (s *sarif) broken(path string, p Problem, n sarifNotification) sarifResult {
	out := sarifResult{
		RuleID: unusable.ID, RuleIndex: len(s.rules), Kind: "fail", Level: "error", Message: n.Message, Locations: n.Locations,
		PartialFingerprints: map[string]string{lineHashName: lineHash(s.uri(path), string(p.Kind), p.Pointer)},
		Suppressions:        []sarifSuppression{},
		Properties:          map[string]any{"kind": p.Kind, "pointer": p.Pointer},
	}
	if s.run.Shown.Baseline {
		out.BaselineState = "new" // what cannot be used always counts
	}
	return out
}

func (s *sarif) result(path string, index int, r *Result) sarifResult {
	out := sarifResult{
		RuleID: r.Rule, RuleIndex: s.rules[r.Rule],
		Message: message(string(r.Outcome) + ": " + r.Subject + ": " + sentence(r.Finding) + sarifRemedy(r.Remedy)),
		Locations: []sarifLocation{{
			Physical: s.place(path, index, r.Line, r.Column),
			Logical:  []sarifLogical{{Name: r.item, FullyQualifiedName: r.Subject}},
		}},
		PartialFingerprints: map[string]string{fingerprintName: r.Fingerprint, lineHashName: lineHash(s.uri(path), r.Rule, r.Subject)},
		// All results say whether they are suppressed, or none (3.27.23).
		Suppressions: []sarifSuppression{},
		Properties: map[string]any{
			"rule_id": r.RuleID, "outcome": r.Outcome, "pointer": r.Pointer, "source": r.Source,
		},
	}
	out.Kind, out.Level = kindAndLevel(r.Outcome)
	if c := r.Concession; c != nil {
		out.Suppressions = append(out.Suppressions, sarifSuppression{
			Kind: "external", Status: "accepted", Justification: c.Reason + " (" + c.By + ", " + c.Date + ")",
		})
	}
	if s.run.Shown.Baseline && !r.Outcome.Holds() {
		out.BaselineState = "new"
		if r.Known {
			out.BaselineState = "unchanged"
		}
	}
	for name, q := range map[string]*Quantity{"value": r.Value, "limit": r.Limit, "margin": r.Margin} {
		if q != nil {
			out.Properties[name] = q.Text
		}
	}
	return out
}

// kindAndLevel says an outcome in SARIF's words (3.27.9, 3.27.10). A kind
// other than "fail" must have the level "none", at which most viewers show
// nothing. That nobody looked is a finding against readiness and must be seen.
func kindAndLevel(o checks.Outcome) (kind, level string) {
	switch o {
	case checks.Fail:
		return "fail", "error"
	case checks.NotObserved:
		return "fail", "warning"
	case checks.Conceded:
		return "fail", "note"
	case checks.Undecided:
		return "open", "none"
	case checks.Notice:
		return "informational", "none"
	case checks.Pass:
		return "pass", "none"
	}
	return "notApplicable", "none"
}

var exitWords = map[int]string{
	0: "every room is ready, as far as was asked for",
	1: "a room is not ready",
	2: "a record cannot be used",
}

func (s *sarif) End(_ Summary, exit int) error {
	defer s.artifacts.close()
	defer s.notices.close()
	s.w.WriteString("\n],\n\"artifacts\": [\n")
	if err := s.artifacts.copyTo(s.w); err != nil {
		return err
	}
	s.w.WriteString("\n],\n\"invocations\": [{\n\"executionSuccessful\": ")
	s.write(s.notices.n == 0)
	s.w.WriteString(",\n\"exitCode\": ")
	s.write(exit)
	s.w.WriteString(",\n\"exitCodeDescription\": ")
	s.write(exitWords[exit])
	s.w.WriteString(",\n\"toolExecutionNotifications\": [\n")
	if err := s.notices.copyTo(s.w); err != nil {
		return err
	}
	s.w.WriteString("\n]\n}]\n}]\n}\n")
	return s.w.Flush()
}

func (s *sarif) write(v any) {
	plain, err := json.Marshal(v)
	if err != nil {
		panic(err) // everything given to it can be encoded
	}
	s.w.Write(plaintext.JSON(plain))
}

// Warning implements [Warner].
func (s *sarif) Warning() string {
	if s.results <= mostResults {
		return ""
	}
	return fmt.Sprintf("%d results; a server that reviews code takes %d of one run, and may drop the rest: "+
		"check folders apart, or narrow by --rule, --room or --only", s.results, mostResults)
}

// uri writes a path as a URI reference (RFC 3986), relative to the folder of the
// call where it is below it: servers take no other.
func (s *sarif) uri(p string) string {
	if below, ok := strings.CutPrefix(p, strings.TrimSuffix(s.run.Folder, "/")+"/"); ok && s.run.Folder != "" {
		p = below
	}
	if path.IsAbs(p) {
		return (&url.URL{Scheme: "file", Path: p}).String()
	}
	if len(p) > 2 && p[1] == ':' && p[2] == '/' { // a drive letter
		return (&url.URL{Scheme: "file", Path: "/" + p}).String()
	}
	return (&url.URL{Path: path.Clean(p)}).String()
}

func (s *sarif) place(path string, index, line, column int) sarifPhysical {
	p := sarifPhysical{Artifact: sarifArtifactLocation{URI: s.uri(path), Index: &index}}
	if line > 0 {
		p.Region = &sarifRegion{StartLine: line, StartColumn: column}
	}
	return p
}

func sentence(s string) string {
	if s == "" || strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}

func sarifRemedy(remedy string) string {
	if remedy == "" {
		return ""
	}
	return " To do: " + sentence(remedy)
}

func sarifMend(mend string) string {
	if mend == "" {
		return ""
	}
	return " Mend: " + sentence(mend)
}
