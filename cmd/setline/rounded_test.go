package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// offGrid is a record whose floor readings and openings no step of a rule can show,
// each by itself; the floor falls by so many halves of what it did, and openings are
// so many 8ths of an inch wider.
func offGrid(t *testing.T, example string, rng *rand.Rand, halves, wider length.Length) string {
	t.Helper()
	text, err := os.ReadFile(example)
	if err != nil {
		t.Fatal(err)
	}
	rec, _, err := schema.Read(example, text)
	if err != nil {
		t.Fatal(err)
	}
	off := func() length.Length { return 1 + length.Length(rng.IntN(4_000)) } // rounds as what it is beside
	for _, v := range rec.Measured.Visits {
		for _, room := range slices.Sorted(maps.Keys(v.Rooms)) {
			seen := v.Rooms[room]
			for _, name := range slices.Sorted(maps.Keys(seen.Elevations)) {
				e := seen.Elevations[name]
				fall(e.Floor.Front, e.Floor.Back, halves, off)
				for _, at := range []**length.Length{&e.Opening.Bottom, &e.Opening.Middle, &e.Opening.Top} {
					if *at != nil {
						l := **at + wider*length.Inch/8 + off()
						*at = &l
					}
				}
				seen.Elevations[name] = e
			}
			v.Rooms[room] = seen
		}
	}
	path := filepath.Join(t.TempDir(), "job.json")
	data, err := json.Marshal(rec)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// fall makes of two lines of a floor one that falls otherwise from its high point.
func fall(front, back []schema.FloorReading, halves length.Length, off func() length.Length) {
	if len(front)+len(back) == 0 {
		return
	}
	high := slices.MinFunc(slices.Concat(front, back), func(a, b schema.FloorReading) int { return int(a[1] - b[1]) })[1]
	for _, line := range [][]schema.FloorReading{front, back} {
		for i := range line {
			line[i][1] = high + (line[i][1]-high)*halves/2 + off()
		}
	}
}

// A length as it is printed, alone or in a cell of a table whose head has the unit.
// What a bolt has left is rounded down, and the sheet says so.
var (
	printedLength = regexp.MustCompile(`(≈ )?(-?\d+(?:\.\d+|(?: \d+)?/\d+)?) (in|mm)\b`)
	exactCell     = regexp.MustCompile(`(≈ )?(-?[\d/ .]+); (≈ )?(-?[\d/ .]+); \d+\.\d\d`)
	roundedDown   = regexp.MustCompile(`, [^,|]* left\b|still come down[^|.]*`)
)

// printed are the lengths in a document, those that are marked as rounded and others.
func printed(text string) (marked, unmarked map[string]int) {
	marked, unmarked = map[string]int{}, map[string]int{}
	text = roundedDown.ReplaceAllString(strings.Join(strings.Fields(text), " "), "")
	note := func(mark, l string) {
		if mark != "" {
			marked[l]++
		} else {
			unmarked[l]++
		}
	}
	for _, m := range printedLength.FindAllStringSubmatch(text, -1) {
		note(m[1], m[2]+" "+m[3])
	}
	for _, m := range exactCell.FindAllStringSubmatch(text, -1) {
		note(m[1], m[2])
		note(m[3], m[4])
	}
	return marked, unmarked
}

// TestRoundedIsMarked: a length on a layout sheet, the page of a cut or a field sheet is
// the value, or carries the mark. Of two records in which nothing that was read can be
// written exactly, and all of it differs, what is printed in one alone rests on readings.
func TestRoundedIsMarked(t *testing.T) {
	long(t)
	seed := chance.Source(t).Uint64()
	rng := func() *rand.Rand { return rand.New(rand.NewPCG(seed, 1)) } // places of high points stay
	for _, example := range []string{"../../examples/annex/job.json", "../../examples/metric/job.json"} {
		one, other := offGrid(t, example, rng(), 2, 0), offGrid(t, example, rng(), 3, 1)
		for _, args := range [][]string{{"layout"}, {"layout", "-o"}, {"layout", "--cuts", "-o"}, {"sheet", "--all", "-o"}} {
			t.Run(fmt.Sprint(filepath.Base(filepath.Dir(example)), args), func(t *testing.T) {
				marked, has := printed(writtenAs(t, one, ".md", args))
				_, others := printed(writtenAs(t, other, ".md", args))
				if args[0] == "layout" && len(marked) == 0 && !slices.Contains(args, "--cuts") {
					t.Error("found nothing marked as rounded")
				}
				for _, l := range slices.Sorted(maps.Keys(has)) {
					if others[l] == 0 {
						t.Errorf("found %s, which rests on what was read, without a mark", l)
					}
				}
				if !slices.Contains(args, "-o") {
					return
				}
				onPaper, _ := printed(writtenAs(t, one, ".pdf", args))
				for _, l := range slices.Sorted(maps.Keys(marked)) {
					if onPaper[l] == 0 {
						t.Errorf("found ≈ %s in Markdown, and not in PDF", l)
					}
				}
			})
		}
	}
}

// writtenAs is the text of what a command writes, to a file where it ends in -o.
func writtenAs(t *testing.T, job, ending string, args []string) string {
	t.Helper()
	args = slices.Insert(slices.Clone(args), 1, job)
	path := filepath.Join(t.TempDir(), "out"+ending)
	if args[len(args)-1] == "-o" {
		args = append(args, path)
	}
	var out, errs strings.Builder
	if code := run(args, strings.NewReader(""), &out, &errs); code > exitNotReady {
		t.Fatalf("setline %v: exit code %d: %s", args, code, errs.String())
	}
	switch data, err := os.ReadFile(path); {
	case os.IsNotExist(err):
		return out.String()
	case err != nil:
		t.Fatal(err)
	case ending != ".pdf":
		return string(data)
	}
	if _, err := exec.LookPath("pdftotext"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("pdftotext is missing; see .ci/run")
		}
		t.Skip("pdftotext is missing, so the PDF was not read")
	}
	text, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
