package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"setline.example/report/findings"
)

// folderOf makes a folder of n copies of the examples, every third broken.
func folderOf(t testing.TB, n int) string {
	t.Helper()
	dir := t.TempDir()
	var texts [][]byte
	for _, example := range []string{"annex", "metric"} {
		data, err := os.ReadFile("../../examples/" + example + "/job.json")
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, data)
	}
	texts = append(texts, []byte(`{"setline": 1, "planned": 7}`))
	for i := range n {
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("%04d.json", i)), texts[i%len(texts)], 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// TestSameWhoeverIsFirst: on one processor or many, what is written is the
// same, byte for byte, in every format.
func TestSameWhoeverIsFirst(t *testing.T) {
	long(t)
	dir := folderOf(t, 12)
	for _, format := range findings.FormatNames() {
		t.Run(format, func(t *testing.T) {
			var want string
			for _, n := range []int{1, 2, 7} {
				defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
				var out, said bytes.Buffer
				if code := run([]string{"check", "--format", format, dir}, strings.NewReader(""), &out, &said); code != exitInput {
					t.Fatalf("exit code %d, want %d: %s", code, exitInput, said.String())
				}
				got := out.String() + said.String()
				if want == "" {
					want = got
				}
				if got != want {
					t.Errorf("on %d processors something else is written", n)
				}
			}
		})
	}
}

// TestNoGoroutineStays: when a check has ended, by an answer or by an error,
// so has all that it began.
func TestNoGoroutineStays(t *testing.T) {
	dir := folderOf(t, 12)
	calls := [][]string{
		{"check", dir},
		{"check", "--format", "sarif", "-o", filepath.Join(t.TempDir(), "x.sarif"), dir},
		{"check", "-o", filepath.Join(dir, "0001.json"), dir}, // refused on the way
	}
	// The first call that writes begins what listens for signals, which stays for good.
	run(calls[1], strings.NewReader(""), new(bytes.Buffer), new(bytes.Buffer))
	before := runtime.NumGoroutine()
	for _, call := range calls {
		run(call, strings.NewReader(""), new(bytes.Buffer), new(bytes.Buffer))
	}
	for range 100 {
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(10 * time.Millisecond) // those that are ending take a moment
	}
	stacks := make([]byte, 1<<16)
	t.Errorf("%d goroutines, %d before:\n%s", runtime.NumGoroutine(), before, stacks[:runtime.Stack(stacks, true)])
}
