package report

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
	"setline.example/report/pdf"
)

// Text is plain text that may hold what a person typed. Written into a
// Markdown template it escapes itself, so that it shows as it was typed and
// can never become a heading, a table, a link or a verdict.
type Text string

// String returns the text with everything escaped that Markdown could act
// on, white space folded, and invisible characters shown by their code point.
func (t Text) String() string {
	if plainWords(string(t)) {
		return string(t)
	}
	return t.escaped()
}

func (t Text) escaped() string {
	s := Visible(norm.NFC.String(string(t)))
	var b strings.Builder
	b.Grow(len(s) + len(s)/8)
	for i, r := range s {
		if needsEscape(s, i, r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// plainWords reports whether s is made of letters, digits and a few harmless
// signs of ASCII, between which single spaces stand: text that is written as
// it is, which most is.
func plainWords(s string) bool {
	for i := range len(s) {
		switch c := s[i]; {
		case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z', c == ',', c == '/', '0' <= c && c <= '9':
		case c == '-':
			if i == 0 {
				return false
			}
		case c == ' ':
			if i == 0 || i == len(s)-1 || s[i-1] == ' ' {
				return false
			}
		default:
			return false
		}
	}
	return true
}

// needsEscape reports whether the character r at offset i could begin markup.
func needsEscape(s string, i int, r rune) bool {
	switch r {
	case '\\', '`', '*', '_', '[', ']', '<', '>', '|', '~', '&', '!', '$', '{', '}', '@':
		return true
	case '#', '+', '-', '=':
		return i == 0 // only at the start of a line
	case ':':
		return strings.HasPrefix(s[i:], "://") // some readers make links of bare addresses
	case '.', ')':
		// "1. " and "1) " at the start of a line begin a list, "www." a link in some readers.
		begins := i > 0 && strings.Trim(s[:i], "0123456789") == "" && (i+1 == len(s) || s[i+1] == ' ')
		return begins || i >= 3 && strings.EqualFold(s[i-3:i], "www")
	}
	return false
}

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
		if pdf.Invisible(r) {
			fmt.Fprintf(&b, "‹U+%04X›", r)
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}
