package pdf

import (
	"bytes"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/util"
)

// unescape resolves backslash escapes and character references (CommonMark
// 0.31.2, 2.4 and 2.5) in one pass, so that neither can make the other.
func unescape(src []byte) string {
	if bytes.IndexByte(src, '\\') < 0 && bytes.IndexByte(src, '&') < 0 {
		return string(src)
	}
	var b strings.Builder
	for i := 0; i < len(src); {
		switch {
		case src[i] == '\\' && i+1 < len(src) && util.IsPunct(src[i+1]):
			b.WriteByte(src[i+1])
			i += 2
			continue
		case src[i] == '&':
			if s, n := reference(src[i:]); n > 0 {
				b.WriteString(s)
				i += n
				continue
			}
		}
		b.WriteByte(src[i])
		i++
	}
	return b.String()
}

// longest is the length of the longest name of a character reference in HTML
// ("CounterClockwiseContourIntegral").
const longest = 31

// reference returns what the reference at the start of src stands for and its
// length, or 0 when there is none.
func reference(src []byte) (string, int) {
	end := bytes.IndexByte(src[:min(len(src), longest+3)], ';')
	if end < 2 {
		return "", 0
	}
	name := string(src[1:end])
	num, ok := strings.CutPrefix(name, "#")
	if !ok {
		if e, ok := util.LookUpHTML5EntityByName(name); ok {
			return string(e.Characters), end + 1
		}
		return "", 0
	}
	base, digits := 10, 7
	if hex := strings.TrimLeft(num, "xX"); len(hex) == len(num)-1 {
		num, base, digits = hex, 16, 6
	}
	if len(num) > digits || strings.HasPrefix(num, "+") || strings.HasPrefix(num, "_") {
		return "", 0
	}
	v, err := strconv.ParseUint(num, base, 32)
	if err != nil {
		return "", 0
	}
	// A newline from a reference is white space, not a line break.
	if v == '\n' || v == '\r' {
		return " ", end + 1
	}
	if v == 0 || v > 0x10FFFF || v >= 0xD800 && v <= 0xDFFF {
		v = 0xFFFD
	}
	return string(rune(v)), end + 1
}
