package schema

import (
	"reflect"
	"slices"
	"strings"
	"testing"
)

// TestFormsAreTheSchema goes along record.schema.json and the forms of the Go
// types together. A keyword that either does not know, or knows otherwise than
// the other, is a fault: a record would be read at once that does not fit, or
// the other way round.
func TestFormsAreTheSchema(t *testing.T) {
	c := &comparison{t: t, keywords: map[string]bool{}}
	c.node("#", record.raw(), recordForm())
	// What the schema no longer has needs no code.
	for _, keyword := range knownKeywords {
		if !c.keywords[keyword] {
			t.Errorf("the schema has no %q any more", keyword)
		}
	}
}

// knownKeywords are those that hold values to something.
var knownKeywords = []string{"$ref", "type", "enum", "format", "pattern", "minLength", "maxLength", "minimum", "maximum",
	"minItems", "maxItems", "uniqueItems", "items", "required", "properties", "additionalProperties"}

// silentKeywords hold values to nothing.
var silentKeywords = []string{"description", "title", "examples", "$schema", "$id", "$defs", "deprecated"}

type comparison struct {
	t        *testing.T
	keywords map[string]bool
}

// types are the JSON types of the kinds of form.
var types = map[kind]string{
	objectKind: "object", dictionaryKind: "object", listKind: "array", pairKind: "array",
	textKind: "string", lengthKind: "string", dateKind: "string", numberKind: "integer", answerKind: "boolean",
}

func (c *comparison) node(at string, node map[string]any, f *form) {
	c.t.Helper()
	if ref, ok := node["$ref"].(string); ok {
		for keyword := range node {
			c.known(at, keyword)
			if keyword != "$ref" && !slices.Contains(silentKeywords, keyword) {
				c.t.Errorf("%s: %q beside $ref", at, keyword)
			}
		}
		to, _ := Lookup(record.raw(), Steps(strings.TrimPrefix(ref, "#")))
		c.node(at+" > "+ref, to.(map[string]any), f)
		return
	}
	for keyword, value := range node {
		c.known(at, keyword)
		if want, ok := c.says(at, keyword, node, f); !ok {
			c.t.Errorf("%s: %q, which the form of kind %d does not have", at, keyword, f.is)
		} else if want != nil && !reflect.DeepEqual(value, want) {
			c.t.Errorf("%s: %q is %v, the form has %v", at, keyword, value, want)
		}
	}
	for _, keyword := range c.needed(f) {
		if _, ok := node[keyword]; !ok {
			c.t.Errorf("%s: no %q, which the form has", at, keyword)
		}
	}
}

func (c *comparison) known(at, keyword string) {
	c.keywords[keyword] = true
	if !slices.Contains(knownKeywords, keyword) && !slices.Contains(silentKeywords, keyword) {
		c.t.Errorf("%s: %q, a keyword that form.go and fit.go do not know", at, keyword)
	}
}

// says gives the value that the form has for a keyword, nil where it holds to
// nothing or was compared already.
func (c *comparison) says(at, keyword string, node map[string]any, f *form) (value any, ok bool) {
	switch keyword {
	case "type":
		return types[f.is], true
	case "format":
		format := map[kind]string{lengthKind: lengthFormat, dateKind: "date"}[f.is]
		return format, format != ""
	case "pattern":
		if f.is == lengthKind {
			return nil, true // see TestPattern and FuzzParse of package length
		}
		return f.pattern, f.pattern != ""
	case "enum":
		var all []any
		for _, word := range f.words {
			all = append(all, word)
		}
		for _, n := range f.numbers {
			all = append(all, float64(n))
		}
		return all, all != nil
	case "minLength", "maxLength":
		return c.limit(keyword, f), f.is == textKind
	case "minimum", "maximum":
		return c.limit(keyword, f), f.is == numberKind
	case "minItems", "maxItems":
		return c.limit(keyword, f), f.is == listKind || f.is == pairKind
	case "uniqueItems":
		return f.unique, f.is == listKind
	case "items":
		c.node(at+"/items", node["items"].(map[string]any), f.of)
		return nil, f.is == listKind || f.is == pairKind
	case "required":
		return c.requiredOf(node, f), f.is == objectKind
	case "properties":
		c.properties(at, node["properties"].(map[string]any), f)
		return nil, f.is == objectKind
	case "additionalProperties":
		if f.is == dictionaryKind {
			c.node(at+"/additionalProperties", node[keyword].(map[string]any), f.of)
			return nil, true
		}
		return false, f.is == objectKind
	}
	return nil, slices.Contains(silentKeywords, keyword)
}

func (c *comparison) limit(keyword string, f *form) any {
	if strings.HasPrefix(keyword, "min") {
		return float64(f.least)
	}
	return float64(f.most)
}

// requiredOf gives the required members in the order of the schema, if they are the same.
func (c *comparison) requiredOf(node map[string]any, f *form) any {
	var names []any
	for name, at := range f.fields {
		if f.required&(1<<at) != 0 {
			names = append(names, name)
		}
	}
	listed := node["required"].([]any)
	if len(names) == len(listed) && !slices.ContainsFunc(names, func(name any) bool { return !slices.Contains(listed, name) }) {
		return listed
	}
	return names
}

func (c *comparison) properties(at string, properties map[string]any, f *form) {
	for name, property := range properties {
		if i, ok := f.fields[name]; ok {
			c.node(at+"/"+name, property.(map[string]any), f.members[i].form)
		} else {
			c.t.Errorf("%s: the form has no %q", at, name)
		}
	}
	for name := range f.fields {
		if _, ok := properties[name]; !ok {
			c.t.Errorf("%s: %q, which only the form has", at, name)
		}
	}
}

// needed are the keywords that the schema must have for what the form holds to.
func (c *comparison) needed(f *form) []string {
	if f.is == anyKind {
		return nil
	}
	all := []string{"type"}
	add := func(is bool, keywords ...string) {
		if is {
			all = append(all, keywords...)
		}
	}
	none := forms{}.of(reflect.TypeFor[string](), "")
	least, most := f.least != none.least, f.most != none.most
	array := f.is == listKind || f.is == pairKind
	add(f.is == objectKind, "properties", "additionalProperties")
	add(f.required != 0, "required")
	add(f.is == dictionaryKind, "additionalProperties")
	add(array, "items")
	add(f.unique, "uniqueItems")
	add(f.is == lengthKind || f.is == dateKind, "format")
	add(f.pattern != "", "pattern")
	add(f.words != nil || f.numbers != nil, "enum")
	add(f.is == textKind && least, "minLength")
	add(f.is == textKind && most, "maxLength")
	add(f.is == numberKind && least, "minimum")
	add(f.is == numberKind && most, "maximum")
	add(array && least, "minItems")
	add(array && most, "maxItems")
	if f.unique && f.of.words == nil {
		c.t.Error("a list without repetition of items that are no choice of words: repeats and list compare texts only, each with each")
	}
	if f.is == numberKind && f.numbers == nil && !(least && most) {
		c.t.Error("a whole number without limits: a larger one than a machine holds would be cut")
	}
	return all
}
