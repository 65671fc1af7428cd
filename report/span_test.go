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
