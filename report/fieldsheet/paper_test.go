package fieldsheet_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/paper"
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

func written(t *testing.T, s *fieldsheet.Sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := paper.Write(&b, s, pdf.Letter); err != nil {
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
	size             float64 // of what is typed; 0 for a tick
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
			if da := d.StringEntry("DA"); da != nil && !w.tick {
				if _, err := fmt.Sscanf(*da, "/Typed %g Tf", &w.size); err != nil {
					t.Fatalf("%s: %q: %v", w.name, *da, err)
				}
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
	fieldsheet.Long(t)
	for _, c := range fieldsheet.Samples() {
		t.Run(c.Name(), func(t *testing.T) {
			s := c.Sheet(t)
			all, width, height := widgetsOf(t, written(t, s))
			want := map[string]fieldsheet.Field{}
			for _, f := range s.Fields() {
				if _, twice := want[f.Name]; twice {
					t.Errorf("%s twice", f.Name)
				}
				want[f.Name] = f
			}
			if len(all) != len(want)+1 || all[0].name != fieldsheet.PlanField || !all[0].hidden {
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
				if !strings.HasPrefix(w.tooltip, s.Words(fieldsheet.InFull(f.Ask, f.Blank))) || !strings.Contains(w.tooltip, s.Words(f.Ask.Limit)) {
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
	fieldsheet.Long(t)
	for _, c := range fieldsheet.Samples() {
		t.Run(c.Name(), func(t *testing.T) {
			data := written(t, c.Sheet(t))
			if !bytes.Equal(data, written(t, c.Sheet(t))) {
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
	fieldsheet.Long(t)
	s := fieldsheet.SheetOf(t, "annex", fieldsheet.Options{}, fieldsheet.Unseen)
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
	if most := 1 + 3*len(s.Pages); len(pages) > most {
		t.Errorf("%d pages for %d elevations, want at most %d", len(pages), len(s.Pages), most)
	}
	var md bytes.Buffer
	if err := s.Markdown(&md); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"Wear eye and hand protection", "Local codes prevail", "- [ ] yes", fieldsheet.Blank, "## S-104, elevation A"} {
		if !strings.Contains(md.String(), text) {
			t.Errorf("the Markdown does not say %q", text)
		}
	}
}

// TestOpenSheetIsShort: what one inspection left open takes one page for an elevation.
func TestOpenSheetIsShort(t *testing.T) {
	s := fieldsheet.SheetOf(t, "annex", fieldsheet.Options{}, nil)
	all, _, _ := widgetsOf(t, written(t, s))
	if last, want := all[len(all)-1].page, 1+len(s.Pages); last != want {
		t.Errorf("%d pages for %d elevations", last, want-1)
	}
}

// TestTypedNamesShow: a name is shown whole by the program that it is typed in
// with, and by one that draws what another has typed.
func TestTypedNamesShow(t *testing.T) {
	fieldsheet.Long(t)
	dir := t.TempDir()
	name := filepath.Join(dir, "sheet.pdf")
	const fdf = "%FDF-1.2\n1 0 obj\n<</FDF <</Fields [<</T (people/0/name) /V <FEFF014100750063007A0061006B00202126>>>]>>>>\nendobj\ntrailer <</Root 1 0 R>>\n%%EOF\n"
	for file, data := range map[string][]byte{name: written(t, fieldsheet.SheetOf(t, "annex", fieldsheet.Options{}, fieldsheet.Unseen)), filepath.Join(dir, "x.fdf"): []byte(fdf)} {
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if fonts := tool(t, "pdffonts", name); strings.Contains(fonts, "Type 1") || strings.Contains(fonts, " no  ") {
		t.Errorf("a font is not embedded:\n%s", fonts)
	}
	for _, how := range [][]string{nil, {"need_appearances"}} {
		filled := filepath.Join(dir, "filled.pdf")
		tool(t, "pdftk", append([]string{name, "fill_form", filepath.Join(dir, "x.fdf"), "output", filled}, how...)...)
		if text := tool(t, "pdftotext", "-enc", "UTF-8", filled, "-"); !strings.Contains(text, "Łuczak Ω") && !strings.Contains(text, "Łuczak \u2126") {
			t.Errorf("%v: the name is not shown whole", how)
		}
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
		s, err := fieldsheet.New(rec, src, fieldsheet.Options{All: true, Version: "test"})
		if err != nil {
			b.Fatal(err)
		}
		var out bytes.Buffer
		if err := paper.Write(&out, s, pdf.Letter); err != nil {
			b.Fatal(err)
		}
	}
}
