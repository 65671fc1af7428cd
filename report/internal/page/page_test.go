package main

import (
	"bytes"
	"compress/gzip"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// most is how large the program may be where it is loaded over a network: what
// judges takes 2.3 MB, what computes turns and how a top rests the rest.
const most = 2_500_000

// built builds the program with the tag onepass for a system.
func built(t *testing.T, env []string, flags ...string) string {
	t.Helper()
	if testing.Short() {
		t.Skip("it builds a program, so this was not checked (-short)")
	}
	name := filepath.Join(t.TempDir(), "page.exe")
	build := exec.Command("go", append(append([]string{"build", "-tags", "onepass"}, flags...), "-o", name, ".")...)
	build.Env = append(os.Environ(), env...)
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return name
}

// TestSmall: schema, rules and findings are small for a page in a browser.
func TestSmall(t *testing.T) {
	program, err := os.ReadFile(built(t, []string{"GOOS=js", "GOARCH=wasm"}, "-trimpath", "-ldflags=-s -w"))
	if err != nil {
		t.Fatal(err)
	}
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(program); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	t.Logf("%d bytes for js/wasm, %d packed by gzip -9", len(program), packed.Len())
	if packed.Len() > most {
		t.Errorf("%d bytes packed, expected at most %d", packed.Len(), most)
	}
}

// unknown is where the record of the next test is refused.
const unknown = "/planned/rooms/0/elevations/0/units/0/teg: found"

// TestOnePassFindsTheSame: without the general validator the rules find the same,
// and a record that does not fit is refused by the place of what does not.
func TestOnePassFindsTheSame(t *testing.T) {
	program := built(t, nil)
	for _, name := range []string{"annex", "metric"} {
		record, err := os.ReadFile("../../../examples/" + name + "/job.json")
		if err != nil {
			t.Fatal(err)
		}
		var want bytes.Buffer
		if err := check(bytes.NewReader(record), &want); err != nil {
			t.Fatal(err)
		}
		run := exec.Command(program)
		run.Stdin = bytes.NewReader(record)
		if got, err := run.Output(); err != nil || !bytes.Equal(got, want.Bytes()) {
			t.Errorf("%s: %v, %d bytes that are not the %d of the program with a validator", name, err, len(got), want.Len())
		}
		run = exec.Command(program)
		run.Stdin = bytes.NewReader(bytes.Replace(record, []byte(`"tag"`), []byte(`"teg"`), 1))
		var exit *exec.ExitError
		if _, err := run.Output(); !errors.As(err, &exit) || exit.ExitCode() != 2 || strings.Count(string(exit.Stderr), "\n") != 1 || !strings.Contains(string(exit.Stderr), unknown) {
			t.Errorf("%s with a field that is none: %v, expected %q", name, err, unknown)
			if exit != nil {
				t.Logf("%s", exit.Stderr)
			}
		}
	}
}
