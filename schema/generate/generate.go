package main

import (
	"encoding/json"
	"reflect"

	"github.com/invopop/jsonschema"
	"setline.example/schema"
	"setline.example/schema/describe"
	"setline.example/schema/length"
)

// Generate returns the JSON Schema (draft 2020-12) of [schema.Record], with
// the comments of the Go sources in dir as descriptions.
func Generate(dir string) ([]byte, error) {
	definitions := map[string]*jsonschema.Schema{}
	for _, w := range written {
		definitions[w.name] = w.schema
	}
	return describe.Type[schema.Record](dir, describe.Form{ID: schema.ID, Title: "Setline job record", Mapper: mapped, Definitions: definitions})
}

// written are the types whose JSON form is a string that people write. Each
// is defined once, and fields refer to it.
var written = map[reflect.Type]struct {
	name   string
	schema *jsonschema.Schema
}{
	reflect.TypeFor[length.Length](): {"Length", &jsonschema.Schema{
		Type:        "string",
		Pattern:     length.Pattern,
		Description: "A length: a number and its unit, in, \", ft, ', mm, cm or m. Whole numbers, decimals and fractions, exact to the nanometre.",
		Examples:    []any{"34 1/2 in", "2' 10 1/2\"", "876.3 mm"},
	}},
	reflect.TypeFor[schema.Date](): {"Date", &jsonschema.Schema{
		Type:        "string",
		Format:      "date",
		Description: "A calendar date, YYYY-MM-DD (RFC 3339, full-date).",
		Examples:    []any{"2026-09-14"},
	}},
}

func mapped(t reflect.Type) *jsonschema.Schema {
	if t == reflect.TypeFor[json.RawMessage]() {
		return &jsonschema.Schema{} // anything
	}
	if w, ok := written[t]; ok {
		return &jsonschema.Schema{Ref: "#/$defs/" + w.name}
	}
	return nil
}
