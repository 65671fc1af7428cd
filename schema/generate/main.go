// Command generate writes the JSON Schema of the job record from the Go types
// of package schema and their comments. Run it with "go generate ./schema".
package main

import (
	"fmt"
	"os"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 2 {
		return fmt.Errorf("expected two arguments, the folder of package schema and the file to write; found %d", len(args))
	}
	out, err := Generate(args[0])
	if err != nil {
		return err
	}
	return os.WriteFile(args[1], out, 0o644)
}
