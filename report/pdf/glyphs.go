package pdf

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"

	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
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
		if !Invisible(r) && !rightToLeft(r) {
			if f, w, ok := s.find(st, r); ok {
				dst = append(dst, glyph{r, st.link, w, f})
				continue
			}
		}
		for _, r := range codePoint(r) {
			f, w, _ := s.find(st, r) // every face has these; see TestEveryFaceSpellsCodePoints
			dst = append(dst, glyph{r, st.link, w, f})
		}
	}
	return dst
}

func codePoint(r rune) string { return fmt.Sprintf("‹U+%04X›", r) }

// blanks are characters that fonts draw as nothing though Unicode classes them
// as letters, marks or symbols.
var blanks = &unicode.RangeTable{
	R16: []unicode.Range16{
		{Lo: 0x034F, Hi: 0x034F, Stride: 1}, // combining grapheme joiner
		{Lo: 0x115F, Hi: 0x1160, Stride: 1}, // hangul fillers
		{Lo: 0x17B4, Hi: 0x17B5, Stride: 1}, // khmer inherent vowels
		{Lo: 0x180B, Hi: 0x180F, Stride: 1}, // mongolian variation selectors
		{Lo: 0x2065, Hi: 0x2065, Stride: 1}, // unassigned, default ignorable
		{Lo: 0x2800, Hi: 0x2800, Stride: 1}, // braille blank
		{Lo: 0x3164, Hi: 0x3164, Stride: 1}, // hangul filler
		{Lo: 0xFE00, Hi: 0xFE0F, Stride: 1}, // variation selectors
		{Lo: 0xFFA0, Hi: 0xFFA0, Stride: 1}, // halfwidth hangul filler
	},
	R32: []unicode.Range32{
		{Lo: 0xE0000, Hi: 0xE0FFF, Stride: 1}, // tags, variation selectors supplement
	},
}

// Invisible reports whether r shows nothing or changes how others are shown:
// controls, bidirectional and zero-width characters, blanks of a script.
func Invisible(r rune) bool {
	if ' ' <= r && r <= '~' {
		return false // as nearly all text
	}
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Cs, unicode.Zl, unicode.Zp, blanks)
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
	var b strings.Builder
	for _, r := range strings.Join(strings.Fields(norm.NFC.String(strings.ToValidUTF8(s, "\uFFFD"))), " ") {
		if Invisible(r) || r > 0xFFFF {
			b.WriteString(codePoint(r))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// textString writes s as a text string of PDF (7.9.2.2): what is ASCII as it is,
// which is half as long, and all else in UTF-16.
func textString(s string) string {
	for _, c := range []byte(s) {
		if c < ' ' || c > '~' {
			return fmt.Sprintf("<%x>", utf16Text(s))
		}
	}
	return "(" + literal(s) + ")"
}

// utf16Text returns s as a text string of PDF: UTF-16BE with a byte order mark.
func utf16Text(s string) string {
	b := []byte{0xFE, 0xFF}
	for _, u := range utf16.Encode([]rune(strings.ToValidUTF8(s, "\uFFFD"))) {
		b = append(b, byte(u>>8), byte(u))
	}
	return string(b)
}
