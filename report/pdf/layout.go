package pdf

import (
	"fmt"
	"slices"

	"github.com/yuin/goldmark/ast"
)

// Measures in points (1/72 in).
const (
	margin     = 51.0 // 18 mm on every side; header and footer stand inside it
	bodySize   = 9.75
	leading    = 1.35
	smallSize  = 8.0 // header and footer
	codeSize   = 8.25
	minWidth   = 110.0 // text is never set narrower, however deep lists and quotes nest
	paraGap    = 6.0
	quotePad   = 5.0
	quoteInset = 12.0
	maxFrames  = 32 // quotes nested deeper get no bar of their own: the page is full
)

// typeSize is how text is set: its size in points, and its lines in sizes.
type typeSize struct{ size, lead float64 }

var (
	bodyText  = typeSize{bodySize, leading}
	smallText = typeSize{8, 1.28} // of small parts
)

// Layout is the page flow of one document: a column of boxes that is cut into
// pages. Renderers of an [Extension] add to it with [Layout.Box].
type Layout struct {
	pageW, pageH float64
	fonts        fontSet
	slabs        []*slab
	err          error

	draw    func(page) // is given each page
	drawn   int        // how many pages it was given
	page    page       // that is being filled
	y       float64    // where the next box goes on it, at the least
	spilt   bool       // the page goes on with what the one before had no room for
	section string     // in force there
	before  *slab      // that was placed last

	area     area       // where the next box goes
	stack    []area     // the areas around it
	marks    []mark     // list markers waiting for the first box of their item
	gap      float64    // least space above the next box
	noGap    bool       // the next box stands at the top of its frame
	glyphs   []glyph    // the inline text being collected
	styles   []style    // the style in force is the last
	open     *table     // the table being collected
	row      []figure   // the row of figures being collected
	behind   bool       // figures stand before this row
	part     int        // the part being laid out
	newPages []int      // parts that begin on a new page
	whole    []int      // parts that stand on one page where they can
	held     int        // the first slab of the one that is laid out; -1 for none
	small    []int      // parts in small type
	body     typeSize   // of paragraphs and lists of the part
	fresh    bool       // the next box begins a page
	found    []headings // by part
	nodes    map[ast.Node]*heading
	pictures map[string]Picture
	outline  []int // levels of the headings that are open in the outline

	tags   *tags
	inside tag   // the element that the next ones belong to
	ranks  []int // levels of the headings around what comes next, as they are read
}

// headings are those of a part.
type headings struct {
	slugs map[string]*heading
	all   []*heading // that are not laid out yet, in their order
}

// area is a column within the page and the frames drawn behind it.
type area struct {
	x, w   float64
	frames []*frame // outermost first
}

// frame is the tint behind a block, with or without a bar at its left.
type frame struct {
	x, w float64
	tint tone
	bar  bool
	end  *slab // the last slab in the frame
}

// slab is a strip of the flow that no page break can cut.
type slab struct {
	area   area
	gap    float64 // space above, unless the slab opens a page
	height float64
	base   float64 // from the top to the first baseline, where list markers stand
	keep   bool    // the next slab must be on the same page
	fresh  bool    // the slab begins a page
	part   float64 // height of the part that it begins, where that stands on one page
	floats bool    // the slab may stand behind what follows it, see [Floating]
	head   *slab   // repeated above this one when it opens a page
	under  float64 // space below a repeated head
	marks  []mark
	title  *heading
	cells  tag                         // the first cell of a row of a table
	draw   func(p *painter, y float64) // y is the top of the slab; nil draws nothing
}

// mark is a list marker that ends at x.
type mark struct {
	x    float64
	size float64
	text []glyph
	tag  tag
}

// heading is a heading that links and the outline can lead to.
type heading struct {
	text     string
	markdown int // level, from 1
	level    int // in the outline, from 0; -1 when it is not in the outline
	page     int // from 1
	y        float64
}

func newLayout(p Paper) *Layout {
	l := &Layout{pageW: 612, pageH: 792, styles: []style{{}}, nodes: make(map[ast.Node]*heading), y: bodyTop, tags: newTags(), inside: whole, body: bodyText, held: -1}
	if p == A4 {
		l.pageW, l.pageH = 595.28, 841.89
	}
	l.area = area{x: margin, w: l.pageW - 2*margin}
	return l
}

// Width returns the width of the column that the next box may fill, in points.
func (l *Layout) Width() float64 { return l.area.w }

// MaxHeight returns the height of the tallest box that fits a page, in points.
func (l *Layout) MaxHeight() float64 { return l.pageH - 2*margin - 2*quotePad }

// Box adds a box that is Width wide and height points high and stays in one
// piece. The function draw is called once, later, when its place is known. A
// box higher than MaxHeight is an error, which Write returns. Its texts and
// fields are read in the order in which they are drawn; see [Canvas.Figure] for
// what cannot be read.
func (l *Layout) Box(height float64, draw func(*Canvas)) {
	l.box(height, l.tags.add(roleDiv, l.inside), draw)
}

func (l *Layout) box(height float64, in tag, draw func(*Canvas)) {
	if !(height >= 0 && height <= l.MaxHeight()) {
		l.fail(fmt.Errorf("a box is %.0f pt high; a page holds 0 to %.0f pt", height, l.MaxHeight()))
		return
	}
	a, below := l.area, roleH1+min(role(len(l.ranks)), roleH6-roleH1)
	l.space(paraGap)
	l.add(&slab{height: height, base: ascent * bodySize, draw: func(p *painter, y float64) {
		draw(&Canvas{p: p, x: a.x, y: y, w: a.w, h: height, in: in, heading: below})
	}})
	l.space(paraGap)
}

func (l *Layout) fail(err error) {
	if l.err == nil {
		l.err = err
	}
}

// space asks for at least g points above the next box.
func (l *Layout) space(g float64) { l.gap = max(l.gap, g) }

// add puts s at the end of the flow.
func (l *Layout) add(s *slab) *slab {
	s.area = l.area
	s.fresh, l.fresh = l.fresh, false
	if !l.noGap {
		s.gap = l.gap
	}
	l.gap, l.noGap = 0, false
	s.marks, l.marks = l.marks, nil
	l.slabs = append(l.slabs, s)
	return s
}

// push narrows the area by indent at the left, as far as minWidth allows.
func (l *Layout) push(indent float64) {
	l.stack = append(l.stack, l.area)
	if l.area.w-indent >= minWidth {
		l.area.x += indent
		l.area.w -= indent
	}
}

func (l *Layout) pop() {
	l.area = l.stack[len(l.stack)-1]
	l.stack = l.stack[:len(l.stack)-1]
}

// openFrame starts a tinted block; closeFrame ends it and returns its first slab.
func (l *Layout) openFrame(tint tone, bar bool) (first int) {
	l.space(paraGap + 2)
	fr := &frame{x: l.area.x, w: l.area.w, tint: tint, bar: bar}
	inset := quoteInset
	if !bar {
		inset = quoteInset / 2
	}
	l.push(inset)
	l.area.w -= min(quoteInset/2, max(0, l.area.w-minWidth))
	if len(l.area.frames) < maxFrames {
		// The clip keeps sibling frames from sharing the array.
		l.area.frames = append(slices.Clip(l.area.frames), fr)
	}
	first = len(l.slabs)
	// A marker that waits for this block belongs beside its text, not its padding.
	marks := l.marks
	l.marks = nil
	l.add(&slab{height: quotePad, keep: true})
	l.marks = marks
	l.noGap = true
	return first
}

func (l *Layout) closeFrame(first int) {
	l.flushMarks()
	l.slabs[len(l.slabs)-1].keep = true
	l.gap, l.noGap = 0, false
	end := l.add(&slab{height: quotePad})
	if fr := l.slabs[first].area.frames; len(fr) > 0 {
		fr[len(fr)-1].end = end
	}
	l.pop()
	l.keepShort(first)
	l.space(paraGap + 2)
}

// keepShort keeps everything from slab first to the end on one page if it is short.
func (l *Layout) keepShort(first int) {
	h := 0.0
	for _, s := range l.slabs[first:] {
		h += s.gap + s.height
		if h > (l.pageH-2*margin)/5 {
			return
		}
	}
	for i := first; i < len(l.slabs)-1; i++ {
		l.slabs[i].keep = true
	}
}

// flushMarks gives list markers that no text followed a line of their own.
func (l *Layout) flushMarks() {
	if len(l.marks) > 0 {
		l.add(&slab{height: float64(l.body.size * l.body.lead), base: baseline(l.body.size, l.body.lead)})
	}
}

// baseline returns the distance from the top of a line to its baseline.
func baseline(size, lead float64) float64 {
	return float64(size * ((lead-ascent-descent)/2 + ascent))
}

// enter makes an element within the one that is open, which is open from now
// on; leave closes it.
func (l *Layout) enter(r role) { l.inside = l.tags.add(r, l.inside) }

func (l *Layout) leave() { l.inside = l.tags.elements[l.inside].parent }

// addText adds glyphs as a paragraph of the given size.
func (l *Layout) addText(g []glyph, size, lead float64) {
	if len(g) > 0 {
		l.addLines(g, size, lead, l.tags.add(roleP, l.inside))
	}
}

// addLines adds glyphs as the lines of an element, never parting the first two
// or the last two lines of a block.
func (l *Layout) addLines(g []glyph, size, lead float64, of tag) (first int) {
	first = len(l.slabs)
	x := l.area.x
	lines := breakLines(g, int(l.area.w/size*1000))
	for i, ln := range lines {
		l.add(&slab{
			height: float64(size * lead),
			base:   baseline(size, lead),
			keep:   i < len(lines)-1 && (i == 0 || i == len(lines)-2),
			draw: func(p *painter, y float64) {
				p.textLine(of, x, y+baseline(size, lead), ln, size)
			},
		})
	}
	return first
}
