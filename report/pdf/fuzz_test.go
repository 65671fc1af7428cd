package pdf

import (
	"bytes"
	"html"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"golang.org/x/text/unicode/norm"
	"setline.example/schema/plaintext"
)

var htmlTag = regexp.MustCompile(`<[^>]*>`)

// FuzzWrite holds that any Markdown becomes a PDF that shows at least the
// letters that goldmark's own HTML shows, and that the next part is intact.
func FuzzWrite(f *testing.F) {
	long(f)
	for _, p := range sample().Parts {
		f.Add(p)
	}
	f.Add([]byte("> - 1. |a|b|\n"))
	reference := goldmark.New(goldmark.WithExtensions(extension.Table))
	f.Fuzz(func(t *testing.T, src []byte) {
		if len(src) > 4096 {
			t.Skip("long inputs only cost time")
		}
		var h bytes.Buffer
		if err := reference.Convert(src, &h); err != nil {
			t.Skip("goldmark has no HTML to compare with")
		}
		b := write(t, Document{Parts: [][]byte{src, []byte("# Ωtail")}})
		got := drawnText(t, b)
		if !strings.Contains(got, "Ωtail") {
			t.Error("the second part is swallowed")
		}
		want := norm.NFC.String(strings.ToValidUTF8(html.UnescapeString(htmlTag.ReplaceAllString(h.String(), "")), "\uFFFD"))
		counts := make(map[rune]int)
		for _, r := range got {
			counts[r]++
		}
		for _, r := range want {
			if r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r)) {
				if counts[r]--; counts[r] < 0 {
					t.Errorf("a %q of the HTML is not in the PDF\nHTML: %s\nPDF: %s", r, want, got)
					break
				}
			}
		}
	})
}

// FuzzText holds that text without markup comes out character for character.
func FuzzText(f *testing.F) {
	long(f)
	for _, s := range []string{"José", "中🙂", "a\u202Eb", "e\u0301\u0327", "1.", "\u1FEF", "\x00", "<!--", "\uFFFF"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		s = strings.Join(strings.Fields(strings.ToValidUTF8(s, "?")), " ")
		var src, want strings.Builder
		for _, r := range s {
			if r < unicode.MaxASCII && unicode.In(r, unicode.P, unicode.S) {
				src.WriteByte('\\')
			}
			if r == 0 { // CommonMark replaces it
				r = '\uFFFD'
			}
			src.WriteRune(r)
		}
		var fonts fontSet
		for _, r := range norm.NFC.String(strings.ReplaceAll(s, "\x00", "\uFFFD")) {
			_, _, ok := fonts.find(style{}, r)
			if unicode.IsSpace(r) && !unicode.IsControl(r) {
				continue
			}
			if !ok || plaintext.Invisible(r) || rightToLeft(r) {
				want.WriteString(plaintext.CodePoint(r))
			} else {
				want.WriteRune(r)
			}
		}
		// The letter keeps the text from being a list, a heading or white space.
		b := write(t, Document{Parts: [][]byte{[]byte("x " + src.String())}})
		got := regexp.MustCompile(`page\d+of\d+`).ReplaceAllString(drawnText(t, b), "")
		if got != squeeze("x"+want.String()) {
			t.Errorf("drawn %q; want %q", got, "x"+want.String())
		}
	})
}
