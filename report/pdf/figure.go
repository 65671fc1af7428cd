package pdf

import (
	"slices"

	"github.com/yuin/goldmark/ast"
)

// Figures are pictures with what is said of them. They stand two abreast, one that
// has no other before or behind it as wide as the text, and no page break parts a picture from its caption: a caption that could be read as
// that of the picture beside it or above it would say what nobody saw.

const (
	figureGap   = 14.0 // between two abreast
	captionGap  = 3.0  // between a picture and its caption
	captionSize = 8.5
)

// figure is a picture and its caption.
type figure struct {
	Picture
	alt     string
	caption []glyph
}

// FigureOf returns the image of a paragraph that is a figure: one that begins
// with an image and goes on with words, its caption. It is nil for any other node.
func FigureOf(n ast.Node) *ast.Image {
	if n == nil || n.Kind() != ast.KindParagraph || n.ChildCount() < 2 {
		return nil
	}
	image, ok := n.FirstChild().(*ast.Image)
	if !ok {
		return nil
	}
	for c := image.NextSibling(); c != nil; c = c.NextSibling() {
		if c.Kind() == ast.KindImage {
			return nil
		}
	}
	return image
}

// figureOf returns the picture of a figure that the document has.
func (l *Layout) figureOf(n ast.Node) (Picture, bool) {
	if image := FigureOf(n); image != nil {
		return l.pictureOf(image)
	}
	return nil, false
}

// addFigure keeps a figure until its row is full or there is none beside it. One
// that is wide, such as a panorama, has a row of its own.
func (l *Layout) addFigure(f figure, last bool) {
	wide := l.wide(f)
	if wide {
		l.endRow(true)
	}
	l.row = append(l.row, f)
	if len(l.row) == figuresAbreast || wide || last {
		l.endRow(!last)
	}
}

// endRow puts the figures kept into the flow; more says that others follow.
func (l *Layout) endRow(more bool) {
	row, each := l.row, (l.Width()-figureGap*(figuresAbreast-1))/figuresAbreast
	if len(row) == 1 && (l.wide(row[0]) || !more && !l.behind) {
		each = l.Width()
	}
	if len(row) > 0 {
		l.row = nil
		l.addFigures(row, each)
	}
	l.behind = more
}

// wide reports whether a figure would be much smaller with another beside it.
func (l *Layout) wide(f figure) bool {
	w, _ := f.Size()
	return w > 0.75*l.Width()
}

const figuresAbreast = 2

// fitted is a figure with its sizes.
type fitted struct {
	figure
	w, h  float64
	lines []line
	// What is read: the picture by its alternative text, then the caption.
	picture, said tag
}

func (p fitted) height() float64 {
	return p.h + captionGap + float64(float64(len(p.lines))*captionSize*tableLeading)
}

// addFigures puts a row of figures into the flow, in one piece, each at most so wide.
func (l *Layout) addFigures(row []figure, each float64) {
	all, high := make([]fitted, len(row)), 0.0
	for i, f := range row {
		all[i] = l.placeFigure(f, each)
		high = max(high, all[i].height())
	}
	if high > l.MaxHeight() {
		for _, f := range row {
			l.addLongFigure(f)
		}
		return
	}
	for i := range all {
		all[i].picture = l.tags.addSeen(roleFigure, l.inside, all[i].alt)
		all[i].said = l.tags.add(roleP, l.inside)
	}
	n := len(l.slabs)
	l.box(high, l.inside, func(c *Canvas) {
		for i, f := range all {
			c.figure(float64(float64(i)*(each+figureGap)), f)
		}
	})
	if len(l.slabs) > n {
		l.slabs[n].floats = !slices.ContainsFunc(row, func(f figure) bool { _, ok := f.Picture.(Floating); return !ok })
	}
}

func (l *Layout) placeFigure(f figure, width float64) fitted {
	w, h := f.Size()
	if !finite(w, h) || w <= 0 || h <= 0 {
		w, h = 0, 0
	} else {
		scale := min(1, width/w, float64(0.6*l.MaxHeight())/h)
		w, h = float64(w*scale), float64(h*scale)
	}
	return fitted{figure: f, w: w, h: h, lines: breakLines(f.caption, int(width/captionSize*1000))}
}

// addLongFigure puts a figure by itself whose caption no page can hold beside
// another: its first lines are on the page of the picture.
func (l *Layout) addLongFigure(f figure) {
	n := len(l.slabs)
	l.addPicture(f.Picture, f.alt)
	if len(l.slabs) > n {
		l.slabs[len(l.slabs)-1].keep = true
	}
	l.addText(f.caption, captionSize, tableLeading)
	l.space(paraGap)
}

// withoutMargin leaves out the blanks that part an image from its caption.
func withoutMargin(g []glyph) []glyph {
	for len(g) > 0 && (g[0].r == ' ' || g[0].r == newline) {
		g = g[1:]
	}
	return g
}

// figure draws a figure whose left side is at x, from the top of the canvas.
func (c *Canvas) figure(x float64, f fitted) {
	if f.w > 0 {
		part := c.Part(x, 0, f.w, f.h)
		part.in, part.opaque = f.picture, true
		part.begin()
		f.Paint(part)
	}
	c.clipped()
	y := c.y + f.h + captionGap
	for i, ln := range f.lines {
		at := y + float64(float64(i)*captionSize*tableLeading) + baseline(captionSize, tableLeading)
		c.p.textLine(f.said, c.x+x, at, ln, captionSize)
	}
}
