package findings

import (
	"bufio"
	"encoding/json"
	"io"
	"net/url"
	"path"
	"strings"

	"setline.example/checks"
)

// sarif writes SARIF 2.1.0 (OASIS, errata 01): one run, results as they come.
// Lists that the format wants of all records come after them.
type sarif struct {
	w         *bufio.Writer
	run       Run
	rules     map[string]int
	some      bool // a result has been written
	artifacts spool
	notices   spool
}

func newSARIF(w io.Writer) Writer { return &sarif{w: bufio.NewWriter(w)} }

// sarifSchema is where the standard says its schema is published.
const sarifSchema = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

// fingerprintName names how [Fingerprint] is made, with its version (3.27.17).
const fingerprintName = "ruleAndSubject/v1"

func (s *sarif) Begin(run Run) error {
	s.run = run
	s.rules = map[string]int{}
	driver := sarifDriver{Name: "setline", Version: run.Program}
	for i, r := range checks.All() {
		s.rules[r.Name] = i
		driver.Rules = append(driver.Rules, sarifRuleOf(r))
	}
	s.w.WriteString("{\n\"$schema\": \"" + sarifSchema + "\",\n\"version\": \"2.1.0\",\n\"runs\": [{\n")
	s.w.WriteString("\"tool\": ")
	s.write(map[string]any{"driver": driver})
	// Columns count characters, as places in a record do (3.14.17).
	s.w.WriteString(",\n\"columnKind\": \"unicodeCodePoints\",\n\"results\": [")
	return s.w.Flush()
}

func (s *sarif) File(f *File) error {
	index := s.artifacts.n
	if err := s.artifacts.add(encoded(sarifArtifactOf(f), "")); err != nil {
		return err
	}
	for _, p := range f.Problems {
		n := sarifNotification{Descriptor: sarifDescriptor{string(p.Kind)}, Level: "error", Message: message(sentence(p.Text()) + sarifMend(p.Mend))}
		n.Locations = []sarifLocation{{Physical: place(f.Path, index, p.Line, p.Column)}}
		if err := s.notices.add(encoded(n, "")); err != nil {
			return err
		}
	}
	for _, room := range f.Rooms {
		for _, r := range room.Results {
			if s.some {
				s.w.WriteString(",")
			}
			s.some = true
			s.w.WriteString("\n")
			s.write(s.result(f.Path, index, &r))
		}
	}
	return s.w.Flush()
}

func (s *sarif) result(path string, index int, r *Result) sarifResult {
	out := sarifResult{
		RuleID: r.Rule, RuleIndex: s.rules[r.Rule],
		Message: message(string(r.Outcome) + ": " + r.Subject + ": " + sentence(r.Finding) + sarifRemedy(r.Remedy)),
		Locations: []sarifLocation{{
			Physical: place(path, index, r.Line, r.Column),
			Logical:  []sarifLogical{{Name: r.Subject[strings.Index(r.Subject, "/")+1:], FullyQualifiedName: r.Subject}},
		}},
		PartialFingerprints: map[string]string{fingerprintName: r.Fingerprint},
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
	s.w.Write(plain)
}

// uri writes a path as a URI reference (RFC 3986).
func uri(p string) string {
	if path.IsAbs(p) {
		return (&url.URL{Scheme: "file", Path: p}).String()
	}
	if len(p) > 2 && p[1] == ':' && p[2] == '/' { // a drive letter
		return (&url.URL{Scheme: "file", Path: "/" + p}).String()
	}
	return (&url.URL{Path: p}).String()
}

func place(path string, index, line, column int) sarifPhysical {
	p := sarifPhysical{Artifact: sarifArtifactLocation{URI: uri(path), Index: &index}}
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
