// Command generate writes the JSON Schema of the JSON format of findings from
// the Go types and their comments. Run it with "go generate ./report/findings".
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"setline.example/report/findings"
	"setline.example/schema/describe"
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
	return describe.Type[findings.Report](dir, describe.Form{ID: findings.SchemaID, Title: "Setline findings",
		Embeds: map[string]string{"setline.example/schema": filepath.Join(dir, "../../schema")}})
}
