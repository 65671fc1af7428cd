package fieldsheet

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
	"setline.example/report/pdf"
	"setline.example/schema"
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

// sheetOf makes a sheet of an example; edit may change the record first.
func sheetOf(t *testing.T, example string, o Options, edit func(*schema.Record)) *Sheet {
	t.Helper()
	data, err := os.ReadFile("../../examples/" + example + "/job.json")
	if err != nil {
		t.Fatal(err)
	}
	rec, src, err := schema.Read(example, data)
	if err != nil {
		t.Fatal(err)
	}
	if edit != nil {
		edit(rec)
	}
	o.Date, o.Version = time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC), "test"
	if o.Paper == "" {
		o.Paper = pdf.Letter
	}
	s, err := New(rec, src, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// unseen takes all observations out of a record.
func unseen(rec *schema.Record) { rec.Measured, rec.Agreed = schema.Measured{}, schema.Agreed{} }

// awkward gives a record the longest names and the most of everything.
func awkward(rec *schema.Record) {
	unseen(rec)
	p := &rec.Planned
	p.Project.Name = strings.Repeat("A very long name of a job ", 7)
	for i := range 4 {
		p.Fasteners[fmt.Sprintf("the %d. screw with quite a long name of its own, zinc plated", i)] = p.Fasteners["long"]
		p.Instruments[fmt.Sprintf("the %d. instrument with quite a long name of its own, from the van", i)] = schema.Instrument{Kind: "other"}
	}
	for name, c := range p.Cabinets {
		c.Description = strings.Repeat("long description ", 11)
		c.Front = append(slices.Clone(c.Front), schema.FrontRow{Drawers: 6}, schema.FrontRow{Doors: 6})
		p.Cabinets[name] = c
	}
	for i := range p.Rooms[0].Elevations[0].Units {
		u := &p.Rooms[0].Elevations[0].Units[i]
		u.Tag = fmt.Sprintf("U%d-%s", i, strings.Repeat("W", 37))
	}
	p.Rooms[0].Name = strings.Repeat("Room (1) * ", 5)
}

var sheets = []struct {
	name, example string
	options       Options
	edit          func(*schema.Record)
}{
	{"open", "annex", Options{}, nil},
	{"unseen", "annex", Options{}, unseen},
	{"all", "annex", Options{All: true}, unseen},
	{"all of what was seen", "annex", Options{All: true}, nil},
	{"metric", "metric", Options{All: true, Paper: pdf.A4}, unseen},
	{"awkward", "metric", Options{All: true}, awkward},
	{"awkward open", "annex", Options{Paper: pdf.A4}, awkward},
}

func written(t *testing.T, s *Sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := s.PDF(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// widget is a box as it is in the file.
type widget struct {
	name, tooltip    string
	page             int
	tick, hidden     bool
	left, low, r, up float64
}

// widgetsOf reads the boxes of a PDF page by page with another library.
func widgetsOf(t *testing.T, data []byte) (all []widget, width, height float64) {
	t.Helper()
	ctx, err := api.ReadContext(bytes.NewReader(data), &model.Configuration{Reader15: true, Offline: true, Limits: model.DefaultResourceLimits()})
	if err != nil {
		t.Fatal(err)
	}
	if err := ctx.EnsurePageCount(); err != nil {
		t.Fatal(err)
	}
	for n := 1; n <= ctx.PageCount; n++ {
		page, _, attrs, err := ctx.PageDict(n, false)
		if err != nil {
			t.Fatal(err)
		}
		width, height = attrs.MediaBox.Width(), attrs.MediaBox.Height()
		annots, err := ctx.DereferenceArray(page["Annots"])
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range annots {
			d, err := ctx.DereferenceDict(o)
			if err != nil {
				t.Fatal(err)
			}
			if d.Subtype() == nil || *d.Subtype() != "Widget" {
				continue
			}
			w := widget{page: n, tick: *d.NameEntry("FT") == "Btn", hidden: *d.IntEntry("F")&2 != 0}
			w.name, err = ctx.DereferenceText(d["T"])
			if err != nil {
				t.Fatal(err)
			}
			if w.tooltip, err = ctx.DereferenceText(d["TU"]); err != nil {
				t.Fatal(err)
			}
			rect := make([]float64, 4)
			for i, x := range d["Rect"].(types.Array) {
				if rect[i], err = ctx.DereferenceNumber(x); err != nil {
					t.Fatal(err)
				}
			}
			w.left, w.low, w.r, w.up = rect[0], rect[1], rect[2], rect[3]
			all = append(all, w)
		}
	}
	return all, width, height
}

// TestBoxes: every box of the sheet is in the PDF once, in the order in which
// it is filled, large enough for a thumb, on the page, and on no other box.
func TestBoxes(t *testing.T) {
	long(t)
	for _, c := range sheets {
		t.Run(c.name, func(t *testing.T) {
			s := sheetOf(t, c.example, c.options, c.edit)
			all, width, height := widgetsOf(t, written(t, s))
			want := map[string]Field{}
			for _, f := range s.Fields() {
				if _, twice := want[f.Name]; twice {
					t.Errorf("%s twice", f.Name)
				}
				want[f.Name] = f
			}
			if len(all) != len(want)+1 || all[0].name != PlanField || !all[0].hidden {
				t.Fatalf("%d boxes with %q first, want %d and the plan", len(all), all[0].name, len(want))
			}
			for i, w := range all[1:] {
				f, ok := want[w.name]
				if !ok || f.Tick != w.tick {
					t.Errorf("box %s: wanted %t", w.name, ok)
				}
				if least := map[bool]float64{true: 14, false: 16}[w.tick]; w.up-w.low < least-0.01 || w.r-w.left < 14-0.01 {
					t.Errorf("%s is %.1f by %.1f", w.name, w.r-w.left, w.up-w.low)
				}
				if w.left < 36 || w.low < 36 || w.r > width-36 || w.up > height-36 {
					t.Errorf("%s leaves the page: %+v", w.name, w)
				}
				if !strings.HasPrefix(w.tooltip, s.words(InFull(f.Ask, f.Blank))) || !strings.Contains(w.tooltip, s.words(f.Ask.Limit)) {
					t.Errorf("%s: tooltip %q", w.name, w.tooltip)
				}
				for _, o := range all[i+2:] {
					if o.page == w.page && o.left < w.r && w.left < o.r && o.low < w.up && w.low < o.up {
						t.Errorf("%s lies on %s", w.name, o.name)
					}
				}
			}
		})
	}
}

// TestSheetPassesOutsideTools: other programs find nothing wrong with it, and
// the same record, date and version give the same bytes.
func TestSheetPassesOutsideTools(t *testing.T) {
	long(t)
	for _, c := range sheets {
		t.Run(c.name, func(t *testing.T) {
			data := written(t, sheetOf(t, c.example, c.options, c.edit))
			if !bytes.Equal(data, written(t, sheetOf(t, c.example, c.options, c.edit))) {
				t.Error("the same sheet gives other bytes")
			}
			name := filepath.Join(t.TempDir(), "sheet.pdf")
			if err := os.WriteFile(name, data, 0o600); err != nil {
				t.Fatal(err)
			}
			if out := tool(t, "qpdf", "--check", name); strings.Contains(out, "WARNING") {
				t.Error(out)
			}
		})
	}
}

// TestEveryPageSaysWhere: job, elevation and page number are on every page, and
// the cautions are in every sheet.
func TestEveryPageSaysWhere(t *testing.T) {
	long(t)
	s := sheetOf(t, "annex", Options{}, unseen)
	name := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(name, written(t, s), 0o600); err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(strings.TrimSuffix(tool(t, "pdftotext", "-layout", name, "-"), "\f"), "\f")
	for i, page := range pages {
		want := []string{"Marrow Ridge College, Science Annex, job MR-118", fmt.Sprintf("page %d of %d", i+1, len(pages))}
		if i > 0 {
			want = append(want, "elevation ")
		} else {
			want = append(want, "Wear eye and hand protection", "Local codes prevail")
		}
		for _, text := range want {
			if !strings.Contains(page, text) {
				t.Errorf("page %d does not say %q:\n%s", i+1, text, page)
			}
		}
	}
	// One page for the visit, and not more than three for an elevation of seven
	// units at which everything is still to be observed.
	if most := 1 + 3*len(s.pages); len(pages) > most {
		t.Errorf("%d pages for %d elevations, want at most %d", len(pages), len(s.pages), most)
	}
	var md bytes.Buffer
	if err := s.Markdown(&md); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"Wear eye and hand protection", "Local codes prevail", "- [ ] yes", Blank, "## S-104, elevation A"} {
		if !strings.Contains(md.String(), text) {
			t.Errorf("the Markdown does not say %q", text)
		}
	}
}

// TestOpenSheetIsShort: what one inspection left open takes one page for an elevation.
func TestOpenSheetIsShort(t *testing.T) {
	s := sheetOf(t, "annex", Options{}, nil)
	all, _, _ := widgetsOf(t, written(t, s))
	if last, want := all[len(all)-1].page, 1+len(s.pages); last != want {
		t.Errorf("%d pages for %d elevations", last, want-1)
	}
}

// TestAsksOfTheSheet: an open sheet asks for what is open and for remarks, and
// one of a single elevation for nothing of another.
func TestAsksOfTheSheet(t *testing.T) {
	s := sheetOf(t, "annex", Options{Keep: func(room, e string) bool { return room == "S-106" && e == "A" }}, nil)
	for _, f := range s.Fields() {
		a := f.Ask
		if !a.Open && !isRemark(a) && a.Place[0] != "instruments" {
			t.Errorf("%s is asked and not open", f.Name)
		}
		if a.Subject.Room != "" && a.Subject.Room != "S-106" || a.Subject.Elevation == "B" {
			t.Errorf("%s is asked on a sheet of S-106 A", f.Name)
		}
	}
	text, err := s.Plan()
	if err != nil {
		t.Fatal(err)
	}
	plan, err := DecodePlan(text)
	if err != nil {
		t.Fatal(err)
	}
	if len(plan.Rooms) != 1 || plan.Rooms[0].Name != "S-106" || len(Changed(plan, &s.rec.Planned)) != 0 {
		t.Errorf("plan of %d rooms, changed %v", len(plan.Rooms), Changed(plan, &s.rec.Planned))
	}
	// A sheet on which nothing is asked says so.
	none := sheetOf(t, "metric", Options{}, nil)
	if none.Open() != 0 || len(none.Fields()) != 0 {
		t.Errorf("%d asks of a room that is ready", none.Open())
	}
	var b bytes.Buffer
	if err := none.Markdown(&b); err != nil || !strings.Contains(b.String(), "Nothing is left to observe.") {
		t.Errorf("%v: %s", err, b.String())
	}
	written(t, none)
}

// TestPlanIsNoBomb: a plan that unpacks into too much is refused.
func TestPlanIsNoBomb(t *testing.T) {
	long(t)
	p := schema.Planned{Project: schema.Project{Name: strings.Repeat("a", mostPlan)}}
	if _, err := encodePlan(p); err == nil {
		t.Error("written")
	}
	var packed bytes.Buffer
	w, err := flate.NewWriter(&packed, flate.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(json.NewEncoder(w).Encode(p), w.Close()); err != nil {
		t.Fatal(err)
	}
	if _, err := DecodePlan(base64.StdEncoding.EncodeToString(packed.Bytes())); err == nil {
		t.Error("read")
	}
}

func BenchmarkPDF(b *testing.B) {
	data, err := os.ReadFile("../../examples/annex/job.json")
	if err != nil {
		b.Fatal(err)
	}
	rec, src, err := schema.Read("annex", data)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		s, err := New(rec, src, Options{All: true, Version: "test"})
		if err != nil {
			b.Fatal(err)
		}
		var out bytes.Buffer
		if err := s.PDF(&out); err != nil {
			b.Fatal(err)
		}
	}
}
