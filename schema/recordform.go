package schema

import (
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"setline.example/schema/length"
)

// form is what the JSON Schema says of the values of one Go type or field. It
// is made of the same types and tags that the schema is generated from, and
// tests hold it against the schema, keyword by keyword.
type form struct {
	is       kind
	optional bool // the Go type is a pointer to the value

	fields   map[string]int // of an object: positions in members, by name
	members  []member
	required uint64 // set of positions in members

	of     *form // of a list, pair or dictionary: its items
	unique bool  // of a list: no item twice

	least, most int               // of a text: characters; of a list: items; of a whole number: its value
	pattern     string            // of a text: a regular expression, "" for none
	matches     func(string) bool // and what says whether a text matches it
	words       []string          // of a text: all it may be
	numbers     []int             // of a whole number: all it may be
}

// member is a member of an object.
type member struct {
	index []int // of the field
	form  *form
}

// kind is a kind of JSON value with how Go holds it.
type kind int

const (
	objectKind     kind = iota // a struct
	dictionaryKind             // a map
	listKind                   // a slice
	pairKind                   // an array of two
	textKind
	lengthKind
	dateKind
	numberKind // a whole one
	answerKind // true or false
	anyKind    // whatever JSON can say
)

var recordForm = sync.OnceValue(func() *form { return forms{}.of(reflect.TypeFor[Record](), "") })

var (
	lengthType = reflect.TypeFor[length.Length]()
	dateType   = reflect.TypeFor[Date]()
	anyType    = reflect.TypeFor[json.RawMessage]()
)

// forms are the forms made so far, by type and the tag that a field gives it.
type forms map[tagged]*form

type tagged struct {
	t   reflect.Type
	tag string
}

// of makes the form of a type under a tag. It panics where either is of a kind
// that no record has so far; the tests make every form.
func (fs forms) of(t reflect.Type, tag string) *form {
	key := tagged{t, tag}
	if f, ok := fs[key]; ok {
		return f
	}
	f := &form{least: math.MinInt, most: math.MaxInt}
	fs[key] = f
	if t.Kind() == reflect.Pointer {
		f.optional, t = true, t.Elem()
	}
	switch {
	case t == lengthType:
		f.is = lengthKind
	case t == dateType:
		f.is = dateKind
	case t == anyType:
		f.is = anyKind
	default:
		fs.build(f, t, tag)
	}
	return f
}

func (fs forms) build(f *form, t reflect.Type, tag string) {
	switch t.Kind() {
	case reflect.Struct:
		f.is, f.fields = objectKind, map[string]int{}
		fs.structure(f, t, nil)
	case reflect.Map:
		f.is, f.of = dictionaryKind, fs.of(t.Elem(), "")
	case reflect.Slice:
		f.is, f.of = listKind, fs.of(t.Elem(), enumeration(tag))
	case reflect.Array:
		f.is, f.of, f.least, f.most = pairKind, fs.of(t.Elem(), ""), t.Len(), t.Len()
	case reflect.String:
		f.is = textKind
	case reflect.Int:
		f.is = numberKind
	case reflect.Bool:
		f.is = answerKind
	default:
		panic("no form for " + t.String())
	}
	if tag != "" {
		for rule := range strings.SplitSeq(tag, ",") {
			keyword, value, _ := strings.Cut(rule, "=")
			f.rule(keyword, value)
		}
	}
}

// enumeration leaves the enumeration of a tag, which on a list is one of its items.
func enumeration(tag string) string {
	rules := slices.DeleteFunc(strings.Split(tag, ","), func(rule string) bool { return !strings.HasPrefix(rule, "enum=") })
	return strings.Join(rules, ",")
}

// structure adds the fields of a struct to its form; those of an embedded one count as its own.
func (fs forms) structure(f *form, t reflect.Type, way []int) {
	for i := range t.NumField() {
		field := t.Field(i)
		index := append(append([]int(nil), way...), i)
		if field.Anonymous {
			fs.structure(f, field.Type, index)
			continue
		}
		name, options, _ := strings.Cut(field.Tag.Get("json"), ",")
		at := len(f.members)
		f.fields[name] = at
		f.members = append(f.members, member{index, fs.of(field.Type, field.Tag.Get("jsonschema"))})
		if !strings.Contains(options, "omit") {
			f.required |= 1 << at
		}
	}
	if len(f.members) > 64 {
		panic(t.String() + " has more fields than a set of 64 holds")
	}
}

// rule takes one rule of a tag.
func (f *form) rule(keyword, value string) {
	switch keyword {
	case "enum":
		switch f.is {
		case numberKind:
			f.numbers = append(f.numbers, numberIn(value))
		case textKind:
			f.words = append(f.words, value)
		}
	case "minLength", "minItems", "minimum":
		f.least = numberIn(value)
	case "maxLength", "maxItems", "maximum":
		f.most = numberIn(value)
	case "pattern":
		if f.pattern, f.matches = value, patterns[value]; f.matches == nil {
			panic("no form has the pattern " + value)
		}
	case "uniqueItems":
		f.unique = value == "true"
	default:
		panic("no form has the rule " + keyword)
	}
}

func numberIn(rule string) int {
	n, err := strconv.Atoi(rule)
	if err != nil {
		panic("a rule with no number: " + err.Error())
	}
	return n
}
