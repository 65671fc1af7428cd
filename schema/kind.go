package schema

import (
	"encoding/json"
	"fmt"
	"sync"
)

// Kind is a kind of JSON file that people write, with its JSON Schema. Files of
// every kind are read in one way: well formed, nothing named twice, a format
// version that is known, and what the schema asks; all problems come at once.
type Kind struct {
	What    string // as messages call it: "a job record"
	This    string // and then: "the record"
	Member  string // its format version stands in this member
	Version int    // the version this program knows
	ID      string // of the schema
	JSON    []byte // the schema (draft 2020-12)
	Start   string // what to do about an empty file

	general func() validator      // for all of JSON Schema
	raw     func() map[string]any // from which messages take their words
}

// NewKind returns k ready to read files.
func NewKind(k Kind) *Kind {
	k.general = sync.OnceValue(k.compiled)
	k.raw = sync.OnceValue(func() (raw map[string]any) {
		if err := json.Unmarshal(k.JSON, &raw); err != nil {
			panic(fmt.Sprintf("the embedded schema is broken: %v", err))
		}
		markLengths(raw)
		return raw
	})
	return &k
}

// markLengths says in a schema which strings are lengths. The published one says
// only which pattern they fit: strict validators refuse a format they do not know.
func markLengths(raw map[string]any) {
	if definition, ok := Lookup(raw, []string{"$defs", "Length"}); ok {
		definition.(map[string]any)["format"] = lengthFormat
	}
}

// Read reads the file named name with the bytes data into a pointer to its Go
// type. The error is [Problems] whenever the file does not fit.
func (k *Kind) Read(name string, data []byte, into any) (*Source, error) {
	src := NewSource(name, data)
	tree, problems, ok := k.tree(src)
	if ok {
		broken, _ := k.validate(src, tree)
		problems = append(problems, broken...)
	}
	if len(problems) > 0 {
		problems.Sort()
		return src, problems
	}
	if err := json.Unmarshal(data, into); err != nil {
		return src, Problems{decodeProblem(src, err)}
	}
	return src, nil
}

// tree reads a text into plain values, if it is one JSON text of a version that
// is known. Names that stand twice are problems all the same.
func (k *Kind) tree(src *Source) (tree any, problems Problems, ok bool) {
	b := newTreeBuilder(src)
	tree, err := b.whole()
	if err != nil {
		return nil, Problems{k.syntaxProblem(src, err)}, false
	}
	for _, pointer := range b.twice {
		problems = append(problems, duplicateName(src, pointer))
	}
	if p, ok := k.versionProblem(src, tree); ok {
		// Under another version every other message would be wrong.
		return nil, append(problems, p), false
	}
	return tree, problems, true
}

// decodeProblem stands for a value that fits the schema and yet not the
// types: a fault of this package, said plainly.
func decodeProblem(src *Source, err error) Problem {
	return Problem{Kind: OwnFault, File: src.Name, Found: err.Error(), Expected: "a value that the record's types hold"}
}
