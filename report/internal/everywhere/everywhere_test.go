package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// platform is a processor that Go builds for, and what runs its programs here.
type platform struct {
	name   string
	env    []string // of the build
	needs  string   // the outside program that runs it; "" for none
	runner func(goroot string) []string
}

func platforms() []platform {
	return []platform{
		// The version with fused multiply-add.
		{"amd64 v3", []string{"GOOS=linux", "GOARCH=amd64", "GOAMD64=v3"}, "", nil},
		{"386", []string{"GOOS=linux", "GOARCH=386"}, "", nil},
		{"arm64", []string{"GOOS=linux", "GOARCH=arm64"}, "qemu-aarch64", func(string) []string { return []string{"qemu-aarch64"} }},
		{"js/wasm", []string{"GOOS=js", "GOARCH=wasm"}, "node", func(goroot string) []string {
			return []string{"node", "--stack-size=8192", filepath.Join(goroot, "lib", "wasm", "wasm_exec_node.js")}
		}},
	}
}

// Few take a minute; .ci/run compares 200.
var reports = flag.Int("reports", 5, "how many random reports are compared")

// TestSameEverywhere: the same records give the same documents, byte for byte,
// and the same results, to the last bit, on every processor.
func TestSameEverywhere(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and runs the program for other processors, so this was not checked")
	}
	if runtime.GOOS+"/"+runtime.GOARCH != "linux/amd64" {
		t.Skipf("processors are compared from linux/amd64, not from %s/%s, so this was not checked", runtime.GOOS, runtime.GOARCH)
	}
	for _, p := range platforms() {
		needTool(t, p.needs) // before minutes are spent on building
	}
	dir := t.TempDir()
	records := filepath.Join(dir, "records")
	goTool(t, nil, "run", "../../../checks/internal/rooms/generate", "-n", fmt.Sprint(*reports), "-seed", "9", "-rooms", "1", "-elevations", "1", "-o", records)
	here := printed(t, platform{name: "amd64", env: []string{"GOOS=linux", "GOARCH=amd64", "GOAMD64=v1"}}, dir, records)
	if n := bytes.Count(here, []byte(" turnover.pdf ")); n != *reports {
		t.Fatalf("%d reports were made, want %d", n, *reports)
	}
	t.Run("at once", func(t *testing.T) {
		for _, p := range platforms() {
			t.Run(p.name, func(t *testing.T) {
				t.Parallel()
				compare(t, here, printed(t, p, dir, records))
			})
		}
	})
}

// compare holds the lines of one processor to those of another.
func compare(t *testing.T, here, there []byte) {
	t.Helper()
	a, b := strings.Split(string(here), "\n"), strings.Split(string(there), "\n")
	if len(a) != len(b) {
		t.Fatalf("%d documents here, %d there", len(a)-1, len(b)-1)
	}
	differ := 0
	for i := range a {
		if a[i] == b[i] {
			continue
		}
		if differ++; differ <= 10 {
			t.Errorf("here  %s\nthere %s", a[i], b[i])
		}
	}
	if differ > 0 {
		t.Errorf("%d of %d documents differ", differ, len(a)-1)
	}
	t.Logf("%d documents compared", len(a)-1)
}

// printed builds the program for a platform and gives what it prints there.
func printed(t *testing.T, p platform, dir, records string) []byte {
	t.Helper()
	program := filepath.Join(dir, strings.ReplaceAll(p.name, "/", "-"))
	goTool(t, append(p.env, "CGO_ENABLED=0"), "build", "-trimpath", "-o", program, ".")
	var args []string
	if p.runner != nil {
		args = p.runner(strings.TrimSpace(goTool(t, nil, "env", "GOROOT")))
	}
	args = append(args, program, records)
	cmd := exec.CommandContext(t.Context(), args[0], args[1:]...)
	var problems strings.Builder
	cmd.Stderr = &problems
	out, err := cmd.Output()
	if strings.Contains(problems.String(), "microarchitecture support") && os.Getenv("CI") != "true" {
		t.Skipf("this processor is not of %s, so this was not checked", p.name)
	}
	if err != nil {
		t.Fatalf("%s: %v\n%s", strings.Join(args, " "), err, problems.String())
	}
	return out
}

func goTool(t *testing.T, env []string, args ...string) string {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), "go", args...)
	cmd.Env = append(os.Environ(), env...)
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("go %s: %v\n%s", strings.Join(args, " "), err, out)
	}
	return string(out)
}

// needTool skips where an outside program is missing, and fails where CI=true.
func needTool(t *testing.T, name string) {
	t.Helper()
	if name == "" {
		return
	}
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("the program %s is missing; install it", name)
		}
		t.Skipf("the program %s is missing, so this was not checked", name)
	}
}
