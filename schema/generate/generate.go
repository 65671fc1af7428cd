package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"reflect"
	"strings"

	"github.com/invopop/jsonschema"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Generate returns the JSON Schema (draft 2020-12) of [schema.Record], with
// the comments of the Go sources in dir as descriptions.
func Generate(dir string) ([]byte, error) {
	r := &jsonschema.Reflector{
		Mapper:         mapped,
		ExpandedStruct: true,
	}
	if err := addComments(r, dir); err != nil {
		return nil, err
	}
	s := r.Reflect(&schema.Record{})
	s.ID = jsonschema.ID(schema.ID)
	s.Title = "Setline job record"
	for _, w := range written {
		s.Definitions[w.name] = w.schema
	}
	plain, err := json.Marshal(s)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := json.Indent(&out, plain, "", "  "); err != nil {
		return nil, err
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

// addComments reads the comments of dir. The reflector joins the import path
// with the folder it walks, so it has to walk "." of the folder itself.
func addComments(r *jsonschema.Reflector, dir string) error {
	was, err := os.Getwd()
	if err != nil {
		return err
	}
	if err := os.Chdir(dir); err != nil {
		return err
	}
	defer os.Chdir(was)
	if err := r.AddGoComments("setline.example/schema", ".", jsonschema.WithFullComment()); err != nil {
		return fmt.Errorf("reading comments of %s: %w", dir, err)
	}
	for name, text := range r.CommentMap {
		r.CommentMap[name] = strings.Join(strings.Fields(text), " ")
	}
	return nil
}

// written are the types whose JSON form is a string that people write. Each
// is defined once, and fields refer to it.
var written = map[reflect.Type]struct {
	name   string
	schema *jsonschema.Schema
}{
	reflect.TypeFor[length.Length](): {"Length", &jsonschema.Schema{
		Type:        "string",
		Format:      schema.LengthFormat,
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
	if w, ok := written[t]; ok {
		return &jsonschema.Schema{Ref: "#/$defs/" + w.name}
	}
	return nil
}
