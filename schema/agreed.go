package schema

// Agreed is what the parties settled between them.
type Agreed struct {
	// Concessions: written permission to hand over something that does not conform (ISO 9000:2015, 3.12.5).
	Concessions []Concession `json:"concessions,omitempty"`
	// Concessions for what the plan has no more, or has otherwise now, and those that were withdrawn. They are kept as history and permit nothing.
	FormerConcessions []Concession `json:"former_concessions,omitempty"`
	// Things left to do that no rule judges.
	OpenItems []OpenItem `json:"open_items,omitempty"`
	// Dates on which a room is to be inspected again, such as after the building has settled.
	Reinspections []Reinspection `json:"reinspections,omitempty"`
	// Dates of re-inspections that were withdrawn. They are kept as history and bind nobody.
	FormerReinspections []Reinspection `json:"former_reinspections,omitempty"`
	// Who signs the turnover.
	SignOff SignOff `json:"sign_off,omitzero"`
}

// Concession is written permission to hand over one thing that does not conform.
type Concession struct {
	// Name of the rule that the concession sets aside.
	Rule string `json:"rule" jsonschema:"minLength=1,maxLength=60"`
	// What it is set aside for, as the report writes it: "S-104/A3", "S-104/A3+A4".
	Subject string `json:"subject" jsonschema:"minLength=1,maxLength=200"`
	// Why it is acceptable.
	Reason string `json:"reason" jsonschema:"minLength=1,maxLength=2000"`
	// Who gave permission.
	By Party `json:"by"`
	// Date of the permission, as YYYY-MM-DD.
	Date Date `json:"date"`
	// That it was withdrawn; only of a former one.
	Withdrawn *Withdrawn `json:"withdrawn,omitempty"`
}

// OpenItem is something left to do that no rule judges.
type OpenItem struct {
	// Room it belongs to.
	Room string `json:"room" jsonschema:"minLength=1,maxLength=60"`
	// What is to be done.
	What string `json:"what" jsonschema:"minLength=1,maxLength=2000"`
	// Who is to do it.
	Owner string `json:"owner,omitempty" jsonschema:"maxLength=120"`
	// Date it is due, as YYYY-MM-DD.
	Due Date `json:"due,omitempty"`
	// That it is done. Without this it is open.
	Closed *Closing `json:"closed,omitempty"`
}

// Closing says that something left to do is done.
type Closing struct {
	// Who saw that it is done.
	By string `json:"by" jsonschema:"minLength=1,maxLength=120"`
	// Date on which that was, as YYYY-MM-DD.
	Date Date `json:"date"`
	// Anything worth saying.
	Remark string `json:"remark,omitempty" jsonschema:"maxLength=2000"`
}

// Reinspection is a date on which a room is to be inspected again.
type Reinspection struct {
	// Room it belongs to.
	Room string `json:"room" jsonschema:"minLength=1,maxLength=60"`
	// Date of the inspection, as YYYY-MM-DD.
	Date Date `json:"date"`
	// Why.
	Reason string `json:"reason,omitempty" jsonschema:"maxLength=2000"`
	// That the date was withdrawn; only of a former one.
	Withdrawn *Withdrawn `json:"withdrawn,omitempty"`
}

// SignOff names who signs the turnover, in the order of signing.
type SignOff struct {
	// Inspector who closed the room out.
	Inspector *Signer `json:"inspector,omitempty"`
	// Installer whose work it is.
	Installer *Signer `json:"installer,omitempty"`
	// General contractor who receives the room.
	Contractor *Signer `json:"contractor,omitempty"`
}

// Signer is a person who signs and the firm the person signs for.
type Signer struct {
	// The person's name.
	Name string `json:"name" jsonschema:"minLength=1,maxLength=120"`
	// The firm the person signs for.
	Firm string `json:"firm,omitempty" jsonschema:"maxLength=120"`
}
