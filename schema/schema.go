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
package schema

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v5"
	"setline.example/schema/length"
)

//go:generate go run ./generate . record.schema.json

//go:embed record.schema.json
var schemaJSON []byte

// ID is the identifier of the record's JSON Schema.
const ID = "urn:setline:job-record:1"

// LengthFormat is the name under which the JSON Schema marks a string as a
// length. A validator that does not know it goes by the pattern beside it.
const LengthFormat = "length"

// JSON returns the JSON Schema of the job record, in its published form.
func JSON() []byte { return bytes.Clone(schemaJSON) }

// compiled is the schema ready to validate, and raw the same as plain values,
// from which a message takes its words.
var compiled = sync.OnceValue(func() (c struct {
	schema *jsonschema.Schema
	raw    map[string]any
}) {
	compiler := jsonschema.NewCompiler()
	compiler.Draft = jsonschema.Draft2020
	compiler.AssertFormat = true
	compiler.Formats[LengthFormat] = func(v any) bool {
		s, ok := v.(string)
		if !ok {
			return true
		}
		_, err := length.Parse(s)
		return err == nil
	}
	if err := compiler.AddResource(ID, bytes.NewReader(schemaJSON)); err != nil {
		panic(fmt.Sprintf("the embedded schema is broken: %v", err))
	}
	c.schema = compiler.MustCompile(ID)
	if err := json.Unmarshal(schemaJSON, &c.raw); err != nil {
		panic(fmt.Sprintf("the embedded schema is broken: %v", err))
	}
	return c
})
