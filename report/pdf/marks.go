package pdf

import "strconv"

// artifact is what stands on a page and is not read (ISO 32000-1, 14.8.2.2), as
// the operator that begins it.
type artifact string

const (
	decoration artifact = "/Artifact BMC\n"
	repeated   artifact = "/Artifact <</Type /Pagination>> BDC\n" // the head of a table
	header     artifact = "/Artifact <</Type /Pagination /Subtype /Header /Attached [/Top]>> BDC\n"
	footer     artifact = "/Artifact <</Type /Pagination /Subtype /Footer /Attached [/Bottom]>> BDC\n"
)

// marked says to what the operators that follow belong: to an element, to an
// artifact, or to nothing yet.
type marked struct {
	tag      tag
	artifact artifact
}

// belongs gives what is drawn from now on to an element.
func (p *painter) belongs(to tag) {
	p.owner = to
	if p.again {
		p.mark(marked{artifact: repeated})
		return
	}
	p.mark(marked{tag: to})
}

// decorates says that what is drawn from now on is not read.
func (p *painter) decorates() {
	if p.again {
		p.mark(marked{artifact: repeated})
		return
	}
	p.mark(marked{artifact: decoration})
}

// mark ends what is marked and begins another. Marks and clips are one within
// the other.
func (p *painter) mark(m marked) {
	if p.marks == m {
		return
	}
	if p.marks != (marked{}) {
		if p.clip == nil || p.inClip {
			p.buf = append(p.buf, "EMC\n"...)
		} else {
			within := p.clip
			p.within(nil)
			p.buf = append(p.buf, "EMC\n"...)
			p.marks = marked{}
			p.within(within)
		}
	}
	p.marks, p.inClip = m, p.clip != nil
	switch {
	case m.tag != 0:
		p.buf = append(append(p.buf, '/'), roleNames[p.tags.elements[m.tag].role]...)
		p.buf = append(p.buf, " <</MCID "...)
		p.buf = strconv.AppendInt(p.buf, int64(p.tags.content(m.tag, len(p.pages))), 10)
		p.buf = append(p.buf, ">> BDC\n"...)
	case m.artifact != "":
		p.buf = append(p.buf, m.artifact...)
	}
}

// linked returns the element of a link within the element that is drawn. What
// stands on several lines is one link.
func (p *painter) linked(id linkID) tag {
	if l := p.lastLink; l.id != id || l.in != p.owner {
		p.lastLink.id, p.lastLink.in = id, p.owner
		p.lastLink.tag = p.tags.add(roleLink, p.owner)
	}
	return p.lastLink.tag
}

// edges begins the head or the foot of a page.
func (p *painter) edges(a artifact) {
	p.owner = 0
	p.mark(marked{artifact: a})
}
