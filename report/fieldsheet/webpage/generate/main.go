// Command generate builds the program of the page, rules.wasm, with the toolchain
// that go.mod names, and copies Go's support for it beside it, into the folder that
// is named. The same sources give the same bytes on every machine.
package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

func main() {
	if err := into(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// Files that [into] makes.
const (
	program = "rules.wasm"
	support = "wasm_exec.js"
)

// into builds the program, and copies Go's support for it, into a folder. What
// could make other bytes of the same sources is set aside.
func into(folder string) error {
	out, err := filepath.Abs(filepath.Join(folder, program))
	if err != nil {
		return err
	}
	build := exec.Command("go", "build", "-tags", "onepass", "-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-o", out, "setline.example/report/fieldsheet/live/program")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOFLAGS=", "GOWASM=", "GOEXPERIMENT=", "CGO_ENABLED=0")
	if said, err := build.CombinedOutput(); err != nil {
		return fmt.Errorf("build the program of the page: %w\n%s", err, said)
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return fmt.Errorf("ask where Go is: %w", err)
	}
	text, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", support))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, support), text, 0o644)
}
