package schema

import (
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"setline.example/schema/length"
)

// failure is one keyword of the schema that one value does not fit.
type failure struct {
	pointer string         // to the value
	value   any            // the value
	node    map[string]any // the part of the schema that the keyword stands in
	wanted  string         // what the schema says the value is
	keyword string
}

// fitting holds plain JSON values against the JSON Schema of the record. It
// knows the keywords that this schema has; tests hold it against a validator
// that knows all.
type fitting struct {
	patterns map[string]*regexp.Regexp
	failures []failure
}

// fit finds everything in tree that does not fit the schema.
func fit(tree any) []failure {
	f := fitting{patterns: map[string]*regexp.Regexp{}}
	f.value("", tree, rawSchema(), "")
	return f.failures
}

// value holds the value at pointer against a node. wanted says what it is
// where that is said better than by the node itself.
func (f *fitting) value(pointer string, value any, node map[string]any, wanted string) {
	said, _ := node["description"].(string)
	if wanted == "" {
		wanted = said
	}
	fails := func(keyword string, ok bool) {
		if _, stands := node[keyword]; stands && !ok {
			f.failures = append(f.failures, failure{pointer, value, node, wanted, keyword})
		}
	}
	if kind, typed := node["type"]; typed && !isOf(kind, value) {
		fails("type", false)
		return // what else the node says is of values of its type
	}
	fails("enum", isOneOf(node["enum"], value))
	switch v := value.(type) {
	case map[string]any:
		f.object(pointer, v, node, fails)
	case []any:
		fails("minItems", len(v) >= bound(node, "minItems"))
		fails("maxItems", len(v) <= bound(node, "maxItems"))
		fails("uniqueItems", !repeats(v))
		if items, ok := node["items"].(map[string]any); ok {
			for i, item := range v {
				f.value(Pointer(pointer, i), item, items, "")
			}
		}
	case string:
		fails("format", hasFormat(node["format"], v))
		n := utf8.RuneCountInString(v)
		fails("minLength", n >= bound(node, "minLength"))
		fails("maxLength", n <= bound(node, "maxLength"))
		fails("pattern", f.matches(node["pattern"], v))
	case json.Number:
		if n, ok := whole(string(v)); ok {
			fails("minimum", n >= int64(bound(node, "minimum")))
			fails("maximum", n <= int64(bound(node, "maximum")))
		}
	}
	if ref, ok := node["$ref"].(string); ok {
		to, _ := lookup(rawSchema(), steps(strings.TrimPrefix(ref, "#")))
		f.value(pointer, value, to.(map[string]any), said)
	}
}

func (f *fitting) object(pointer string, object, node map[string]any, fails func(keyword string, ok bool)) {
	required, _ := node["required"].([]any)
	fails("required", !slices.ContainsFunc(required, func(name any) bool { _, ok := object[name.(string)]; return !ok }))
	properties, _ := node["properties"].(map[string]any)
	others, _ := node["additionalProperties"].(map[string]any)
	unknown := false
	for _, name := range sortedKeys(object) {
		property, known := properties[name].(map[string]any)
		switch {
		case known:
			f.value(Pointer(pointer, name), object[name], property, "")
		case others != nil:
			f.value(Pointer(pointer, name), object[name], others, "")
		default:
			unknown = true
		}
	}
	fails("additionalProperties", !unknown)
}

// bound is the number of a keyword of a node.
func bound(node map[string]any, keyword string) int {
	n, _ := node[keyword].(float64)
	return int(n)
}

func isOf(kind, value any) bool {
	switch v := value.(type) {
	case map[string]any:
		return kind == "object"
	case []any:
		return kind == "array"
	case string:
		return kind == "string"
	case bool:
		return kind == "boolean"
	case json.Number:
		_, ok := whole(string(v))
		return ok && kind == "integer"
	}
	return false
}

func isOneOf(values, value any) bool {
	all, _ := values.([]any)
	return slices.ContainsFunc(all, func(v any) bool {
		switch v := v.(type) {
		case string:
			return v == value
		case float64:
			number, ok := value.(json.Number)
			n, _ := whole(string(number))
			return ok && float64(n) == v
		}
		return false
	})
}

// repeats reports whether a text stands twice in a list; only lists of texts
// have to be without.
func repeats(values []any) bool {
	seen := map[string]bool{}
	return slices.ContainsFunc(values, func(v any) bool {
		s, ok := v.(string)
		twice := ok && seen[s]
		seen[s] = seen[s] || ok
		return twice
	})
}

func hasFormat(format any, s string) bool {
	switch format {
	case LengthFormat:
		_, err := length.Parse(s)
		return err == nil
	case "date":
		return isDate(s)
	}
	return true
}

func (f *fitting) matches(pattern any, s string) bool {
	text, _ := pattern.(string)
	if f.patterns[text] == nil {
		f.patterns[text] = regexp.MustCompile(text)
	}
	return f.patterns[text].MatchString(s)
}
