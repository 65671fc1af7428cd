package schema

// Version is the format version this package reads and writes, the value of
// the "setline" field of a job record.
const Version = 1

// Record is one job record: what was planned, what arrived, what was measured
// and seen, and what was agreed. Nothing computed is stored in it.
type Record struct {
	// Where an editor finds this schema, so that it can complete and explain fields. Not used otherwise.
	Schema string `json:"$schema,omitempty"`
	// Format version of the record. Version 1 is the only one so far.
	Setline int `json:"setline" jsonschema:"enum=1"`
	// What was planned: the contract, the catalog of parts and the rooms as drawn.
	Planned Planned `json:"planned"`
	// What arrived: packing lists and what was counted against them.
	Arrived Arrived `json:"arrived,omitzero"`
	// What was measured and seen, visit by visit. A thing that no visit observed is "not observed".
	Measured Measured `json:"measured,omitzero"`
	// What was agreed: concessions, open items, the parties who sign.
	Agreed Agreed `json:"agreed,omitzero"`
}

// Party is a person, the part that person plays and the firm the person acts for.
type Party struct {
	// The person's name.
	Name string `json:"name" jsonschema:"minLength=1,maxLength=120"`
	// The part the person plays: installer, inspector, contractor (the general contractor), or other.
	Role string `json:"role,omitempty" jsonschema:"enum=installer,enum=inspector,enum=contractor,enum=other"`
	// The firm the person acts for.
	Firm string `json:"firm,omitempty" jsonschema:"maxLength=120"`
}

// Date is a calendar date as RFC 3339 full-date writes it: 2026-09-14. Dates
// written so compare in time order as strings.
type Date string
