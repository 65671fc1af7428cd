package findings

import (
	_ "embed"
	"slices"

	"setline.example/checks"
	"setline.example/schema"
)

//go:generate go run ./generate . findings.schema.json

//go:embed findings.schema.json
var schemaJSON []byte

// Schema returns the JSON Schema (draft 2020-12) of the JSON format.
func Schema() []byte { return slices.Clone(schemaJSON) }

// Form is the version of the JSON format that this package writes and reads.
const Form = 1

// SchemaID is the identifier of the JSON Schema of that version.
const SchemaID = "urn:setline:findings:1"

// Report is what one run found in the records it was given.
type Report struct {
	// Version of this form. Version 1 is the only one so far.
	Form int `json:"setline_findings" jsonschema:"enum=1"`
	// Version of the program that wrote it.
	Program string `json:"program"`
	// What was asked to be shown.
	Shown Shown `json:"shown"`
	// What was found, record by record, in the order in which they were named or stand in their folders.
	Files []File `json:"files"`
	// All records together, also those not shown.
	Summary Summary `json:"summary"`
}

// Shown is what of the findings was asked for.
type Shown struct {
	// Whether results that pass or do not apply are listed too.
	All bool `json:"all"`
	// Rules to which the results were narrowed; none where all rules are shown.
	Rules []string `json:"rules,omitempty"`
	// Room to which the results were narrowed; none where all rooms are shown.
	Room string `json:"room,omitempty"`
	// Whether only records and rooms that are not ready are listed.
	NotReadyOnly bool `json:"not_ready_only"`
	// Whether the findings were compared with those of an earlier run.
	Baseline bool `json:"baseline"`
}

// Answer says whether a record or room is ready.
type Answer string

// The answers.
const (
	Ready        Answer = "ready"
	NotReady     Answer = "not ready"
	CannotBeUsed Answer = "cannot be used" // only of a record
)

// File is what was found in one record.
type File struct {
	// Path of the record as named, with slashes; "-" is standard input.
	Path string `json:"path"`
	// SHA-256 of the bytes that were read and judged; none where they were not read.
	SHA256 string `json:"sha256,omitempty" jsonschema:"pattern=^[0-9a-f]{64}$"`
	// Whether every room is ready, by all rules, whatever is shown.
	Answer Answer `json:"answer" jsonschema:"enum=ready,enum=not ready,enum=cannot be used"`
	// Whether the record passes as a gate: it can be used, and nothing shown that is not known from the baseline keeps a room from being ready. The exit code follows this.
	Passes bool `json:"passes"`
	// Why the record cannot be used.
	Problems []Problem `json:"problems,omitempty"`
	// Limits that the contract set looser than ours, by which the record was judged.
	Loosened []Loosened `json:"loosened_limits,omitempty"`
	// Its rooms in walking order.
	Rooms []Room `json:"rooms,omitempty"`
}

// Loosened is a limit that the contract set looser than ours.
type Loosened struct {
	// Name of the rule.
	Rule string `json:"rule"`
	// The limit of the contract.
	Limit string `json:"limit"`
	// Ours.
	Ours string `json:"ours"`
	// Where the contract's comes from.
	Source string `json:"source"`
	// Whether it is so many times ours that hardly anything fails it.
	Excessive bool `json:"excessive"`
}

// Problem is one thing for which a record cannot be used.
type Problem struct {
	schema.Problem
	// What is wrong, in one sentence.
	Message string `json:"message"`
}

// Room is what was found in one room.
type Room struct {
	// Name as planned.
	Name string `json:"name"`
	// What the room is used for.
	Use string `json:"use,omitempty"`
	// Whether the room is ready, by all rules, whatever is shown.
	Answer Answer `json:"answer" jsonschema:"enum=ready,enum=not ready"`
	// How many results of each outcome there are, by all rules.
	Counts map[checks.Outcome]int `json:"counts"`
	// The results that are shown, in walking order.
	Results []Result `json:"results,omitempty"`
	// What to turn in the runs that do not pass by the tops as they were read.
	Turns []TurnList `json:"turns,omitempty"`
}

// Result is what one rule says of one subject.
type Result struct {
	// Name of the rule.
	Rule string `json:"rule"`
	// Identifier of the rule, the same for ever.
	RuleID string `json:"rule_id"`
	// What it judges: a unit, a joint, a part or the room, after the room's name and "/".
	Subject string `json:"subject"`
	item    string // the same within its room
	at      int    // its position among all results of the room
	waits   *wait  // what it and others wait for; nil where it waits by itself
	// Elevation as planned; none where it is the whole room.
	Elevation string `json:"elevation,omitempty"`
	// What the rule says.
	Outcome checks.Outcome `json:"outcome" jsonschema:"enum=fail,enum=not observed,enum=undecided,enum=conceded,enum=notice,enum=pass,enum=not applicable"`
	// Whether the baseline has this finding, no better than it is now. Such a finding does not fail the gate.
	Known bool `json:"known,omitempty"`
	// What is so, in one sentence.
	Finding string `json:"finding"`
	// What to do about it.
	Remedy string `json:"remedy,omitempty"`
	// What was measured or counted.
	Value *Quantity `json:"value,omitempty"`
	// What it is held against.
	Limit *Quantity `json:"limit,omitempty"`
	// Limit minus value; negative where it fails.
	Margin *Quantity `json:"margin,omitempty"`
	// Expanded uncertainty (k = 2) of the value in nanometres, where it is known.
	Uncertainty *float64 `json:"uncertainty_nm,omitempty"`
	// Where the limit comes from.
	Source string `json:"source"`
	// Date of the visit whose observation decided, as YYYY-MM-DD; none where there is none.
	Visit string `json:"visit,omitempty"`
	// The written permission by which it is conceded.
	Concession *Concession `json:"concession,omitempty"`
	// When the run leaves level if it goes on moving as it did; only of movement between visits.
	Forecast *Forecast `json:"forecast,omitempty"`
	// JSON Pointer (RFC 6901) to the observation in the record, or to the plan of the subject where nothing was observed.
	Pointer string `json:"pointer"`
	// Line of that place, from 1; none where the format has no places.
	Line int `json:"line,omitempty"`
	// Column of that place, from 1, in characters.
	Column int `json:"column,omitempty"`
	// Mark by which the finding is known again in a later run: it stays when the record is put in another order or other findings come and go.
	Fingerprint string `json:"fingerprint" jsonschema:"pattern=^[0-9a-f]{32}$"`
}

// Concession is written permission to hand over what does not conform.
type Concession struct {
	// Why it is acceptable.
	Reason string `json:"reason"`
	// Who gave permission.
	By string `json:"by"`
	// Date of the permission, as YYYY-MM-DD.
	Date string `json:"date"`
}

// Quantity is a measured value or a limit.
type Quantity struct {
	// As the record writes it, with its unit.
	Text string `json:"text"`
	// The exact number.
	Number int64 `json:"number"`
	// What the number counts: nm (nanometres), pieces or days.
	Unit string `json:"unit" jsonschema:"enum=nm,enum=pieces,enum=days"`
}

// Summary counts records.
type Summary struct {
	// Records that were judged or could not be used.
	Files int `json:"files"`
	// Records of which every room is ready.
	Ready int `json:"ready"`
	// Records with a room that is not ready.
	NotReady int `json:"not_ready"`
	// Records that cannot be used.
	CannotBeUsed int `json:"cannot_be_used"`
	// Records that fail as a gate, among those that can be used.
	Failing int `json:"failing"`
	// JSON files in folders that were passed over, since they are not job records: they have no top-level "setline".
	PassedOver int `json:"passed_over"`
}

// Blocks reports whether the result keeps its room from being ready and is
// not known from the baseline.
func (r *Result) Blocks() bool { return !r.Outcome.Holds() && !r.Known }

// Add counts f.
func (s *Summary) Add(f *File) {
	s.Files++
	switch f.Answer {
	case Ready:
		s.Ready++
	case NotReady:
		s.NotReady++
	default:
		s.CannotBeUsed++
	}
	if f.Answer != CannotBeUsed && !f.Passes {
		s.Failing++
	}
}
