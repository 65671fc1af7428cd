// Package describe gives the JSON Schema (draft 2020-12) of a Go type, with the
// comments of its sources as descriptions. It is for the commands that "go
// generate" runs, and no part of the program.
package describe

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"reflect"
	"slices"
	"strings"

	"github.com/invopop/jsonschema"
)

// Form says what of a schema does not come from the type.
type Form struct {
	ID, Title string
	// Mapper gives the schema of types that are to have one of their own, nil
	// for others.
	Mapper func(reflect.Type) *jsonschema.Schema
	// Embeds are the folders of other packages, by import path, whose types T holds.
	Embeds map[string]string
	// Definitions come beside those of the types.
	Definitions map[string]*jsonschema.Schema
}

// Type returns the schema of T, whose package has its sources in dir, indented
// by two spaces and ended by a newline. Strict: an object has the fields of its
// type and no others. The error is about sources that cannot be read.
func Type[T any](dir string, f Form) ([]byte, error) {
	r := &jsonschema.Reflector{Mapper: f.Mapper, ExpandedStruct: true}
	if err := addComments(r, reflect.TypeFor[T]().PkgPath(), dir); err != nil {
		return nil, fmt.Errorf("reading comments of %s: %w", dir, err)
	}
	for _, path := range slices.Sorted(maps.Keys(f.Embeds)) {
		dir := f.Embeds[path]
		if err := addComments(r, path, dir); err != nil {
			return nil, fmt.Errorf("reading comments of %s: %w", dir, err)
		}
	}
	s := r.Reflect(new(T))
	s.ID = jsonschema.ID(f.ID)
	s.Title = f.Title
	maps.Copy(s.Definitions, f.Definitions)
	describeWhereUsed(s)
	plain, err := json.Marshal(s)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := json.Indent(&out, plain, "", "  "); err != nil {
		return nil, err
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

// addComments reads the comments in dir. The reflector joins the import path
// with the folder it walks, so it has to walk "." of the folder itself.
func addComments(r *jsonschema.Reflector, importPath, dir string) (err error) {
	was, err := os.Getwd()
	if err != nil {
		return err
	}
	if err := os.Chdir(dir); err != nil {
		return err
	}
	defer func() {
		if back := os.Chdir(was); err == nil {
			err = back
		}
	}()
	if err := r.AddGoComments(importPath, ".", jsonschema.WithFullComment()); err != nil {
		return err
	}
	for name, text := range r.CommentMap {
		r.CommentMap[name] = strings.Join(strings.Fields(text), " ")
	}
	return nil
}
