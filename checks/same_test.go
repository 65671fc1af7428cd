package checks_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"testing"
	"time"

	"setline.example/checks"
	"setline.example/checks/internal/rooms"
	"setline.example/report"
	"setline.example/report/findings"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// times is how often everything is judged and written. Go makes the order of a
// map another one each time it goes over it, so that of two orders one of
// twenty is the other, all but surely.
const times = 20

// written is one thing made of a record.
type written struct {
	what string
	text []byte
}

// everything makes all that there is of a record: findings in every format,
// layout sheet and turnover report. Of random records, which are many, not in
// every format (whole); the report as a PDF too where that is asked.
func everything(t testing.TB, path string, data []byte, whole, pdf bool) []written {
	t.Helper()
	rec, src, err := schema.Read(path, data)
	if err != nil {
		t.Fatal(err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	var all []written
	s := findings.Selection{All: true}
	for _, f := range findings.Formats() {
		if !whole && f.Name != "text" && f.Name != "json" {
			continue // the others write the same model
		}
		all = append(all, written{f.Name, inFormat(t, f, s.File(path, found, src, f.Needs))})
	}
	faults, err := checks.History(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	o := report.Options{Date: time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC), Paper: "letter", Version: "1"}
	turnover, err := report.New(found, faults, src.Data, o)
	if err != nil {
		t.Fatal(err)
	}
	layout, err := report.NewLayout(found, src.Data, o, report.LayoutOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var list bytes.Buffer
	if err := report.PunchCSV(&list, found, faults, true); err != nil {
		t.Fatal(err)
	}
	all = append(all, written{"punch list", list.Bytes()})
	for _, r := range []struct {
		what   string
		report *report.Report
	}{{"turnover report", turnover}, {"layout sheet", layout}} {
		var out bytes.Buffer
		if err := r.report.Markdown(&out); err != nil {
			t.Fatal(err)
		}
		all = append(all, written{r.what, out.Bytes()})
	}
	if pdf {
		var out bytes.Buffer
		if err := turnover.PDF(&out); err != nil {
			t.Fatal(err)
		}
		all = append(all, written{"turnover report as PDF", out.Bytes()})
	}
	return all
}

// inFormat writes the findings of one record.
func inFormat(t testing.TB, f findings.Format, file *findings.File) []byte {
	t.Helper()
	var out bytes.Buffer
	var sum findings.Summary
	sum.Add(file)
	w := f.New(&out)
	for _, err := range []error{w.Begin(findings.Run{}), w.File(file), w.End(sum, 1)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	return out.Bytes()
}

func same(t testing.TB, name string, was, is []written) {
	t.Helper()
	if len(was) != len(is) {
		t.Fatalf("%s: %d things written, and then %d", name, len(was), len(is))
	}
	for i := range was {
		if !bytes.Equal(was[i].text, is[i].text) {
			a, b := parted(was[i].text, is[i].text)
			t.Fatalf("%s: the %s is once this:\n%s\nand once that:\n%s", name, was[i].what, a, b)
		}
	}
}

// parted cuts two texts down to where they part.
func parted(a, b []byte) ([]byte, []byte) {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	from := max(0, n-60)
	return a[from:min(len(a), n+200)], b[from:min(len(b), n+200)]
}

// placeless takes out what has to change when members of a file change places:
// lines and columns, and the digest of the file.
func placeless(all []written, data []byte) []written {
	digest := fmt.Appendf(nil, "%x", sha256.Sum256(data))
	for i, w := range all {
		text := bytes.ReplaceAll(w.text, digest, nil)
		if places := placesIn[w.what]; places != nil {
			text = places.ReplaceAll(text, nil)
		}
		all[i].text = text
	}
	return all
}

// placesIn are the places in a file, by the format that writes them.
var placesIn = map[string]*regexp.Regexp{
	"json":  regexp.MustCompile(`"(?:line|column)": ?\d+`),
	"sarif": regexp.MustCompile(`"start(?:Line|Column)": ?\d+`),
	"lines": regexp.MustCompile(`(?m)^[^:\n]+\.json:\d+:\d+`),
}

// TestAlwaysTheSame: one record has one answer. What is made of it is the same
// to the byte each time, and, apart from lines, columns and the digest of the
// file, whatever the order of members in it.
func TestAlwaysTheSame(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for _, path := range []string{"../examples/annex/job.json", "../examples/metric/job.json"} {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		alwaysTheSame(t, rng, path, data, true, true)
	}
	for range 80 {
		data, err := json.Marshal(tangled(rng))
		if err != nil {
			t.Fatal(err)
		}
		alwaysTheSame(t, rng, "random.json", data, false, rng.IntN(60) == 0)
	}
}

func alwaysTheSame(t *testing.T, rng *rand.Rand, path string, data []byte, whole, pdf bool) {
	t.Helper()
	first := everything(t, path, data, whole, pdf)
	if pdf { // it holds the record as it was written, and takes long
		same(t, path, first, everything(t, path, data, whole, true))
		first = first[:len(first)-1]
	}
	for range times - 1 {
		same(t, path, first, everything(t, path, data, whole, false))
	}
	var tree any
	if err := json.Unmarshal(data, &tree); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	shuffled(t, rng, &out, tree)
	moved := everything(t, path, out.Bytes(), whole, false)
	same(t, path+" with its members in another order", placeless(first, data), placeless(moved, out.Bytes()))
}

// tangled is a random record in which as much as can be has two of a kind:
// packing lists of one order that start at 1 each, with and without rooms, two
// lasers on a visit, a second visit, faults in it, and what nobody looked at.
func tangled(rng *rand.Rand) *schema.Record {
	rec := rooms.New(rng, rooms.Size{Rooms: 1 + rng.IntN(2), Elevations: 1, Cabinets: 2})
	for n, list := range []string{"P2", "P3"} {
		lines := map[string]schema.PackingLine{}
		for _, line := range slices.Sorted(maps.Keys(rec.Arrived.PackingLists["P1"].Lines)) {
			l := rec.Arrived.PackingLists["P1"].Lines[line]
			if rng.IntN(3) == 0 {
				l.Room = ""
			}
			if rng.IntN(3) == n {
				lines[line] = l
			}
		}
		rec.Arrived.PackingLists[list] = schema.PackingList{Order: "O1", Lines: lines}
	}
	rec.Planned.Instruments["other laser"] = schema.Instrument{Kind: "laser"}
	first := &rec.Measured.Visits[0]
	first.Instruments["other laser"] = schema.InstrumentUse{}
	second := *first
	second.Date = "2026-10-10"
	second.Instruments = map[string]schema.InstrumentUse{"laser": {Checked: "2026-10-01"}}
	second.Rooms = map[string]schema.RoomSeen{}
	for i := range rec.Planned.Rooms {
		second.Rooms[rec.Planned.Rooms[i].Name] = again(rng, first.Rooms[rec.Planned.Rooms[i].Name])
	}
	rec.Measured.Visits = append(rec.Measured.Visits, second)
	return rec
}

// shuffled writes plain JSON with the members of every object in another order.
func shuffled(t testing.TB, rng *rand.Rand, out *bytes.Buffer, v any) {
	t.Helper()
	switch v := v.(type) {
	case map[string]any:
		names := slices.Sorted(maps.Keys(v))
		rng.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
		for i, name := range names {
			out.WriteString([]string{"{\n", ",\n"}[min(i, 1)])
			shuffled(t, rng, out, name)
			out.WriteString(": ")
			shuffled(t, rng, out, v[name])
		}
		out.WriteString([]string{"{}", "}"}[min(len(names), 1)])
	case []any:
		out.WriteByte('[')
		for i := range v {
			if i > 0 {
				out.WriteByte(',')
			}
			shuffled(t, rng, out, v[i])
		}
		out.WriteByte(']')
	default:
		text, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		out.Write(text)
	}
}

// again is what a later visit sees of a room: some of it, and some of that otherwise.
func again(rng *rand.Rand, room schema.RoomSeen) schema.RoomSeen {
	seen := schema.RoomSeen{Elevations: room.Elevations, Cabinets: map[string]schema.CabinetSeen{}}
	for _, tag := range slices.Sorted(maps.Keys(room.Cabinets)) {
		if rng.IntN(3) == 0 {
			continue
		}
		c := room.Cabinets[tag]
		low := *c.Tops.FL + length.Length(rng.IntN(3))*length.Inch/8
		c.Tops.FL = &low
		if len(c.Drawers) > 1 {
			c.Drawers = map[string]string{"1": "2"}
		}
		if rng.IntN(2) == 0 {
			c.Label = nil
		}
		seen.Cabinets[tag] = c
	}
	return seen
}
