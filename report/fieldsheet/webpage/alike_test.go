package webpage

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/collect"
	"setline.example/report/fieldsheet/filledpdf"
	"setline.example/report/fieldsheet/paper"
	"setline.example/report/pdf"
	"setline.example/schema"
)

// kinds are sheets of every kind that a job needs: of a first visit, of what is
// left after some, in inches and in millimetres, short and with a box for each.
var kinds = []struct {
	name, example string
	fresh         bool // as if nobody had been there
	options       fieldsheet.Options
	slow          bool // filled in only where a seed is named
}{
	{"first visit", "soil", true, fieldsheet.Options{}, false},
	{"first visit, each", "annex", true, fieldsheet.Options{Each: true, Keep: func(room, elevation string) bool { return room == "S-104" && elevation == "A" }}, true},
	{"first visit, all", "metric", true, fieldsheet.Options{All: true}, false},
	{"re-inspection", "annex", false, fieldsheet.Options{}, false},
	{"re-inspection, all", "metric", false, fieldsheet.Options{All: true}, true},
	{"re-inspection, photographs and packing", "soil", false, fieldsheet.Options{All: true}, true},
}

const usualSeed = 17

var seed = flag.Uint64("seed", usualSeed, "of the answers with which sheets are filled in; with one, more kinds of sheets are")

// inThree is a job whose sheet is filled in as a page, as PDF and as Markdown.
type inThree struct {
	t     *testing.T
	rec   *schema.Record
	src   *schema.Source
	asks  []*checks.Ask
	sheet *fieldsheet.Sheet
	kinds map[string][]byte // the three, before they are filled in
}

func newInThree(t *testing.T, data []byte, o fieldsheet.Options) *inThree {
	t.Helper()
	j := &inThree{t: t}
	var err error
	if j.rec, j.src, err = schema.Read("job.json", data); err != nil {
		t.Fatal(err)
	}
	if j.asks, err = collect.Asked(j.rec, j.src); err != nil {
		t.Fatal(err)
	}
	o.Date, o.Version = time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC), "test"
	if j.sheet, err = fieldsheet.New(j.rec, j.src, o); err != nil {
		t.Fatal(err)
	}
	var page, form, text bytes.Buffer
	if err := errors.Join(Write(&page, j.sheet), paper.Write(&form, j.sheet, pdf.A4), j.sheet.Markdown(&text)); err != nil {
		t.Fatal(err)
	}
	program, err := rules()
	if err != nil {
		t.Fatal(err)
	}
	j.kinds = map[string][]byte{"page": bytes.Replace(page.Bytes(), []byte(program), nil, 1), "PDF": form.Bytes(), "Markdown": text.Bytes()}
	return j
}

// exampleOf is the record of an example; fresh takes away what was observed and
// agreed.
func exampleOf(t *testing.T, name string, fresh bool) []byte {
	t.Helper()
	data, err := os.ReadFile("../../../examples/" + name + "/job.json")
	if err != nil {
		t.Fatal(err)
	}
	if !fresh {
		return data
	}
	rec, _, err := schema.Read(name, data)
	if err != nil {
		t.Fatal(err)
	}
	rec.Measured, rec.Agreed = schema.Measured{}, schema.Agreed{}
	if data, err = json.MarshalIndent(rec, "", "  "); err != nil {
		t.Fatal(err)
	}
	return data
}

// TestThreeSheetsAlike: the same answers on the page, in the form and in Markdown
// give the same record, byte for byte, or are refused alike; also where a sheet is
// handed in again, corrected.
func TestThreeSheetsAlike(t *testing.T) {
	if testing.Short() {
		t.Skip("it fills in forms, so this was not checked (-short)")
	}
	for i, c := range kinds {
		if c.slow && *seed == usualSeed {
			continue
		}
		t.Run(c.name, func(t *testing.T) {
			j := newInThree(t, exampleOf(t, c.example, c.fresh), c.options)
			r := rand.New(rand.NewPCG(*seed, uint64(i)))
			answers := j.random(r)
			record := j.settled(answers, collect.Options{})
			if bytes.Equal(record, j.src.Data) {
				t.Fatal("nothing was collected, so nothing was compared")
			}
			// The same sheet with other values corrects that visit.
			later := j.onward(record)
			changed := j.random(r)
			maps.DeleteFunc(changed, func(name string, _ fieldsheet.Entry) bool { return strings.HasPrefix(name, "people/") })
			for _, name := range slices.Sorted(maps.Keys(answers)) {
				e := answers[name]
				if r.IntN(3) > 0 || strings.HasPrefix(name, "people/") || name == "date" {
					changed[name] = e
				}
			}
			if again := later.settled(changed, corrected); bytes.Equal(again, record) {
				t.Error("nothing was corrected, so nothing was compared")
			}
		})
	}
}

// corrected says that a sheet corrects the visit that the record has.
var corrected = collect.Options{Correction: &collect.Correction{
	By: schema.Party{Name: "Ingrid Sørlie", Role: "inspector"}, Date: "2026-10-07", Reason: "wrote it wrong",
}}

// onward is the same sheet brought back to a later record.
func (j *inThree) onward(record []byte) *inThree {
	j.t.Helper()
	later := *j
	var err error
	if later.rec, later.src, err = schema.Read("job.json", record); err != nil {
		j.t.Fatal(err)
	}
	if later.asks, err = collect.Asked(later.rec, later.src); err != nil {
		j.t.Fatal(err)
	}
	taken := map[string]bool{}
	for _, a := range later.asks {
		for _, f := range fieldsheet.FieldsOf(a) {
			taken[f.Name] = true
		}
	}
	for _, f := range j.sheet.Fields() {
		if f.Ask.Thing.Stands != checks.AsLine && !taken[f.Name] {
			j.t.Errorf("%s was on the sheet, and is not taken from it any more", f.Name)
		}
	}
	return &later
}

// TestClosedOutAlike: what closes an elevation out is the same from page, form and
// Markdown: all of it, all but some, and each time it is corrected to something else.
func TestClosedOutAlike(t *testing.T) {
	if testing.Short() {
		t.Skip("it fills in forms, so this was not checked (-short)")
	}
	rec, _, err := schema.Read("soil", exampleOf(t, "soil", true))
	if err != nil {
		t.Fatal(err)
	}
	rec.Planned.ClosingOut = true
	data, err := json.Marshal(rec)
	if err != nil {
		t.Fatal(err)
	}
	j := newInThree(t, data, fieldsheet.Options{})
	room := &j.rec.Planned.Rooms[0]
	at := checks.PlaceName("rooms", room.Name, "elevations", room.Elevations[0].Name, "all", schema.SaidOfClosing)
	var o collect.Options
	for _, c := range []struct{ answer, except, want string }{
		{"yes", "3, 7", `{"of":"closing","answer":true,"except":["tops_released","protected"]}`},
		{"yes", "2", `{"of":"closing","answer":true,"except":["anchored"]}`},
		{"yes", "", `{"of":"closing","answer":true}`},
		{"yes", "1 2 3 4 5 6 7", `{"of":"closing","answer":true,"except":["services_clear","anchored","tops_released","undamaged","loose_parts","clean","protected"]}`},
	} {
		answers := map[string]fieldsheet.Entry{"date": {Text: "2026-10-06"}, "people/0/name": {Text: "Ada Fitter"}, at + "=" + c.answer: {On: true}}
		if c.except != "" {
			answers[at+"/except"] = fieldsheet.Entry{Text: c.except}
		}
		j = j.onward(j.settled(answers, o))
		o = corrected
		visits := j.rec.Measured.Visits
		said, err := json.Marshal(visits[0].Rooms[room.Name].Elevations[room.Elevations[0].Name].All)
		if err != nil {
			t.Fatal(err)
		}
		if len(visits) != 1 || string(said) != "["+c.want+"]" {
			t.Errorf("%s, except %q: %d visits, %s", c.answer, c.except, len(visits), said)
		}
	}
	if n := len(j.rec.Measured.Visits[0].Corrections); n != 3 {
		t.Errorf("%d corrections, want 3", n)
	}
}

// settled collects a sheet from each of its three kinds, holds what comes of them
// against each other, and leaves out the boxes that are refused until none is.
func (j *inThree) settled(answers map[string]fieldsheet.Entry, o collect.Options) []byte {
	j.t.Helper()
	forms := map[string]*fieldsheet.Filled{"page": j.page(answers), "Markdown": j.markdown(answers), "PDF": j.form(answers)}
	var last string
	for range 20 {
		got := map[string]string{}
		var record []byte
		var refused schema.Problems
		for _, kind := range []string{"page", "Markdown", "PDF"} {
			result, err := collect.Add(j.rec, j.src, j.asks, []*fieldsheet.Filled{forms[kind]}, o)
			var problems schema.Problems
			switch {
			case err == nil:
				record = result.Record
				got[kind] = string(record)
			case errors.As(err, &problems):
				refused = problems
				for _, p := range problems {
					got[kind] += fmt.Sprintf("%s: found %s, expected %s, %s\n", p.Box, p.Found, p.Expected, p.Kind)
				}
			default:
				j.t.Fatal(err)
			}
		}
		for _, kind := range []string{"Markdown", "PDF"} {
			if got[kind] != got["page"] {
				j.t.Fatalf("the page and the sheet as %s differ:\n%s", kind, parting(got["page"], got[kind]))
			}
		}
		last += got["page"] + "---\n"
		if refused == nil {
			return record
		}
		for _, p := range refused {
			out := p.Box // with all of its question, where one of its boxes is empty
			for _, a := range j.asks {
				if name := a.Name(nil); strings.HasPrefix(out, name+"/") && len(a.Blanks) > 1 && a.Thing.Stands != checks.AsLine {
					out = name
				}
			}
			if p.Kind == schema.WrongForm {
				out = strings.TrimSuffix(strings.TrimSuffix(out, "/0"), "/1") // of a place on the floor both
			}
			left := false
			for _, f := range forms {
				before := len(f.Entries)
				maps.DeleteFunc(f.Entries, func(name string, _ fieldsheet.Entry) bool {
					return name == out || strings.HasPrefix(name, out+"/") || strings.HasPrefix(name, out+"=")
				})
				left = left || len(f.Entries) < before
			}
			for _, f := range forms {
				if !left { // what the record holds is likely a slip beside what is read now
					f.AsRead = append(f.AsRead, p.Box)
				}
			}
		}
	}
	j.t.Fatalf("it is refused for ever:\n%s", last)
	return nil
}

func parting(a, b string) string {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	cut := func(s string) string { return s[max(0, n-200):min(len(s), n+200)] }
	return cut(a) + "\n---\n" + cut(b)
}

// texts are what people write, by the kind of a box: values, other units, what is
// likely a slip, and nonsense.
var texts = map[checks.Kind][]string{
	checks.LengthKind: {"0", "1/64", "-1/64", "1/32 in", "0.5 mm", "3", " 1/32", "9 1/2", "9 39/64", "44 1/8", "1/64 over 24", "0,5", "240 ", "a hand"},
	checks.CountKind:  {"0", "1", "2", "02", "many"},
	checks.DateKind:   {"2026-10-06", "2026-10-05", "6.10.26"},
	checks.Drawer:     {"1", "2", "drawer 1", "none", "NONE"},
	checks.Words:      {"Žofie Brázdilová", `a "b" \ c_d *e* <f> & [g](h)`, "none", "A1, A2", "- [x] yes", "1. scratch: 2 in", "a  b", "日本語", "</script>", "# no heading"},
}

// random fills in about a third of the boxes at random.
func (j *inThree) random(r *rand.Rand) map[string]fieldsheet.Entry {
	answers := map[string]fieldsheet.Entry{"date": {Text: "2026-10-06"}, "people/0/name": {Text: "Ada Fitter"}}
	ticked := map[*checks.Blank]bool{}
	for _, f := range j.sheet.Fields() {
		if _, has := answers[f.Name]; has || r.IntN(3) > 0 {
			continue
		}
		all := texts[f.Blank.Kind]
		if f.Blank.Kind == checks.Choice {
			all = f.Blank.Choices
		}
		switch {
		case f.Tick && !ticked[f.Blank]:
			ticked[f.Blank] = true
			answers[f.Name] = fieldsheet.Entry{On: true}
		case !f.Tick:
			if len(all) == 0 {
				j.t.Fatalf("nothing is known to write into a box of %s", f.Blank.Kind)
			}
			answers[f.Name] = fieldsheet.Entry{Text: all[r.IntN(len(all))]}
		}
	}
	return answers
}

// page fills in the page: the block of answers, as the page writes it.
func (j *inThree) page(answers map[string]fieldsheet.Entry) *fieldsheet.Filled {
	j.t.Helper()
	entries := map[string]any{}
	for _, f := range j.sheet.Fields() { // a page writes what stands in a box from the beginning
		if usual := fieldsheet.UsualText(f.Blank, j.sheet.Say.Lengths); usual != "" {
			entries[f.Name] = usual
		}
	}
	for name, e := range answers {
		if entries[name] = e.Text; e.On {
			entries[name] = true
		}
	}
	text, err := json.Marshal(map[string]any{"setline_answers": answersForm, "entries": entries, "stands": []string{}, "photos": []string{}})
	if err != nil {
		j.t.Fatal(err)
	}
	return j.read(Read("sheet", bytes.Replace(j.kinds["page"], []byte(noAnswers), text, 1)))
}

// form fills in the PDF through another program's interface to forms.
func (j *inThree) form(answers map[string]fieldsheet.Entry) *fieldsheet.Filled {
	j.t.Helper()
	type box struct {
		Name  string `json:"name"`
		Value any    `json:"value"`
	}
	var form struct {
		Texts []box `json:"textfield"`
		Boxes []box `json:"checkbox"`
	}
	for _, name := range slices.Sorted(maps.Keys(answers)) {
		if e := answers[name]; e.On {
			form.Boxes = append(form.Boxes, box{name, true})
		} else {
			form.Texts = append(form.Texts, box{name, e.Text})
		}
	}
	data, err := json.Marshal(map[string]any{"forms": []any{form}})
	if err != nil {
		j.t.Fatal(err)
	}
	var out bytes.Buffer
	if err := api.FillForm(bytes.NewReader(j.kinds["PDF"]), bytes.NewReader(data), &out, model.NewDefaultConfiguration()); err != nil {
		j.t.Fatal(err)
	}
	return j.read(filledpdf.Read("sheet", out.Bytes()))
}

// markdown fills in the text line by line, as an editor does.
func (j *inThree) markdown(answers map[string]fieldsheet.Entry) *fieldsheet.Filled {
	j.t.Helper()
	lines := strings.Split(string(j.kinds["Markdown"]), "\n")
	fields, begun := j.sheet.Fields(), false
	for i, line := range lines {
		begun = begun || line == "## Visit"
		tick := strings.HasPrefix(line, "  - [ ] ")
		if !begun || len(fields) == 0 || !tick && (!strings.HasPrefix(line, "- ") || strings.HasSuffix(line, ":")) {
			continue
		}
		e, answered := answers[fields[0].Name]
		fields = fields[1:]
		switch {
		case answered && tick:
			lines[i] = strings.Replace(line, "[ ]", "[x]", 1)
		case answered:
			lines[i] = line[:strings.LastIndex(line, ": ")] + ": " + e.Text
		}
	}
	if len(fields) > 0 {
		j.t.Fatalf("%d fields have no line", len(fields))
	}
	return j.read(collect.ReadMarkdown("sheet", []byte(strings.Join(lines, "\n")), collect.NewBoxes(j.asks)))
}

func (j *inThree) read(f *fieldsheet.Filled, err error) *fieldsheet.Filled {
	j.t.Helper()
	if err != nil {
		j.t.Fatal(err)
	}
	return f
}
