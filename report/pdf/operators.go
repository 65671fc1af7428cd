package pdf

import (
	"math"
	"strconv"
	"unicode/utf8"

	"github.com/go-pdf/fpdf"
)

// The operators of a page that occur most are written here rather than by
// fpdf, which takes several times as long for each (ISO 32000-1, 8.5 and 9.4).
// They change nothing that fpdf keeps track of; what does, colours and fonts,
// goes through it.

// pdf is fpdf, to which all is given first that was drawn before.
func (p *painter) pdf() *fpdf.Fpdf {
	p.flush()
	return p.file
}

// flush gives the lines in buf to fpdf, which ends the last one itself.
func (p *painter) flush() {
	if n := len(p.buf); n > 0 {
		p.file.RawWriteStr(string(p.buf[:n-1]))
		p.buf = p.buf[:0]
	}
}

func (p *painter) number(v float64) { p.buf = appendHundredths(p.buf, v) }

// appendHundredths writes a number with two decimals, as [strconv.AppendFloat]
// does and in a quarter of its time: only where a product could lie on another
// side of a half than the number itself is strconv asked.
func appendHundredths(b []byte, v float64) []byte {
	const large, near = 1e7, 1e-6
	scaled := math.Abs(float64(v * 100))
	whole := math.Floor(scaled)
	part := scaled - whole
	if !(scaled < large) || math.Abs(part-0.5) < near || scaled < 1 {
		return strconv.AppendFloat(b, v, 'f', 2, 64)
	}
	n := uint64(whole)
	if part > 0.5 {
		n++
	}
	if v < 0 {
		b = append(b, '-')
	}
	b = strconv.AppendUint(b, n/100, 10)
	return append(b, '.', byte('0'+n/10%10), byte('0'+n%10))
}

// point adds a point of the page and what follows it.
func (p *painter) point(x, y float64, op string) {
	p.number(x)
	p.buf = append(p.buf, ' ')
	p.number(p.height - y)
	p.buf = append(p.buf, op...)
}

// box adds a rectangle and what follows it.
func (p *painter) box(x, y, w, h float64, op string) {
	p.point(x, y, " ")
	p.number(w)
	p.buf = append(p.buf, ' ')
	p.number(-h)
	p.buf = append(p.buf, op...)
}

// show writes glyphs of one face, which is set, on one baseline.
func (p *painter) show(x, base float64, g []glyph, t tone) {
	face := g[0].face
	if p.known[face] == nil {
		p.known[face] = make([]bool, commonRunes)
	}
	for _, c := range g {
		if c.r >= commonRunes || !p.known[face][c.r] {
			p.showNew(x, base, g, t)
			return
		}
	}
	other := t != p.filled // text is filled too
	if other {
		p.buf = append(p.buf, "q "...)
		p.colour(t)
		p.buf = append(p.buf, ' ')
	}
	p.buf = append(p.buf, "BT "...)
	p.point(x, base, " Td (")
	for _, c := range g {
		p.byte(byte(c.r >> 8))
		p.byte(byte(c.r))
	}
	p.buf = append(p.buf, ") Tj ET"...)
	if other {
		p.buf = append(p.buf, " Q"...)
	}
	p.buf = append(p.buf, '\n')
}

// showNew has fpdf write the glyphs, which learns from it what of the font to
// put into the file.
func (p *painter) showNew(x, base float64, g []glyph, t tone) {
	var s []byte
	for _, c := range g {
		s = utf8.AppendRune(s, c.r)
		if c.r < commonRunes {
			p.known[c.face][c.r] = true
		}
	}
	p.pdf().SetTextColor(t.r, t.g, t.b)
	p.pdf().Text(x, base, string(s))
}

// byte adds a byte of a string (7.3.4.2).
func (p *painter) byte(b byte) {
	switch b {
	case '(', ')', '\\':
		p.buf = append(p.buf, '\\')
	case '\r':
		p.buf = append(p.buf, '\\')
		b = 'r'
	}
	p.buf = append(p.buf, b)
}

// colour adds the operator that fills with t.
func (p *painter) colour(t tone) {
	part := func(v int) { p.buf = strconv.AppendFloat(p.buf, float64(v)/255, 'f', 3, 64) }
	part(t.r)
	if t.r == t.g && t.g == t.b {
		p.buf = append(p.buf, " g"...)
		return
	}
	p.buf = append(p.buf, ' ')
	part(t.g)
	p.buf = append(p.buf, ' ')
	part(t.b)
	p.buf = append(p.buf, " rg"...)
}
