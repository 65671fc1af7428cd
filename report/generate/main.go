// Command generate writes the JSON Schema of a kind of file from its Go types
// and their comments. "go generate ./report/..." runs it.
package main

import (
	"fmt"
	"os"
	"reflect"

	"github.com/invopop/jsonschema"
	"setline.example/report/results"
	"setline.example/report/trust"
	"setline.example/report/verify"
	"setline.example/schema"
	"setline.example/schema/describe"
)

func main() {
	if len(os.Args) != 4 || kinds[os.Args[1]] == nil {
		fmt.Fprintln(os.Stderr, "generate: expected three arguments: the kind of file, the folder of its package and the file to write")
		os.Exit(1)
	}
	out, err := kinds[os.Args[1]](os.Args[2])
	if err == nil {
		err = os.WriteFile(os.Args[3], out, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

// kinds give the schema of each kind of file, from the folder of its package.
var kinds = map[string]func(dir string) ([]byte, error){
	"verification": func(dir string) ([]byte, error) {
		return describe.Type[verify.Verification](dir, describe.Form{ID: verify.SchemaID, Title: "Setline verification", Mapper: mapped})
	},
	"results": func(dir string) ([]byte, error) {
		return describe.Type[results.Results](dir, describe.Form{ID: results.SchemaID, Title: "Setline results in a report"})
	},
	"trust": func(dir string) ([]byte, error) {
		return describe.Type[trust.List](dir, describe.Form{ID: trust.SchemaID, Title: "Setline trust list", Mapper: mapped})
	},
}

// mapped gives the schema of types that have one of their own.
func mapped(t reflect.Type) *jsonschema.Schema {
	switch t {
	case reflect.TypeFor[schema.Date]():
		return &jsonschema.Schema{Type: "string", Format: "date"}
	case reflect.TypeFor[verify.Code]():
		s := &jsonschema.Schema{Type: "string"}
		for _, c := range verify.Codes() {
			s.Enum = append(s.Enum, c)
		}
		return s
	}
	return nil
}
