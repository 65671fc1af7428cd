package report

import (
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
)

// TestSpanInHTML: what spans a table on paper spans it in the page too.
func TestSpanInHTML(t *testing.T) {
	p := page{Markdown: goldmark.New(goldmark.WithExtensions(extension.Table)), named: map[string]int{}}
	text, err := p.part([]byte("| x | y | z |\n|---|---|---|\n| all | | |\n| a | b | |\n"))
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Join(strings.Fields(string(text)), " ")
	want := `<tr class="spans"> <td colspan="3">all</td> </tr> <tr> <td data-heading="x">a</td> <td data-heading="y">b</td> <td data-heading="z" class="none"></td> </tr>`
	if !strings.Contains(got, want) {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// TestPagesInHTML: what begins a page on paper begins one where the page of HTML
// is printed.
func TestPagesInHTML(t *testing.T) {
	r, _ := annexReport(t)
	var out strings.Builder
	if err := r.HTML(&out); err != nil {
		t.Fatal(err)
	}
	sections := strings.Split(out.String(), `<section class="page">`)[1:]
	want := []string{"S-104", "S-106", "Annex"}
	if len(sections) != len(want) || len(r.newPages) != len(want) || !strings.Contains(out.String(), ".page { break-before: page; }") {
		t.Fatalf("%d sections, want %d", len(sections), len(want))
	}
	for i, s := range sections {
		if !strings.HasPrefix(strings.TrimSpace(s), "<h2>"+want[i]) || strings.Count(s, "</section>") != 1+strings.Count(s, "<section") {
			t.Errorf("section %d is not that of %s: %.80s", i, want[i], s)
		}
	}
}

// TestWordsOfAPage: dates and names of places are not broken at their hyphens,
// cells that say nothing are known, and no two regions have one name.
func TestWordsOfAPage(t *testing.T) {
	p := page{Markdown: goldmark.New(goldmark.WithExtensions(extension.Table)), named: map[string]int{}}
	text, err := p.part([]byte("## Seen 2026-09-14\n\n| Where | On | By |\n|---|---|---|\n| S-104/A2+A3 | 2026-09-14 | |\n\n| Where | |\n|---|---|\n| a | b |\n"))
	if err != nil {
		t.Fatal(err)
	}
	for words, n := range map[string]int{
		` class="short">2026-09-14</td>`: 1, ` class="short">S-104/A2+A3</td>`: 1, ` class="none"></td>`: 1,
		`aria-label="Table: Seen 2026-09-14"`: 1, `aria-label="Table: Seen 2026-09-14, Where"`: 1, "<td></td>": 1,
	} {
		if got := strings.Count(string(text), words); got != n {
			t.Errorf("%q stands %d times, want %d, in\n%s", words, got, n, text)
		}
	}
}
