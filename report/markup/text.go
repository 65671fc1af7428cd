package markup

import (
	"strings"

	"golang.org/x/text/unicode/norm"
	"setline.example/schema/plaintext"
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

// Whose is the possessive of a name.
func (t Text) Whose() Text { return Text(plaintext.Whose(string(t))) }

func (t Text) escaped() string {
	s := plaintext.Visible(norm.NFC.String(string(t)))
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
