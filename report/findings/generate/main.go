// Command generate writes the JSON Schema of the JSON format of findings from
// the Go types and their comments. Run it with "go generate ./report/findings".
package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"strings"

	"github.com/invopop/jsonschema"
	"setline.example/report/findings"
)

func main() {
	if len(os.Args) != 3 {
		fmt.Fprintln(os.Stderr, "generate: expected two arguments, the folder of package findings and the file to write")
		os.Exit(1)
	}
	out, err := Generate(os.Args[1])
	if err == nil {
		err = os.WriteFile(os.Args[2], out, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

// Generate returns the JSON Schema (draft 2020-12) of [findings.Report], with
// the comments of the Go sources in dir as descriptions.
func Generate(dir string) ([]byte, error) {
	r := &jsonschema.Reflector{ExpandedStruct: true}
	was, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	// The reflector joins the import path with the folder it walks, so it has
	// to walk "." of the folder itself.
	if err := os.Chdir(dir); err != nil {
		return nil, err
	}
	defer os.Chdir(was)
	if err := r.AddGoComments("setline.example/report/findings", ".", jsonschema.WithFullComment()); err != nil {
		return nil, fmt.Errorf("reading comments of %s: %w", dir, err)
	}
	for name, text := range r.CommentMap {
		r.CommentMap[name] = strings.Join(strings.Fields(text), " ")
	}
	s := r.Reflect(&findings.Report{})
	s.ID = findings.SchemaID
	s.Title = "Setline findings"
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
