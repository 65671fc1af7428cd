package report

import (
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
)

// TestSpanInHTML: what spans a table on paper spans it in the page too.
func TestSpanInHTML(t *testing.T) {
	p := page{Markdown: goldmark.New(goldmark.WithExtensions(extension.Table))}
	text, err := p.part([]byte("| x | y | z |\n|---|---|---|\n| all | | |\n| a | b | |\n"))
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Join(strings.Fields(string(text)), " ")
	want := `<tr> <td colspan="3">all</td> </tr> <tr> <td data-heading="x">a</td> <td data-heading="y">b</td> <td data-heading="z"></td> </tr>`
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
		if !strings.HasPrefix(strings.TrimSpace(s), "<h2>"+want[i]) || strings.Count(s, "</section>") != 1 {
			t.Errorf("section %d is not that of %s: %.80s", i, want[i], s)
		}
	}
}
