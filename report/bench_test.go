package report

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"setline.example/checks"
	"setline.example/schema"
)

// randomJob returns the job record of so many random rooms, each with two
// elevations of five cabinets, seen whole on two visits.
func randomJob(b *testing.B, rooms int) []byte {
	b.Helper()
	dir := b.TempDir()
	c := exec.CommandContext(b.Context(), "go", "run", "../checks/internal/rooms/generate", "-n", "1",
		"-rooms", strconv.Itoa(rooms), "-elevations", "2", "-cabinets", "5", "-visits", "2", "-o", dir)
	if out, err := c.CombinedOutput(); err != nil {
		b.Fatalf("%s: %v\n%s", strings.Join(c.Args, " "), err, out)
	}
	data, err := os.ReadFile(filepath.Join(dir, "000", "room-00000.json"))
	if err != nil {
		b.Fatal(err)
	}
	return data
}

// judged is a record with what the rules found.
func judged(b *testing.B, data []byte) (*checks.Findings, []checks.Fault) {
	b.Helper()
	rec, src, err := schema.Read("job.json", data)
	if err != nil {
		b.Fatal(err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		b.Fatal(err)
	}
	faults, err := checks.History(rec, src)
	if err != nil {
		b.Fatal(err)
	}
	return found, faults
}

func perOp(b *testing.B) float64 { return float64(b.Elapsed().Nanoseconds()) / float64(b.N) }

// fastest runs the loop of a benchmark and returns its fastest turn, which other
// programs on the machine disturb least: ratios are made of these.
func fastest(b *testing.B, run func() error) time.Duration {
	b.Helper()
	b.ReportAllocs()
	least := time.Duration(math.MaxInt64)
	for b.Loop() {
		start := time.Now()
		if err := run(); err != nil {
			b.Fatal(err)
		}
		least = min(least, time.Since(start))
	}
	return least
}

// pageObject is a page in a file of ours or of fpdf.
var pageObject = regexp.MustCompile(`<< ?/Type /Page[ \n]`)

// BenchmarkReport makes the PDF of a report, beside bare fpdf writing the same
// text with the same fonts and attachment, but with neither drawings, links
// nor outline:
//
//   - "lines": the very lines of our pages, each where it stands. Nobody breaks
//     lines or looks for columns.
//   - "cells": the paragraphs, headings and table cells of the same Markdown,
//     broken into lines by fpdf's MultiCell in columns of equal width.
//
// ours/bare compares with "report" of the same run:
//
//	go test -run '^$' -bench 'Report$' ./report
func BenchmarkReport(b *testing.B) {
	for _, rooms := range []int{1, 60} {
		name := fmt.Sprintf("%d rooms/", rooms)
		data := randomJob(b, rooms)
		found, faults := judged(b, data)
		r, err := New(found, faults, data, options(nil))
		if err != nil {
			b.Fatal(err)
		}
		var out bytes.Buffer
		if err := r.PDF(&out); err != nil {
			b.Fatal(err)
		}
		pages := len(pageObject.FindAllIndex(out.Bytes(), -1))
		report := func(b *testing.B, bytes int) {
			b.ReportMetric(float64(bytes)/float64(pages), "B/page")
		}
		b.Run(name+"template", func(b *testing.B) {
			fastest(b, func() error {
				_, err := New(found, faults, data, options(nil))
				return err
			})
		})
		var ours time.Duration
		b.Run(name+"report", func(b *testing.B) {
			ours = fastest(b, func() error {
				r, err := New(found, faults, data, options(nil))
				if err != nil {
					return err
				}
				return r.PDF(io.Discard)
			})
			report(b, out.Len())
			b.ReportMetric(float64(pages), "pages")
		})
		lines := linesOf(b, out.Bytes())
		if len(lines) != pages {
			b.Fatalf("found the lines of %d pages, expected %d", len(lines), pages)
		}
		blocks := blocksOf(r.parts)
		for _, bare := range []struct {
			name  string
			write func(io.Writer) error
		}{
			{"bare lines", func(w io.Writer) error { return bareLines(w, lines, data) }},
			{"bare cells", func(w io.Writer) error { return bareCells(w, blocks, data) }},
		} {
			b.Run(name+bare.name, func(b *testing.B) {
				theirs := fastest(b, func() error { return bare.write(io.Discard) })
				if ours > 0 {
					b.ReportMetric(ours.Seconds()/theirs.Seconds(), "ours/bare")
				}
				var out bytes.Buffer
				if err := bare.write(&out); err != nil {
					b.Fatal(err)
				}
				n := len(pageObject.FindAllIndex(out.Bytes(), -1))
				b.ReportMetric(float64(n), "pages")
				b.ReportMetric(float64(out.Len())/float64(n), "B/page")
			})
		}
	}
}

// BenchmarkGrowth goes all the way from the bytes of a record to the PDF;
// time and memory of a room must not grow with the number of rooms:
//
//	go test -run '^$' -bench Growth -benchtime 2x ./report
func BenchmarkGrowth(b *testing.B) {
	for _, rooms := range []int{15, 60, 240} {
		data := randomJob(b, rooms)
		b.Run(fmt.Sprintf("%d rooms", rooms), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				found, faults := judged(b, data)
				r, err := New(found, faults, data, options(nil))
				if err != nil {
					b.Fatal(err)
				}
				if err := r.PDF(io.Discard); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(perOp(b)/float64(rooms), "ns/room")
		})
	}
}

// BenchmarkProcess runs setline as a program that makes a PDF of a record,
// beside headless Chromium as a program that prints the HTML which setline
// made of the same record:
//
//	go test -run '^$' -bench Process -benchtime 2x ./report
func BenchmarkProcess(b *testing.B) {
	dir := b.TempDir()
	bin := filepath.Join(dir, "setline")
	call := func(b *testing.B, name string, args ...string) error {
		if out, err := exec.CommandContext(b.Context(), name, args...).CombinedOutput(); err != nil {
			return fmt.Errorf("%s %v: %w\n%s", name, args, err, out)
		}
		return nil
	}
	run := func(name string, args ...string) {
		if err := call(b, name, args...); err != nil {
			b.Fatal(err)
		}
	}
	run("go", "build", "-o", bin, "../cmd/setline")
	for _, rooms := range []int{1, 15} {
		name := fmt.Sprintf("%d rooms/", rooms)
		record, page := filepath.Join(dir, "job.json"), filepath.Join(dir, "job.html")
		if err := os.WriteFile(record, randomJob(b, rooms), 0o600); err != nil {
			b.Fatal(err)
		}
		run(bin, "report", record, "-o", page)
		var ours time.Duration
		b.Run(name+"setline", func(b *testing.B) {
			ours = fastest(b, func() error { return call(b, bin, "report", record, "-o", filepath.Join(dir, "job.pdf")) })
		})
		b.Run(name+"Chromium", func(b *testing.B) {
			if _, err := exec.LookPath("chromium"); err != nil {
				b.Skip("the program chromium is missing, so its speed was not measured")
			}
			theirs := fastest(b, func() error {
				return call(b, "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
					"--user-data-dir="+filepath.Join(dir, "profile"), "--print-to-pdf="+filepath.Join(dir, "chromium.pdf"), "file://"+page)
			})
			if ours > 0 {
				b.ReportMetric(theirs.Seconds()/ours.Seconds(), "Chromium/setline")
			}
		})
	}
}
