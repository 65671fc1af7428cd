package pdf

import (
	"fmt"
	"strings"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Outlines returns the letters of one line of text as filled paths, in the
// operators of a content stream (ISO 32000-1, 8.5), and the width of the line.
// The baseline begins at x, y, with y upwards; all in points. So text can be
// shown where no font can be brought along. Characters are shown as [Write]
// shows them.
func Outlines(x, y, size float64, bold bool, text string) (ops string, width float64) {
	var fonts fontSet
	var b strings.Builder
	start := x
	for _, g := range fonts.glyphs(nil, onOneLine(text), style{bold: bold}) {
		fonts.outline(&b, g, x, y, size)
		x += float64(g.width) * size / 1000
	}
	if b.Len() > 0 {
		b.WriteString("f\n")
	}
	return b.String(), x - start
}

// TextWidth returns the width of one line of text, in points.
func TextWidth(size float64, bold bool, text string) float64 {
	var fonts fontSet
	if w, ok := fonts.plainWidth(text, style{bold: bold}); ok {
		return float64(w) * size / 1000
	}
	return float64(newLine(fonts.glyphs(nil, onOneLine(text), style{bold: bold})).width) * size / 1000
}

// plainWidth adds up the widths of a plain text, of which sheets measure
// thousands: no glyph of it is needed for that.
func (s *fontSet) plainWidth(text string, st style) (sum int, ok bool) {
	if !isPlain(text) {
		return 0, false
	}
	for i := range len(text) {
		_, w, ok := s.find(st, rune(text[i]))
		if !ok {
			return 0, false
		}
		sum += int(w)
	}
	return sum, true
}

// outline writes one glyph. PDF knows no quadratic curves, so those of
// TrueType are raised to cubic ones, which is exact.
func (s *fontSet) outline(b *strings.Builder, g glyph, x, y, size float64) {
	f := faceFiles[g.face].font()
	index, err := f.GlyphIndex(s.room(), g.r)
	if err != nil {
		return // width has found it before
	}
	em := f.UnitsPerEm()
	segments, err := f.LoadGlyph(s.room(), index, fixed.Int26_6(em), nil)
	if err != nil {
		return
	}
	scale := size / float64(em)
	at := func(p fixed.Point26_6) Point {
		return Point{x + float64(float64(p.X)*scale), y - float64(float64(p.Y)*scale)}
	}
	var last Point
	open := false
	for _, seg := range segments {
		p := at(seg.Args[0])
		switch seg.Op {
		case sfnt.SegmentOpMoveTo:
			if open {
				b.WriteString("h\n")
			}
			open = true
			fmt.Fprintf(b, "%s m\n", pair(p))
			last = p
		case sfnt.SegmentOpLineTo:
			fmt.Fprintf(b, "%s l\n", pair(p))
			last = p
		case sfnt.SegmentOpQuadTo:
			end := at(seg.Args[1])
			fmt.Fprintf(b, "%s %s %s c\n", pair(toward(last, p)), pair(toward(end, p)), pair(end))
			last = end
		case sfnt.SegmentOpCubeTo:
			end := at(seg.Args[2])
			fmt.Fprintf(b, "%s %s %s c\n", pair(p), pair(at(seg.Args[1])), pair(end))
			last = end
		}
	}
	if open {
		b.WriteString("h\n")
	}
}

// toward is two thirds of the way from an end of a quadratic curve to its control point.
func toward(end, control Point) Point {
	return Point{end.X + (control.X-end.X)*2/3, end.Y + (control.Y-end.Y)*2/3}
}

func pair(p Point) string { return number(p.X) + " " + number(p.Y) }
