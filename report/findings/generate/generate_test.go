package main

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"
	"setline.example/report/findings"
)

func TestSchemaIsFresh(t *testing.T) {
	want, err := Generate("..")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(findings.Schema(), want) {
		t.Error(`findings.schema.json is stale: run "go generate ./report/findings"`)
	}
}

// TestMetaSchema holds the schema against the meta-schema of JSON Schema
// draft 2020-12, which the validator carries.
func TestMetaSchema(t *testing.T) {
	meta, err := jsonschema.Compile("https://json-schema.org/draft/2020-12/schema")
	if err != nil {
		t.Fatal(err)
	}
	var s any
	if err := json.Unmarshal(findings.Schema(), &s); err != nil {
		t.Fatal(err)
	}
	if err := meta.Validate(s); err != nil {
		t.Error(err)
	}
}

// TestEverythingIsDescribed: who reads the form finds every field explained.
func TestEverythingIsDescribed(t *testing.T) {
	type properties map[string]struct{ Description string }
	var s struct {
		Properties properties
		Defs       map[string]struct {
			Properties           properties
			AdditionalProperties *bool
		} `json:"$defs"`
	}
	if err := json.Unmarshal(findings.Schema(), &s); err != nil {
		t.Fatal(err)
	}
	fields := 0
	check := func(where string, p properties) {
		for name, field := range p {
			fields++
			if field.Description == "" {
				t.Errorf("%s.%s has no description", where, name)
			}
		}
	}
	check("the report", s.Properties)
	for name, d := range s.Defs {
		check(name, d.Properties)
		if d.AdditionalProperties == nil || *d.AdditionalProperties {
			t.Errorf("%s takes unknown fields", name)
		}
	}
	if fields < 40 {
		t.Errorf("only %d fields found; was the schema read right?", fields)
	}
}
