package report_test

import (
	"bufio"
	"bytes"
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"setline.example/checks"
	"setline.example/report"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/paper"
	"setline.example/report/pdf"
	"setline.example/report/pdf/structure"
	"setline.example/schema"
)

// readDocument is a document of an example.
type readDocument struct {
	name  string
	write func(io.Writer) error
}

// documentsOf are all documents of an example.
func documentsOf(t *testing.T, path string, size pdf.Paper) []readDocument {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	rec, src, err := schema.Read(path, data)
	if err != nil {
		t.Fatal(err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	faults, err := checks.History(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	o := report.Options{Date: time.Date(2026, 10, 2, 0, 0, 0, 0, time.UTC), Version: "v0.0.0", Paper: size}
	fields := fieldsheet.Options{All: true, Date: o.Date, Version: o.Version}
	every := func(string, string) bool { return true }
	of := func(r *report.Report, err error) func(io.Writer) error {
		if err != nil {
			t.Fatal(err)
		}
		return r.PDF
	}
	sheet, err := fieldsheet.New(rec, src, fields)
	if err != nil {
		t.Fatal(err)
	}
	carried := fieldsheet.CarriedLines(rec, fieldsheet.CountSheet{All: true})
	delivery := fieldsheet.NewDelivery(rec, carried, "Ana Ibáñez", "2026-09-01", fields)
	return []readDocument{
		{"report", of(report.New(found, faults, data, o))},
		{"layout", of(report.NewLayout(found, data, o, report.LayoutOptions{}))},
		{"release", of(report.NewRelease(found, data, o, every))},
		{"cuts", of(report.NewCuts(found, data, o, every))},
		{"sheet", func(w io.Writer) error { return paper.Write(w, sheet, size) }},
		{"delivery", func(w io.Writer) error { return paper.WriteDelivery(w, delivery, size) }},
	}
}

// TestPagesAsRead reads every document of both examples along its structure:
// all that is on its pages is there, once. What a reader of PDFs in a browser
// (pdf.js) makes of the first page is kept; another (poppler) reads the same. After
// a change that is meant:
//
//	go test ./report -run TestPagesAsRead -update-pages
func TestPagesAsRead(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds; not checked")
	}
	for _, example := range []struct {
		name string
		size pdf.Paper
		kept bool
	}{{"annex", pdf.Letter, true}, {"metric", pdf.A4, false}} {
		for _, d := range documentsOf(t, "../examples/"+example.name+"/job.json", example.size) {
			t.Run(example.name+"/"+d.name, func(t *testing.T) {
				var out bytes.Buffer
				if err := d.write(&out); err != nil {
					t.Fatal(err)
				}
				file := filepath.Join(t.TempDir(), "x.pdf")
				if err := os.WriteFile(file, out.Bytes(), 0o600); err != nil {
					t.Fatal(err)
				}
				holds(t, file)
				if example.kept {
					keptAsRead(t, file, filepath.Join("../testdata/pages/asread", d.name+".txt"))
				}
			})
		}
	}
}

// holds has qpdf read a file to its end, and its structure hold.
func holds(t *testing.T, file string) {
	t.Helper()
	if out := outside(t, nil, "qpdf", "--check", file); strings.Contains(out, "WARNING") {
		t.Error(out)
	}
	// One object by itself each, where they are packed.
	plain := file + ".plain"
	outside(t, nil, "qpdf", "--object-streams=disable", file, plain)
	data, err := os.ReadFile(plain)
	if err != nil {
		t.Fatal(err)
	}
	d, err := structure.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	for _, problem := range d.Problems() {
		t.Error(problem)
	}
	edges, pages, elements := 0, len(d.Pages), 0
	for _, p := range d.Pages {
		for _, edge := range p.Content.Pages {
			if edge != "" {
				edges++
			}
		}
	}
	d.Root.Each(func(*structure.Element) { elements++ })
	if want := 2*pages - 1; edges != want { // the first page has no header
		t.Errorf("found %d headers and footers on %d pages, expected %d", edges, pages, want)
	}
	t.Logf("%d pages, %d elements, %d a page", pages, elements, elements/pages)
}

// keptAsRead compares what is read of the first page with what is kept.
func keptAsRead(t *testing.T, file, kept string) {
	t.Helper()
	needBrowserReader(t)
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	got := outside(t, data, "node", "../testdata/clients/read.mjs", "1")
	sameAsPoppler(t, file, got)
	if flag.Lookup("update-pages").Value.String() == "true" {
		if err := os.MkdirAll(filepath.Dir(kept), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(kept, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(kept)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the first page is not read as in %s; if that is meant, write it anew with -update-pages\n%s", kept, firstDifference(got, string(want)))
	}
}

func firstDifference(got, want string) string {
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return fmt.Sprintf("line %d: found %q, expected %q", i+1, a[i], b[i])
		}
	}
	return fmt.Sprintf("found %d lines, expected %d", len(a), len(b))
}

// sameAsPoppler holds that poppler finds the same roles and texts, in the same
// order, as the browser's reader on the first page. A figure it reads letter by
// letter, a paragraph that goes on overleaf whole, and cells without text too.
func sameAsPoppler(t *testing.T, file, browser string) {
	t.Helper()
	needProgram(t, "pdfinfo")
	// It lays a page out anew for every element, so that it is stopped at the last wanted.
	ctx, stop := context.WithCancel(t.Context())
	c := exec.CommandContext(ctx, "pdfinfo", "-struct-text", file)
	out, err := c.StdoutPipe()
	if err == nil {
		err = c.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		stop()
		_ = c.Wait() // it was stopped
	}()
	lines := bufio.NewScanner(out)
	for i, line := range strings.Split(strings.TrimSpace(browser), "\n")[1:] { // the root
		want, ok := roleOrText(line)
		if !ok {
			continue
		}
		got, found := "", false
		for !found && lines.Scan() {
			got, found = roleOrText(lines.Text())
			found = found && (got == want || got != "TH" && got != "TD") // a cell without text
		}
		if !strings.HasPrefix(got, want) || want == "" {
			t.Fatalf("line %d: the one reads %q, and poppler %q", i+2, want, got)
		}
	}
}

// roleOrText returns what a line of either says, without blanks; not ok for what is
// an attribute, a field, or the text of a figure.
func roleOrText(line string) (string, bool) {
	line = strings.TrimSpace(line)
	for _, other := range []string{"/", "Object ", "annotation "} {
		if strings.HasPrefix(line, other) {
			return "", false
		}
	}
	if text, ok := strings.CutPrefix(line, `"`); ok {
		line = strings.TrimSuffix(strings.ReplaceAll(text, `\"`, `"`), `"`)
	} else {
		line, _, _ = strings.Cut(line, " alt ")
		line = strings.TrimSuffix(strings.TrimSuffix(line, ":"), " (block)")
	}
	return strings.Join(strings.Fields(line), ""), line != ""
}

func needBrowserReader(t *testing.T) {
	t.Helper()
	err := exec.CommandContext(t.Context(), "node", "-e", `require.resolve("pdfjs-dist/legacy/build/pdf.mjs")`).Run()
	if err == nil {
		return
	}
	if os.Getenv("CI") == "true" {
		t.Fatal("node with pdfjs-dist in NODE_PATH is missing; see .ci/run")
	}
	t.Skip("node with pdfjs-dist in NODE_PATH is missing, so what it reads was not checked")
}

// outside runs another program and returns what it prints.
func outside(t *testing.T, in []byte, name string, args ...string) string {
	t.Helper()
	needProgram(t, name)
	c := exec.CommandContext(t.Context(), name, args...)
	var out, told bytes.Buffer
	c.Stdin, c.Stdout, c.Stderr = bytes.NewReader(in), &out, &told
	if err := c.Run(); err != nil {
		t.Fatalf("%s %s: %v\n%s%s", name, strings.Join(args, " "), err, out.Bytes(), told.Bytes())
	}
	return out.String()
}

func needProgram(t *testing.T, name string) {
	t.Helper()
	if _, err := exec.LookPath(name); err == nil {
		return
	}
	if os.Getenv("CI") == "true" {
		t.Fatalf("the program %s is missing; install it", name)
	}
	t.Skipf("the program %s is missing, so this was not checked", name)
}
