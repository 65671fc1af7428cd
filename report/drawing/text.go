package drawing

import (
	"strings"
	"unicode"

	"setline.example/schema/plaintext"
)

// advances are the widths of the characters from space to tilde in thousandths
// of an em: those of Helvetica, as in Adobe's font metrics, which Liberation
// Sans shares (from memory; a test compares them with the font that is embedded).
var advances = [...]int{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
}

// beyond are the widths of characters beyond ASCII that the drawings
// themselves write, at least those of Liberation Sans.
var beyond = map[rune]int{'…': 1000, '≈': 600, '±': 600, '‹': 400, '›': 400}

// fontWidth is the width of a text in points; ok is false where a character is
// not among those whose width is known. Bold letters are up to 0.06 em wider.
func fontWidth(s string, size float64, bold bool) (w float64, ok bool) {
	sum := 0
	ok = true
	for _, r := range s {
		switch w, known := beyond[r]; {
		case r >= ' ' && r <= '~':
			sum += advances[r-' ']
		case known:
			sum += w
		default:
			sum += 1020
			ok = false
		}
		if bold {
			sum += 60
		}
	}
	return float64(sum) * size / 1000, ok
}

// textWidth is the width that a text is given, in points, with some room to
// spare. A character whose width is not known gets that of the widest letters;
// [Drawing.Paint] sets smaller what is wider still, such as the code point of
// a character that no font shows.
func textWidth(s string, size float64, bold bool) float64 {
	w, _ := fontWidth(s, size, bold)
	return float64(1.04 * w)
}

// clean brings typed text onto one line and shows what cannot be seen, what
// would change how the rest is read, and what XML cannot hold, by its code point.
func clean(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	var b strings.Builder
	for _, r := range s {
		if plaintext.Invisible(r) || unicode.IsControl(r) || r == 0xFFFE || r == 0xFFFF {
			b.WriteString(plaintext.CodePoint(r))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// longest is what is worth measuring of a typed text: no drawing is that wide.
const longest = 4000

// fit cleans a text and cuts it, with an ellipsis, to a width in points. It
// returns "" where not even the ellipsis has room.
func fit(s string, size float64, bold bool, width float64) string {
	fits := func(s string) bool { return textWidth(s, size, bold) <= width }
	s = plaintext.Cut(clean(s), longest)
	switch cut := plaintext.Fit(s, fits); {
	case !fits(cut):
		return ""
	case cut == s:
		return s
	default:
		return strings.TrimRight(strings.TrimSuffix(cut, "…"), " ") + "…"
	}
}

// wrap breaks a text at spaces into lines of at most width points, and never a length
// from its unit. A word that is wider than a line is cut.
func wrap(s string, size float64, bold bool, width float64) []string {
	var lines []string
	for _, w := range unbroken(strings.Fields(clean(s))) {
		if n := len(lines); n > 0 && textWidth(lines[n-1]+" "+w, size, bold) <= width {
			lines[n-1] += " " + w
			continue
		}
		if w = fit(w, size, bold, width); w != "" {
			lines = append(lines, w)
		}
	}
	return lines
}

// unbroken joins the words of one length: "± 0.46 mm", "34 59/64 in".
func unbroken(words []string) []string {
	var all []string
	for i, w := range words {
		if i > 0 && ofOneLength(words[i-1], w) {
			all[len(all)-1] += " " + w
		} else {
			all = append(all, w)
		}
	}
	return all
}

func ofOneLength(a, b string) bool {
	digit := func(c byte) bool { return '0' <= c && c <= '9' }
	switch after := digit(b[0]); {
	case a == "±" || a == "≈":
		return after
	case !digit(a[len(a)-1]):
		return false
	case after:
		return strings.Contains(b, "/") && !strings.ContainsAny(a, "/.")
	}
	unit := strings.TrimRight(b, ".,;:)")
	return unit == "in" || unit == "mm"
}
