package checks_test

import (
	"bytes"
	"fmt"
	"html"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"setline.example/checks"
	"setline.example/checks/internal/rooms"
	"setline.example/report"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// unlaid plants what stops a layout, one way or another, at an elevation; or nothing.
func unlaid(rng *rand.Rand, rec *schema.Record) {
	room := &rec.Planned.Rooms[0]
	e := &room.Elevations[rng.IntN(len(room.Elevations))]
	seen := rec.Measured.Visits[0].Rooms[room.Name]
	alter := func(edit func(*schema.ElevationSeen)) { rooms.Alter(seen.Elevations, e.Name, edit) }
	by := length.Length(1+rng.IntN(200)) * length.Inch / 64
	switch rng.IntN(8) {
	case 0:
		alter(func(s *schema.ElevationSeen) { *s.Mark += by }) // too low
	case 1:
		alter(func(s *schema.ElevationSeen) { *s.Mark -= by }) // too high
	case 2:
		alter(func(s *schema.ElevationSeen) { s.Floor = schema.FloorSeen{} })
	case 3:
		alter(func(s *schema.ElevationSeen) { s.Floor.Back = s.Floor.Back[1:] })
	case 4:
		alter(func(s *schema.ElevationSeen) { s.Opening = schema.OpeningSeen{} })
	case 5:
		h := 20*length.Inch + 4*by
		e.WorkHeight = &h
	case 6: // not begun, and set as low as the bolts go
		clear(seen.Cabinets)
		alter(func(s *schema.ElevationSeen) { *s.Mark += length.Inch / 8 })
	}
}

// TestLayoutSheets: whatever stops a layout stands on its sheet, in every
// format, and nothing is said to stop one that is not stopped; the turns and what
// is left are those computed, rounded as said; and so are the cuts.
func TestLayoutSheets(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	stopped := 0
	for range 14 {
		rec := rooms.New(rng, rooms.Size{Rooms: 1})
		unlaid(rng, rec)
		rec, src, err := rooms.Read(rec)
		if err != nil {
			t.Fatal(err)
		}
		found, err := checks.Run(rec, src)
		if err != nil {
			t.Fatal(err)
		}
		o := report.Options{Date: time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC), Paper: "letter", Version: "1"}
		sheet, err := report.NewLayout(found, src.Data, o, report.LayoutOptions{})
		if err != nil {
			t.Fatal(err)
		}
		var md, page, pdf bytes.Buffer
		for _, err := range []error{sheet.Markdown(&md), sheet.HTML(&page), sheet.PDF(&pdf)} {
			if err != nil {
				t.Fatal(err)
			}
		}
		texts := map[string]func(name string) string{
			"Markdown": func(name string) string { return words(until(md.String(), "\n## "+name+"\n", "\n## ")) },
			"HTML": func(name string) string {
				own := until(strings.ReplaceAll(page.String(), "<h2>STOP", "<p>STOP"), "<h2>"+name+"</h2>", "<h2>")
				own = regexp.MustCompile(`(?s)<desc.*?</desc>|<[^>]*>`).ReplaceAllString(own, " ")
				return words(html.UnescapeString(own))
			},
		}
		if text, ok := pdfWords(t, pdf.Bytes()); ok {
			texts["PDF"] = func(name string) string { return words(pagesOf(text, name)) }
		}
		ready := true
		for _, l := range checks.Layouts(rec, found) {
			stop, stops := "", 0
			if all, _ := l.Stops(); len(all) > 0 {
				var names []string
				for _, r := range all {
					if l.Surveyed || !r.Finding.Equal(all[0].Finding) {
						names = append(names, r.Rule.Name)
					}
				}
				if !l.Surveyed {
					names = slices.Insert(names, 0, "NOT SURVEYED")
				}
				stop, stops = "STOP: "+strings.Join(names, ", "), len(all)
				stopped++
				ready = false
			}
			for _, r := range l.Results {
				if !r.Outcome.Holds() && stops == 0 {
					t.Errorf("%s does not hold and does not stop", r.Rule.Name)
				}
			}
			for _, format := range slices.Sorted(maps.Keys(texts)) {
				onIt(t, format, texts[format](l.Room+", elevation "+l.Elevation), &l, stop, rec.Planned.LengthsIn)
			}
		}
		if ready != sheet.Ready() {
			t.Errorf("the sheet says ready: %v, want %v", sheet.Ready(), ready)
		}
		if t.Failed() {
			return
		}
	}
	if stopped < 3 {
		t.Errorf("only %d layouts were stopped", stopped)
	}
}

// onIt holds what a sheet says of an elevation against what was computed.
func onIt(t *testing.T, format, own string, l *checks.Layout, stop string, sys length.System) {
	t.Helper()
	if stop != "" && !strings.Contains(own, stop) {
		t.Errorf("%s of elevation %s does not say %q: %.300s", format, l.Elevation, stop, own)
	}
	if at := strings.Index(own, "STOP"); stop == "" && at >= 0 || stop != "" && at > 200 {
		t.Errorf("%s of elevation %s says at %d to stop, want %q: %.300s", format, l.Elevation, at, stop, own)
	}
	for i, c := range l.Corners {
		if !c.Known || !c.Within || format == "PDF" {
			continue
		}
		// Rounded down to 1/16 in, or where it is short to 1/64 in; in millimetres
		// to a half or a tenth.
		short, step, fine := length.Inch/8, length.Inch/16, length.Inch/64
		if sys == length.Metric {
			short, step, fine = 3*length.Millimetre, length.Millimetre/2, length.Millimetre/10
		}
		if c.Left < short {
			step = fine
		}
		cell := fmt.Sprintf("%s turns, %s left", c.Hand.Text(), (c.Left - c.Left%step).In(sys))
		_, row, _ := strings.Cut(own, " "+c.Unit+" ")
		if !strings.Contains(row, cell) {
			t.Fatalf("%s of elevation %s does not say %q of %s (corner %d): %.1500s", format, l.Elevation, cell, c.Unit, i, own)
		}
	}
	if format == "PDF" {
		for from := 0; from < len(l.Corners); from += 4 {
			for _, c := range l.Corners[from : from+4] {
				if c.Known && c.Within && !strings.Contains(own, " "+c.Hand.Text().String()+" ") {
					t.Errorf("the PDF of elevation %s does not say %s", l.Elevation, c.Hand.Text())
				}
			}
		}
	}
	if l.Cuts != nil {
		for _, f := range l.Cuts.Fillers {
			cut := strings.Join(strings.Fields(fmt.Sprintf("%s %s %s", f.Width[0].In(sys), f.Width[1].In(sys), f.Width[2].In(sys))), " ")
			if f.Problem.Empty() && !strings.Contains(own, cut) {
				t.Errorf("%s of elevation %s does not have the cut %s: %.1500s", format, l.Elevation, cut, own)
			}
		}
	}
}

// words are a text with white space and the marks of tables folded.
func words(text string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("|", " ", "*", " ", ">", " ", `\`, "", "#", " ").Replace(text)), " ")
}

// until is what stands from one mark to the next of another.
func until(text, from, to string) string {
	_, text, _ = strings.Cut(text, from)
	text, _, _ = strings.Cut(text, to)
	return text
}

// headed is what begins an elevation, or the annex.
var headed = regexp.MustCompile(`(?m)^ *(R[0-9]+, elevation [A-Z]+|Annex: exact figures) *$`)

// pagesOf is what stands on the pages under the heading of an elevation.
func pagesOf(text, name string) (own string) {
	on := false
	for i, page := range strings.Split(text, "\f") {
		if i > 0 {
			_, page, _ = strings.Cut(page, "Layout sheet\n") // its running head
		}
		for page != "" {
			at := headed.FindStringSubmatchIndex(page)
			if at == nil {
				at = []int{len(page), len(page), 0, 0}
			}
			if on {
				own += page[:at[0]]
			}
			if at[1] > at[0] {
				on = page[at[2]:at[3]] == name
			}
			page = page[at[1]:]
		}
	}
	return own
}

// pdfWords are the words of a PDF; ok is false where pdftotext is missing.
func pdfWords(t *testing.T, pdf []byte) (string, bool) {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("pdftotext is not installed; .ci/run must install poppler-utils")
		}
		return "", false
	}
	name := filepath.Join(t.TempDir(), "layout.pdf")
	if err := os.WriteFile(name, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-layout", name, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out), true
}

// TestTrialIsAsMarked: a set height that is tried gives the layout that the
// record gives once that height is marked, whether it is told as a height or as
// a reading, and says what the record has.
func TestTrialIsAsMarked(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 20 {
		rec, src, err := rooms.Read(rooms.New(rng, rooms.Size{Rooms: 1}))
		if err != nil {
			t.Fatal(err)
		}
		found, err := checks.Run(rec, src)
		if err != nil {
			t.Fatal(err)
		}
		reading := 8*length.Inch + length.Length(rng.IntN(150))*length.Inch/64
		trial := checks.NewTrial(rec, found, checks.SetHeight{Length: reading, Reading: true}).All()
		was := checks.Layouts(rec, found)
		marked, _, err := rooms.Read(rec)
		if err != nil {
			t.Fatal(err)
		}
		room := rec.Planned.Rooms[0].Name
		for _, l := range was {
			rooms.Alter(marked.Measured.Visits[0].Rooms[room].Elevations, l.Elevation, func(s *schema.ElevationSeen) { *s.Mark = reading })
		}
		again, err := checks.Run(marked, src)
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range checks.Layouts(marked, again) {
			got := trial[i]
			if got.SetTop != reading || got.Trial.Top != was[i].SetTop || fmt.Sprint(got.Corners) != fmt.Sprint(want.Corners) {
				t.Errorf("elevation %s: the trial has other corners than the record with its mark there", got.Elevation)
			}
			for k, r := range want.Results {
				if got.Results[k].Rule != r.Rule || got.Results[k].Outcome != r.Outcome || !got.Results[k].Finding.Equal(r.Finding) {
					t.Errorf("elevation %s, %s: %s, want %s (%s)", got.Elevation, r.Rule.Name, got.Results[k].Outcome, r.Outcome, r.Finding)
				}
			}
			above := checks.NewTrial(rec, found, checks.SetHeight{Length: got.Above()}).All()[i]
			if above.SetTop != reading || fmt.Sprint(above.Corners) != fmt.Sprint(got.Corners) {
				t.Errorf("elevation %s: %s above the high point is not reading %s", got.Elevation, got.Above(), reading)
			}
		}
	}
}
