package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/schema"
)

// TestGenerate: the same seed gives the same files, all are records, and those
// with a fault are the ones that are not ready.
func TestGenerate(t *testing.T) {
	var dirs [2]string
	for i := range dirs {
		dirs[i] = t.TempDir()
		if err := run([]string{"-n", "40", "-seed", "7", "-faults", "10", "-visits", "2", "-o", dirs[i]}, new(bytes.Buffer)); err != nil {
			t.Fatal(err)
		}
	}
	paths, err := filepath.Glob(filepath.Join(dirs[0], "*", "*.json"))
	if err != nil || len(paths) != 40 {
		t.Fatalf("%d files, error %v", len(paths), err)
	}
	for i, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		again, err := os.ReadFile(strings.Replace(path, dirs[0], dirs[1], 1))
		if err != nil || !bytes.Equal(data, again) {
			t.Errorf("%s is not the same again (%v)", path, err)
		}
		rec, src, err := schema.Read(path, data)
		if err != nil {
			t.Fatal(err)
		}
		found, err := checks.Run(rec, src)
		if err != nil {
			t.Fatal(err)
		}
		if got := rec.Measured.Visits; len(got) != 2 || got[0].Date >= got[1].Date {
			t.Errorf("%s has visits %v, want two in time order", path, got)
		}
		if want := (i+1)%10 != 0; found.Ready() != want {
			t.Errorf("%s is ready: %t, want %t", path, found.Ready(), want)
		}
	}
}
