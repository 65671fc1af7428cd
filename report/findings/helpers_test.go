package findings_test

import (
	"bytes"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/report/findings"
	"setline.example/schema"
)

const annex, metric = "../../examples/annex/job.json", "../../examples/metric/job.json"

// hostile is text that no format may take for its own markup.
const hostile = "a [link](http://x) {0} {{1}} </testcase>]]><!-- \x1b[2J\u202e\n\t\"\\ &amp;"

// judge holds the record data against the rules.
func judge(t testing.TB, s findings.Selection, path string, data []byte, format string) *findings.File {
	t.Helper()
	rec, src, err := schema.Read(path, data)
	if err != nil {
		t.Fatal(err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	f, ok := findings.FindFormat(format)
	if !ok {
		t.Fatalf("no format %q", format)
	}
	return s.File(path, found, src, f.Needs)
}

func read(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// sample is a run over records of every kind: not ready and with a concession,
// ready, one that cannot be used, and one full of hostile text, with every
// outcome that there is.
func sample(t testing.TB, s findings.Selection, format string) []*findings.File {
	files := []*findings.File{
		judge(t, s, annex, read(t, annex), format),
		judge(t, s, metric, read(t, metric), format),
		findings.Broken("folder with spaces/é%20:x.json", schema.Problems{
			{Kind: schema.WrongForm, Line: 3, Column: 7, Pointer: "/planned/rooms", Found: hostile, Expected: "rooms", Mend: hostile},
			{Kind: schema.OtherFile, Found: "nothing", Expected: "a job record"},
		}),
	}
	bad := &findings.File{Path: "/srv/rooms/job.json", SHA256: strings.Repeat("0", 64), Answer: findings.NotReady}
	room := findings.Room{Name: hostile, Use: hostile, Answer: findings.NotReady, Counts: map[checks.Outcome]int{}}
	for i, o := range checks.Outcomes() {
		room.Counts[o]++
		room.Results = append(room.Results, findings.Result{
			Rule: "fronts flush", Subject: "R/" + hostile, Elevation: "A", Outcome: o, Finding: hostile, Remedy: hostile,
			Source: hostile, Pointer: "/measured", Line: i + 1, Column: 1, Fingerprint: findings.Fingerprint("fronts flush", hostile),
			Value: &findings.Quantity{Text: "1/8 in", Number: 3175000, Unit: "nm"},
		})
	}
	bad.Rooms = append(bad.Rooms, room)
	return append(files, bad)
}

// write writes files in a format.
func write(t testing.TB, format string, run findings.Run, files []*findings.File) []byte {
	t.Helper()
	f, ok := findings.FindFormat(format)
	if !ok {
		t.Fatalf("no format %q", format)
	}
	var out bytes.Buffer
	w := f.New(&out)
	if err := w.Begin(run); err != nil {
		t.Fatal(err)
	}
	var sum findings.Summary
	for _, file := range files {
		sum.Add(file)
		if err := w.File(file); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.End(sum, 2); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// shuffled puts the members of every object of a JSON text in another order.
// The order of lists has a meaning and stays.
func shuffled(t testing.TB, rng *rand.Rand, data []byte) []byte {
	t.Helper()
	var v ordered
	v.read(t, data)
	v.shuffle(rng)
	var out bytes.Buffer
	v.write(&out)
	return out.Bytes()
}
