package pdf

import (
	"fmt"
	"math"

	"github.com/go-pdf/fpdf"
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

// painter draws on the current page of a PDF and remembers what is set there.
type painter struct {
	file  *fpdf.Fpdf // through [painter.pdf]
	fonts *fontSet
	added [faces]bool
	face  face
	size  float64 // of the face set on this page; 0 when none is

	page   int // the current one, from 1
	fields []placed

	height float64       // of the page
	filled tone          // the colour in force for areas
	known  [faces][]bool // the characters of a face that fpdf knows are used
	buf    []byte        // lines of operators not yet given to fpdf
	line   []glyph       // room for one that is measured or drawn at once
}

// forget makes the painter set everything anew.
func (p *painter) forget() { p.size = 0 }

func (p *painter) fill(t tone) {
	p.pdf().SetFillColor(t.r, t.g, t.b)
	p.filled = t
}

func (p *painter) stroke(width float64, t tone) {
	p.pdf().SetDrawColor(t.r, t.g, t.b)
	p.pdf().SetLineWidth(width)
}

func (p *painter) rect(x, y, w, h float64, t tone) {
	p.fill(t)
	p.box(x, y, w, h, " re f\n")
}

func (p *painter) rule(x, y, w, width float64, t tone) {
	p.stroke(width, t)
	p.pdf().Line(x, y, x+w, y)
}

func (p *painter) setFont(f face, size float64) {
	if p.face == f && p.size == size {
		return
	}
	if !p.added[f] {
		p.pdf().AddUTF8FontFromBytes(faceFiles[f].family, "", faceFiles[f].ttf)
		p.added[f] = true
	}
	p.pdf().SetFont(faceFiles[f].family, "", size)
	p.face, p.size = f, size
}

// text draws glyphs on a baseline, with the underlines and clickable areas of
// links, and returns the x behind the last.
func (p *painter) text(x, base float64, g []glyph, size float64, t tone) float64 {
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
		p.setFont(g[0].face, size)
		p.show(x, base, g[:n], c)
		if to != nil {
			p.rule(x, base+float64(0.12*size), width, float64(0.05*size), blue)
			y, h := base-float64(ascent*size), float64((ascent+descent)*size)
			if to.heading != nil {
				p.pdf().Link(x, y, width, h, to.heading.id)
			} else {
				p.pdf().LinkString(x, y, width, h, to.address)
			}
		}
		x += width
		g = g[n:]
	}
	return x
}

// paint draws the pages of l and returns what fpdf makes of them, and the
// fields that are to be put over them.
func paint(l *Layout, d Document) ([]byte, []placed, error) {
	f := newFile(d)
	p := &painter{file: f, fonts: &l.fonts, height: l.pageH}
	for _, s := range l.slabs {
		if s.title != nil && s.title.page > 0 {
			s.title.id = f.AddLink()
			// fpdf takes the first page for object 3, but puts two objects for
			// each attachment before it.
			f.SetLink(s.title.id, s.title.y, s.title.page+len(d.Attachments))
		}
	}
	l.slabs = nil
	for i, pg := range l.pages {
		l.pages[i].items = nil // what was painted can be forgotten
		f.AddPage()
		p.page = i + 1
		p.forget()
		p.frames(pg)
		for _, it := range pg.items {
			for _, m := range it.marks {
				w := float64(newLine(m.text).width) * bodySize / 1000
				p.text(m.x-w, it.y+it.base, m.text, bodySize, black)
			}
			if it.draw != nil {
				it.draw(p, it.y)
			}
			if t := it.title; t != nil && t.level >= 0 {
				f.Bookmark(t.text, t.level, it.y)
			}
		}
		p.running(l, d, i+1)
		p.flush()
	}
	var file output
	if err := f.Output(&file); err != nil {
		return nil, nil, fmt.Errorf("write PDF: %w", err)
	}
	return file, p.fields, nil
}

// output is what fpdf writes. The file comes in one piece, which fpdf does not
// use again, so that it need not be copied.
type output []byte

// Write implements [io.Writer].
func (o *output) Write(b []byte) (int, error) {
	if *o == nil {
		*o = b
	} else {
		*o = append(*o, b...)
	}
	return len(b), nil
}

func (p *painter) frames(pg page) {
	for _, b := range pg.frames() {
		p.rect(b.x, b.top, b.w, b.bottom-b.top, b.tint)
		if b.bar {
			p.rect(b.x, b.top, 3, b.bottom-b.top, accent)
		}
	}
}

// running draws the header and footer of page n.
func (p *painter) running(l *Layout, d Document, n int) {
	left, width := margin, l.pageW-2*margin
	if n > 1 && (d.HeaderLeft != "" || d.HeaderRight != "") {
		head := d.HeaderLeft
		if section := l.pages[n-1].section; d.HeaderSection && section != "" {
			head += " · " + section
		}
		p.edge(left, margin-17, width, head, d.HeaderRight)
		p.rule(left, margin-11, width, 0.4, hair)
	}
	y := l.pageH - margin
	p.rule(left, y+8, width, 0.4, hair)
	p.edge(left, y+19, width, d.FooterLeft, fmt.Sprintf("page %d of %d", n, len(l.pages)))
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
