package pdf

import (
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// blocks renders the nodes that stand one below another.
type blocks struct {
	*Layout
	frames  []int // first slab of every open frame
	numbers []int // number of the next item of every open list
}

// RegisterFuncs implements [renderer.NodeRenderer].
func (r *blocks) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(ast.KindHeading, r.heading)
	reg.Register(ast.KindParagraph, r.paragraph)
	reg.Register(ast.KindTextBlock, r.textBlock)
	reg.Register(ast.KindBlockquote, r.quote)
	reg.Register(ast.KindList, r.list)
	reg.Register(ast.KindListItem, r.item)
	reg.Register(ast.KindThematicBreak, r.thematicBreak)
	reg.Register(ast.KindCodeBlock, r.code)
	reg.Register(ast.KindFencedCodeBlock, r.code)
	reg.Register(ast.KindHTMLBlock, r.html)
}

func (r *blocks) paragraph(_ util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if p, ok := r.figureOf(node); ok {
		if !entering {
			_, more := r.figureOf(node.NextSibling())
			r.addFigure(figure{p, alternative(FigureOf(node), source), withoutMargin(r.takeText())}, !more)
		}
		return ast.WalkContinue, nil
	}
	if !entering {
		r.space(paraGap)
		r.addText(r.takeText(), r.body.size, r.body.lead)
		if r.announces(node) {
			r.slabs[len(r.slabs)-1].keep = true
		}
		r.space(paraGap)
	}
	return ast.WalkContinue, nil
}

// announces reports whether a paragraph of text says what the picture right
// below it is, such as whose place to sign it is: no page break parts them.
func (r *blocks) announces(n ast.Node) bool {
	next := n.NextSibling()
	if len(r.slabs) == 0 || next == nil || next.Kind() != ast.KindParagraph || next.ChildCount() != 1 || n.FirstChild() == nil || n.FirstChild().Kind() == ast.KindImage {
		return false
	}
	image, ok := next.FirstChild().(*ast.Image)
	if !ok {
		return false
	}
	_, ok = r.pictureOf(image)
	return ok
}

// textBlock is the paragraph of a tight list.
func (r *blocks) textBlock(_ util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		r.space(2)
		r.addLines(r.takeText(), r.body.size, r.body.lead, r.inside)
	}
	return ast.WalkContinue, nil
}

func (r *blocks) quote(_ util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		r.enter(roleDiv)
		r.frames = append(r.frames, r.openFrame(boxTint, true))
	} else {
		r.leave()
		r.closeFrame(r.frames[len(r.frames)-1])
		r.frames = r.frames[:len(r.frames)-1]
	}
	return ast.WalkContinue, nil
}

const (
	bulletIndent = 15.0
	markGap      = 5.0 // between a marker and the text
)

func (r *blocks) list(_ util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*ast.List)
	if !entering {
		if _, nested := n.Parent().(*ast.ListItem); !nested {
			r.space(paraGap)
		}
		r.numbers = r.numbers[:len(r.numbers)-1]
		r.pop()
		r.leave()
		return ast.WalkContinue, nil
	}
	r.numbers = append(r.numbers, n.Start)
	indent := bulletIndent
	if n.IsOrdered() {
		widest := r.fonts.glyphs(nil, strconv.Itoa(n.Start+n.ChildCount()-1)+".", style{})
		indent = max(indent, float64(newLine(widest).width)*r.body.size/1000+markGap)
	}
	r.space(4)
	r.push(indent)
	r.enter(roleL)
	return ast.WalkContinue, nil
}

func (r *blocks) item(_ util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		r.flushMarks()
		r.leave()
		r.leave()
		return ast.WalkContinue, nil
	}
	list := node.Parent().(*ast.List)
	number := &r.numbers[len(r.numbers)-1]
	marker := "•"
	if list.IsOrdered() {
		marker = strconv.Itoa(*number) + string(list.Marker)
	}
	*number++
	x := r.area.x - markGap
	// Lists nested deeper than the page is wide share one indent; their markers
	// may not share a line.
	if len(r.marks) > 0 && r.marks[len(r.marks)-1].x == x {
		r.flushMarks()
	}
	if list.IsTight {
		r.space(2)
	} else {
		r.space(paraGap)
	}
	r.enter(roleLI)
	r.marks = append(r.marks, mark{x, r.body.size, r.fonts.glyphs(nil, marker, style{}), r.tags.add(roleLbl, r.inside)})
	r.enter(roleLBody)
	return ast.WalkContinue, nil
}

func (r *blocks) thematicBreak(_ util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		r.space(8)
		x, w := r.area.x, r.area.w
		r.add(&slab{height: 1, base: ascent * bodySize / 2, draw: func(p *painter, y float64) {
			p.decorates()
			p.rule(x, y+0.5, w, 0.6, hair)
		}})
		r.space(8)
	}
	return ast.WalkContinue, nil
}

func (r *blocks) code(_ util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		first := r.openFrame(codeTint, false)
		r.addText(r.literal(source, node.Lines()), codeSize, 1.3)
		r.closeFrame(first)
	}
	return ast.WalkSkipChildren, nil
}

// html prints an HTML block as the text it is.
func (r *blocks) html(_ util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		n := node.(*ast.HTMLBlock)
		g := r.literal(source, n.Lines())
		if n.HasClosure() {
			closure := text.NewSegments()
			closure.Append(n.ClosureLine)
			g = append(append(g, glyph{r: newline}), r.literal(source, closure)...)
		}
		r.space(paraGap)
		r.addText(g, codeSize, 1.3)
		r.space(paraGap)
	}
	return ast.WalkSkipChildren, nil
}

// literal returns lines in the fixed-width font, tabs expanded to columns of four.
func (r *blocks) literal(source []byte, lines *text.Segments) []glyph {
	var g []glyph
	for i := range lines.Len() {
		if i > 0 {
			g = append(g, glyph{r: newline})
		}
		seg := lines.At(i)
		s := strings.TrimRight(string(seg.Value(source)), "\r\n")
		var b strings.Builder
		col := 0
		for _, c := range s {
			if c == '\t' {
				n := 4 - col%4
				b.WriteString(strings.Repeat(" ", n))
				col += n
				continue
			}
			b.WriteRune(c)
			col++
		}
		g = r.fonts.glyphs(g, b.String(), style{mono: true})
	}
	return g
}
