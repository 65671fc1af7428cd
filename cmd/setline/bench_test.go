package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

var records = flag.String("records", "", "folder of records that BenchmarkFolder reads")

// BenchmarkFolder checks a folder of records, on one processor and on two,
// beside plain decoding of the same files. Compare within one run:
//
//	go run ./checks/internal/rooms/generate -n 1000 -seed 1 -o DIR
//	go test -run '^$' -bench Folder -benchtime 1x ./cmd/setline -records DIR
func BenchmarkFolder(b *testing.B) {
	if *records == "" {
		b.Skip("name a folder with -records; checks/internal/rooms/generate makes one")
	}
	var size int64
	decode := func() error {
		size = 0
		return filepath.WalkDir(*records, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || filepath.Ext(path) != ".json" {
				return err
			}
			data, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			size += int64(len(data))
			var v any
			return json.Unmarshal(data, &v)
		})
	}
	b.Run("decode", func(b *testing.B) {
		for b.Loop() {
			if err := decode(); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(size)
		}
	})
	for _, n := range []int{1, 2} {
		b.Run(fmt.Sprintf("check on %d", n), func(b *testing.B) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
			b.SetBytes(size)
			for b.Loop() {
				if code := run([]string{"check", *records}, strings.NewReader(""), io.Discard, io.Discard); code == exitInput {
					b.Fatalf("exit code %d", code)
				}
			}
		})
	}
}

// BenchmarkGrowth runs whole commands on records of 100 to 1,000 visits to a
// room, and of 10 to 1,000 rooms. Look at the time for each, which must not grow:
//
//	go test -run '^$' -bench Growth -benchtime 1x ./cmd/setline
func BenchmarkGrowth(b *testing.B) {
	for _, size := range []struct {
		of  string
		ns  []int
		all []string // of the generator
	}{
		{"visits", []int{100, 200, 400, 1000}, []string{"-rooms", "1", "-elevations", "1", "-cabinets", "4"}},
		{"rooms", []int{10, 100, 1000}, []string{"-visits", "1", "-elevations", "2", "-cabinets", "5"}},
	} {
		for _, n := range size.ns {
			job := generated(b, append(size.all, "-"+size.of, strconv.Itoa(n))...)
			for _, command := range [][]string{
				{"punch", job},
				{"compare", job, "--visits", "0,1"},
				{"report", job, "-o", filepath.Join(b.TempDir(), "report.pdf")},
			} {
				b.Run(fmt.Sprintf("%s/%d %s", command[0], n, size.of), func(b *testing.B) {
					for b.Loop() {
						if code := run(command, strings.NewReader(""), io.Discard, io.Discard); code == exitInput {
							b.Fatalf("exit code %d", code)
						}
					}
					b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(n), "µs/each")
				})
			}
		}
	}
}

// generated is the path of a random record.
func generated(b *testing.B, args ...string) string {
	b.Helper()
	dir := b.TempDir()
	args = append([]string{"run", "../../checks/internal/rooms/generate", "-n", "1", "-o", dir}, args...)
	if out, err := exec.CommandContext(b.Context(), "go", args...).CombinedOutput(); err != nil {
		b.Fatalf("go %s: %v\n%s", strings.Join(args, " "), err, out)
	}
	return filepath.Join(dir, "000", "room-00000.json")
}
