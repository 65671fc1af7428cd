package pdf

import (
	"strings"

	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
	"setline.example/schema/plaintext"
)

// glyph is one character, ready to be placed. A document has millions, so that
// it is small and holds no pointer for the collector to follow.
type glyph struct {
	r     rune
	link  linkID
	width int32 // thousandths of the font size
	face  face
}

const newline = '\n' // the one glyph that is not drawn: a forced line break

// glyphs appends text in style st. A newline in it forces a line break.
func (s *fontSet) glyphs(dst []glyph, text string, st style) []glyph {
	for _, r := range norm.NFC.String(strings.ToValidUTF8(text, "\uFFFD")) {
		if r == newline {
			dst = append(dst, glyph{r: newline})
			continue
		}
		if !plaintext.Invisible(r) && !rightToLeft(r) {
			if f, w, ok := s.find(st, r); ok {
				dst = append(dst, glyph{r, st.link, w, f})
				continue
			}
		}
		for _, r := range plaintext.CodePoint(r) {
			f, w, _ := s.find(st, r) // every face has these; see TestEveryFaceSpellsCodePoints
			dst = append(dst, glyph{r, st.link, w, f})
		}
	}
	return dst
}

// rightToLeft reports whether r is of a script written from right to left.
func rightToLeft(r rune) bool {
	if r < 0x0590 {
		return false
	}
	p, _ := bidi.LookupRune(r)
	switch p.Class() {
	case bidi.R, bidi.AL, bidi.AN:
		return true
	}
	return false
}

// plain returns s as the outline and the list of attachments can hold it:
// normal form C, white space folded, no invisible characters, none above U+FFFF.
func plain(s string) string {
	if isPlain(s) {
		return s
	}
	var b strings.Builder
	for _, r := range onOneLine(norm.NFC.String(strings.ToValidUTF8(s, "\uFFFD"))) {
		if plaintext.Invisible(r) || r > 0xFFFF {
			b.WriteString(plaintext.CodePoint(r))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// onOneLine folds white space.
func onOneLine(s string) string {
	if isPlain(s) {
		return s
	}
	return strings.Join(strings.Fields(s), " ")
}

// isPlain reports whether s is of visible ASCII with single blanks between, as
// nearly every text is: there is nothing to fold, to compose or to spell out.
func isPlain(s string) bool {
	blank := true // nothing stands before the first
	for i := range len(s) {
		c := s[i]
		if c < ' ' || c > '~' || c == ' ' && blank {
			return false
		}
		blank = c == ' '
	}
	return s == "" || !blank
}
