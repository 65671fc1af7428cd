package pdf

import (
	"bytes"
	"slices"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

// inlines renders the nodes within a line: they collect glyphs in Layout.glyphs.
type inlines struct{ *Layout }

// RegisterFuncs implements [renderer.NodeRenderer].
func (r *inlines) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(ast.KindText, r.text)
	reg.Register(ast.KindString, r.str)
	reg.Register(ast.KindCodeSpan, r.codeSpan)
	reg.Register(ast.KindEmphasis, r.emphasis)
	reg.Register(ast.KindLink, r.link)
	reg.Register(ast.KindAutoLink, r.autoLink)
	reg.Register(ast.KindImage, r.image)
	reg.Register(ast.KindRawHTML, r.rawHTML)
}

func (l *Layout) style() style { return l.styles[len(l.styles)-1] }

// write adds text in the style in force.
func (l *Layout) write(s string) {
	s = strings.TrimSuffix(s, "\r") // of a line that ends in CR LF
	s = strings.ReplaceAll(s, "\t", " ")
	if cap(l.glyphs)-len(l.glyphs) < len(s) {
		// Room for the text of many cells at once.
		l.glyphs = append(make([]glyph, 0, 2*len(l.glyphs)+max(len(s), glyphChunk)), l.glyphs...)
	}
	l.glyphs = l.fonts.glyphs(l.glyphs, s, l.style())
}

const glyphChunk = 4096

func (l *Layout) pushStyle(change func(*style)) {
	s := l.style()
	change(&s)
	l.styles = append(l.styles, s)
}

func (l *Layout) popStyle() { l.styles = l.styles[:len(l.styles)-1] }

// takeText returns the text collected since the last call.
func (l *Layout) takeText() []glyph {
	g := slices.Clip(l.glyphs)
	l.glyphs = l.glyphs[len(l.glyphs):]
	return g
}

func (r *inlines) text(_ util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*ast.Text)
	value := n.Value(source)
	if n.IsRaw() {
		r.write(string(value))
	} else {
		r.write(unescape(value))
	}
	switch {
	case n.HardLineBreak():
		r.breakLine()
	case n.SoftLineBreak():
		r.write(" ")
	}
	return ast.WalkContinue, nil
}

func (l *Layout) breakLine() { l.glyphs = append(l.glyphs, glyph{r: newline}) }

func (r *inlines) str(_ util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		n := node.(*ast.String)
		if n.IsCode() || n.IsRaw() {
			r.write(string(n.Value))
		} else {
			r.write(unescape(n.Value))
		}
	}
	return ast.WalkContinue, nil
}

func (r *inlines) codeSpan(_ util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	var b strings.Builder
	for c := node.FirstChild(); c != nil; c = c.NextSibling() {
		if t, ok := c.(*ast.Text); ok {
			b.Write(t.Value(source))
		}
	}
	r.pushStyle(func(s *style) { s.mono = true })
	r.write(strings.NewReplacer("\r\n", " ", "\n", " ").Replace(b.String()))
	r.popStyle()
	return ast.WalkSkipChildren, nil
}

func (r *inlines) emphasis(_ util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		r.popStyle()
		return ast.WalkContinue, nil
	}
	r.pushStyle(func(s *style) {
		if node.(*ast.Emphasis).Level >= 2 {
			s.bold = true
		} else {
			s.italic = true
		}
	})
	return ast.WalkContinue, nil
}

func (r *inlines) link(_ util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	dest := node.(*ast.Link).Destination
	to := r.target(dest)
	if entering {
		id := r.style().link // an image's text may hold links; the outer one wins
		if id == 0 && to != nil {
			id = r.fonts.keep(to)
		}
		r.pushStyle(func(s *style) { s.link = id })
		return ast.WalkContinue, nil
	}
	r.popStyle()
	// What cannot be clicked is still said.
	if to == nil && len(dest) > 0 {
		r.write(" (" + string(dest) + ")")
	}
	return ast.WalkContinue, nil
}

// target returns where dest leads, or nil where a reader should not follow it.
func (l *Layout) target(dest []byte) *link {
	dest = util.UnescapePunctuations(dest)
	if slug, ok := bytes.CutPrefix(dest, []byte("#")); ok {
		if h := l.findHeading(string(slug)); h != nil {
			return &link{heading: h}
		}
		return nil
	}
	for _, scheme := range []string{"http://", "https://", "mailto:"} {
		if len(dest) > len(scheme) && strings.EqualFold(string(dest[:len(scheme)]), scheme) {
			return &link{address: address(dest)}
		}
	}
	return nil
}

// address returns dest as the ASCII that a PDF wants of a URI (ISO 32000-1, 12.6.4.7).
func address(dest []byte) string {
	var b strings.Builder
	for _, c := range []byte(util.URLEscape(dest, true)) {
		if c <= ' ' || c >= 0x7F {
			b.WriteString("%" + strings.ToUpper(strconv.FormatUint(uint64(c)|0x100, 16)[1:]))
		} else {
			b.WriteByte(c)
		}
	}
	return b.String()
}

func (r *inlines) autoLink(_ util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*ast.AutoLink)
	dest := n.URL(source)
	if n.AutoLinkType == ast.AutoLinkEmail && !bytes.HasPrefix(bytes.ToLower(dest), []byte("mailto:")) {
		dest = append([]byte("mailto:"), dest...)
	}
	id := r.style().link
	if to := r.target(dest); id == 0 && to != nil {
		id = r.fonts.keep(to)
	}
	r.pushStyle(func(s *style) { s.link = id })
	r.write(string(n.Label(source)))
	r.popStyle()
	return ast.WalkContinue, nil
}

// alternative is the text of an image.
func alternative(image ast.Node, source []byte) string {
	var b strings.Builder
	_ = ast.Walk(image, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if t, ok := n.(*ast.Text); ok && entering {
			b.WriteString(unescape(t.Value(source)))
			if t.SoftLineBreak() || t.HardLineBreak() {
				b.WriteByte(' ')
			}
		}
		return ast.WalkContinue, nil
	})
	return b.String()
}

func (r *inlines) image(_ util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if p, ok := r.pictureOf(node.(*ast.Image)); ok {
		_, figure := r.figureOf(node.Parent())
		if entering && !(figure && node.PreviousSibling() == nil) {
			// What stands before it on the line becomes a paragraph of its own.
			r.addText(r.takeText(), r.body.size, r.body.lead)
			r.addPicture(p, alternative(node, source))
		}
		return ast.WalkSkipChildren, nil
	}
	switch {
	case !entering:
		r.write("]")
	case node.FirstChild() == nil:
		r.write("[image")
	default:
		r.write("[")
	}
	return ast.WalkContinue, nil
}

func (r *inlines) rawHTML(_ util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		segs := node.(*ast.RawHTML).Segments
		for i := range segs.Len() {
			s := segs.At(i)
			r.write(strings.NewReplacer("\r\n", " ", "\n", " ").Replace(string(s.Value(source))))
		}
	}
	return ast.WalkSkipChildren, nil
}
