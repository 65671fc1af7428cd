package webpage

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// TestProgramIsBuiltFromThis: the program in the page is what these sources give,
// byte for byte, with the toolchain of go.mod.
func TestProgramIsBuiltFromThis(t *testing.T) {
	if os.Getenv("CI") != "true" {
		t.Skip("it builds a program, so whether web/rules.wasm is stale was not checked (CI=true does)")
	}
	folder := t.TempDir()
	if out, err := exec.CommandContext(t.Context(), "go", "run", "./generate", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, name := range []string{"rules.wasm", "wasm_exec.js"} {
		want, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := web.ReadFile("web/" + name); err != nil || !bytes.Equal(got, want) {
			t.Errorf("web/%s is stale (%v): run go generate ./report/fieldsheet/webpage", name, err)
		}
	}
}
