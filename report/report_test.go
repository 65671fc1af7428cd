package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/yuin/goldmark/ast"
	"setline.example/checks"
	"setline.example/report/pdf"
	"setline.example/schema"
)

func options(folder fs.FS) Options {
	o := Options{
		Date:    time.Date(2026, 9, 23, 0, 0, 0, 0, time.UTC),
		Version: "v1.0.0",
		Paper:   pdf.Letter,
	}
	if folder != nil {
		l, err := NewLetterhead(folder)
		if err != nil {
			panic(err)
		}
		o.Letterhead = l
	}
	return o
}

func findings(t testing.TB, path string, edit ...string) (*checks.Findings, []checks.Fault, []byte) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	data = []byte(strings.NewReplacer(edit...).Replace(string(data)))
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
	return found, faults, data
}

const annex = "../examples/annex/job.json"

func markdown(t *testing.T, r *Report) string {
	t.Helper()
	var out bytes.Buffer
	if err := r.Markdown(&out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// never are words that every report has, whatever template makes its body.
var never = []string{
	"NOT READY", "S-106 is not ready because",
	"Wear eye and hand protection", "can tip", "services before drilling", "proved dead", "hearing protection", "fingers clear", "silica dust", "into the laser", "strips the sheet",
	"Local codes prevail", "licensed practice",
	"Signature", "How to check this report",
	"Punch list", "Faults keep their numbers",
}

func TestNoTemplateLosesWhatMustStay(t *testing.T) {
	long(t)
	found, faults, data := findings(t, annex)
	for name, body := range map[string]string{
		"empty":           "",
		"an open fence":   "```\n",
		"an open quote":   "> open",
		"a heading":       "# READY\n",
		"an open list":    "- a\n    - b",
		"a link label":    "[Cautions]: x",
		"an open table":   "| a |\n|---|",
		"a setext line":   "text",
		"an indent at it": "    ",
	} {
		t.Run(name, func(t *testing.T) {
			r, err := New(found, faults, data, options(fstest.MapFS{"turnover.md": {Data: []byte(body)}}))
			if err != nil {
				t.Fatal(err)
			}
			text := markdown(t, r)
			for _, words := range never {
				if !strings.Contains(text, words) {
					t.Errorf("the Markdown lost %q", words)
				}
			}
			if !strings.Contains(text, "Installers' template. This page, the punch list") {
				t.Error("it does not say in whose words it is")
			}
			// In the PDF the cautions are parsed apart from the body: they are a heading of their own.
			if last := headings(r.parts[len(r.parts)-2]); len(last) != 1 || last[0] != "Cautions" {
				t.Errorf("headings after the body: %v", last)
			}
			if pages := pdfText(t, r); pages != "" {
				for _, words := range never {
					if !strings.Contains(pages, words) {
						t.Errorf("the PDF lost %q", words)
					}
				}
			}
		})
	}
}

// TestMimickedFirstPage: a firm's template that draws our own first page again,
// with the other answer, does so behind it, on pages that begin with whose words
// they are; every page has the answer of the rules at its head.
func TestMimickedFirstPage(t *testing.T) {
	long(t)
	ours, err := fixed.ReadFile("fixed/answer.md")
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		job, answer, lie string
		edits            []string
	}{
		"long list":       {annex, notReadyWords, readyWords, nil},
		"nothing to do":   {"../examples/metric/job.json", readyWords, notReadyWords, nil},
		"one thing to do": {"../examples/metric/job.json", notReadyWords, readyWords, []string{`"bearing": {"FL": true, "FR": true,`, `"bearing": {"FL": true, "FR": false,`}},
	} {
		t.Run(name, func(t *testing.T) {
			found, faults, data := findings(t, c.job, c.edits...)
			mimic := strings.ReplaceAll(string(ours), "{{.Answer}}", c.lie) + strings.Repeat("\n# "+c.lie+"\n\n## "+c.lie+"\n", 60)
			r, err := New(found, faults, data, options(fstest.MapFS{"turnover.md": {Data: []byte(mimic)}}))
			if err != nil || map[bool]string{true: readyWords, false: notReadyWords}[r.Ready()] != c.answer {
				t.Fatalf("%v, ready %v", err, r.Ready())
			}
			var out bytes.Buffer
			if err := r.PDF(&out); err != nil {
				t.Fatal(err)
			}
			pages := strings.Split(string(outside(t, "pdftotext", "-layout", save(t, out.Bytes()), "-")), "\f")
			lie := regexp.MustCompile(`(?m)^ *` + c.lie + `$`)
			whose, at := "From here to the cautions, in the words of", 0
			for i, page := range pages[:len(pages)-1] {
				if strings.Contains(page, whose) {
					at = i
				}
				head, _, _ := strings.Cut(strings.TrimSpace(page), "\n")
				switch {
				case at == 0 && lie.MatchString(page):
					t.Errorf("page %d, before the template's words, says %s:\n%s", i+1, c.lie, page)
				case i > 0 && (!strings.HasSuffix(head, "Turnover report: "+c.answer) || strings.Contains(head, "· ")):
					t.Errorf("page %d has the head %q", i+1, head)
				case i == at && at > 0 && strings.Index(page, whose) > strings.Index(page, "Turnover report\n"):
					t.Errorf("page %d begins with other words:\n%s", i+1, page)
				}
			}
			if at == 0 || !strings.Contains(pages[0], "is in the words of") || !strings.Contains(pages[at], "first page: "+c.answer+".") {
				t.Errorf("page %d begins the template's words; the first page:\n%s", at+1, pages[0])
			}
			if again, err := Rebuild(out.Bytes()); err != nil || again.Differs != "" {
				t.Errorf("made again: %v %q", err, again.Differs)
			}
		})
	}
}

// pdfText gives the words of the report's PDF, "" where pdftotext is missing.
func pdfText(t *testing.T, r *Report) string {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("pdftotext is not installed; .ci/run must install poppler-utils")
		}
		t.Log("the words of the PDF are not looked at: pdftotext is not installed; .ci/run installs it")
		return ""
	}
	var out bytes.Buffer
	if err := r.PDF(&out); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(path, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := exec.CommandContext(t.Context(), "pdftotext", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	// Lines are broken where the page breaks them.
	return strings.Join(strings.Fields(string(text)), " ")
}

func headings(source []byte) []string {
	var all []string
	_ = ast.Walk(pdf.ParseMarkdown(source), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if h, ok := n.(*ast.Heading); ok && entering {
			var words strings.Builder
			for c := h.FirstChild(); c != nil; c = c.NextSibling() {
				if text, ok := c.(*ast.Text); ok {
					words.Write(text.Segment.Value(source))
				}
			}
			all = append(all, words.String())
		}
		return ast.WalkContinue, nil
	})
	return all
}

func TestBrokenTemplates(t *testing.T) {
	found, faults, data := findings(t, annex)
	for name, tc := range map[string]struct{ file, body, want string }{
		"raw HTML block":  {"turnover.md", "<!-- ", "raw HTML in a template"},
		"raw HTML inline": {"turnover.md", "a <b>bold</b> word", "raw HTML in a template"},
		"syntax":          {"turnover.md", "{{range}", "turnover.md"},
		"unknown field":   {"turnover.md", "{{.Verdict}}", "turnover.md"},
	} {
		_, err := New(found, faults, data, options(fstest.MapFS{tc.file: {Data: []byte(tc.body)}}))
		if err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: %v, want %q in it", name, err, tc.want)
		}
	}
}

// TestTypedNamesMakeNoVerdict: whatever people type as names and remarks, the
// report has the headings it has without them.
func TestTypedNamesMakeNoVerdict(t *testing.T) {
	long(t)
	found, faults, data := findings(t, annex)
	plain, err := New(found, faults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	found, faults, data = findings(t, annex,
		"Marrow Ridge College, Science Annex", `x\n# READY\n\n> ## READY`,
		"A3 proud at the top of the joint", `\n\n## All rooms READY\n\n| a | b |\n|---|---|`,
		"left stile, 20 in above the floor", `|||| **pass** <!-- `,
		"Halden Quality Services", "[Halden](https://x.example)",
	)
	hostile, err := New(found, faults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	for i := range plain.parts {
		a, b := shape(t, string(plain.parts[i])), shape(t, string(hostile.parts[i]))
		if a.kinds != b.kinds {
			t.Errorf("part %d of the report has another structure:\n%s", i, hostile.parts[i])
		}
	}
	if text := pdfText(t, hostile); text != "" && !strings.Contains(text, "[Halden](https://x.example)") {
		t.Error("the PDF does not show what was typed as it was typed")
	}
}

// TestReadyReport: a job whose rooms are all ready says so, and has no list
// of reasons.
func TestReadyReport(t *testing.T) {
	found, faults, data := findings(t, "../examples/metric/job.json")
	r, err := New(found, faults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	text := markdown(t, r)
	if !r.Ready() || !strings.Contains(text, "> ## READY") || strings.Contains(text, "NOT READY") || strings.Contains(text, "is not ready because") {
		t.Errorf("%.600s", text)
	}
	if !strings.Contains(text, "0.8 mm ± 0.058") {
		t.Error("a measured value is not shown with its expanded uncertainty; 0.1 mm / (2 sqrt 3) * 2 = 0.058 mm")
	}
}

func BenchmarkPDF(b *testing.B) {
	found, faults, data := findings(b, annex)
	for b.Loop() {
		r, err := New(found, faults, data, options(nil))
		if err != nil {
			b.Fatal(err)
		}
		if err := r.PDF(new(bytes.Buffer)); err != nil {
			b.Fatal(err)
		}
	}
}

// TestHTML: one page, whole and well formed, that asks the network for nothing
// and in which typed text is text.
func TestHTML(t *testing.T) {
	found, faults, data := findings(t, annex, "A3 proud at the top of the joint", `<img src=https://x.example/a.png> & <script>alert(1)</script>`)
	r, err := New(found, faults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := r.HTML(&out); err != nil {
		t.Fatal(err)
	}
	page := out.String()
	for _, words := range append(never, `<th scope="col"`, "&lt;script&gt;alert(1)&lt;/script&gt;") {
		if !strings.Contains(page, words) {
			t.Errorf("no %q in the page", words)
		}
	}
	for _, bad := range []string{"<script", "<img", "src=\"", "href=\"http", "@import", "url("} {
		if strings.Contains(page, bad) {
			t.Errorf("%q in the page", bad)
		}
	}
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	open := 0
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch tok.(type) {
		case xml.StartElement:
			open++
		case xml.EndElement:
			open--
		}
	}
	if open != 0 {
		t.Errorf("%d elements are not closed", open)
	}
}

func annexReport(t *testing.T) (*Report, []byte) {
	t.Helper()
	found, faults, data := findings(t, annex)
	r, err := New(found, faults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	return r, data
}

// TestPageSaysWhatIsTrueOfIt: a page of HTML or Markdown is no PDF, has no
// attachment and no digital signature; the record comes out of the HTML as it is.
func TestPageSaysWhatIsTrueOfIt(t *testing.T) {
	r, data := annexReport(t)
	var page, text bytes.Buffer
	if err := errors.Join(r.HTML(&page), r.Markdown(&text)); err != nil {
		t.Fatal(err)
	}
	for name, written := range map[string]string{"HTML": page.String(), "Markdown": text.String()} {
		for _, bad := range []string{"inside this PDF", "with this file", "the attachment", "in the boxes below"} {
			if strings.Contains(written, bad) {
				t.Errorf("%s: %q", name, bad)
			}
		}
		if sum := fmt.Sprintf("%x", sha256.Sum256(data)); !strings.Contains(written, sum) {
			t.Errorf("%s: no SHA-256 of the record", name)
		}
	}
	link := regexp.MustCompile(`<a download="job-record.json" href="data:application/json;base64,([^"]*)">job-record.json</a>`).FindSubmatch(page.Bytes())
	if link == nil {
		t.Fatal("the record is not in the page")
	}
	if inside, err := base64.StdEncoding.DecodeString(string(link[1])); err != nil || !bytes.Equal(inside, data) {
		t.Errorf("the record in the page is another: %v", err)
	}
}

// TestEveryCellIsNamed: where a row is a card, each cell says under which
// heading it stands.
func TestEveryCellIsNamed(t *testing.T) {
	r, _ := annexReport(t)
	var page bytes.Buffer
	if err := r.HTML(&page); err != nil {
		t.Fatal(err)
	}
	cards := 0
	for _, table := range strings.Split(page.String(), `<div class="table`)[1:] {
		table, _, _ = strings.Cut(table, "</table>")
		if !strings.HasPrefix(table, ` cards"`) {
			continue
		}
		cards++
		if named := strings.Count(table, `<td data-heading="`) - strings.Count(table, `data-heading=""`); named != strings.Count(table, "<td")-strings.Count(table, "<td colspan") {
			t.Errorf("%d of %d cells are named in\n%.300s", named, strings.Count(table, "<td"), table)
		}
	}
	if cards < 10 {
		t.Errorf("only %d tables are cards", cards)
	}
}

// TestNoticesAreOnTheFirstPage: a room in a building that has not settled is
// handed over only with a date, and the first page says so.
func TestNoticesAreOnTheFirstPage(t *testing.T) {
	found, faults, data := findings(t, "../examples/metric/job.json", `"slab_cured": true`, `"slab_cured": false`,
		`"sign_off": {`, `"reinspections": [{"room": "1.12", "date": "2027-01-15"}], "sign_off": {`)
	r, err := New(found, faults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	if first := string(r.parts[0]); !r.Ready() || !strings.Contains(first, "Slab not cured; to be inspected again on 2027-01-15") {
		t.Errorf("ready %v:\n%s", r.Ready(), first)
	}
}
