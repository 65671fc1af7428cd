package fieldsheet_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
)

// leastText is the smallest size, in points, at which a sheet is read in the hand:
// common practice, no source.
const leastText = 8

// operators are those of a content stream that say how large text is
// (ISO 32000-1, tables 57, 105, 108): of the others that could, a sheet has none.
var operators = regexp.MustCompile(`(?m)(?:/(\S+) ([\d.]+) (Tf))|(?:[ \n](cm|Tm|gs|Tz)$)`)

// sizesOf gives the sizes of text in all content streams of a file, those of
// pages and of the appearances of boxes, with how often they are set.
func sizesOf(t *testing.T, data []byte) map[float64]int {
	t.Helper()
	ctx, err := api.ReadContext(bytes.NewReader(data), &model.Configuration{Reader15: true, Offline: true, Limits: model.DefaultResourceLimits()})
	if err != nil {
		t.Fatal(err)
	}
	sizes := map[float64]int{}
	for n, e := range ctx.Table {
		stream, ok := e.Object.(types.StreamDict)
		if subtype := stream.Subtype(); !ok || stream.Type() != nil && *stream.Type() != "XObject" || subtype != nil && *subtype != "Form" {
			continue
		}
		if err := stream.Decode(); err != nil {
			t.Fatal(err)
		}
		for _, m := range operators.FindAllSubmatch(stream.Content, -1) {
			if m[3] == nil {
				t.Fatalf("object %d has the operator %s, which can make text smaller than it says", n, m[4])
			}
			size, err := strconv.ParseFloat(string(m[2]), 64)
			if err != nil {
				t.Fatal(err)
			}
			sizes[size]++
		}
	}
	return sizes
}

// readable holds that all text of a sheet can be read in the hand, and that every
// box has room for a reading as long as they get. How wide that is says the
// metrics of Helvetica, which Adobe published and Liberation Sans shares: 556 for
// a digit, 278 for a blank and for a stroke, in thousandths of the size.
func readable(t *testing.T, s *fieldsheet.Sheet) {
	t.Helper()
	data := written(t, s)
	sizes := sizesOf(t, data)
	if sizes[leastText] < 10 {
		t.Errorf("%d captions of %d pt", sizes[leastText], leastText)
	}
	for size, n := range sizes {
		if size < leastText {
			t.Errorf("text of %g pt, %d times", size, n)
		}
	}
	const reading, padding = (5*556 + 2*278) / 1000.0, 2 * 2 // "127 1/2", and what programs leave at both sides
	all, _, _ := widgetsOf(t, data)
	for _, w := range all {
		if !w.tick && !w.hidden && w.r-w.left < reading*w.size+padding-0.005 {
			t.Errorf("%s is %.2f pt wide, and 127 1/2 takes %.2f of %g pt", w.name, w.r-w.left, reading*w.size+padding, w.size)
		}
		if !w.tick && !w.hidden && w.size < leastText {
			t.Errorf("what is typed into %s has %g pt", w.name, w.size)
		}
	}
}

func TestSheetIsReadable(t *testing.T) {
	fieldsheet.Long(t)
	for _, c := range fieldsheet.Samples() {
		t.Run(c.Name(), func(t *testing.T) { readable(t, c.Sheet(t)) })
	}
	for _, example := range []string{"annex", "metric", "soil"} {
		t.Run(example+", each", func(t *testing.T) {
			readable(t, fieldsheet.SheetOf(t, example, fieldsheet.Options{All: true, Each: true}, fieldsheet.Unseen))
		})
	}
}

func TestRandomSheetsAreReadable(t *testing.T) {
	fieldsheet.Long(t)
	dir := t.TempDir()
	made := exec.Command("go", "run", "../../checks/internal/rooms/generate", "-n", "6", "-rooms", "0", "-visits", "2", "-seed", "16", "-o", dir)
	if out, err := made.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	paths, err := filepath.Glob(filepath.Join(dir, "*", "*.json"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("%d records, %v", len(paths), err)
	}
	for i, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		rec, src, err := schema.Read(path, data)
		if err != nil {
			t.Fatal(err)
		}
		s, err := fieldsheet.New(rec, src, fieldsheet.Options{All: i%2 == 0, Each: i%3 == 0, Version: "test"})
		if err != nil {
			t.Fatal(err)
		}
		if s.Fields() == nil {
			continue
		}
		t.Run(filepath.Base(path), func(t *testing.T) { readable(t, s) })
	}
}

// TestFontsAreEmbedded: every font of a sheet, of the page and of its form, travels
// in it (ISO 32000-1, 9.9).
func TestFontsAreEmbedded(t *testing.T) {
	data := written(t, fieldsheet.SheetOf(t, "annex", fieldsheet.Options{}, nil))
	ctx, err := api.ReadContext(bytes.NewReader(data), &model.Configuration{Reader15: true, Offline: true, Limits: model.DefaultResourceLimits()})
	if err != nil {
		t.Fatal(err)
	}
	fonts := 0
	for n := range ctx.Table {
		o, err := ctx.Dereference(*types.NewIndirectRef(n, 0))
		if err != nil {
			t.Fatal(err)
		}
		d, ok := o.(types.Dict)
		if !ok || d.Type() == nil || *d.Type() != "Font" || d["DescendantFonts"] != nil {
			continue
		}
		fonts++
		descriptor, err := ctx.DereferenceDict(d["FontDescriptor"])
		if err != nil || descriptor == nil || descriptor["FontFile2"] == nil {
			t.Errorf("font %d is not embedded: %v, %v", n, d, err)
		}
	}
	if fonts < 3 {
		t.Errorf("%d fonts, want those of the page and that of the form", fonts)
	}
}
