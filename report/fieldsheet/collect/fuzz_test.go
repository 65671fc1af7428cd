package collect

import (
	"bytes"
	"errors"
	"os"
	"testing"
	"time"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/filledpdf"
	"setline.example/schema"
)

// fuzzJob is what the fuzz targets collect into: an example without its visits.
func fuzzJob(f *testing.F) (*schema.Record, *schema.Source, []*checks.Ask, *fieldsheet.Sheet) {
	f.Helper()
	data, err := os.ReadFile("../../../examples/metric/job.json")
	if err != nil {
		f.Fatal(err)
	}
	rec, src, err := schema.Read("job.json", data)
	if err != nil {
		f.Fatal(err)
	}
	asks, err := Asked(rec, src)
	if err != nil {
		f.Fatal(err)
	}
	s, err := fieldsheet.New(rec, src, fieldsheet.Options{All: true, Date: time.Unix(0, 0), Version: "fuzz"})
	if err != nil {
		f.Fatal(err)
	}
	return rec, src, asks, s
}

// held holds what came of a sheet against what is promised of any: a record
// that can be read, or problems with their mends.
func held(t *testing.T, rec *schema.Record, src *schema.Source, asks []*checks.Ask, filled *fieldsheet.Filled, err error) {
	var problems schema.Problems
	if err == nil {
		var r *Result
		if r, err = Add(rec, src, asks, []*fieldsheet.Filled{filled}, Options{}); err == nil {
			if _, _, err := schema.Read("job.json", r.Record); err != nil {
				t.Errorf("a record that cannot be read: %v", err)
			}
			return
		}
	}
	if !errors.As(err, &problems) || len(problems) == 0 {
		t.Errorf("an error that is no problem of the sheet: %v", err)
	}
	for _, p := range problems {
		if p.File == "" || p.Found == "" || p.Expected == "" {
			t.Errorf("half a problem: %+v", p)
		}
	}
}

// FuzzCollect reads any bytes as a filled PDF.
func FuzzCollect(f *testing.F) {
	rec, src, asks, sheet := fuzzJob(f)
	// A whole sheet is too large to be varied well; small forms are not.
	for _, object := range []string{
		"<</T (date) /FT /Tx /V (2026-10-01)>>", "<</T (plan) /FT /Tx /V (" + planOf(f, sheet) + ")>>",
		"<</T (a) /FT /Btn /Kids [5 0 R]>>", "<</T (people/0/name) /FT /Tx /V <FEFF0041>>>",
	} {
		f.Add(formPDF("4 0 R", object, "<</T (b) /FT /Tx /V (x) /Parent 4 0 R>>"))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		filled, err := filledpdf.Read("x.pdf", data)
		held(t, rec, src, asks, filled, err)
	})
}

// FuzzMarkdown reads any text as a filled sheet in Markdown.
func FuzzMarkdown(f *testing.F) {
	rec, src, asks, sheet := fuzzJob(f)
	var b bytes.Buffer
	if err := sheet.Markdown(&b); err != nil {
		f.Fatal(err)
	}
	boxes := NewBoxes(asks)
	head := "## Visit\n\n- Date of the visit: 2026-10-01\n- Who, 1, name: A\n\n"
	plan := "\n" + fieldsheet.PlanMark + planOf(f, sheet) + fieldsheet.PlanEnd + "\n"
	f.Add(b.Bytes())
	f.Add([]byte(head + "### 1.12/N2\n- Top, front-left: 231\n- Remark: a\n  b\n" + plan))
	f.Add([]byte(head + "## Site\n- Slab cured:\n  - [x] yes\n  - [x] no\n" + plan))
	f.Fuzz(func(t *testing.T, data []byte) {
		filled, err := ReadMarkdown("x.md", data, boxes)
		held(t, rec, src, asks, filled, err)
	})
}

// FuzzValue fills one box with any text: the record that comes out can be read
// and holds no other value, or the box is refused by name.
func FuzzValue(f *testing.F) {
	rec, src, asks, sheet := fuzzJob(f)
	fields, plan := sheet.Fields(), planOf(f, sheet)
	for i, text := range []string{"1/64", "0.5 mm", "2026-10-01", "none", "N3/1", "yes", "\x00", "9e9", "⅛", "−1"} {
		f.Add(uint16(i*7), text)
	}
	f.Fuzz(func(t *testing.T, n uint16, text string) {
		field := fields[int(n)%len(fields)]
		entries := map[string]fieldsheet.Entry{"date": {Text: "2026-10-05"}, "people/0/name": {Text: "A. Reader"}}
		entries[field.Name] = fieldsheet.Entry{Text: text, On: field.Tick, Page: 1}
		held(t, rec, src, asks, &fieldsheet.Filled{File: "x.pdf", Plan: plan, Entries: entries}, nil)
	})
}
