package trust

import (
	_ "embed"
	"slices"

	"setline.example/schema"
)

//go:generate go run ../generate trust . trust.schema.json

//go:embed trust.schema.json
var schemaJSON []byte

// Schema returns the JSON Schema (draft 2020-12) of a trust list.
func Schema() []byte { return slices.Clone(schemaJSON) }

// Form is the version of the list that this package reads.
const Form = 1

// SchemaID is the identifier of the JSON Schema of that version.
const SchemaID = "urn:setline:trust-list:1"

// List is a trust list: the certificates of those whose signatures are trusted, and what for.
type List struct {
	// Where this file's JSON Schema is, for editors.
	Schema string `json:"$schema,omitempty"`
	// Version of this form. Version 1 is the only one so far.
	Form int `json:"setline_trust" jsonschema:"enum=1"`
	// Those who sign reports, and those who issue the certificates of people who do.
	Signers []Signer `json:"signers"`
	// Authorities whose time stamps are taken for the time. They vouch for no signer.
	TimeStamps []Certificate `json:"time_stamp_authorities,omitempty"`
}

// Certificate is one certificate, and from when until when it is trusted.
type Certificate struct {
	// Fingerprint: SHA-256 of the certificate, 64 hexadecimal digits, with spaces, colons or hyphens between them or without. Get it from the person, not from a report.
	Fingerprint string `json:"fingerprint" jsonschema:"minLength=64,maxLength=200,pattern=^[0-9A-Fa-f :-]*$"`
	// Name that the certificate has to bear.
	Name string `json:"name" jsonschema:"minLength=1,maxLength=120"`
	// First day on which it is trusted, YYYY-MM-DD in UTC; none for no bound.
	From schema.Date `json:"from,omitempty"`
	// Last day on which it is trusted, YYYY-MM-DD in UTC; none for no bound but the certificate's own.
	Until schema.Date `json:"until,omitempty"`
	// Whether it may issue the certificates of others, which then are trusted for what stands here. Without it a certificate vouches for itself alone.
	Issues bool `json:"issues,omitempty"`
	// The certificate itself in PEM. Needed only for one that issues others and does not travel in their signatures.
	Certificate string `json:"certificate,omitempty" jsonschema:"maxLength=20000"`
	// That it was taken out of the list. It stays here so that nobody adds it again.
	Removed *Removed `json:"removed,omitempty"`
}

// Removed says that a certificate was taken out of the list, when and why.
type Removed struct {
	// Last day on which it is trusted, YYYY-MM-DD in UTC.
	Date schema.Date `json:"date"`
	// Why: the person left, the passphrase was lost, somebody else may have the key.
	Reason string `json:"reason" jsonschema:"minLength=1,maxLength=2000"`
	// That nothing it ever signed is trusted any more, as where somebody else may have had the key.
	Never bool `json:"never,omitempty"`
}

// Signer is somebody whose signatures are trusted.
type Signer struct {
	Certificate
	// Firm that the certificate has to name; none takes any.
	Firm string `json:"firm,omitempty" jsonschema:"maxLength=120"`
	// Roles in which the signer may sign.
	Roles []string `json:"roles" jsonschema:"minItems=1,uniqueItems=true,enum=inspector,enum=installer,enum=contractor"`
}
