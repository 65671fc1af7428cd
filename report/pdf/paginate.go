package pdf

// page is what stands on one page.
type page struct {
	items   []item
	section string // the heading in force at its top
}

// item is a slab with its place.
type item struct {
	*slab
	y float64
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

// finishFlow cuts the flow into pages. Every document has at least one.
func (l *Layout) finishFlow() {
	l.flushMarks()
	var cur page
	section := ""
	y := bodyTop
	next := func() {
		l.pages = append(l.pages, cur)
		cur, y = page{}, bodyTop
	}
	for i := range l.slabs {
		if len(cur.items) > 0 {
			l.float(i, y)
		}
		s := l.slabs[i]
		// A table that goes on, overleaf or below a picture, has its head again.
		again, gap := 0.0, s.gap
		if s.head != nil && i > 0 && l.slabs[i-1].floats {
			again, gap = s.head.height+s.under, max(gap, paraGap)
		}
		// A chain that cannot fit any page is placed slab by slab.
		need := l.chain(i)
		if len(cur.items) > 0 && (s.fresh || y+gap+again+need > l.bodyBottom()) {
			next()
		}
		opens := len(cur.items) == 0
		switch {
		case !opens:
			y += gap
		case len(s.area.frames) > 0 && i > 0 && !opensFrame(l.slabs[i-1], s):
			y += cutPad
		}
		if s.head != nil && (opens || again > 0) {
			cur.items = append(cur.items, item{s.head, y})
			y += s.head.height + s.under
		}
		if t := s.title; t != nil && t.markdown > 1 && t.markdown <= sectionDepth {
			section = t.text
		}
		if opens {
			cur.section = section
		}
		if t := s.title; t != nil {
			t.page, t.y = len(l.pages)+1, y
		}
		cur.items = append(cur.items, item{s, y})
		y += s.height
	}
	next()
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
