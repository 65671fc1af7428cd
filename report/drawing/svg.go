package drawing

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"

	"setline.example/report/pdf"
)

// SVG returns the drawing as a standalone SVG 1.1 file, without scripts or
// references to anything outside it. The same drawing gives the same bytes.
func (d Drawing) SVG() []byte {
	var b bytes.Buffer
	w, h := num(max(d.Width, 1)), num(max(d.Height, 1))
	b.WriteString(xml.Header)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="%spt" height="%spt" viewBox="0 0 %s %s" role="img" aria-labelledby="title desc">`+"\n", w, h, w, h)
	fmt.Fprintf(&b, "<title id=\"title\">%s</title>\n<desc id=\"desc\">%s</desc>\n", escape(d.Title), escape(d.Alt))
	fmt.Fprintf(&b, "<rect width=\"%s\" height=\"%s\" fill=\"#ffffff\"/>\n", w, h)
	b.WriteString(`<g font-family="'Liberation Sans', Arial, Helvetica, sans-serif" stroke-linejoin="round">` + "\n")
	for _, s := range d.Shapes {
		s.svg(&b)
	}
	b.WriteString("</g>\n</svg>\n")
	return b.Bytes()
}

func (s Shape) svg(b *bytes.Buffer) {
	if len(s.Points) == 0 {
		return
	}
	p := s.Points[0]
	switch s.Kind {
	case Line, Area:
		name, fill := "polyline", None
		if s.Kind == Area {
			name, fill = "polygon", s.Fill
		}
		pts := make([]string, len(s.Points))
		for i, p := range s.Points {
			pts[i] = num(p.X) + "," + num(p.Y)
		}
		fmt.Fprintf(b, `<%s points="%s" fill="%s"%s/>`+"\n", name, strings.Join(pts, " "), fill.colour(), s.strokeSVG())
	case Circle:
		fmt.Fprintf(b, `<circle cx="%s" cy="%s" r="%s" fill="%s"%s/>`+"\n", num(p.X), num(p.Y), num(s.Radius), s.Fill.colour(), s.strokeSVG())
		s.label().svg(b)
	case Text:
		if s.Text == "" {
			return
		}
		anchor, weight, length := "", "", ""
		// A reader without these fonts sets the text narrower or wider to this
		// length, so that it stays clear of its neighbours.
		if w, ok := fontWidth(s.Text, s.Size, s.Bold); ok {
			length = fmt.Sprintf(` textLength="%s" lengthAdjust="spacingAndGlyphs"`, num(w))
		}
		switch s.Align {
		case pdf.Center:
			anchor = ` text-anchor="middle"`
		case pdf.Right:
			anchor = ` text-anchor="end"`
		}
		if s.Bold {
			weight = ` font-weight="bold"`
		}
		fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s" fill="%s"%s%s%s>%s</text>`+"\n",
			num(p.X), num(p.Y), num(s.Size), Black.colour(), anchor, weight, length, escape(s.Text))
	}
}

// circleText is how wide the text in a circle may be, in its radii.
const circleText = 1.8

// label is the text in the middle of a circle, set to fit it.
func (s Shape) label() Shape {
	size := s.Size
	if w := textWidth(s.Text, size, s.Bold); w > circleText*s.Radius {
		size = size * circleText * s.Radius / w
	}
	p := s.Points[0]
	return Shape{Kind: Text, Points: []pdf.Point{pt(p.X, p.Y+float64(0.36*size))}, Fill: Black, Text: s.Text, Size: size, Align: pdf.Center, Bold: s.Bold}
}

func (s Shape) strokeSVG() string {
	if s.Stroke == None || s.LineWidth <= 0 {
		return ""
	}
	dash := ""
	if s.Dash > 0 {
		dash = fmt.Sprintf(` stroke-dasharray="%s"`, num(s.Dash))
	}
	return fmt.Sprintf(` stroke="%s" stroke-width="%s"%s`, s.Stroke.colour(), num(s.LineWidth), dash)
}

func (t Tone) colour() string {
	switch t {
	case None:
		return "none"
	case Accent:
		return "#b00020"
	}
	v := int(float64(t.grey()*255) + 0.5)
	return fmt.Sprintf("#%02x%02x%02x", v, v, v)
}

// num writes a number of points to a thousandth.
func num(v float64) string {
	t := strings.TrimRight(strconv.FormatFloat(v, 'f', 3, 64), "0")
	t = strings.TrimSuffix(t, ".")
	if t == "-0" {
		return "0"
	}
	return t
}

func escape(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(clean(s))) // a Buffer does not fail
	return b.String()
}
