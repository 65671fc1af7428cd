package collect

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/filledpdf"
	"setline.example/report/fieldsheet/paper"
	"setline.example/report/pdf"
	"setline.example/schema"
	"setline.example/schema/length"
)

// tool runs an outside program and returns what it prints. Where it is missing
// the test is skipped, but fails in CI.
func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is not installed; .ci/run must install it", name)
		}
		t.Skipf("%s is not installed", name)
	}
	out, err := exec.CommandContext(t.Context(), name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return string(out)
}

// job is a record of which nothing has been observed, and the visit that
// observes all of it.
type job struct {
	t       *testing.T
	data    []byte
	rec     *schema.Record
	src     *schema.Source
	asks    []*checks.Ask
	visit   map[string]any // as plain JSON
	wanted  schema.Visit   // what a sheet filled with it must give
	answers map[string]fieldsheet.Entry

	language say.Language // of the sheet
	short    bool         // it asks for what is open, at once where it can
}

// newJob takes the observations out of an example; edit may change it first.
func newJob(t *testing.T, example string, edit func(*schema.Record)) *job {
	t.Helper()
	data, err := os.ReadFile("../../../examples/" + example + "/job.json")
	if err != nil {
		t.Fatal(err)
	}
	rec, _, err := schema.Read(example, data)
	if err != nil {
		t.Fatal(err)
	}
	if edit != nil {
		edit(rec)
	}
	whole := map[string]any{}
	for _, i := range rec.Measured.VisitsInTime() {
		overlay(whole, tree(&rec.Measured.Visits[i]).(map[string]any))
	}
	rec.Measured, rec.Agreed = schema.Measured{}, schema.Agreed{}
	return emptied(t, rec, whole)
}

// overlay puts a later visit over earlier ones, item by item.
func overlay(whole, later map[string]any) {
	for name, v := range later {
		inner, both := whole[name].(map[string]any)
		if object, ok := v.(map[string]any); ok && both {
			overlay(inner, object)
		} else {
			whole[name] = v
		}
	}
}

func emptied(t *testing.T, rec *schema.Record, whole map[string]any) *job {
	t.Helper()
	data, err := json.MarshalIndent(rec, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	j := &job{t: t, data: data, visit: whole}
	if j.rec, j.src, err = schema.Read("job.json", data); err != nil {
		t.Fatal(err)
	}
	if j.asks, err = Asked(j.rec, j.src); err != nil {
		t.Fatal(err)
	}
	j.fill()
	return j
}

// fill answers every ask from the visit, as a person types: a length without
// its unit where that is the one printed beside the box.
func (j *job) fill() {
	j.t.Helper()
	j.answers = map[string]fieldsheet.Entry{}
	wanted := &object{}
	wanted.put([]string{"rooms"}, &object{})
	unit := j.rec.Planned.LengthsIn
	if unit == "" {
		unit = length.InchSystem
	}
	for _, a := range j.asks {
		value, ok := schema.Lookup(j.visit, a.Place)
		if !ok {
			continue
		}
		if list, ok := value.([]any); ok && isLine(a) {
			for i, pair := range list {
				for k, l := range pair.([]any) {
					b := checks.Blank{Steps: []string{strconv.Itoa(i), strconv.Itoa(k)}}
					j.answers[a.Name(&b)] = fieldsheet.Entry{Text: strings.TrimSuffix(l.(string), " "+string(unit))}
				}
			}
		} else {
			j.fillAsk(a, value, string(unit))
		}
		(&visit{}).put(wanted, &Answer{Ask: a, Value: asAnswered(restrict(a, value))})
	}
	data, err := json.Marshal(wanted)
	if err != nil {
		j.t.Fatal(err)
	}
	if err := json.Unmarshal(data, &j.wanted); err != nil {
		j.t.Fatal(err)
	}
}

// restrict leaves out of a value what its ask does not ask for.
func restrict(a *checks.Ask, value any) any {
	if a.Place[0] != "instruments" || len(a.Place) > 2 {
		return value
	}
	use := &object{}
	if checked, ok := value.(map[string]any)["checked"]; ok {
		use.put([]string{"checked"}, checked)
	}
	return use
}

// asAnswered gives plain JSON values as answers hold them.
func asAnswered(value any) any {
	switch v := value.(type) {
	case float64:
		return int(v)
	case []any:
		all := make([]any, len(v))
		for i := range v {
			all[i] = asAnswered(v[i])
		}
		return all
	case map[string]any:
		o := &object{}
		for _, name := range slices.Sorted(maps.Keys(v)) {
			o.put([]string{name}, asAnswered(v[name]))
		}
		return o
	}
	return value
}

func (j *job) fillAsk(a *checks.Ask, value any, unit string) {
	for _, f := range fieldsheet.FieldsOf(a) {
		v, ok := schema.Lookup(value, f.Blank.Steps)
		if !ok {
			continue
		}
		switch v := v.(type) {
		case bool:
			if f.Answer == map[bool]string{true: "yes", false: "no"}[v] {
				j.answers[f.Name] = fieldsheet.Entry{On: true}
			}
		case float64:
			j.answers[f.Name] = fieldsheet.Entry{Text: strconv.Itoa(int(v))}
		case []any:
			for _, one := range v {
				if one == f.Answer {
					j.answers[f.Name] = fieldsheet.Entry{On: true}
				}
			}
			if len(v) == 0 && f.Answer == fieldsheet.Nothing {
				j.answers[f.Name] = fieldsheet.Entry{On: true}
			}
		case string:
			switch {
			case f.Tick && f.Answer == v:
				j.answers[f.Name] = fieldsheet.Entry{On: true}
			case f.Blank.Kind == checks.LengthKind:
				j.answers[f.Name] = fieldsheet.Entry{Text: strings.TrimSuffix(v, " "+unit)}
			case !f.Tick:
				j.answers[f.Name] = fieldsheet.Entry{Text: v}
			}
		default: // an instrument that was used
			if f.Tick {
				j.answers[f.Name] = fieldsheet.Entry{On: true}
			}
		}
	}
}

// sheet makes the sheet that asks for everything.
func (j *job) sheet() *fieldsheet.Sheet {
	j.t.Helper()
	s, err := fieldsheet.New(j.rec, j.src, fieldsheet.Options{All: !j.short, Language: j.language, Date: time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC), Version: "test"})
	if err != nil {
		j.t.Fatal(err)
	}
	return s
}

// pdf writes the sheet to a file.
func (j *job) pdf() string {
	j.t.Helper()
	var b bytes.Buffer
	if err := paper.Write(&b, j.sheet(), pdf.A4); err != nil {
		j.t.Fatal(err)
	}
	return j.save("sheet.pdf", b.Bytes())
}

func (j *job) save(name string, data []byte) string {
	j.t.Helper()
	path := filepath.Join(j.t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		j.t.Fatal(err)
	}
	return path
}

// fdf writes values as a form's data (ISO 32000-1, 12.7.7), text in UTF-16BE.
func fdf(answers map[string]fieldsheet.Entry) []byte {
	var b bytes.Buffer
	b.WriteString("%FDF-1.2\n1 0 obj\n<</FDF <</Fields [\n")
	for name, e := range answers {
		value := "/Yes"
		if !e.On {
			value = "<" + utf16Hex(e.Text) + ">"
		}
		fmt.Fprintf(&b, "<</T (%s) /V %s>>\n", name, value)
	}
	b.WriteString("]>>>>\nendobj\ntrailer <</Root 1 0 R>>\n%%EOF\n")
	return b.Bytes()
}

func utf16Hex(s string) string {
	out := "FEFF"
	for _, r := range s {
		if r > 0xFFFF {
			r -= 0x10000
			out += fmt.Sprintf("%04X%04X", 0xD800+(r>>10), 0xDC00+(r&0x3FF))
			continue
		}
		out += fmt.Sprintf("%04X", r)
	}
	return out
}

// filled fills a sheet through pdftk.
func (j *job) filled(sheet string, answers map[string]fieldsheet.Entry) []byte {
	j.t.Helper()
	out := filepath.Join(j.t.TempDir(), "filled.pdf")
	tool(j.t, "pdftk", sheet, "fill_form", j.save("x.fdf", fdf(answers)), "output", out)
	data, err := os.ReadFile(out)
	if err != nil {
		j.t.Fatal(err)
	}
	return data
}

// read reads a filled PDF.
func (j *job) read(name string, data []byte) *fieldsheet.Filled {
	j.t.Helper()
	f, err := filledpdf.Read(name, data)
	if err != nil {
		j.t.Fatal(err)
	}
	return f
}

// add collects, and reads the record again.
func (j *job) add(o Options, sheets ...*fieldsheet.Filled) (*Result, *schema.Record) {
	j.t.Helper()
	r, err := Add(j.rec, j.src, j.asks, sheets, o)
	if err != nil {
		j.t.Fatal(err)
	}
	rec, _, err := schema.Read("job.json", r.Record)
	if err != nil {
		j.t.Fatal(err)
	}
	return r, rec
}

// plan is what a sheet of the job carries.
func (j *job) plan() string { return planOf(j.t, j.sheet()) }

func planOf(t testing.TB, s *fieldsheet.Sheet) string {
	t.Helper()
	plan, err := s.Plan()
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// by hand makes what a sheet filled with these answers would be read as.
func (j *job) byHand(file string, answers map[string]fieldsheet.Entry) *fieldsheet.Filled {
	return &fieldsheet.Filled{File: file, Plan: j.plan(), Entries: answers}
}

func visitJSON(t *testing.T, v schema.Visit) string {
	t.Helper()
	data, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// with gives the answers with some changed; an entry with nothing takes out.
func with(answers map[string]fieldsheet.Entry, changes map[string]fieldsheet.Entry) map[string]fieldsheet.Entry {
	all := map[string]fieldsheet.Entry{}
	for name, e := range answers {
		all[name] = e
	}
	for name, e := range changes {
		if e == (fieldsheet.Entry{}) {
			delete(all, name)
		} else {
			all[name] = e
		}
	}
	return all
}
