package findings

import (
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

// The parts of SARIF 2.1.0 that are written, each named as the standard does.

type sarifDriver struct {
	Name    string      `json:"name"`
	Version string      `json:"version"`
	Rules   []sarifRule `json:"rules"`
}

type sarifRule struct {
	ID               string         `json:"id"`
	Name             string         `json:"name"`
	ShortDescription sarifMessage   `json:"shortDescription"`
	FullDescription  sarifMessage   `json:"fullDescription"`
	Help             sarifMessage   `json:"help"`
	Default          map[string]any `json:"defaultConfiguration"`
	Properties       map[string]any `json:"properties"`
}

type sarifMessage struct {
	Text string `json:"text"`
}

type sarifArtifact struct {
	Location sarifArtifactLocation `json:"location"`
	MIMEType string                `json:"mimeType"`
	Roles    []string              `json:"roles"`
	Hashes   map[string]string     `json:"hashes,omitempty"`
}

type sarifArtifactLocation struct {
	URI   string `json:"uri"`
	Index *int   `json:"index,omitempty"`
}

type sarifRegion struct {
	StartLine   int `json:"startLine"`
	StartColumn int `json:"startColumn"`
}

type sarifPhysical struct {
	Artifact sarifArtifactLocation `json:"artifactLocation"`
	Region   *sarifRegion          `json:"region,omitempty"`
}

type sarifLogical struct {
	Name               string `json:"name"`
	FullyQualifiedName string `json:"fullyQualifiedName"`
}

type sarifLocation struct {
	Physical sarifPhysical  `json:"physicalLocation"`
	Logical  []sarifLogical `json:"logicalLocations,omitempty"`
}

type sarifSuppression struct {
	Kind          string `json:"kind"`
	Status        string `json:"status"`
	Justification string `json:"justification"`
}

type sarifResult struct {
	RuleID              string             `json:"ruleId"`
	RuleIndex           int                `json:"ruleIndex"`
	Kind                string             `json:"kind"`
	Level               string             `json:"level"`
	Message             sarifMessage       `json:"message"`
	Locations           []sarifLocation    `json:"locations"`
	PartialFingerprints map[string]string  `json:"partialFingerprints"`
	BaselineState       string             `json:"baselineState,omitempty"`
	Suppressions        []sarifSuppression `json:"suppressions"`
	Properties          map[string]any     `json:"properties"`
}

type sarifNotification struct {
	Descriptor sarifDescriptor `json:"descriptor"`
	Level      string          `json:"level"`
	Message    sarifMessage    `json:"message"`
	Locations  []sarifLocation `json:"locations"`
}

// sarifDescriptor names what kind of trouble a notification tells of (3.52).
type sarifDescriptor struct {
	ID string `json:"id"`
}

func sarifRuleOf(r *checks.Rule) sarifRule {
	var write say.Writer
	help := []string{"Limit: " + sentence(write.Text(r.LimitIn(length.InchSystem))), "Source: " + sentence(write.Words(r.Source))}
	for _, line := range []struct {
		name string
		text say.Words
	}{
		{"Formula", r.Formula}, {"Observe", r.Needs}, {"Where it fails", r.Remedy}, {"Once setting has begun", r.RemedyOnceSetting}, {"No concession", r.NoConcession},
	} {
		if line.text != "" {
			help = append(help, line.name+": "+sentence(write.Words(line.text)))
		}
	}
	level := "error"
	if r.Advises {
		level = "none" // what it finds is worth knowing, and nobody's failure
	}
	return sarifRule{
		ID:               r.Name,
		Name:             sarifName(r.ID),
		ShortDescription: sarifMessage{write.Words(r.Asks)},
		FullDescription:  sarifMessage{write.Words(r.Why)},
		Help:             sarifMessage{strings.Join(help, "\n")},
		Default:          map[string]any{"level": level},
		Properties:       map[string]any{"rule_id": r.ID, "tags": []string{string(r.Family)}},
	}
}

// sarifName makes of an identifier such as fronts-flush one such as FrontsFlush,
// as names of rules are written in the standard's examples (3.49.7).
func sarifName(id string) string {
	var b strings.Builder
	for part := range strings.SplitSeq(id, "-") {
		b.WriteString(strings.ToUpper(part[:1]) + part[1:])
	}
	return b.String()
}

// unusable is the rule that every record has to meet before any other can be
// asked. It is not one of the trade, and no record can name it.
var unusable = sarifRule{
	ID:               "record can be used",
	Name:             "RecordCanBeUsed",
	ShortDescription: sarifMessage{"The record is read."},
	FullDescription:  sarifMessage{"A record that does not fit the schema says nothing that can be judged."},
	Help:             sarifMessage{"Mend what the message says, and run the rules again."},
	Default:          map[string]any{"level": "error"},
	Properties:       map[string]any{"tags": []string{"record"}},
}

func (s *sarif) artifactOf(f *File) sarifArtifact {
	a := sarifArtifact{Location: sarifArtifactLocation{URI: s.uri(f.Path)}, MIMEType: "application/json", Roles: []string{"analysisTarget"}}
	if f.SHA256 != "" {
		a.Hashes = map[string]string{"sha-256": f.SHA256}
	}
	return a
}

// message makes a plain text message: braces stand for placeholders unless
// doubled (3.11.5), and brackets before a parenthesis for a link unless
// escaped (3.11.6).
func message(text string) sarifMessage {
	text = strings.NewReplacer("{", "{{", "}", "}}").Replace(plaintext.Visible(text))
	if strings.Contains(text, "](") {
		text = strings.NewReplacer(`\`, `\\`, "[", `\[`, "]", `\]`).Replace(text)
	}
	return sarifMessage{text}
}
