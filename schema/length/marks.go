package length

import "strings"

// The signs that people, keyboards and word processors put beside numbers.

// spaces skips blanks, no-break ones too.
func (p *parser) spaces() {
	for p.rest != "" {
		switch c := p.rest[0]; {
		case c == ' ', c == '\t', c == '\r', c == '\n', c == '\f':
			p.rest = p.rest[1:]
		case c < 0x80 || !p.skip("\u00a0"):
			return
		}
	}
}

// sign skips a sign and reports whether it was minus.
func (p *parser) sign() (negative bool) {
	if p.skip("-") || p.skip("\u2212") {
		return true
	}
	p.skip("+")
	return false
}

// skip skips mark if it stands next.
func (p *parser) skip(mark string) bool {
	rest, ok := strings.CutPrefix(p.rest, mark)
	p.rest = rest
	return ok
}

// slash skips a fraction bar.
func (p *parser) slash() bool { return p.skip("/") || p.skip("\u2044") }

// vulgar reads a fraction that is one character.
func (p *parser) vulgar() (ratio, bool) {
	if p.rest == "" || p.rest[0] < 0x80 {
		return ratio{}, false
	}
	part := func(value, scale uint64) (ratio, bool) {
		return ratio{value: value, scale: scale, fraction: true}, true
	}
	switch {
	case p.skip("½"):
		return part(1, 2)
	case p.skip("¼"):
		return part(1, 4)
	case p.skip("¾"):
		return part(3, 4)
	case p.skip("⅛"):
		return part(1, 8)
	case p.skip("⅜"):
		return part(3, 8)
	case p.skip("⅝"):
		return part(5, 8)
	case p.skip("⅞"):
		return part(7, 8)
	}
	return ratio{}, false
}

// unit reads a unit. Letters that go on behind one make another word of it,
// such as inches, which is not read.
func (p *parser) unit() (Length, bool) {
	switch {
	case p.skip(`"`), p.skip("\u2033"), p.skip("\u201d"), p.skip("\u201c"):
		return Inch, true
	case p.skip("'"), p.skip("\u2032"), p.skip("\u2019"), p.skip("\u2018"):
		return Foot, true
	}
	before := p.rest
	var unit Length
	switch {
	case p.skip("in"):
		unit = Inch
	case p.skip("mm"):
		unit = Millimetre
	case p.skip("cm"):
		unit = Centimetre
	case p.skip("ft"):
		unit = Foot
	case p.skip("m"):
		unit = Metre
	}
	if unit == 0 || p.rest != "" && isLetter(p.rest[0]) {
		p.rest = before
		return 0, false
	}
	return unit, true
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func isLetter(c byte) bool { return 'a' <= c|0x20 && c|0x20 <= 'z' }
