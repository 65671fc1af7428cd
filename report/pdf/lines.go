package pdf

import "unicode"

// line is a stretch of glyphs that stands on one line, without the blanks at its end.
type line struct {
	glyphs []glyph
	width  int  // thousandths of the font size
	blank  bool // there were blanks, or the line was ended
}

// breakLines sets g into lines no wider than max (thousandths of the font
// size). It prefers to break after blanks and hyphens, and breaks a word only
// when the word alone is too wide. Every line takes at least one glyph.
func breakLines(g []glyph, max int) []line {
	var lines []line
	start, width := 0, 0 // the open line
	last := -1           // where the open line can end: index of the first glyph of the next
	flush := func(end int) {
		lines = append(lines, newLine(g[start:end]))
	}
	for i := 0; i < len(g); i++ {
		if g[i].r == newline {
			flush(i)
			lines[len(lines)-1].blank = true
			start, width, last = i+1, 0, -1
			continue
		}
		if i > start && breakBefore(g, i) {
			last = i
		}
		w := int(g[i].width)
		// Blanks may hang over the end.
		if width+w > max && g[i].r != ' ' && i > start {
			if last <= start {
				last = i
			}
			flush(last)
			start, last, width = last, -1, 0
			for start < len(g) && g[start].r == ' ' {
				start++
			}
			// Read the tail again: it may still be too wide.
			i = start - 1
			continue
		}
		width += w
	}
	if start < len(g) {
		flush(len(g))
	}
	return lines
}

func newLine(g []glyph) line {
	all := len(g)
	for len(g) > 0 && g[len(g)-1].r == ' ' {
		g = g[:len(g)-1]
	}
	w := 0
	for _, x := range g {
		w += int(x.width)
	}
	return line{g, w, len(g) < all}
}

// breakBefore reports whether a line may end before g[i], i > 0.
func breakBefore(g []glyph, i int) bool {
	r := g[i].r
	if r == ' ' {
		return false
	}
	switch p := g[i-1].r; p {
	case ' ':
		return !bindsNumber(g, i) && !bindsSign(g, i)
	case '-', '/', '_', '.', ',', ';':
		// Inside a word (a path, a slug), not in a number or a fraction.
		return i > 1 && unicode.IsLetter(g[i-2].r) && unicode.IsLetter(r)
	case '–', '—', '‐':
		return i > 1 && g[i-2].r != ' ' && !unicode.IsPunct(r)
	case '›':
		return r == '‹'
	}
	return false
}

// bindsSign reports whether the sign before the blank before g[i] belongs to
// it: "± 0.4", "≈ 1/64", "> 99.9".
func bindsSign(g []glyph, i int) bool {
	if i < 2 || !unicode.IsDigit(g[i].r) {
		return false
	}
	switch g[i-2].r {
	case '±', '≈', '<', '>', '≤', '≥':
		return true
	}
	return false
}

// bindsNumber reports whether the word at g[i] belongs to the number before it:
// the unit of "1/8 in", "30 mm" and "99.9 %", the fraction of "34 1/2".
func bindsNumber(g []glyph, i int) bool {
	if i < 2 || !unicode.IsDigit(g[i-2].r) {
		return false
	}
	if g[i].r == '%' {
		return true
	}
	end := i
	for end < len(g) && end-i < 3 && unicode.IsDigit(g[end].r) {
		end++
	}
	if end > i {
		return end < len(g) && g[end].r == '/'
	}
	for end < len(g) && end-i < 3 && unicode.IsLetter(g[end].r) {
		end++
	}
	switch end - i {
	case 1:
		return g[i].r == 'm' || g[i].r == 's'
	case 2:
		switch string([]rune{g[i].r, g[i+1].r}) {
		case "in", "mm", "cm", "ft", "ga":
			return true
		}
	}
	return false
}

// wordWidth returns the width of the widest stretch of g that a line cannot
// break, and the width of g's widest line when nothing has to break.
func wordWidth(g []glyph) (word, whole int) {
	w, trailing, l := 0, 0, 0
	for i, x := range g {
		if x.r == newline {
			word, whole = max(word, w), max(whole, l-trailing)
			w, l, trailing = 0, 0, 0
			continue
		}
		if i > 0 && breakBefore(g, i) {
			word, w = max(word, w-trailing), 0
		}
		w += int(x.width)
		l += int(x.width)
		if x.r == ' ' {
			trailing += int(x.width)
		} else {
			trailing = 0
		}
	}
	return max(word, w-trailing), max(whole, l-trailing)
}
