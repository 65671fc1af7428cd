package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"
)

// places are where each kind's schema stands.
var places = map[string]string{
	"results":      "../results/results.schema.json",
	"trust":        "../trust/trust.schema.json",
	"verification": "../verify/verification.schema.json",
}

func TestSchemas(t *testing.T) {
	// The validator carries the meta-schema of JSON Schema draft 2020-12.
	meta, err := jsonschema.Compile("https://json-schema.org/draft/2020-12/schema")
	if err != nil {
		t.Fatal(err)
	}
	for name, generate := range kinds {
		t.Run(name, func(t *testing.T) {
			want, err := generate(filepath.Dir(places[name]))
			if err != nil {
				t.Fatal(err)
			}
			have, err := os.ReadFile(places[name])
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(have, want) {
				t.Error(`it is stale: run "go generate ./report/..."`)
			}
			var s any
			if err := json.Unmarshal(have, &s); err != nil {
				t.Fatal(err)
			}
			if err := meta.Validate(s); err != nil {
				t.Error(err)
			}
			described(t, have)
		})
	}
}

// described holds that who reads the form finds every field explained, and
// that no object takes others.
func described(t *testing.T, data []byte) {
	t.Helper()
	type object struct {
		Properties           map[string]struct{ Description string }
		AdditionalProperties *bool
	}
	var s struct {
		object
		Defs map[string]object `json:"$defs"`
	}
	if err := json.Unmarshal(data, &s); err != nil {
		t.Fatal(err)
	}
	fields := 0
	check := func(where string, o object) {
		for name, field := range o.Properties {
			fields++
			if field.Description == "" {
				t.Errorf("%s.%s has no description", where, name)
			}
		}
		if o.AdditionalProperties == nil || *o.AdditionalProperties {
			t.Errorf("%s takes unknown fields", where)
		}
	}
	check("the whole", s.object)
	for name, o := range s.Defs {
		check(name, o)
	}
	if fields < 8 {
		t.Errorf("only %d fields found; was the schema read right?", fields)
	}
}
