package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"
	"setline.example/schema"
)

func TestSchemaIsFresh(t *testing.T) {
	want, err := Generate("..")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(schema.JSON(), want) {
		t.Error(`record.schema.json is stale: run "go generate ./schema"`)
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
	if err := json.Unmarshal(schema.JSON(), &s); err != nil {
		t.Fatal(err)
	}
	if err := meta.Validate(s); err != nil {
		t.Error(err)
	}
	// The meta-schema must be able to refuse, or its yes says nothing.
	s.(map[string]any)["type"] = 7
	if meta.Validate(s) == nil {
		t.Error("the meta-schema accepts a type that is a number")
	}
}

// TestEverythingIsDescribed: an editor explains every field by its
// description, and knows every field by strictness.
func TestEverythingIsDescribed(t *testing.T) {
	var s struct {
		Properties map[string]property
		Defs       map[string]struct {
			Type                 string
			Properties           map[string]property
			AdditionalProperties *bool
		} `json:"$defs"`
	}
	if err := json.Unmarshal(schema.JSON(), &s); err != nil {
		t.Fatal(err)
	}
	fields := 0
	check := func(where string, properties map[string]property) {
		for name, p := range properties {
			fields++
			if p.Description == "" {
				t.Errorf("%s.%s has no description", where, name)
			}
		}
	}
	check("the record", s.Properties)
	for name, d := range s.Defs {
		check(name, d.Properties)
		if d.Type == "object" && (d.AdditionalProperties == nil || *d.AdditionalProperties) {
			t.Errorf("%s takes unknown fields", name)
		}
	}
	if fields < 150 {
		t.Errorf("only %d fields found; was the schema read right?", fields)
	}
}

// TestLengthsNameTheirUnits: every field that is a length says so.
func TestLengthsNameTheirUnits(t *testing.T) {
	var walk func(where string, v any)
	found := 0
	walk = func(where string, v any) {
		switch v := v.(type) {
		case map[string]any:
			if v["$ref"] == "#/$defs/Length" {
				found++
				// A list or map of lengths is described as a whole.
				if d, ok := v["description"].(string); ok && !bytes.Contains([]byte(d), []byte("length")) {
					t.Errorf("%s: a length whose description does not say so: %s", where, d)
				}
			}
			for k, sub := range v {
				walk(where+"/"+k, sub)
			}
		case []any:
			for i, sub := range v {
				walk(fmt.Sprint(where, "/", i), sub)
			}
		}
	}
	var s any
	if err := json.Unmarshal(schema.JSON(), &s); err != nil {
		t.Fatal(err)
	}
	walk("", s)
	if found < 30 {
		t.Errorf("only %d lengths found", found)
	}
}

type property struct{ Description string }
