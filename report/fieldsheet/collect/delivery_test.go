package collect

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/filledpdf"
	"setline.example/report/fieldsheet/paper"
	"setline.example/report/markup"
	"setline.example/report/pdf"
	"setline.example/schema"
)

// TestDeliveryComesBack counts deliveries at random on a sheet, in Markdown and
// in a form that another program fills in, and holds what the record then says
// arrived to what was counted.
func TestDeliveryComesBack(t *testing.T) {
	long(t)
	for _, example := range []string{"annex", "metric"} {
		j := newJob(t, example, func(r *schema.Record) { r.Arrived.Receipts = nil })
		lines := fieldsheet.CarriedLines(j.rec, fieldsheet.CountSheet{})
		sheet := fieldsheet.NewDelivery(j.rec, lines, "Rosa Ibáñez", "2026-10-20", fieldsheet.Options{Date: time.Unix(0, 0), Version: "1"})
		rng := rand.New(rand.NewPCG(1, 2))
		answers, want := map[string]fieldsheet.Entry{}, map[string]map[string]schema.Received{}
		for i, c := range lines {
			if i%4 == 3 {
				continue // nobody counted it
			}
			got := schema.Received{Good: rng.IntN(c.Line.Quantity + 2), Damaged: rng.IntN(2)}
			if i%3 == 0 {
				got.Remark = "box wet, Größe 2: (left)"
			}
			if want[c.List] == nil {
				want[c.List] = map[string]schema.Received{}
			}
			want[c.List][c.Number] = got
			for _, f := range sheet.Fields() {
				if len(f.Ask.Place) == 4 && f.Ask.Place[2] == c.List && f.Ask.Place[3] == c.Number {
					text := map[string]string{"good": strconv.Itoa(got.Good), "damaged": strconv.Itoa(got.Damaged), "remark": got.Remark}[f.Blank.Steps[0]]
					if text != "" && text != "0" || f.Blank.Steps[0] == "good" {
						answers[f.Name] = fieldsheet.Entry{Text: text}
					}
				}
			}
		}
		var md, form bytes.Buffer
		if err := sheet.Markdown(&md); err != nil {
			t.Fatal(err)
		}
		if err := paper.WriteDelivery(&form, sheet, pdf.A4); err != nil {
			t.Fatal(err)
		}
		byMarkdown, err := ReadMarkdown("count.md", []byte(typed(t, md.String(), sheet, answers)), nil)
		if err != nil {
			t.Fatal(err)
		}
		j.holdCounts(byMarkdown, want)
		byForm, err := filledpdf.Read("count.pdf", j.filled(j.save("count.pdf", form.Bytes()), answers))
		if err != nil {
			t.Fatal(err)
		}
		j.holdCounts(byForm, want)
	}
}

// typed writes answers behind the colons of a sheet in Markdown.
func typed(t *testing.T, sheet string, d *fieldsheet.Delivery, answers map[string]fieldsheet.Entry) string {
	t.Helper()
	for _, f := range d.Fields() {
		a, ok := answers[f.Name]
		if !ok {
			continue
		}
		line := fmt.Sprintf("- %s: ", markup.Text(fieldsheet.Words(f.Ask, f.Blank).String()))
		if strings.Count(sheet, line+fieldsheet.Blank) != 1 {
			t.Fatalf("found %q %d times", line, strings.Count(sheet, line))
		}
		sheet = strings.Replace(sheet, line+fieldsheet.Blank, line+string(markup.Text(a.Text).String()), 1)
	}
	return sheet
}

func (j *job) holdCounts(f *fieldsheet.Filled, want map[string]map[string]schema.Received) {
	j.t.Helper()
	if !f.IsDelivery() {
		j.t.Fatalf("%s: found no sheet to count a delivery on", f.File)
	}
	text, _, err := AddCounts("job.json", j.data, []*fieldsheet.Filled{f})
	if err != nil {
		j.t.Fatal(err)
	}
	rec, _, err := schema.Read("job.json", text)
	if err != nil {
		j.t.Fatal(err)
	}
	got := map[string]map[string]schema.Received{}
	for _, r := range rec.Arrived.Receipts {
		if r.By != "Rosa Ibáñez" || r.Date != "2026-10-20" || r.Entered == 0 {
			j.t.Errorf("found a count by %q on %s, entered %d", r.By, r.Date, r.Entered)
		}
		got[r.PackingList] = maps.Clone(r.Lines)
	}
	if !reflect.DeepEqual(got, want) {
		j.t.Errorf("%s: found %v, expected %v", f.File, got, want)
	}
	again, told, err := AddCounts("job.json", text, []*fieldsheet.Filled{f})
	if err != nil || !bytes.Equal(again, text) {
		j.t.Errorf("collected again: %v, %v", told, err)
	}
}
