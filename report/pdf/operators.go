package pdf

import (
	"math"
	"strconv"
)

// The operators of a page (ISO 32000-1, 8.5 and 9.4).

// number adds a number without zeros at its end.
func (p *painter) number(v float64) {
	p.buf = appendHundredths(p.buf, v)
	end := len(p.buf)
	if p.buf[end-1] != '0' {
		return
	}
	end--
	if p.buf[end-1] == '0' {
		end -= 2 // and the point
	}
	p.buf = p.buf[:end]
}

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
	p.number(p.pageH - y)
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

// show writes glyphs of one face on one baseline, in the colour for areas. Every
// text names its font, so that who reads one need not know what came before.
// A blank behind them is seen by nobody, and read.
func (p *painter) show(x, base float64, g []glyph, size float64, blank bool) {
	f := g[0].face
	used := p.used[f]
	if used == nil {
		used = new(runes)
		p.used[f] = used
	}
	p.buf = append(p.buf, "BT /F"...)
	p.buf = append(p.buf, '1'+byte(f), ' ')
	p.number(size)
	p.buf = append(p.buf, " Tf "...)
	p.point(x, base, " Td (")
	for _, c := range g {
		used.add(c.r)
		p.byte(byte(c.r >> 8))
		p.byte(byte(c.r))
	}
	if blank {
		used.add(' ')
		p.buf = append(p.buf, 0, ' ')
	}
	p.buf = append(p.buf, ") Tj ET\n"...)
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

// colour adds a colour and the operator that sets it, if it is grey or not.
func (p *painter) colour(t tone, grey, other string) {
	part := func(v int) { p.buf = strconv.AppendFloat(p.buf, float64(v)/255, 'f', 3, 64) }
	part(t.r)
	if t.r == t.g && t.g == t.b {
		p.buf = append(p.buf, grey...)
		return
	}
	p.buf = append(p.buf, ' ')
	part(t.g)
	p.buf = append(p.buf, ' ')
	part(t.b)
	p.buf = append(p.buf, other...)
}
