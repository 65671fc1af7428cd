package object

import (
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// literal reads a string in parentheses (ISO 32000-1, 7.3.4.2).
func (s *scanner) literal() (string, error) {
	start := s.pos
	s.pos++
	var b strings.Builder
	for depth := 1; s.pos < s.limit; s.pos++ {
		c := s.data[s.pos]
		switch c {
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				s.pos++
				return b.String(), nil
			}
		case '\\':
			s.pos++
			s.escape(&b)
			continue
		case '\r': // an end of line is read as a line feed
			if s.pos+1 < s.limit && s.data[s.pos+1] == '\n' {
				s.pos++
			}
			c = '\n'
		}
		b.WriteByte(c)
	}
	s.pos = start
	return "", s.errorf("a string has no end")
}

// escape reads what follows a backslash, and stays on its last character.
func (s *scanner) escape(b *strings.Builder) {
	if s.pos >= s.limit {
		return
	}
	c := s.data[s.pos]
	if i := strings.IndexByte("nrtbf", c); i >= 0 {
		b.WriteByte("\n\r\t\b\f"[i])
		return
	}
	switch {
	case c == '\r' && s.pos+1 < s.limit && s.data[s.pos+1] == '\n':
		s.pos++
	case c == '\r', c == '\n':
	case c >= '0' && c <= '7':
		n := int(c - '0')
		for range 2 {
			if s.pos+1 >= s.limit || s.data[s.pos+1] < '0' || s.data[s.pos+1] > '7' {
				break
			}
			s.pos++
			n = n*8 + int(s.data[s.pos]-'0')
		}
		b.WriteByte(byte(n))
	default:
		b.WriteByte(c)
	}
}

// TextString writes a text string, see [Text].
func TextString(s string) string { return Text(s).Source() }

// printable reports whether s is ASCII that can be seen.
func printable(s string) bool {
	for _, c := range []byte(s) {
		if c < ' ' || c > '~' {
			return false
		}
	}
	return true
}

// DecodeText reads a text string as [Text] writes it.
func DecodeText(s string) string {
	rest, ok := strings.CutPrefix(s, "\xFE\xFF")
	if !ok {
		return strings.ToValidUTF8(s, string(utf8.RuneError))
	}
	var u []uint16
	for i := 0; i+1 < len(rest); i += 2 {
		u = append(u, uint16(rest[i])<<8|uint16(rest[i+1]))
	}
	return string(utf16.Decode(u))
}
