package filledpdf

import (
	"bytes"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// decodeText reads the bytes of a text string: UTF-16 or UTF-8 where they begin
// with a byte order mark, else PDFDocEncoding (ISO 32000-1, 7.9.2.2 and annex
// D; ISO 32000-2 adds UTF-8). What is no character becomes U+FFFD.
func decodeText(raw []byte) string {
	switch {
	case bytes.HasPrefix(raw, []byte{0xFE, 0xFF}):
		return fromUTF16(raw[2:], func(a, b byte) uint16 { return uint16(a)<<8 | uint16(b) })
	case bytes.HasPrefix(raw, []byte{0xFF, 0xFE}):
		return fromUTF16(raw[2:], func(a, b byte) uint16 { return uint16(b)<<8 | uint16(a) })
	case bytes.HasPrefix(raw, []byte{0xEF, 0xBB, 0xBF}):
		return strings.ToValidUTF8(string(raw[3:]), string(utf8.RuneError))
	}
	var b strings.Builder
	for _, c := range raw {
		b.WriteRune(docEncoding(c))
	}
	return b.String()
}

func fromUTF16(raw []byte, unit func(a, b byte) uint16) string {
	units := make([]uint16, len(raw)/2)
	for i := range units {
		units[i] = unit(raw[2*i], raw[2*i+1])
	}
	text := string(utf16.Decode(units))
	// A language may be marked with escape characters before the text (7.9.2.2).
	for strings.HasPrefix(text, "\x1b") {
		_, rest, ok := strings.Cut(text[1:], "\x1b")
		if !ok {
			break
		}
		text = rest
	}
	return text
}

// docEncoding is the character of a byte in PDFDocEncoding (ISO 32000-1, D.2;
// from memory, and compared with what other programs write by a test): Latin 1
// but for these.
func docEncoding(c byte) rune {
	const (
		accents = "˘ˇˆ˙˝˛˚˜"
		rest    = "•†‡…—–ƒ⁄‹›−‰„“”‘’‚™ﬁﬂŁŒŠŸŽıłœšž\uFFFD€"
	)
	switch {
	case c >= 0x18 && c <= 0x1F:
		return []rune(accents)[c-0x18]
	case c >= 0x80 && c <= 0xA0:
		return []rune(rest)[c-0x80]
	}
	return rune(c)
}
