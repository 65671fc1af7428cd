package schema

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

// failure is one keyword of the schema that one value does not fit.
type failure struct {
	pointer string         // to the value
	value   any            // the value
	node    map[string]any // the part of the schema that the keyword stands in
	wanted  string         // what the schema says the value is
	keyword string
	message string // the validator's own words
}

// validate holds tree against the JSON Schema and turns what does not fit
// into problems in the words of the trade. rest says that without those values
// the rest of the record still means what it says.
func (k *Kind) validate(src *Source, tree any) (problems Problems, rest bool) {
	v := validation{src: src, rest: true, badLengths: map[string]bool{}}
	for _, f := range k.fit(tree) {
		switch f.keyword {
		case "required":
			v.required(f)
		case "additionalProperties":
			v.unknown(f)
		default:
			v.value(f)
		}
	}
	return slices.DeleteFunc(v.problems, func(p Problem) bool {
		// A length that cannot be read fails the schema's pattern too; the first says why.
		return p.Expected == patternOfLength && v.badLengths[p.Pointer]
	}), v.rest
}

const patternOfLength = "the pattern of a length"

type validation struct {
	src        *Source
	problems   Problems
	rest       bool
	badLengths map[string]bool
}

func (v *validation) add(p Problem, byName, canLeaveOut bool) {
	p.File = v.src.Name
	if byName {
		p.Line, p.Column = v.src.PlaceOfName(p.Pointer)
	} else {
		p.Line, p.Column = v.src.Place(p.Pointer)
	}
	v.problems = append(v.problems, p)
	v.rest = v.rest && canLeaveOut
}

func (v *validation) required(f failure) {
	object, _ := f.value.(map[string]any)
	names, _ := f.node["required"].([]any)
	for _, n := range names {
		name, _ := n.(string)
		if _, ok := object[name]; ok {
			continue
		}
		expected := fmt.Sprintf("%q", name)
		if d := describe(f.node, name); d != "" {
			expected += ": " + d
		}
		v.add(Problem{
			Kind:     Missing,
			Pointer:  f.pointer,
			Found:    fmt.Sprintf("no %q", name),
			Expected: expected,
			Mend:     fmt.Sprintf("add %q here", name),
		}, false, false)
	}
}

func (v *validation) unknown(f failure) {
	object, _ := f.value.(map[string]any)
	properties, _ := f.node["properties"].(map[string]any)
	known := sortedKeys(properties)
	for _, name := range sortedKeys(object) {
		if _, ok := properties[name]; ok {
			continue
		}
		mend := "remove it; nothing reads it, and what was meant by it would be lost"
		if near := Nearest(name, known); near != "" {
			mend = fmt.Sprintf("write %q if that is meant", near)
		}
		v.add(Problem{
			Kind:     Unknown,
			Pointer:  Pointer(f.pointer, name),
			Found:    fmt.Sprintf("the unknown field %q", name),
			Expected: "one of " + strings.Join(known, ", "),
			Mend:     mend,
		}, true, true)
	}
}

// names are fields by which other parts of the record refer to a thing.
var names = []string{"name", "tag", "part"}

func (v *validation) value(f failure) {
	p := Problem{Kind: WrongForm, Pointer: f.pointer, Found: shown(f.value)}
	wanted := f.wanted
	switch f.keyword {
	case "type":
		p.Found = kindOf(f.value)
		p.Expected = withKind(f.node["type"])
		if f.node["format"] == lengthFormat {
			p.Expected = "a length: a string with a number and its unit"
			if n, ok := f.value.(json.Number); ok {
				p.Mend = fmt.Sprintf(`write "%s in" or "%s mm", whichever was meant`, n, n)
			}
		}
	case "format":
		if f.node["format"] == lengthFormat {
			v.badLengths[f.pointer] = true
			p.Expected = "a length with its unit"
			var pe *length.ParseError
			if s, ok := f.value.(string); ok {
				if _, err := length.Parse(s); errors.As(err, &pe) {
					p.Found = fmt.Sprintf("%s (%s)", p.Found, pe.Problem)
					p.Mend = pe.Mend
				}
			}
		} else {
			p.Expected, p.Mend = "a calendar date written YYYY-MM-DD", "write it like 2026-09-14"
		}
	case "pattern":
		p.Expected = "text in the form of this field" // which its description says; a pattern is for machines
		if f.node["format"] == lengthFormat {
			p.Expected = patternOfLength
		}
	case "enum":
		p.Expected = "one of " + list(f.node["enum"])
		options, _ := f.node["enum"].([]any)
		if s, ok := f.value.(string); ok {
			if near := Nearest(s, texts(options)); near != "" {
				p.Mend = fmt.Sprintf("write %q if that is meant", near)
			}
		}
	case "minLength", "minItems":
		p.Kind = Missing
		p.Expected = "something here, not nothing"
	case "maxLength", "maxItems", "minimum", "maximum":
		p.Kind = boundKinds[f.keyword]
		p.Expected = fmt.Sprintf("%s %v", boundWords[f.keyword], f.node[f.keyword])
	case "uniqueItems":
		p.Kind = Twice
		p.Expected = "no item twice"
	default:
		p.Expected = f.message
	}
	if wanted != "" && p.Expected != patternOfLength {
		p.Expected += " (" + strings.TrimSuffix(wanted, ".") + ")"
	}
	if p.Mend == "" {
		p.Mend = usualMends[f.keyword]
	}
	last := f.pointer[strings.LastIndexByte(f.pointer, '/')+1:]
	_, isObject := f.value.(map[string]any)
	_, isList := f.value.([]any)
	v.add(p, false, f.node != nil && !isObject && !isList && !slices.Contains(names, last))
}

// usualMends say what to do where nothing closer is known.
var usualMends = map[string]string{
	"type":        "write what is expected, or leave the field out where it is not required",
	"format":      "write what is expected",
	"pattern":     "write it in that form",
	"enum":        "write one of them",
	"minLength":   "fill it in, or leave the field out where it is not required",
	"minItems":    "fill it in, or leave the field out where it is not required",
	"maxLength":   "shorten it",
	"maxItems":    "split the record; see the limits in the README",
	"minimum":     "correct it",
	"maximum":     "correct it",
	"uniqueItems": "remove one of the two",
}

var boundKinds = map[string]ProblemKind{"maxLength": TooLarge, "maxItems": TooLarge, "minimum": Impossible, "maximum": Impossible}

var boundWords = map[string]string{
	"maxLength": "a length in characters of at most",
	"maxItems":  "a number of items of at most",
	"minimum":   "at least",
	"maximum":   "at most",
}

// describe gives the schema's description of the member called name.
func describe(node map[string]any, name string) string {
	d, _ := Lookup(node, []string{"properties", name, "description"})
	s, _ := d.(string)
	return strings.TrimSuffix(s, ".")
}

// kindOf names the JSON kind of v, with the value where it is short.
func kindOf(v any) string {
	switch v := v.(type) {
	case nil:
		return "null"
	case bool, json.Number:
		return fmt.Sprintf("the bare %s %v", map[bool]string{true: "value", false: "number"}[v == true || v == false], v)
	case string:
		return "the string " + shown(v)
	case []any:
		return "a list"
	case map[string]any:
		return "an object"
	}
	return fmt.Sprintf("%T", v)
}

func withKind(kind any) string {
	switch kind {
	case "object", "array", "integer":
		return map[any]string{"object": "an object", "array": "a list", "integer": "a whole number"}[kind]
	case "boolean":
		return "true or false"
	}
	return fmt.Sprintf("a %v", kind)
}

// shown writes a value short enough for a message.
func shown(v any) string {
	const most = 80
	switch v := v.(type) {
	case string:
		return plaintext.Cut(fmt.Sprintf("%q", v), most)
	case []any:
		return fmt.Sprintf("a list of %d", len(v))
	case map[string]any:
		return fmt.Sprintf("an object of %d fields", len(v))
	}
	return plaintext.Cut(fmt.Sprint(v), most)
}

func list(values any) string {
	items, _ := values.([]any)
	quoted := make([]string, len(items))
	for i, v := range items {
		quoted[i] = shown(v)
	}
	return strings.Join(quoted, ", ")
}

func texts(values []any) []string {
	var out []string
	for _, v := range values {
		if s, ok := v.(string); ok {
			out = append(out, s)
		}
	}
	return out
}
