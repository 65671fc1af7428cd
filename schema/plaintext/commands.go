package plaintext

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// Lines writes whole lines to w so that none of them is a command: programs that
// run others on a server read what these print, and take a line that begins with
// "::", or has "##[" or "##word[" anywhere in it, for one (common practice, no
// source). Such a character is written by its code point. What follows the last
// line end is kept until its line ends.
func Lines(w io.Writer) io.Writer { return &lineWriter{w: w} }

type lineWriter struct {
	w    io.Writer
	rest []byte
}

func (l *lineWriter) Write(p []byte) (int, error) {
	l.rest = append(l.rest, p...)
	end := bytes.LastIndexByte(l.rest, '\n') + 1
	if end == 0 {
		return len(p), nil
	}
	var out strings.Builder
	for line := range strings.Lines(string(l.rest[:end])) {
		out.WriteString(noCommand(line))
	}
	l.rest = append(l.rest[:0], l.rest[end:]...)
	if _, err := io.WriteString(l.w, out.String()); err != nil {
		return 0, err
	}
	return len(p), nil
}

func noCommand(line string) string {
	if text := strings.TrimLeft(line, " \t"); strings.HasPrefix(text, "::") {
		line = line[:len(line)-len(text)] + CodePoint(':') + text[1:]
	}
	return Brackets(line, CodePoint('['))
}

// Brackets writes another text for "[" where it stands behind "##" or "##word",
// which [Lines] says the harm of.
func Brackets(s, by string) string {
	var out strings.Builder
	for {
		at := strings.Index(s, "##")
		if at < 0 {
			out.WriteString(s)
			return out.String()
		}
		word := strings.TrimLeft(s[at:], "#")
		rest := strings.TrimLeft(word, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
		out.WriteString(s[:len(s)-len(rest)])
		if strings.HasPrefix(rest, "[") {
			out.WriteString(by)
			rest = rest[1:]
		}
		s = rest
	}
}

// JSON writes characters in JSON that cannot be seen, or that change how others
// are read, by number, as JSON does with control characters itself: the same
// value, and nothing that acts on a terminal or reorders what stands beside it.
// The same goes for what [Lines] keeps from being a command.
func JSON(text []byte) []byte {
	s := string(text)
	var out strings.Builder
	for i, r := range s {
		switch {
		case r == utf8.RuneError || r != 0x7F && r < 0x80 || !Invisible(r):
			_, size := utf8.DecodeRuneInString(s[i:])
			out.WriteString(s[i : i+size])
		case r > 0xFFFF:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&out, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(&out, `\u%04x`, r)
		}
	}
	return []byte(Brackets(out.String(), `\u005b`))
}
