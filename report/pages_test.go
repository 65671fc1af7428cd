package report

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"setline.example/report/pdf"
)

var updatePages = flag.Bool("update-pages", false, "write testdata/pages anew from the reports as they are")

const (
	pagesFolder = "../testdata/pages"
	pageDPI     = "50"
)

// golden are the reports whose pages are kept, each on the paper it is made
// for. The date and version are fixed, so that neither a day nor a commit
// changes a page.
var golden = []struct {
	name, record string
	paper        pdf.Paper
}{
	{"annex", annex, pdf.Letter},
	{"metric", "../examples/metric/job.json", pdf.A4},
}

// goldenPDF makes the report of a record as its pages are kept.
func goldenPDF(t *testing.T, record string, paper pdf.Paper, edit ...string) []byte {
	t.Helper()
	found, faults, data := findings(t, record, edit...)
	r, err := New(found, faults, data, Options{
		Date: time.Date(2026, 10, 2, 0, 0, 0, 0, time.UTC), Version: "v0.0.0", Paper: paper,
	})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := r.PDF(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestPages compares every page of the reports of both examples with the pages
// that were looked at: its picture within the tolerance of [samePicture], and
// its words exactly. After a change that is meant:
//
//	go test ./report -run TestPages -update-pages
func TestPages(t *testing.T) {
	long(t)
	for _, g := range golden {
		t.Run(g.name, func(t *testing.T) {
			got := shown(t, goldenPDF(t, g.record, g.paper), "pdftoppm")
			folder := filepath.Join(pagesFolder, g.name)
			if *updatePages {
				writePages(t, folder, got)
				return
			}
			want := readPages(t, folder)
			for i := range max(len(got), len(want)) {
				if i >= len(got) || i >= len(want) {
					t.Errorf("the report has %d pages, %s has %d", len(got), folder, len(want))
					break
				}
				if difference := want[i].differs(got[i]); difference != "" {
					t.Errorf("page %d is not as in %s: %s", i+1, folder, difference)
				}
			}
			if t.Failed() {
				t.Log("if that is meant, write the pages anew with -update-pages and look at them")
			}
		})
	}
}

// TestPageDifferences holds the comparison itself to what it must see and what
// it must not mind: pdftocairo draws with an engine of its own, further from
// pdftoppm's than that is from one version to the next.
func TestPageDifferences(t *testing.T) {
	long(t)
	record, paper := golden[1].record, golden[1].paper
	file := goldenPDF(t, record, paper)
	want := shown(t, file, "pdftoppm")
	for _, c := range []struct {
		name  string
		pages []keptPage
		same  bool
	}{
		{"itself", want, true},
		{"as kept, in 16 greys", kept(t, want), true},
		{"thin lines drawn in another way", shown(t, file, "pdftoppm", "-thinlinemode", "solid"), true},
		{"another engine", shown(t, file, "pdftocairo"), true},
		{"a digit", shown(t, goldenPDF(t, record, paper, `"KP-0262"`, `"KP-0263"`), "pdftoppm"), false},
		{"another paper", shown(t, goldenPDF(t, record, pdf.Letter), "pdftoppm"), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			same := len(c.pages) == len(want)
			for i := range min(len(c.pages), len(want)) {
				if difference := want[i].differs(c.pages[i]); difference != "" {
					t.Logf("page %d: %s", i+1, difference)
					same = false
				}
			}
			if same != c.same {
				t.Errorf("the pages are found to be the same: %v, expected %v", same, c.same)
			}
		})
	}
	first := want[0].picture
	for _, c := range []struct {
		name   string
		change func(*image.Gray)
		same   bool
	}{
		{"a word gone", func(g *image.Gray) { fill(g, image.Rect(35, 40, 115, 56), 255) }, false},
		{"a line of a table moved by 3 pixels", func(g *image.Gray) {
			row := image.NewGray(image.Rect(0, 0, g.Rect.Dx(), 12))
			draw.Draw(row, row.Rect, g, image.Pt(0, 120), draw.Src)
			draw.Draw(g, row.Rect.Add(image.Pt(0, 123)), row, image.Point{}, draw.Src)
		}, false},
		{"a stain", func(g *image.Gray) { fill(g, image.Rect(200, 300, 212, 312), 0) }, false},
		{"a grain of dust", func(g *image.Gray) { fill(g, image.Rect(200, 300, 202, 302), 0) }, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			changed := image.NewGray(first.Rect)
			copy(changed.Pix, first.Pix)
			c.change(changed)
			difference := samePicture(first, changed)
			if (difference == "") != c.same {
				t.Errorf("found %q, expected the same: %v", difference, c.same)
			}
		})
	}
}

func fill(g *image.Gray, r image.Rectangle, grey uint8) {
	draw.Draw(g, r, image.NewUniform(color.Gray{grey}), image.Point{}, draw.Src)
}

// keptPage is a page as it is compared.
type keptPage struct {
	picture *image.Gray
	words   string
}

// differs says what differs, "" where nothing does.
func (p keptPage) differs(q keptPage) string {
	if p.words != q.words {
		a, b := strings.Split(p.words, "\n"), strings.Split(q.words, "\n")
		i := 0
		for i < min(len(a), len(b)) && a[i] == b[i] {
			i++
		}
		line := func(s []string) string { return strings.Join(s[min(i, len(s)):min(i+1, len(s))], "") }
		return fmt.Sprintf("found the words %q, expected %q", line(b), line(a))
	}
	return samePicture(p.picture, q.picture)
}

const (
	tolerance   = 64  // of 255 greys
	mostPixels  = 0.2 // per cent of a page that may be beyond it
	mostOfATile = 26  // of the 256 pixels of a tile of 16 by 16
)

// samePicture compares two pictures so that antialiasing does not matter: a
// pixel has to lie between the darkest and the lightest of the other picture's
// nine around it, give or take tolerance. It says what differs, "" where
// nothing does.
func samePicture(a, b *image.Gray) string {
	if a.Rect != b.Rect {
		return fmt.Sprintf("it is %v pixels, expected %v", b.Rect.Size(), a.Rect.Size())
	}
	tiles := map[image.Point]int{}
	n := 0
	for y := a.Rect.Min.Y; y < a.Rect.Max.Y; y++ {
		for x := a.Rect.Min.X; x < a.Rect.Max.X; x++ {
			if beyond(a, b, x, y) || beyond(b, a, x, y) {
				n++
				tiles[image.Pt(x/16, y/16)]++
			}
		}
	}
	for at, of := range tiles {
		if of > mostOfATile {
			return fmt.Sprintf("%d of 256 pixels differ around %.1f in from the left and %.1f in from the top",
				of, float64(at.X*16+8)/50, float64(at.Y*16+8)/50)
		}
	}
	if share := 100 * float64(n) / float64(a.Rect.Dx()*a.Rect.Dy()); share > mostPixels {
		return fmt.Sprintf("%.1f %% of its pixels differ, expected at most %v %%", share, mostPixels)
	}
	return ""
}

// beyond reports whether a's pixel lies beyond what b has there and around.
func beyond(a, b *image.Gray, x, y int) bool {
	v := int(a.GrayAt(x, y).Y)
	if at := int(b.GrayAt(x, y).Y); max(v, at)-min(v, at) <= tolerance {
		return false
	}
	lo, hi := 255, 0
	for j := max(y-1, b.Rect.Min.Y); j <= min(y+1, b.Rect.Max.Y-1); j++ {
		for i := max(x-1, b.Rect.Min.X); i <= min(x+1, b.Rect.Max.X-1); i++ {
			near := int(b.GrayAt(i, j).Y)
			lo, hi = min(lo, near), max(hi, near)
		}
	}
	return v < lo-tolerance || v > hi+tolerance
}

// shown draws every page with one of the programs of poppler, and reads its
// words with another.
func shown(t *testing.T, file []byte, program string, options ...string) []keptPage {
	t.Helper()
	for _, tool := range []string{program, "pdftotext"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("CI") == "true" {
				t.Fatalf("the program %s is missing; .ci/run must install poppler-utils", tool)
			}
			t.Skipf("the program %s is missing, so the pages were not looked at; .ci/run installs it", tool)
		}
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "report.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	run := func(name string, args ...string) []byte {
		out, err := exec.CommandContext(t.Context(), name, args...).Output()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		return out
	}
	run(program, slices.Concat(options, []string{"-r", pageDPI, "-gray", "-png", path, filepath.Join(dir, "page")})...)
	pictures, err := filepath.Glob(filepath.Join(dir, "page*.png"))
	if err != nil {
		t.Fatal(err)
	}
	words := strings.Split(string(run("pdftotext", "-raw", "-eol", "unix", "-enc", "UTF-8", path, "-")), "\f")
	if len(words) != len(pictures)+1 {
		t.Fatalf("found the words of %d pages, expected %d", len(words)-1, len(pictures))
	}
	pages := make([]keptPage, len(pictures)) // their names have as many digits as they need to be in order
	for i, name := range pictures {
		pages[i] = keptPage{readGrey(t, name), tidy(words[i])}
	}
	return pages
}

// tidy drops the blanks at the ends of lines and of the page.
func tidy(words string) string {
	lines := strings.Split(strings.TrimSpace(words), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " \r")
	}
	return strings.Join(lines, "\n")
}

func readGrey(t *testing.T, name string) *image.Gray {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	g := image.NewGray(img.Bounds())
	draw.Draw(g, g.Rect, img, g.Rect.Min, draw.Src)
	return g
}

// wordsFile holds the words of all pages of a report; a line with a form feed
// parts them.
const (
	wordsFile = "words.txt"
	newPage   = "\n\f\n"
)

// writePages keeps pages, with few greys so that they are small.
func writePages(t *testing.T, folder string, pages []keptPage) {
	t.Helper()
	if err := os.RemoveAll(folder); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(folder, 0o777); err != nil {
		t.Fatal(err)
	}
	greys := make(color.Palette, 16)
	for i := range greys {
		greys[i] = color.Gray{uint8(i * 17)}
	}
	var words []string
	for i, p := range pages {
		words = append(words, p.words)
		few := image.NewPaletted(p.picture.Rect, greys)
		for j, v := range p.picture.Pix {
			few.Pix[j] = uint8((int(v) + 8) / 17)
		}
		var out bytes.Buffer
		if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, few); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, fmt.Sprintf("%03d.png", i+1)), out.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(folder, wordsFile), []byte(strings.Join(words, newPage)+"\n"), 0o666); err != nil {
		t.Fatal(err)
	}
}

func readPages(t *testing.T, folder string) []keptPage {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, wordsFile))
	if err != nil {
		t.Fatalf("%v; write the pages with -update-pages", err)
	}
	var pages []keptPage
	for i, words := range strings.Split(strings.TrimSuffix(string(text), "\n"), newPage) {
		pages = append(pages, keptPage{readGrey(t, filepath.Join(folder, fmt.Sprintf("%03d.png", i+1))), words})
	}
	return pages
}

// kept returns pages as they come back from being kept.
func kept(t *testing.T, pages []keptPage) []keptPage {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "pages")
	writePages(t, folder, pages)
	return readPages(t, folder)
}
