package live

import (
	"os"
	"strconv"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/report/fieldsheet/collect"
	"setline.example/schema"
)

// filledRoom is a room of the example as its sheet was filled in: what a page asks
// about it, and the box that an entry goes into.
func filledRoom(t testing.TB) (room []byte, q Question, box string) {
	t.Helper()
	data, err := os.ReadFile("../../../examples/soil/job.json")
	if err != nil {
		t.Fatal(err)
	}
	rec, src, err := schema.Read("soil", data)
	if err != nil {
		t.Fatal(err)
	}
	asks, err := collect.Asked(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := os.ReadFile("../../../examples/annex/sheets/first-visit.md")
	if err != nil {
		t.Fatal(err)
	}
	f, err := collect.ReadMarkdown("first-visit.md", sheet, collect.NewBoxes(asks))
	if err != nil {
		t.Fatal(err)
	}
	const name = "S-112"
	rec.Measured, rec.Agreed = schema.Measured{}, schema.Agreed{}
	if room, err = OfRoom(rec, name); err != nil {
		t.Fatal(err)
	}
	q = Question{Today: "2026-10-06", Entries: map[string]Entry{}}
	own := checks.PlaceName("rooms", name) + "/"
	for name, e := range f.Entries {
		if (e.On || e.Text != "") && (!strings.HasPrefix(name, "rooms/") || strings.HasPrefix(name, own)) {
			q.Entries[name] = Entry{e.Text, e.On}
		}
	}
	return room, q, own + "cabinets/A2/tops/FL"
}

// BenchmarkEntry: one more reading in a room that is filled in, to the verdict.
func BenchmarkEntry(b *testing.B) {
	text, q, box := filledRoom(b)
	r, err := Open(text)
	if err != nil {
		b.Fatal(err)
	}
	b.Logf("%d boxes filled in", len(q.Entries))
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		n++
		q.Entries[box] = Entry{Text: "9 " + strconv.Itoa(1+n%31) + "/32"}
		v, err := r.Judge(q)
		if err != nil || len(v.Refused) > 0 {
			b.Fatal(err, v)
		}
	}
}

// BenchmarkOpen: a room, from its record.
func BenchmarkOpen(b *testing.B) {
	text, _, _ := filledRoom(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Open(text); err != nil {
			b.Fatal(err)
		}
	}
}
