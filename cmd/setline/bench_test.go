package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
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
