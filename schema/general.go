//go:build !onepass

package schema

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net/url"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v5"
	"setline.example/schema/length"
)

// validator is a schema in a validator for all of JSON Schema. For the record it
// has the last word on all that decode does not take.
type validator = *jsonschema.Schema

func (k *Kind) compiled() validator {
	compiler := jsonschema.NewCompiler()
	compiler.Draft = jsonschema.Draft2020
	compiler.AssertFormat = true
	compiler.Formats[lengthFormat] = func(v any) bool {
		s, ok := v.(string)
		if !ok {
			return true
		}
		_, err := length.Parse(s)
		return err == nil
	}
	marked, err := json.Marshal(k.raw())
	if err != nil {
		panic(fmt.Sprintf("the embedded schema is broken: %v", err))
	}
	if err := compiler.AddResource(k.ID, bytes.NewReader(marked)); err != nil {
		panic(fmt.Sprintf("the embedded schema is broken: %v", err))
	}
	return compiler.MustCompile(k.ID)
}

// fit finds everything in tree that does not fit the schema.
func (k *Kind) fit(tree any) []failure {
	err := k.general().Validate(withoutHuge(tree))
	if err == nil {
		return nil
	}
	var ve *jsonschema.ValidationError
	if !errors.As(err, &ve) {
		return []failure{{value: tree, message: err.Error()}}
	}
	var all []failure
	var leaves func(*jsonschema.ValidationError)
	leaves = func(ve *jsonschema.ValidationError) {
		for _, cause := range ve.Causes {
			leaves(cause)
		}
		if len(ve.Causes) == 0 {
			all = append(all, k.failureOf(ve, tree))
		}
	}
	leaves(ve)
	return all
}

func (k *Kind) failureOf(ve *jsonschema.ValidationError, tree any) failure {
	f := failure{message: ve.Message, pointer: unescaped(ve.InstanceLocation)}
	f.value, _ = Lookup(tree, Steps(f.pointer))
	_, fragment, _ := strings.Cut(ve.AbsoluteKeywordLocation, "#")
	if where := Steps(unescaped(fragment)); len(where) > 0 {
		f.keyword = where[len(where)-1]
		node, _ := Lookup(k.raw(), where[:len(where)-1])
		f.node, _ = node.(map[string]any)
		f.wanted, _ = f.node["description"].(string)
	}
	// A field that refers to a definition says better what it is than the definition does.
	if field, ok := strings.CutSuffix(ve.KeywordLocation, "/$ref/"+f.keyword); ok {
		if said, ok := Lookup(k.followed(Steps(field)), []string{"description"}); ok {
			f.wanted, _ = said.(string)
		}
	}
	return f
}

// unescaped takes a pointer out of the form in which the validator writes it,
// for use in URLs.
func unescaped(pointer string) string {
	if strings.Contains(pointer, "%") {
		if plain, err := url.PathUnescape(pointer); err == nil {
			return plain
		}
	}
	return pointer
}

// followed goes the way that the validator went through the schema, where
// "$ref" is a step into a definition.
func (k *Kind) followed(way []string) any {
	var at any = k.raw()
	for _, step := range way {
		at, _ = Lookup(at, []string{step})
		if ref, ok := at.(string); ok && step == "$ref" {
			at, _ = Lookup(k.raw(), Steps(strings.TrimPrefix(ref, "#")))
		}
	}
	return at
}

// withoutHuge returns tree with every number of an exponent that the validator
// cannot compute with (it would take all memory, or panic) replaced by one that
// fits as little: the greatest whole number, or one that is not whole.
func withoutHuge(tree any) any {
	switch v := tree.(type) {
	case map[string]any:
		object := make(map[string]any, len(v))
		for name, item := range v {
			object[name] = withoutHuge(item)
		}
		return object
	case []any:
		list := make([]any, len(v))
		for i, item := range v {
			list[i] = withoutHuge(item)
		}
		return list
	case json.Number:
		_, exponent, _ := strings.Cut(strings.ToLower(string(v)), "e")
		if len(strings.TrimLeft(exponent, "+-0")) < 4 {
			return v
		}
		if n, ok := whole(string(v)); ok {
			return json.Number(fmt.Sprint(n))
		}
		return json.Number("0.5")
	}
	return tree
}
