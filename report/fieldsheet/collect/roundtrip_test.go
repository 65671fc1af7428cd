package collect

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"setline.example/checks/say/foreign"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
)

// accents renames a room and puts a person there whose name has accents.
func accents(rec *schema.Record) {
	old := rec.Planned.Rooms[0].Name
	rec.Planned.Rooms[0].Name = "Küche-1"
	for i := range rec.Measured.Visits {
		v := &rec.Measured.Visits[i]
		v.People = []schema.Party{{Name: "Žofie Brázdilová", Role: "inspector", Firm: "Ødegård & Quill"}}
		v.Purpose = "first inspection"
		if seen, ok := v.Rooms[old]; ok {
			delete(v.Rooms, old)
			v.Rooms["Küche-1"] = seen
		}
	}
}

var jobs = []struct {
	name, example string
	edit          func(*schema.Record)
}{
	{"inches", "annex", oneElevation},
	{"millimetres with accents", "metric", accents},
}

// oneElevation keeps a sheet small enough to be filled by a slow program.
func oneElevation(rec *schema.Record) {
	rec.Planned.Rooms = rec.Planned.Rooms[:1]
	rec.Planned.Rooms[0].Elevations = rec.Planned.Rooms[0].Elevations[:1]
}

// checkRoundTrip holds the collected visit against the one that was filled in.
func checkRoundTrip(t *testing.T, j *job, f *fieldsheet.Filled) {
	t.Helper()
	result, rec := j.add(Options{}, f)
	if len(result.Added) != 1 || len(rec.Measured.Visits) != 1 {
		t.Fatalf("added %+v, %d visits", result.Added, len(rec.Measured.Visits))
	}
	// What is entered first has the first place in the order of entry.
	wanted := j.wanted
	wanted.Entered = 1
	got, want := visitJSON(t, rec.Measured.Visits[0]), visitJSON(t, wanted)
	if got != want {
		t.Errorf("collected, but for lines alike:\n%s", difference(got, want))
	}
	// All but the lines of the visit stand as they stood.
	kept := 0
	for line := range strings.Lines(string(j.data)) {
		if strings.Contains(string(result.Record), line) {
			kept++
		}
	}
	if lines := strings.Count(string(j.data), "\n"); kept < lines-4 {
		t.Errorf("%d of %d lines are kept", kept, lines)
	}
	// Once more adds nothing.
	again := &job{t: t, data: result.Record}
	var err error
	if again.rec, again.src, err = schema.Read("job.json", result.Record); err != nil {
		t.Fatal(err)
	}
	if again.asks, err = Asked(again.rec, again.src); err != nil {
		t.Fatal(err)
	}
	second, _ := again.add(Options{}, f)
	if len(second.Added) != 0 || len(second.Nothing) != 1 || !bytes.Equal(second.Record, result.Record) {
		t.Errorf("the same sheet once more: added %+v, nothing %q", second.Added, second.Nothing)
	}
}

// TestRoundTripPdftk fills sheets with an independent program.
func TestRoundTripPdftk(t *testing.T) {
	long(t)
	for _, c := range jobs {
		t.Run(c.name, func(t *testing.T) {
			j := newJob(t, c.example, c.edit)
			if len(j.answers) < 100 {
				t.Fatalf("only %d boxes to fill", len(j.answers))
			}
			checkRoundTrip(t, j, j.read("filled.pdf", j.filled(j.pdf(), j.answers)))
		})
	}
}

// TestRoundTripRewritten: what other programs do to the file changes nothing:
// object streams, linearization, fields flattened into compressed streams.
func TestRoundTripRewritten(t *testing.T) {
	long(t)
	j := newJob(t, "metric", accents)
	name := j.save("filled.pdf", j.filled(j.pdf(), j.answers))
	for _, args := range [][]string{
		{"--object-streams=generate", "--recompress-flate"},
		{"--linearize"},
		{"--qdf", "--object-streams=disable"},
	} {
		out := j.save("out.pdf", nil)
		tool(t, "qpdf", append(args, name, out)...)
		checkRoundTrip(t, j, j.read("out.pdf", readFile(t, out)))
	}
	out := j.save("out.pdf", nil)
	tool(t, "mutool", "clean", "-gggz", name, out)
	checkRoundTrip(t, j, j.read("out.pdf", readFile(t, out)))
}

// TestRoundTripPdfcpu fills sheets through the form interface of a library.
func TestRoundTripPdfcpu(t *testing.T) {
	long(t)
	j := newJob(t, "metric", accents)
	type text struct {
		Name  string `json:"name"`
		Value string `json:"value"`
	}
	type box struct {
		Name  string `json:"name"`
		Value bool   `json:"value"`
	}
	var form struct {
		Texts []text `json:"textfield"`
		Boxes []box  `json:"checkbox"`
	}
	for _, name := range slices.Sorted(maps.Keys(j.answers)) {
		if e := j.answers[name]; e.On {
			form.Boxes = append(form.Boxes, box{name, true})
		} else {
			form.Texts = append(form.Texts, text{name, e.Text})
		}
	}
	data, err := json.Marshal(map[string]any{"forms": []any{form}})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	conf := model.NewDefaultConfiguration()
	if err := api.FillForm(bytes.NewReader(readFile(t, j.pdf())), bytes.NewReader(data), &out, conf); err != nil {
		t.Fatal(err)
	}
	checkRoundTrip(t, j, j.read("filled.pdf", out.Bytes()))
}

// TestRoundTripMarkdown fills sheets as an editor does.
func TestRoundTripMarkdown(t *testing.T) {
	for _, c := range jobs {
		for _, newline := range []string{"\n", "\r\n"} {
			t.Run(c.name, func(t *testing.T) {
				j := newJob(t, c.example, c.edit)
				text := strings.ReplaceAll(j.markdown(j.answers), "\n", newline)
				f, err := ReadMarkdown("filled.md", []byte(text), NewBoxes(j.asks))
				if err != nil {
					t.Fatal(err)
				}
				checkRoundTrip(t, j, f)
			})
		}
	}
}

// TestMarkdownSaysItsLines: a sheet is read back by what stands on it, and not by
// what the program calls the same things now; one that was made before sheets
// said so is read by these.
func TestMarkdownSaysItsLines(t *testing.T) {
	j := newJob(t, jobs[0].example, jobs[0].edit)
	text := j.markdown(j.answers)
	f, err := ReadMarkdown("filled.md", []byte(text), Boxes{})
	if err != nil {
		t.Fatal(err)
	}
	checkRoundTrip(t, j, f)
	if f.Missing != "" {
		t.Errorf("of a whole sheet: %s", f.Missing)
	}
	at := strings.Index(text, "\n- Widest gap")
	end := at + 1 + strings.IndexByte(text[at+1:], '\n')
	if f, err = ReadMarkdown("filled.md", []byte(text[:at]+text[end:]), Boxes{}); err != nil || f.Missing != "1 line of the sheet not returned" {
		t.Errorf("of a sheet of which a line was taken out: %v, %q", err, f.Missing)
	}
	before, rest, _ := strings.Cut(text, fieldsheet.LineMark)
	_, plan, _ := strings.Cut(rest, fieldsheet.PlanEnd)
	if f, err = ReadMarkdown("filled.md", []byte(before+plan), NewBoxes(j.asks)); err != nil {
		t.Fatal(err)
	}
	checkRoundTrip(t, j, f)
	broken := before + fieldsheet.LineMark + " not packed " + fieldsheet.PlanEnd + plan
	if _, err := ReadMarkdown("filled.md", []byte(broken), NewBoxes(j.asks)); err == nil {
		t.Error("a sheet whose comment is broken was read")
	}
}

// TestRoundTripInAnotherLanguage: a sheet in another language is read back as one
// in English is, since it says itself what its lines are.
func TestRoundTripInAnotherLanguage(t *testing.T) {
	long(t)
	for _, c := range jobs {
		t.Run(c.name, func(t *testing.T) {
			j := newJob(t, c.example, c.edit)
			j.language = foreign.Language
			f, err := ReadMarkdown("filled.md", []byte(j.markdown(j.answers)), NewBoxes(j.asks))
			if err != nil {
				t.Fatal(err)
			}
			checkRoundTrip(t, j, f)
			checkRoundTrip(t, j, j.read("filled.pdf", j.filled(j.pdf(), j.answers)))
		})
	}
}

// difference lists the lines that only one of two texts has.
func difference(got, want string) string {
	var b strings.Builder
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for len(g) > 0 && len(w) > 0 && g[0] == w[0] {
		g, w = g[1:], w[1:]
	}
	for len(g) > 0 && len(w) > 0 && g[len(g)-1] == w[len(w)-1] {
		g, w = g[:len(g)-1], w[:len(w)-1]
	}
	b.WriteString("got " + strings.Join(g[:min(len(g), 20)], "\n") + "\nwant " + strings.Join(w[:min(len(w), 20)], "\n"))
	return b.String()
}
