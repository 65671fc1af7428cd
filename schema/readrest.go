//go:build !onepass

package schema

import (
	stdjson "encoding/json"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
)

// meaningOfTheRest looks for problems of meaning in a record some of whose
// values do not fit the schema, so that its writer gets all problems at once.
// It is for bad values that can be left out without making good ones look wrong.
func meaningOfTheRest(src *Source, tree any, broken Problems) Problems {
	without := map[string]bool{} // pointers to what was left out, and to everything around it
	for _, p := range broken {
		if !leaveOut(tree, Steps(p.Pointer)) {
			return nil
		}
		for at := p.Pointer; !without[at]; at = at[:max(0, strings.LastIndexByte(at, '/'))] {
			without[at] = true
		}
	}
	plain, err := stdjson.Marshal(plainNumbers(tree))
	if err != nil {
		return nil
	}
	rec := new(Record)
	if err := json.Unmarshal(plain, rec); err != nil {
		return nil
	}
	return slices.DeleteFunc(meaning(src, rec), func(p Problem) bool {
		// What was left out is not there for anything around it either.
		return without[p.Pointer]
	})
}

// leaveOut removes the member that steps lead to. It reports whether it could.
func leaveOut(tree any, steps []string) bool {
	if len(steps) == 0 {
		return false
	}
	last := len(steps) - 1
	parent, ok := Lookup(tree, steps[:last])
	if !ok {
		return false
	}
	object, ok := parent.(map[string]any)
	if ok {
		delete(object, steps[last])
	}
	return ok
}
