package pdf

import "github.com/yuin/goldmark/ast"

// Picture is what an image of the Markdown shows in place of its alternative
// text. Nothing is ever fetched: a document brings its pictures along.
type Picture interface {
	// Size is the natural size in points. A picture wider or higher than the
	// page allows is made smaller, never larger.
	Size() (w, h float64)
	// Paint draws the picture over the whole canvas.
	Paint(*Canvas)
}

// Floating is a [Picture] that may stand a little later than the Markdown has
// it. Where it does not fit the rest of a page, the rows of a table that follows
// it fill that rest, and the picture opens the next page. It never passes a
// heading, nor anything else that is not a row of that table.
type Floating interface {
	Picture
	Floats()
}

// pictureOf returns the picture of an image node. Inside a table there are
// none: a cell holds text.
func (l *Layout) pictureOf(n *ast.Image) (Picture, bool) {
	if l.open != nil {
		return nil, false
	}
	p, ok := l.pictures[string(n.Destination)]
	return p, ok
}

// Reading is a [Picture] of texts and fields, which are read in the order in
// which they are drawn. Any other is a figure, of which its alternative text is
// read.
type Reading interface {
	Picture
	Reads()
}

// addPicture puts a picture into the flow, in a block of its own.
func (l *Layout) addPicture(p Picture, alt string) {
	w, h := p.Size()
	if !finite(w, h) || w <= 0 || h <= 0 {
		return
	}
	scale := min(1, l.Width()/w, l.MaxHeight()/h)
	w, h = float64(w*scale), float64(h*scale)
	n := len(l.slabs)
	of, opaque := tag(0), false
	if _, ok := p.(Reading); ok {
		of = l.tags.add(roleDiv, l.inside)
	} else {
		of, opaque = l.tags.addSeen(roleFigure, l.inside, alt), true
	}
	l.box(h, of, func(c *Canvas) {
		inner := *c
		inner.w, inner.opaque = w, opaque
		inner.begin()
		p.Paint(&inner)
	})
	if _, ok := p.(Floating); ok && len(l.slabs) > n {
		l.slabs[n].floats = true
	}
}
