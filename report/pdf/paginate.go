package pdf

// page is what stands on one page.
type page struct {
	items   []item
	section string // the heading in force at its top
}

// item is a slab with its place.
type item struct {
	*slab
	y     float64
	again bool // it stands elsewhere too
}

// sectionDepth is the lowest level of heading that names a section; a heading
// of the first level names the document.
const sectionDepth = 3

const (
	bodyTop = margin + 3 // below the running header
	// Padding of a frame that a page break cuts.
	cutPad = 4.0
)

func (l *Layout) bodyBottom() float64 { return l.pageH - margin - 2 }

// paginate cuts the flow so far into pages and gives those that are full to be
// drawn; at the end of the document the last one too. Every document has at
// least one. In between, the flow has to end in front of a heading or at the end
// of a part: where things stand does not depend on what follows then.
func (l *Layout) paginate(end bool) {
	if n := len(l.slabs); !end && (n == 0 || l.held >= 0 || l.slabs[n-1].keep || l.slabs[n-1].floats) {
		return // what comes may belong to it
	}
	for i := range l.slabs {
		if len(l.page.items) > 0 {
			l.float(i, l.y)
		}
		l.place(i)
	}
	if n := len(l.slabs); n > 0 {
		l.before = l.slabs[n-1]
	}
	clear(l.slabs)
	l.slabs = l.slabs[:0]
	if end {
		l.turn()
	}
}

// turn ends the page.
func (l *Layout) turn() {
	full := l.page
	l.page, l.y = page{}, bodyTop
	l.drawn++
	l.draw(full)
}

// fewLines reports whether nothing stands on the page but the last lines of a
// part that had no room for them on the page before. A part that is to begin a
// page goes on below them: a page for three lines is paper for nothing.
func (l *Layout) fewLines() bool { return l.spilt && l.y < bodyTop+6*bodySize*leading }

// place puts slab i on the page, or on the next one.
func (l *Layout) place(i int) {
	before := l.before
	if i > 0 {
		before = l.slabs[i-1]
	}
	s := l.slabs[i]
	// A table that goes on, overleaf or below a picture, has its head again.
	again, gap := 0.0, s.gap
	if s.head != nil && before != nil && before.floats {
		again, gap = s.head.height+s.under, max(gap, paraGap)
	}
	// A chain that cannot fit any page is placed slab by slab.
	need := max(l.chain(i), s.part)
	if len(l.page.items) > 0 && (s.fresh && !l.fewLines() || l.y+gap+again+need > l.bodyBottom()) {
		l.turn()
		l.spilt = !s.fresh
	}
	opens := len(l.page.items) == 0
	switch {
	case !opens:
		l.y += gap
	case len(s.area.frames) > 0 && before != nil && !opensFrame(before, s):
		l.y += cutPad
	}
	if s.head != nil && (opens || again > 0) {
		l.page.items = append(l.page.items, item{s.head, l.y, true})
		l.y += s.head.height + s.under
	}
	if t := s.title; t != nil && t.markdown > 1 && t.markdown <= sectionDepth {
		l.section = t.text
	}
	if opens {
		l.page.section = l.section
	}
	if t := s.title; t != nil {
		t.page, t.y = l.drawn+1, l.y
	}
	l.page.items = append(l.page.items, item{s, l.y, false})
	l.y += s.height
}

// opensFrame reports whether s stands in a frame that prev does not stand in.
func opensFrame(prev, s *slab) bool { return len(s.area.frames) > len(prev.area.frames) }

// chain returns the height of slab i together with what must stay on its page,
// or of slab i alone when that is more than a page holds.
func (l *Layout) chain(i int) float64 {
	room := l.bodyBottom() - bodyTop - cutPad
	if h := l.slabs[i].head; h != nil {
		room -= h.height + l.slabs[i].under
	}
	need := l.slabs[i].height
	for j := i; l.slabs[j].keep && j+1 < len(l.slabs); j++ {
		need += l.slabs[j+1].gap + l.slabs[j+1].height
		if need > room {
			return l.slabs[i].height
		}
	}
	return need
}

// frameBox is where a frame stands on one page.
type frameBox struct {
	*frame
	top, bottom float64
}

// frames returns the frames behind the items of the page, outer ones first.
func (p page) frames() []frameBox {
	var boxes []frameBox
	at := make(map[*frame]int)
	for _, it := range p.items {
		for _, fr := range it.area.frames {
			i, ok := at[fr]
			if !ok {
				i = len(boxes)
				at[fr] = i
				boxes = append(boxes, frameBox{fr, it.y, 0})
			}
			boxes[i].bottom = it.y + it.height
		}
	}
	if len(p.items) > 0 {
		last := p.items[len(p.items)-1]
		for _, fr := range last.area.frames {
			if fr.end != last.slab { // goes on overleaf
				boxes[at[fr]].bottom += cutPad
			}
		}
	}
	return boxes
}
