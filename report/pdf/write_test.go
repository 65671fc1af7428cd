package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

var day = time.Date(2026, 3, 2, 10, 30, 0, 0, time.UTC)

// sample is a document with everything in it: several fonts, links, bookmarks,
// attachments, a table over several pages.
func sample() Document {
	var rows strings.Builder
	for i := range 70 {
		fmt.Fprintf(&rows, "| %d | A101/E1/B%d | tops flush | %d/64 in | 1/16 in | pass |\n", i+1, i+1, i%5)
	}
	return Document{
		Parts: [][]byte{
			[]byte("# Room A101\n\n> **Not ready.** 3 of 214 checks *fail*; see [the results](#results).\n\n1. `B3` to B4: ***lower*** the leveler → ✓\n   - <https://example.org/>\n"),
			[]byte("## Results\n\n| No. | Unit | Rule | Value | Limit | Result |\n|--:|---|---|--:|--:|:-:|\n" + rows.String()),
			[]byte("## Cautions\n\n> Two people to lift.\n\n### History\n\nSeen by Ålund, Κώστας and Жанна.\n"),
		},
		Title: "Room A101", Author: "A. Fitter", Subject: "Turnover", Creator: "test", Lang: "en",
		HeaderLeft: "Science Annex", HeaderRight: "Room A101", FooterLeft: "Workmanship record",
		Date: day,
		Attachments: []Attachment{
			{Name: "record.json", Description: "the record", Content: []byte("{\"a\": 1}\n")},
			{Name: "bytes.bin", Description: "every byte", Content: everyByte()},
		},
	}
}

func everyByte() []byte {
	b := make([]byte, 1024)
	for i := range b {
		b[i] = byte(i)
	}
	return b
}

func TestWriteIsDeterministic(t *testing.T) {
	first := write(t, sample())
	for range 20 {
		if !bytes.Equal(first, write(t, sample())) {
			t.Fatal("two writes of one document differ")
		}
	}
}

func TestWriteIsDeterministicAtOnce(t *testing.T) {
	want := write(t, sample())
	got := make(chan []byte)
	for range 4 {
		go func() {
			var b bytes.Buffer
			_ = Write(&b, sample())
			got <- b.Bytes()
		}()
	}
	for range 4 {
		if !bytes.Equal(want, <-got) {
			t.Error("a write beside others differs")
		}
	}
}

func TestHeaderSaysVersion(t *testing.T) {
	if b := write(t, Document{}); !bytes.HasPrefix(b, []byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")) {
		t.Errorf("the file starts with %q", b[:16])
	}
}

func TestSound(t *testing.T) {
	a4 := sample()
	a4.Paper = A4
	many := Document{}
	for i := range 12 {
		many.Attachments = append(many.Attachments, Attachment{Name: fmt.Sprintf("photo-%d.jpg", i), Content: []byte{byte(i)}})
	}
	for _, c := range []struct {
		name string
		doc  Document
	}{
		{"empty", Document{}},
		{"sample", sample()},
		{"A4", a4},
		{"twelve attachments", many},
		{"brackets in metadata", Document{Title: `a ) b \ ( c`, Parts: [][]byte{[]byte("# ) \\\\ (\n\n[x](https://example.org/\\)\\(a)")}}},
	} {
		t.Run(c.name, func(t *testing.T) { checkSound(t, write(t, c.doc)) })
	}
}

func TestMetadata(t *testing.T) {
	d := sample()
	d.Title = "Räume 🙂"
	out := tool(t, "pdfinfo", "-isodates", save(t, write(t, d)))
	for _, want := range []string{
		`Title: +Räume 🙂`, `Author: +A\. Fitter`, `Subject: +Turnover`, `Creator: +test`,
		`CreationDate: +2026-03-02T10:30:00Z`, `ModDate: +2026-03-02T10:30:00Z`, `Page size: +612 x 792`, `PDF version: +1\.7`,
	} {
		if !regexp.MustCompile(want).MatchString(out) {
			t.Errorf("pdfinfo does not say %s:\n%s", want, out)
		}
	}
	if !bytes.Contains(write(t, d), []byte("/Lang (en)")) {
		t.Error("the language is missing")
	}
	if b := write(t, Document{}); bytes.Contains(b, []byte("Date (")) {
		t.Error("a document without a date has one")
	}
}

func TestPaper(t *testing.T) {
	for _, c := range []struct {
		name, size string
		paper      Paper
	}{
		{"default", "612 x 792 pts", ""},
		{"letter", "612 x 792 pts", Letter},
		{"A4", "595.28 x 841.89 pts", A4},
	} {
		t.Run(c.name, func(t *testing.T) {
			if out := tool(t, "pdfinfo", save(t, write(t, Document{Paper: c.paper}))); !strings.Contains(out, c.size) {
				t.Errorf("want %s in:\n%s", c.size, out)
			}
		})
	}
}

func TestFontsAreEmbeddedSubsets(t *testing.T) {
	out := tool(t, "pdffonts", save(t, write(t, sample())))
	lines := strings.Split(strings.TrimSpace(out), "\n")[2:]
	if len(lines) < 5 {
		t.Errorf("the sample uses %d fonts; it should use at least 5:\n%s", len(lines), out)
	}
	for _, ln := range lines {
		if !strings.Contains(ln, "yes yes yes") {
			t.Errorf("not embedded, subset and mapped to Unicode: %s", ln)
		}
	}
}

func TestAttachmentsComeBack(t *testing.T) {
	needTool(t, "pdfdetach")
	d := sample()
	for i := range 12 { // more than nine: see finish
		d.Attachments = append(d.Attachments, Attachment{Name: fmt.Sprintf("é %d.txt", i), Content: fmt.Append(nil, i)})
	}
	// An attached PDF holds the very words that finish looks for.
	inner := write(t, sample())
	d.Attachments = append(d.Attachments, Attachment{Name: "inner.pdf", Content: inner},
		Attachment{Name: "trap.txt", Content: []byte("<<\n/Type /Catalog\n(Attachement1)\n<</Type /Font /utf8lsans \nxref\nstartxref\n1\n")})
	file := save(t, write(t, d))
	dir := t.TempDir()
	tool(t, "pdfdetach", "-saveall", "-o", dir, file)
	for _, a := range d.Attachments {
		got, err := os.ReadFile(filepath.Join(dir, a.Name))
		if err != nil {
			t.Error(err)
		} else if !bytes.Equal(got, a.Content) {
			t.Errorf("%s came back changed", a.Name)
		}
	}
	if !bytes.Equal(d.Attachments[1].Content, everyByte()) {
		t.Error("Write changed its input")
	}
	if out := tool(t, "qpdf", "--list-attachments", file); strings.Count(out, "->") != len(d.Attachments) {
		t.Errorf("want %d attachments in:\n%s", len(d.Attachments), out)
	}
	// A reader may search the tree by halves, so its keys must be in order (ISO 32000-1, 7.9.6).
	_, tree, _ := strings.Cut(string(write(t, d)), "/EmbeddedFiles << /Names [")
	tree, _, _ = strings.Cut(tree, "]")
	var keys []string
	for _, m := range regexp.MustCompile(`\(([^)]*)\) \d+ 0 R`).FindAllStringSubmatch(tree, -1) {
		keys = append(keys, m[1])
	}
	if len(keys) != len(d.Attachments) || !slices.IsSorted(keys) {
		t.Errorf("keys of the name tree are %q", keys)
	}
	checkSound(t, write(t, d))
}

func TestRunningHeaderAndFooter(t *testing.T) {
	d := sample()
	d.HeaderLeft = strings.Repeat("a very long name ", 30)
	pages := pageTexts(t, write(t, d))
	if len(pages) < 3 {
		t.Fatalf("the sample has %d pages; the test wants at least 3", len(pages))
	}
	for i, p := range pages {
		if want := fmt.Sprintf("page %d of %d", i+1, len(pages)); !strings.Contains(p, want) {
			t.Errorf("page %d does not say %q", i+1, want)
		}
		if !strings.Contains(p, "Workmanship record") {
			t.Errorf("page %d has no footer", i+1)
		}
		if got := strings.Contains(strings.SplitN(p, "\n", 2)[0], "…"); got != (i > 0) {
			t.Errorf("page %d: running header there: %v", i+1, got)
		}
	}
}

func TestTableHeaderOnEveryPage(t *testing.T) {
	pages := pageTexts(t, write(t, sample()))
	with := 0
	for i, p := range pages {
		rows := regexp.MustCompile(`A101/E1/B\d+`).FindAllString(p, -1)
		if len(rows) == 0 {
			continue
		}
		with++
		if n := len(regexp.MustCompile(`No\. +Unit +Rule +Value`).FindAllString(p, -1)); n != 1 {
			t.Errorf("page %d has %d rows and %d header rows; want one header row", i+1, len(rows), n)
		}
		if len(rows) == 1 {
			t.Errorf("page %d has a single row", i+1)
		}
	}
	if with < 2 {
		t.Errorf("the table stands on %d pages; the test wants more", with)
	}
	all := squeeze(strings.Join(pages, ""))
	for i := range 70 {
		if row := fmt.Sprintf("%dA101/E1/B%dtopsflush%d/64in1/16inpass", i+1, i+1, i%5); strings.Count(all, row) != 1 {
			t.Errorf("row %d is not there just once", i+1)
		}
	}
}

// A header row must take at least one row with it, wherever the page ends.
func TestNothingStrandedAtPageFoot(t *testing.T) {
	step := 1
	if testing.Short() {
		step = 7
	}
	for n := 0; n < 60; n += step {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "line %d\n\n", i)
		}
		b.WriteString("## Heading\n\n| Head | Row |\n|---|---|\n| first | x |\n" + strings.Repeat("| more | y |\n", 20) + "\n### Next\n\ntext after\n")
		for i, page := range drawn(t, write(t, Document{Parts: [][]byte{[]byte(b.String())}})) {
			var s string
			for _, x := range page {
				s += x.text + " "
			}
			for _, pair := range [][2]string{{"Heading", "Head "}, {"Head ", " y "}, {"Next", "text after"}} {
				if strings.Contains(s, pair[0]) && !strings.Contains(s, pair[1]) {
					t.Errorf("%d lines before: page %d has %q without %q", n, i+1, pair[0], pair[1])
				}
			}
		}
	}
}

func TestPartsAreSeparate(t *testing.T) {
	for _, c := range []struct{ name, first string }{
		{"open fence", "```\ncode"},
		{"open comment", "<!-- not closed"},
		{"open tag", "<div"},
		{"open quote and list", "> - a"},
		{"open script", "<script>\n\nx"},
		{"indented", "\n\n    code"},
		{"table", "|a|\n|-|\n|b|"},
		{"link reference", "[x]:"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := write(t, Document{Parts: [][]byte{[]byte(c.first), []byte("# Cautions\n\nlift *together*")}})
			if s := drawnText(t, b); !strings.Contains(s, "Cautionslifttogether") {
				t.Errorf("the second part is swallowed: %s", s)
			}
			if !bytes.Contains(b, []byte("/Title (Cautions)")) {
				t.Error("the second part's heading is not in the outline")
			}
		})
	}
}

func TestRefusedDocuments(t *testing.T) {
	for _, c := range []struct {
		name, say string
		doc       Document
	}{
		{"paper", "paper", Document{Paper: "a3"}},
		{"language", "language", Document{Lang: "en) /X (y"}},
		{"year", "year", Document{Date: time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC)}},
		{"attachment without a name", "attachment 1", Document{Attachments: []Attachment{{}}}},
		{"attachment in a folder", "folder", Document{Attachments: []Attachment{{Name: "../x"}}}},
		{"attachment with a line break", "seen", Document{Attachments: []Attachment{{Name: "a\nb"}}}},
		{"attachment that hides its ending", "seen", Document{Attachments: []Attachment{{Name: "a\u202Efdp.exe"}}}},
		{"attachment not UTF-8", "UTF-8", Document{Attachments: []Attachment{{Name: "\xff"}}}},
		{"attachments of one name", "twice", Document{Attachments: []Attachment{{Name: "a"}, {Name: "a"}}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			err := Write(&b, c.doc)
			if !errors.Is(err, ErrDocument) || !strings.Contains(err.Error(), c.say) {
				t.Errorf("error is %v; want ErrDocument with %q", err, c.say)
			}
			if b.Len() > 0 {
				t.Error("bytes were written")
			}
		})
	}
}

type failing struct{}

var errDisk = errors.New("disk full")

func (failing) Write([]byte) (int, error) { return 0, errDisk }

func TestErrorOfWriter(t *testing.T) {
	if err := Write(failing{}, Document{}); !errors.Is(err, errDisk) {
		t.Errorf("error is %v; want %v", err, errDisk)
	}
}

var words = regexp.MustCompile(`<word xMin="([0-9.-]+)" yMin="([0-9.-]+)" xMax="([0-9.-]+)" yMax="([0-9.-]+)">([^<]*)<`)

// Everything shown must lie within the margins, whatever the Markdown.
func TestNothingLeavesThePage(t *testing.T) {
	word := strings.Repeat("W", 400)
	twelve := strings.Repeat("| Donaudampfschifffahrt ", 12) + "|\n" + strings.Repeat("|---", 12) + "|\n" + strings.Repeat("| 1 17/32 in "+word, 12) + "|\n"
	sixty := strings.Repeat("|c", 60) + "|\n" + strings.Repeat("|-", 60) + "|\n" + strings.Repeat("|cell", 60) + "|\n"
	for _, c := range []struct{ name, src string }{
		{"long word", word},
		{"long heading", "# " + word},
		{"long code", "```\n" + word + "\n```"},
		{"long link", "<https://example.org/" + word + ">"},
		{"long word in a table", "|a|b|\n|-|-:|\n|" + word + "|" + word + "|"},
		{"twelve columns", twelve},
		{"sixty columns", sixty},
		{"row over several pages", "|a|b|\n|-|-|\n|x|" + strings.Repeat("word ", 4000) + "|"},
		{"header row over several pages", "|" + strings.Repeat("word ", 4000) + "|b|\n|-|-|\n|x|y|"},
		{"deep quotes", strings.Repeat("> ", 60) + "deep"},
		{"deep lists", strings.Repeat("- ", 60) + "deep"},
		{"table in deep list", strings.Repeat("1. ", 40) + "x\n\n" + strings.Repeat(" ", 120) + "|a|b|\n" + strings.Repeat(" ", 120) + "|-|-|\n"},
		{"big numbers", "999999990. a\n1. b"},
		{"quote over pages", strings.Repeat("> para\n>\n", 200)},
	} {
		t.Run(c.name, func(t *testing.T) {
			if strings.Contains(c.name, "pages") {
				long(t)
			}
			d := Document{Parts: [][]byte{[]byte(c.src)}, HeaderLeft: word, HeaderRight: word, FooterLeft: word}
			l := newLayout(d.Paper)
			for i, page := range laidOut(t, d) {
				for _, it := range page.items {
					if it.y < bodyTop-0.01 || it.y+it.height > l.bodyBottom()+0.01 {
						t.Errorf("page %d: a box from %.1f to %.1f leaves the body", i+1, it.y, it.y+it.height)
					}
				}
			}
			// pdftotext says where each word stands, from the widths in the file.
			for _, w := range words.FindAllStringSubmatch(tool(t, "pdftotext", "-bbox", save(t, write(t, d)), "-"), -1) {
				x0, _ := strconv.ParseFloat(w[1], 64)
				y0, _ := strconv.ParseFloat(w[2], 64)
				x1, _ := strconv.ParseFloat(w[3], 64)
				y1, _ := strconv.ParseFloat(w[4], 64)
				if x0 < margin-0.1 || x1 > l.pageW-margin+0.1 || y0 < margin/2 || y1 > l.pageH-margin/2 {
					t.Errorf("%.40q from %.1f, %.1f to %.1f, %.1f leaves the margins", w[5], x0, y0, x1, y1)
				}
			}
		})
	}
}
