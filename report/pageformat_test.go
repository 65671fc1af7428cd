package report

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"setline.example/report/pdf"
	"setline.example/templates"
)

var raiseFormat = flag.Bool("raise-format", false, "raise the number of the page format, where a page has changed")

const formatFile = "pageformat.txt"

// TestPageFormat: two reports of one number are the same byte for byte. Where
// this fails, a page has changed: if it was meant to, raise the number with
//
//	go test ./report -run TestPageFormat -raise-format
//
// which -update-pages does too. Numbers are never used again.
func TestPageFormat(t *testing.T) {
	long(t)
	sums := pageSums(t)
	_, known, _ := strings.Cut(pageFormats, "\n")
	if sums == known {
		return
	}
	if !*raiseFormat && !*updatePages {
		t.Fatalf("pages of format %d have changed: raise the number (see this test)\nfound\n%sexpected\n%s", PageFormat(), sums, known)
	}
	// The number stands in the reports themselves.
	raised := PageFormat() + 1
	pageFormat = func() int { return raised } // for the tests that follow too
	text := fmt.Sprintf("%d\n%s", PageFormat(), pageSums(t))
	if err := os.WriteFile(formatFile, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Logf("the page format is %d now", PageFormat())
}

// pageSums says what fixed reports come to: both examples on either paper, one
// in the words of a firm's own template, and one with photographs.
func pageSums(t *testing.T) string {
	t.Helper()
	var b strings.Builder
	sum := func(name string, path string, o Options) {
		found, faults, data := findings(t, path)
		r, err := New(found, faults, data, o)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "%s %x\n", name, sha256.Sum256(pdfOf(t, r)))
	}
	for _, g := range golden {
		for _, paper := range []pdf.Paper{pdf.Letter, pdf.A4} {
			o := options(nil)
			o.Paper = paper
			sum(g.name+"-"+string(paper), g.record, o)
		}
	}
	body, err := fs.ReadFile(templates.FS, templates.Turnover)
	if err != nil {
		t.Fatal(err)
	}
	sum("letterhead", annex, options(fstest.MapFS{
		templates.Turnover: {Data: append([]byte("Words of our own.\n\n"), body...)},
	}))
	found, faults, data := photoJob(t, `{"file": "one.jpg", "sha256": "`+strings.Repeat("0", 64)+`", "of": "B2"}, {"file": "two.jpg", "sha256": "`+strings.Repeat("0", 64)+`", "of": "B1"}`)
	o := options(nil)
	// As it is in the file: whoever makes a report again packs no picture anew.
	picture, err := os.ReadFile("testdata/photograph.jpg")
	if err != nil {
		t.Fatal(err)
	}
	shown, err := pdf.BitmapOfJPEG(picture, func(w, h int) float64 { return photoWidth })
	if err != nil {
		t.Fatal(err)
	}
	o.Photos = Photos{"one.jpg": {Picture: shown}, "two.jpg": {Problem: "the file is missing"}}
	r, err := New(found, faults, data, o)
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(&b, "photographs %x\n", sha256.Sum256(pdfOf(t, r)))
	return b.String()
}
