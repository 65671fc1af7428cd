package pdf

import (
	"fmt"
	"math"

	"setline.example/report/pdf/object"
)

// tone is a colour. All of them differ in lightness too, for a grey printer.
type tone struct{ r, g, b int }

var (
	black    = tone{0, 0, 0}
	muted    = tone{90, 90, 90}    // header and footer
	accent   = tone{31, 56, 84}    // bars and the rules of headings
	hair     = tone{200, 204, 208} // rules between rows
	boxTint  = tone{239, 242, 246} // block quotes
	rowTint  = tone{233, 237, 242} // header rows
	codeTint = tone{246, 246, 246}
	alarm    = tone{176, 0, 32}  // faults in drawings, which a word and a number name too
	blue     = tone{16, 66, 160} // links, underlined too
)

func greyTone(g float64) tone {
	v := int(math.Round(float64(255 * min(max(g, 0), 1))))
	return tone{v, v, v}
}

// painter draws the pages of a file one after the other. A page is packed when
// it is drawn, but for its foot, which says how many pages there are.
type painter struct {
	*file
	d      Document
	fonts  *fontSet
	pageW  float64
	pageH  float64
	err    error // the first that came
	packer object.Packer

	buf   []byte  // operators of the current page
	now   state   // what they have set
	outer state   // what holds again where the clip ends
	clip  *clip   // in force; nil for none
	line  []glyph // room for one that is measured or drawn at once
	links []clickable

	tags     *tags
	owner    tag    // the element that is drawn
	marks    marked // to what the operators belong
	inClip   bool   // they are marked within the clip
	again    bool   // what is drawn was drawn before
	lastLink struct {
		tag, in tag
		id      linkID
	}

	pages  []painted
	titles []*heading // that enter the outline
	fields []placed
	used   [faces]*runes // the characters shown
	images images
}

// painted is a page whose foot is not drawn yet.
type painted struct {
	content object.Begun
	links   []clickable
	end     state // after what is drawn
}

// clickable is an area of a page that leads somewhere.
type clickable struct {
	x, y, w, h float64
	to         *link
	annot      int // its place among the annotations of the document
}

// state is what operators set for those that follow (8.4).
type state struct {
	fill, draw  tone
	width, dash float64 // of lines
}

// clip is a box beyond which nothing is drawn.
type clip struct{ x, y, w, h float64 }

func newPainter(l *Layout, d Document) *painter {
	return &painter{file: newFile(), d: d, fonts: &l.fonts, tags: l.tags, pageW: l.pageW, pageH: l.pageH,
		packer: object.Packer{Dense: d.Compact}}
}

func (p *painter) fail(format string, args ...any) {
	if p.err == nil {
		p.err = fmt.Errorf("write PDF: "+format, args...)
	}
}

func (p *painter) fill(t tone) {
	if p.now.fill != t {
		p.now.fill = t
		p.colour(t, " g\n", " rg\n")
	}
}

func (p *painter) stroke(width float64, t tone, dash float64) {
	if p.now.draw != t {
		p.now.draw = t
		p.colour(t, " G\n", " RG\n")
	}
	if p.now.width != width {
		p.now.width = width
		p.number(width)
		p.buf = append(p.buf, " w\n"...)
	}
	if p.now.dash != dash {
		p.now.dash = dash
		p.buf = append(p.buf, '[')
		if dash > 0 {
			p.number(dash)
		}
		p.buf = append(p.buf, "] 0 d\n"...)
	}
}

// within draws nothing beyond a box from now on, and everywhere if it is nil.
func (p *painter) within(box *clip) {
	if p.clip != nil {
		if box != nil && *box == *p.clip {
			return
		}
		if p.inClip {
			p.mark(marked{})
		}
		p.buf = append(p.buf, "Q\n"...)
		p.now = p.outer
	}
	p.clip = box
	if box != nil {
		p.outer = p.now
		p.buf = append(p.buf, "q "...)
		p.box(box.x, box.y, box.w, box.h, " re W n\n")
	}
}

func (p *painter) rect(x, y, w, h float64, t tone) {
	p.fill(t)
	p.box(x, y, w, h, " re f\n")
}

func (p *painter) rule(x, y, w, width float64, t tone) {
	p.stroke(width, t, 0)
	p.point(x, y, " m ")
	p.point(x+w, y, " l S\n")
}

// textLine draws a line of an element. Where it ended at a blank, the blank is
// written: who reads the next line behind it has to know where the word ends
// (14.8.2.5).
func (p *painter) textLine(of tag, x, base float64, ln line, size float64) {
	if len(ln.glyphs) > 0 {
		p.belongs(of)
		p.runs(x, base, ln, size, black)
	}
}

// text draws glyphs of an element on a baseline, with the underlines and
// clickable areas of links.
func (p *painter) text(x, base float64, g []glyph, size float64, t tone) {
	p.runs(x, base, line{glyphs: g}, size, t)
}

func (p *painter) runs(x, base float64, ln line, size float64, t tone) {
	in, g := p.owner, ln.glyphs
	for len(g) > 0 {
		n, w := 0, 0
		for n < len(g) && g[n].face == g[0].face && g[n].link == g[0].link {
			w += int(g[n].width)
			n++
		}
		width := float64(w) * size / 1000
		c := t
		var to *link
		if id := g[0].link; id != 0 {
			to, c = p.fonts.links[id-1], blue
		}
		switch {
		case to != nil && !p.again:
			in := p.linked(g[0].link)
			p.mark(marked{tag: in})
			y, h := base-float64(ascent*size), float64((ascent+descent)*size)
			p.links = append(p.links, clickable{x, y, width, h, to, p.tags.annotation(in, len(p.pages))})
		case in != 0:
			p.belongs(in)
		}
		p.fill(c)
		p.show(x, base, g[:n], size, ln.blank && n == len(g))
		if to != nil {
			p.rule(x, base+float64(0.12*size), width, float64(0.05*size), blue)
		}
		x += width
		g = g[n:]
	}
}

// page draws a page of the flow.
func (p *painter) page(pg page) {
	p.now = state{width: 1}
	p.frames(pg)
	for _, it := range pg.items {
		p.within(nil)
		p.again = it.again
		for _, m := range it.marks {
			w := float64(newLine(m.text).width) * m.size / 1000
			p.belongs(m.tag)
			p.text(m.x-w, it.y+it.base, m.text, m.size, black)
		}
		if it.draw != nil {
			it.draw(p, it.y)
		}
		if t := it.title; t != nil && t.level >= 0 {
			p.titles = append(p.titles, t)
		}
	}
	p.again = false
	p.within(nil)
	p.head(pg)
	p.mark(marked{})
	p.pages = append(p.pages, painted{p.packer.Begin(p.buf), p.links, p.now})
	p.buf, p.links = p.buf[:0], nil
}

func (p *painter) frames(pg page) {
	for _, b := range pg.frames() {
		p.decorates()
		p.rect(b.x, b.top, b.w, b.bottom-b.top, b.tint)
		if b.bar {
			p.rect(b.x, b.top, 3, b.bottom-b.top, accent)
		}
	}
}

// head draws the header of a page.
func (p *painter) head(pg page) {
	if len(p.pages) == 0 || p.d.HeaderLeft == "" && p.d.HeaderRight == "" {
		return
	}
	left, width := margin, p.pageW-2*margin
	p.edges(header)
	head := p.d.HeaderLeft
	if p.d.HeaderSection && pg.section != "" {
		head += " · " + pg.section
	}
	p.edge(left, margin-17, width, head, p.d.HeaderRight)
	p.rule(left, margin-11, width, 0.4, hair)
}

// foot draws the footer of page n and returns all that is drawn on it, packed.
func (p *painter) foot(n int) []byte {
	pg := p.pages[n-1]
	p.now = pg.end
	p.edges(footer)
	left, width, y := margin, p.pageW-2*margin, p.pageH-margin
	p.rule(left, y+8, width, 0.4, hair)
	number := fmt.Sprintf("page %d of %d", n, len(p.pages))
	if p.d.PageOf != nil {
		number = p.d.PageOf(n, len(p.pages))
	}
	p.edge(left, y+19, width, p.d.FooterLeft, number)
	p.mark(marked{})
	all := p.packer.End(pg.content, p.buf)
	p.buf = p.buf[:0]
	return all
}

// edge writes one small line with something at both ends.
func (p *painter) edge(x, base, width float64, left, right string) {
	room := float64(width / smallSize * 1000)
	r := p.cut(plain(right), float64(room*0.6))
	rw := float64(newLine(r).width)
	p.text(x+width-rw*smallSize/1000, base, r, smallSize, muted)
	p.text(x, base, p.cut(plain(left), room-rw-1500), smallSize, muted)
}

// cut returns s as glyphs, cut short with an ellipsis if wider than room.
func (p *painter) cut(s string, room float64) []glyph {
	g := p.fonts.glyphs(nil, s, style{})
	if float64(newLine(g).width) <= room {
		return g
	}
	dots := p.fonts.glyphs(nil, "…", style{})
	for len(g) > 0 && float64(newLine(g).width+newLine(dots).width) > room {
		g = g[:len(g)-1]
	}
	return append(newLine(g).glyphs, dots...)
}
