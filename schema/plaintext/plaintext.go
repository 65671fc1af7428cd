// Package plaintext writes short plain text for people: what somebody typed so
// that all of it can be seen, a long text cut, a count with its noun. It needs
// nothing but the standard library, so that whatever speaks can use it.
package plaintext

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// Visible folds white space into single spaces and replaces characters that
// cannot be seen, or that change how others are read (bidirectional controls,
// zero-width characters), by their code point: ‹U+202E›.
func Visible(s string) string {
	var b strings.Builder
	space := false
	for _, r := range strings.TrimSpace(s) {
		if unicode.IsSpace(r) {
			space = true
			continue
		}
		if space {
			b.WriteByte(' ')
			space = false
		}
		if Invisible(r) {
			b.WriteString(CodePoint(r))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// CodePoint writes a character by its number: ‹U+202E›.
func CodePoint(r rune) string { return fmt.Sprintf("‹U+%04X›", r) }

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

// Whose is the possessive of a name: "Ada's", and "the Installers'".
func Whose(name string) string {
	if strings.HasSuffix(name, "s") || strings.HasSuffix(name, "S") {
		return name + "'"
	}
	return name + "'s"
}

// Cut keeps the first most characters of a text, and says with an ellipsis that
// there is more.
func Cut(s string, most int) string {
	if len(s) <= most {
		return s // no character has less than a byte
	}
	n := 0
	for i := range s {
		if n == most {
			return s[:i] + "…"
		}
		n++
	}
	return s
}

// Fit keeps as many characters of a text as fit with an ellipsis behind them,
// where the whole text does not. It is the ellipsis alone where nothing fits.
func Fit(s string, fits func(string) bool) string {
	if fits(s) {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && !fits(string(r)+"…") {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

// List joins words as a sentence does: a, b and c.
func List(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// Count writes how many there are, with a noun that takes an s: 1 room, 2 rooms.
func Count(n int, one string) string { return Counted(n, one, one+"s") }

// Counted writes n with the words that fit it.
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// longestWord is how many characters of a word are shown.
const longestWord = 200

// ShortWords cuts words that are longer than any message needs, such as a number
// of ten thousand digits.
func ShortWords(s string) string {
	if len(s) <= longestWord {
		return s
	}
	words := strings.Split(s, " ")
	for i, word := range words {
		words[i] = Cut(word, longestWord)
	}
	return strings.Join(words, " ")
}
