// Command everywhere prints the SHA-256 of every document that is made of
// records, so that processors can be compared: a line for each, with the number
// of the record, the kind of the document, and the sum.
//
//	go run ./checks/internal/rooms/generate -n 200 -rooms 0 -o DIR
//	go run ./report/internal/everywhere DIR
//
// Every record is changed first, at random and always alike: corners move from
// one visit to the next, readings go off the marks of a rule and off their
// limits, words are long and short, and photographs are drawn for it, several
// of one width and some that have to be scaled.
package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime/debug"
	"time"

	"setline.example/checks"
	"setline.example/report"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/paper"
	"setline.example/report/findings"
	"setline.example/report/pdf"
	"setline.example/schema"
	"setline.example/schema/length"
)

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "everywhere:", err)
		os.Exit(1)
	}
}

func run(args []string, out io.Writer) error {
	f := flag.NewFlagSet("everywhere", flag.ContinueOnError)
	keep := f.String("o", "", "folder to write the documents to as well")
	if err := f.Parse(args); err != nil {
		return err
	}
	if f.NArg() != 1 {
		return errors.New("expected a folder of records and nothing else")
	}
	debug.SetGCPercent(800) // an emulated processor collects garbage at length
	n := 0
	return filepath.WalkDir(f.Arg(0), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		documents, err := documentsOf(data, n)
		if err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		for _, d := range documents {
			fmt.Fprintf(out, "%d %s %x\n", n, d.kind, sha256.Sum256(d.data))
			if *keep == "" {
				continue
			}
			if err := os.WriteFile(filepath.Join(*keep, fmt.Sprintf("%d-%s", n, d.kind)), d.data, 0o644); err != nil {
				return err
			}
		}
		n++
		return nil
	})
}

// document is one document, by what it is of and its format.
type document struct {
	kind string
	data []byte
}

// documentsOf makes every document of record n, once it is changed.
func documentsOf(data []byte, n int) ([]document, error) {
	rng := rand.New(rand.NewPCG(uint64(n), 7))
	data, photographs, err := changed(rng, data)
	if err != nil {
		return nil, err
	}
	rec, src, err := schema.Read("job.json", data)
	if err != nil {
		return nil, err
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		return nil, err
	}
	faults, err := checks.History(rec, src)
	if err != nil {
		return nil, err
	}
	o := report.Options{Date: time.Unix(1_800_000_000, 0).UTC(), Version: "everywhere", Paper: pdf.Letter}
	if rec.Planned.LengthsIn == length.Metric {
		o.Paper = pdf.A4
	}
	o.Photos = report.LoadPhotos(rec, photographs)
	turnover, err := report.New(found, faults, src.Data, o)
	if err != nil {
		return nil, err
	}
	layout, err := report.NewLayout(found, src.Data, o, report.LayoutOptions{})
	if err != nil {
		return nil, err
	}
	sheet, err := fieldsheet.New(rec, src, fieldsheet.Options{Date: o.Date, Version: o.Version, All: n%2 == 0})
	if err != nil {
		return nil, err
	}
	all := []document{{"record.json", data}}
	for i, w := range []struct {
		kind  string
		write func(io.Writer) error
	}{
		{"turnover.pdf", turnover.PDF}, {"turnover.html", turnover.HTML}, {"turnover.md", turnover.Markdown},
		{"layout.html", layout.HTML}, {"layout.md", layout.Markdown}, {"sheet.md", sheet.Markdown},
		{"findings.json", func(w io.Writer) error { return writeFindings(w, found, src) }},
		{"layout.pdf", layout.PDF}, {"sheet.pdf", func(w io.Writer) error { return paper.Write(w, sheet, o.Paper) }},
	} {
		// An emulated processor takes its time: two of these documents only now and then.
		if i > 6 && (n+i)%5 != 0 {
			continue
		}
		var b bytes.Buffer
		if err := w.write(&b); err != nil {
			return nil, fmt.Errorf("%s: %w", w.kind, err)
		}
		all = append(all, document{w.kind, b.Bytes()})
	}
	// What no document prints: every result to the last bit.
	results, err := json.Marshal(found.Rooms)
	return append(all, document{"results.json", results}), err
}

func writeFindings(w io.Writer, found *checks.Findings, src *schema.Source) error {
	format, _ := findings.FindFormat("json")
	s := findings.Selection{All: true}
	out := format.New(w)
	if err := out.Begin(findings.Run{Program: "everywhere", Shown: s.Shown()}); err != nil {
		return err
	}
	file := s.File("job.json", found, src, format.Needs)
	if err := out.File(file); err != nil {
		return err
	}
	var sum findings.Summary
	sum.Add(file)
	return out.End(sum, 0)
}
