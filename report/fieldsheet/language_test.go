package fieldsheet_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"setline.example/checks/say/foreign"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
)

// TestNothingIsLeftInEnglish: in another language all of a sheet is in it, on
// paper and in its form as in Markdown; and though words are longer by a third,
// hardly any is cut, and no limit.
func TestNothingIsLeftInEnglish(t *testing.T) {
	fieldsheet.Long(t)
	for _, example := range []string{"annex", "metric"} {
		for name, edit := range map[string]func(*schema.Record){"unseen": fieldsheet.Unseen, "as it is": nil} {
			s := fieldsheet.SheetOf(t, example, fieldsheet.Options{All: true, Language: foreign.Language}, edit)
			known := foreign.Typed(s.Record())
			for _, word := range []string{"Setline", "FL", "FR", "BL", "BR", "x", "wall", "exposed", "drawer", "door", "test"} {
				known[word] = true
			}
			look := func(where, text string) {
				t.Helper()
				for _, line := range strings.Split(text, "\n") {
					if left := foreign.Left(line, known); left != nil {
						t.Errorf("%s, %s, %s has %q in English: %.200s", example, name, where, left, line)
					}
				}
			}
			var text bytes.Buffer
			if err := s.Markdown(&text); err != nil {
				t.Fatal(err)
			}
			whole := text.String()
			look("Markdown", whole[:strings.Index(whole, fieldsheet.LineMark)])
			pdf := written(t, s)
			boxes, _, _ := widgetsOf(t, pdf)
			for _, w := range boxes {
				look("a tooltip", w.tooltip)
			}
			path := filepath.Join(t.TempDir(), "sheet.pdf")
			if err := os.WriteFile(path, pdf, 0o600); err != nil {
				t.Fatal(err)
			}
			paper := tool(t, "pdftotext", "-raw", path, "-")
			look("the PDF", paper)
			// What may be cut are three labels whose place says the same: that of a
			// label's boxes, of drawers, and of screws at the upper rear.
			if cut := strings.Count(paper, "…"); cut > len(boxes)/25 {
				t.Errorf("%s, %s: %d texts beside %d boxes are cut", example, name, cut, len(boxes))
			}
		}
	}
}
