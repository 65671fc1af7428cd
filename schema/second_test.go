package schema

import (
	"bytes"
	stdjson "encoding/json"
	"errors"
	"net/url"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/go-json-experiment/json"
	"github.com/santhosh-tekuri/jsonschema/v5"
	"setline.example/schema/length"
)

// general is the record's schema in a validator for all of JSON Schema: the
// second opinion on what this package reads.
var general = sync.OnceValue(func() *jsonschema.Schema {
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
		panic(err)
	}
	return compiler.MustCompile(ID)
})

// fault is one keyword that one value does not fit, to compare.
type fault struct{ pointer, keyword, wanted string }

// generalFaults asks the general validator what in tree does not fit.
func generalFaults(tree any) []fault {
	err := general().Validate(tree)
	var ve *jsonschema.ValidationError
	if !errors.As(err, &ve) {
		return nil
	}
	var all []fault
	var leaves func(*jsonschema.ValidationError)
	leaves = func(ve *jsonschema.ValidationError) {
		for _, cause := range ve.Causes {
			leaves(cause)
		}
		if len(ve.Causes) == 0 {
			all = append(all, faultOf(ve))
		}
	}
	leaves(ve)
	return sortedFaults(all)
}

func faultOf(ve *jsonschema.ValidationError) fault {
	// The validator escapes pointers for use in URLs.
	f := fault{pointer: unescaped(ve.InstanceLocation)}
	_, fragment, _ := strings.Cut(ve.AbsoluteKeywordLocation, "#")
	where := steps(unescaped(fragment))
	f.keyword = where[len(where)-1]
	if said, ok := lookup(rawSchema(), append(where[:len(where)-1:len(where)-1], "description")); ok {
		f.wanted = said.(string)
	}
	// A field that refers to a definition says better what it is than the definition does.
	if field, ok := strings.CutSuffix(ve.KeywordLocation, "/$ref/"+f.keyword); ok {
		if said, ok := lookup(followed(steps(field)), []string{"description"}); ok {
			f.wanted = said.(string)
		}
	}
	return f
}

func unescaped(s string) string {
	plain, err := url.PathUnescape(s)
	if err != nil {
		panic(err)
	}
	return plain
}

// followed goes the way that the validator went through the schema, where
// "$ref" is a step into a definition.
func followed(way []string) any {
	var at any = rawSchema()
	for _, step := range way {
		at, _ = lookup(at, []string{step})
		if ref, ok := at.(string); ok && step == "$ref" {
			at, _ = lookup(rawSchema(), steps(strings.TrimPrefix(ref, "#")))
		}
	}
	return at
}

func sortedFaults(all []fault) []fault {
	slices.SortFunc(all, func(a, b fault) int {
		return strings.Compare(a.pointer+"\x00"+a.keyword, b.pointer+"\x00"+b.keyword)
	})
	return all
}

// compare holds what this package makes of a text against what the general
// validator and the general decoder make of it. It reports whether the text is
// a record that fits.
func compare(t *testing.T, data []byte) bool {
	t.Helper()
	rec, fast := decode(data)
	b := newTreeBuilder(NewSource("second", data))
	tree, err := b.whole()
	if err != nil || len(b.twice) > 0 {
		if fast {
			t.Errorf("read at once in spite of %v, names twice %v:\n%.2000s", err, b.twice, data)
		}
		return false
	}
	if anywhere("-", tree, huge) {
		return false // the general validator cannot take it
	}
	want := generalFaults(tree)
	var got []fault
	for _, f := range fit(tree) {
		got = append(got, fault{f.pointer, f.keyword, f.wanted})
	}
	if got = sortedFaults(got); !slices.Equal(got, want) && !anywhere("-", tree, nameless) {
		t.Errorf("faults\n%v, the general validator has\n%v, in\n%.2000s", got, want, data)
	}
	if fast != (len(want) == 0) {
		t.Errorf("read at once: %v, the general validator has %v, in\n%.2000s", fast, want, data)
	}
	if fast && len(want) == 0 {
		if again := decodedGenerally(t, tree); !reflect.DeepEqual(rec, again) {
			t.Errorf("read as\n%+v\nthe general decoder reads\n%+v\nfrom\n%.2000s", rec, again, data)
		}
	}
	return fast
}

// anywhere reports whether is says so of some value, or of the name it stands under.
func anywhere(name string, value any, is func(name string, value any) bool) bool {
	if is(name, value) {
		return true
	}
	switch v := value.(type) {
	case map[string]any:
		for name, item := range v {
			if anywhere(name, item, is) {
				return true
			}
		}
	case []any:
		return slices.ContainsFunc(v, func(item any) bool { return anywhere("-", item, is) })
	}
	return false
}

// nameless reports whether a member has an empty name. The general validator
// gives a pointer to the object instead of to that member.
func nameless(name string, _ any) bool { return name == "" }

// huge reports whether a number has an exponent of five digits or more.
func huge(_ string, value any) bool {
	number, _ := value.(stdjson.Number)
	_, exponent, _ := strings.Cut(strings.ToLower(string(number)), "e")
	return len(strings.TrimLeft(exponent, "+-0")) > 4
}

// decodedGenerally decodes plain values by the general decoder, which wants
// whole numbers written without point and exponent.
func decodedGenerally(t *testing.T, tree any) *Record {
	t.Helper()
	plain, err := stdjson.Marshal(plainNumbers(tree))
	if err != nil {
		t.Fatal(err)
	}
	rec := new(Record)
	if err := json.Unmarshal(plain, rec); err != nil {
		t.Errorf("the general decoder: %v", err)
	}
	return rec
}
