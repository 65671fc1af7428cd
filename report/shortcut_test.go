package report

import (
	"math/rand/v2"
	"testing"

	"github.com/yuin/goldmark/ast"
	"setline.example/report/pdf"
)

// TestNoHTMLUnseen holds the short way of refuseHTML to the parser: where it
// sees no HTML, the parser sees none either.
func TestNoHTMLUnseen(t *testing.T) {
	long(t)
	pieces := []string{"<", ">", `\`, "`", "b", "/", "!--", "-->", " ", "\n", "a", "[", "](", ")", "<b>", "|", "\n\n", "    "}
	rng := rand.New(rand.NewPCG(1, 2))
	skipped, parsed := 0, 0
	for range 20000 {
		var text []byte
		for range 1 + rng.IntN(10) {
			text = append(text, pieces[rng.IntN(len(pieces))]...)
		}
		if mayHoldHTML(text) {
			parsed++
			continue
		}
		skipped++
		_ = ast.Walk(pdf.ParseMarkdown(text), func(n ast.Node, _ bool) (ast.WalkStatus, error) {
			if n.Kind() == ast.KindHTMLBlock || n.Kind() == ast.KindRawHTML {
				t.Errorf("HTML in %q was not seen", text)
				return ast.WalkStop, nil
			}
			return ast.WalkContinue, nil
		})
	}
	if skipped < 1000 || parsed < 1000 {
		t.Errorf("%d texts were taken the short way and %d were not; both must be tried", skipped, parsed)
	}
}
