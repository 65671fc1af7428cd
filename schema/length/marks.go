package length

import "strings"

// The signs that people, keyboards and word processors put beside numbers.

// spaces skips blanks, no-break ones too, and reports whether there were any.
func (p *parser) spaces() bool {
	before := len(p.rest)
	for p.rest != "" {
		switch {
		case strings.IndexByte(" \t\r\n\v\f", p.rest[0]) >= 0:
			p.rest = p.rest[1:]
		case strings.HasPrefix(p.rest, "\u00a0"):
			p.rest = p.rest[len("\u00a0"):]
		default:
			return len(p.rest) < before
		}
	}
	return len(p.rest) < before
}

// sign skips a sign and reports whether it was minus.
func (p *parser) sign() (negative bool) {
	switch {
	case p.skip("-"), p.skip("\u2212"):
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
	for _, f := range [...]struct {
		mark         string
		value, scale uint64
	}{
		{"½", 1, 2}, {"¼", 1, 4}, {"¾", 3, 4}, {"⅛", 1, 8}, {"⅜", 3, 8}, {"⅝", 5, 8}, {"⅞", 7, 8},
	} {
		if p.skip(f.mark) {
			return ratio{value: f.value, scale: f.scale, fraction: true}, true
		}
	}
	return ratio{}, false
}

// unit reads a unit.
func (p *parser) unit() (Length, bool) {
	for _, u := range [...]struct {
		mark string
		unit Length
	}{
		{"in", Inch}, {`"`, Inch}, {"mm", Millimetre}, {"cm", Centimetre}, {"ft", Foot}, {"'", Foot}, {"m", Metre},
		{"\u2033", Inch}, {"\u201d", Inch}, {"\u201c", Inch}, {"\u2032", Foot}, {"\u2019", Foot}, {"\u2018", Foot},
	} {
		if p.skip(u.mark) {
			return u.unit, true
		}
	}
	return 0, false
}
