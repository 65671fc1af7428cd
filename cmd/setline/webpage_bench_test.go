package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var (
	otherSetline = flag.String("beside", "", "another setline, whose page BenchmarkPage opens in turn with this one's")
	rounds       = flag.Int("rounds", 5, "how often BenchmarkPage opens each page")
)

// BenchmarkPage opens a sheet as a page in Chromium, empty and filled in, with the
// rules on the page itself, at full speed and slowed down six times, and gives medians
// in milliseconds: when something can be read (painted), when boxes are there (filled),
// when the verdict of the room stands (ready), from an entry to its verdict (entry) and
// to the frame that shows it (shown); what the parts of the start took; megabytes of the
// file and of the browser's process. Compare within one run:
//
//	go test -run '^$' -bench Page -benchtime 1x ./cmd/setline -beside OTHER/setline
func BenchmarkPage(b *testing.B) {
	program := browserNamed(b, "chrome")
	type page struct {
		Name string `json:"name"`
		URL  string `json:"url"`
	}
	j := newPageJob(b)
	pages, sizes := []page{}, map[string]int{}
	open := func(name string, text []byte) {
		file := filepath.Join(b.TempDir(), "sheet.html")
		store(b, file, text)
		pages, sizes[name] = append(pages, page{name, "file://" + file}), len(text)
	}
	opened := func(name string) {
		open(name+"-empty", j.read(j.page))
		open(name+"-filled", j.filledPage())
	}
	opened("this")
	if *otherSetline != "" {
		c := exec.CommandContext(b.Context(), *otherSetline, "sheet", j.record, "-o", j.page, "--date", "2026-10-05", "--each")
		if out, err := c.CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, out)
		}
		opened("beside")
	}
	in, err := json.Marshal(map[string]any{"program": program, "pages": pages, "rates": []int{1, 6}, "rounds": *rounds, "entries": 10, "where": "S-112, elevation A", "to": "A2"})
	if err != nil {
		b.Fatal(err)
	}
	c := exec.CommandContext(b.Context(), "node", "../../testdata/clients/pagespeed.cjs")
	c.Stdin, c.Stderr = bytes.NewReader(in), os.Stderr
	out, err := c.Output()
	var times map[string]map[string][]float64
	if err == nil {
		err = json.Unmarshal(out, &times)
	}
	if err != nil {
		b.Fatal(err)
	}
	for _, name := range slices.Sorted(maps.Keys(times)) {
		b.Run(name, func(b *testing.B) {
			own, _, _ := strings.Cut(name, " ")
			b.ReportMetric(0, "ns/op")
			b.ReportMetric(float64(sizes[own])/1e6, "file-MB")
			for what, all := range times[name] {
				slices.Sort(all)
				median := all[len(all)/2]
				if what == "memory" {
					b.ReportMetric(median/1e6, "memory-MB")
				} else {
					b.ReportMetric(median, what+"-ms")
				}
			}
		})
	}
}

// filledPage is the page with all that the example's sheet answers in its block.
func (j *pageJob) filledPage() []byte {
	j.t.Helper()
	block, err := json.Marshal(map[string]any{"setline_answers": 1, "entries": j.entries, "stands": []string{}, "photos": []string{}})
	if err != nil {
		j.t.Fatal(err)
	}
	return bytes.Replace(j.read(j.page), []byte(emptyAnswers), block, 1)
}
