//go:build onepass

package schema

import (
	"bytes"
	"encoding/json"
	"reflect"

	"github.com/go-json-experiment/json/jsontext"
)

// With the tag onepass the program goes without a validator for all of JSON
// Schema, which is a quarter of it where it is loaded over a network. A record
// is held to its schema all the same, by decode; of one that does not fit only
// the first problem is told, and by its place.

type validator = struct{}

func (k *Kind) compiled() validator { return validator{} }

// fit says where the one pass refuses a record. Of any other kind of file it
// knows nothing, and refuses each.
func (k *Kind) fit(tree any) []failure {
	if k != record {
		return []failure{{value: tree, message: k.What + " that a program with a validator has read"}}
	}
	text, err := json.Marshal(tree)
	if err != nil {
		return []failure{{value: tree, message: err.Error()}}
	}
	d := decoder{Decoder: jsontext.NewDecoder(bytes.NewBuffer(text))}
	if d.value(recordForm(), reflect.ValueOf(new(Record)).Elem()) {
		return nil
	}
	f := failure{pointer: string(d.StackPointer()), message: "what the schema says: see \"setline schema\""}
	f.value, _ = Lookup(tree, Steps(f.pointer))
	return []failure{f}
}

// meaningOfTheRest finds nothing: of what is wrong only the first is told.
func meaningOfTheRest(*Source, any, Problems) Problems { return nil }
