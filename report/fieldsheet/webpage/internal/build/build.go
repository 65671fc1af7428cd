// Package build builds the program that a field sheet as a page runs.
package build

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// Files that [Into] makes.
const (
	Program = "rules.wasm"
	Support = "wasm_exec.js"
)

// Into builds the program, and copies Go's support for it, into a folder. What
// could make other bytes of the same sources is set aside.
func Into(folder string) error {
	out, err := filepath.Abs(filepath.Join(folder, Program))
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
	support, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", Support))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, Support), support, 0o644)
}
