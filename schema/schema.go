// Package schema is the job record: its Go types, its JSON Schema, and the
// one way to read it.
//
// [Read] takes the bytes of a record and returns a [Record] that is whole and
// means something: its JSON is well formed and names nothing twice, it fits
// the JSON Schema, and what it refers to exists. Otherwise it returns
// [Problems], all of them at once, each with its place in the file, what was
// found, what was expected, and the mend.
//
// The JSON Schema (draft 2020-12) is generated from the types of this package
// and their comments; [JSON] returns it. Lengths are exact, see package
// [setline.example/schema/length].
//
// What is where: Go types in four files (planned, arrived, measured, agreed), the reader,
// and its problems. record.schema.json is generated from the types and their comments: go
// generate ./schema.
package schema

import (
	"bytes"
	_ "embed"
)

//go:generate go run ./generate . record.schema.json

//go:embed record.schema.json
var schemaJSON []byte

// ID is the identifier of the record's JSON Schema.
const ID = "urn:setline:job-record:1"

// lengthFormat is the name under which the schema as we use it marks a string as
// a length. Others go by the pattern beside it.
const lengthFormat = "length"

// JSON returns the JSON Schema of the job record, in its published form.
func JSON() []byte { return bytes.Clone(schemaJSON) }

// record is the kind of file that this package is about.
var record = NewKind(Kind{
	What: "a job record", This: "the record", Member: "setline", Version: Version, ID: ID, JSON: schemaJSON,
	Start: "start from one of the records under examples/",
})
