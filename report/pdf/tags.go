package pdf

import (
	"strconv"

	"setline.example/report/pdf/object"
)

// role is what a structure element is (ISO 32000-1, 14.8.4).
type role uint8

const (
	roleDocument role = iota
	roleH1            // to H6, in their order
	roleH2
	roleH3
	roleH4
	roleH5
	roleH6
	roleP
	roleL
	roleLI
	roleLbl
	roleLBody
	roleTable
	roleTR
	roleTH
	roleTD
	roleFigure
	roleDiv
	roleLink
	roleForm
)

var roleNames = [...]string{
	"Document", "H1", "H2", "H3", "H4", "H5", "H6", "P", "L", "LI", "Lbl", "LBody",
	"Table", "TR", "TH", "TD", "Figure", "Div", "Link", "Form",
}

// tag is a structure element by its number among them; 0 is none.
type tag int32

// whole is the element that holds all others.
const whole tag = 1

// tags is the structure of a document (14.7): what is read, in its order, and
// where it stands. A report has an element for each cell of its tables, so that
// they are small and hold no pointer.
type tags struct {
	elements []element // the first one is not used
	kids     []kid     // nor is the first of these
	more     []more
	annots   []annot
	parents  [][]tag // of what is marked on each page, by its identifier
}

type element struct {
	role        role
	columns     uint16 // that a cell spans; 0 for its own
	parent      tag
	first, last int32 // kids
	more        int32 // place in tags.more plus 1
}

// kid is one item below an element, in a list.
type kid struct {
	next int32
	n    int32 // a tag, an identifier of marked content, or a place in tags.annots
	page int32 // from 0
	kind kidKind
}

type kidKind uint8

const (
	kidElement kidKind = iota
	kidContent
	kidAnnot
)

// more is what few elements have: what they show in words, and where, as long
// as all of it is on one page.
type more struct {
	alt                      string
	page                     int32 // from 0; -1 for none yet, -2 for several
	left, top, right, bottom float64
}

// annot is a link or a field: the element it belongs to, and its object.
type annot struct {
	of     tag
	number int
}

func newTags() *tags {
	return &tags{elements: make([]element, 2, 64), kids: make([]kid, 1, 64)}
}

// add adds an element at the end of another one.
func (t *tags) add(r role, in tag) tag {
	t.elements = append(t.elements, element{role: r, parent: in})
	n := tag(len(t.elements) - 1)
	t.append(in, kid{n: int32(n)})
	return n
}

// addSeen adds an element with what it shows in words, or a table.
func (t *tags) addSeen(r role, in tag, alt string) tag {
	n := t.add(r, in)
	t.more = append(t.more, more{alt: plain(alt), page: -1})
	t.elements[n].more = int32(len(t.more))
	return n
}

// row adds a row of n cells to a table, and returns the first.
func (t *tags) row(table tag, cell role, n int) tag {
	in := t.add(roleTR, table)
	for range n {
		t.add(cell, in)
	}
	return in + 1
}

// cells adds a row of a table that has n columns, and returns its first cell.
func (t *tags) cells(table tag, row [][]glyph, n int) tag {
	if !spans(row) {
		return t.row(table, roleTD, n)
	}
	cell := t.row(table, roleTD, 1)
	t.elements[cell].columns = uint16(n)
	return cell
}

func (t *tags) append(to tag, k kid) {
	t.kids = append(t.kids, k)
	n := int32(len(t.kids) - 1)
	e := &t.elements[to]
	if e.last == 0 {
		e.first = n
	} else {
		t.kids[e.last].next = n
	}
	e.last = n
}

// content gives what is marked next on a page to an element, and returns by
// which identifier.
func (t *tags) content(to tag, page int) int {
	for len(t.parents) <= page {
		t.parents = append(t.parents, nil)
	}
	id := len(t.parents[page])
	t.parents[page] = append(t.parents[page], to)
	t.append(to, kid{n: int32(id), page: int32(page), kind: kidContent})
	return id
}

// annotation gives a link or a field on a page to an element.
func (t *tags) annotation(to tag, page int) int {
	n := len(t.annots)
	t.annots = append(t.annots, annot{of: to})
	t.append(to, kid{n: int32(n), page: int32(page), kind: kidAnnot})
	return n
}

// seen says where a figure, or a part of a table, stands.
func (t *tags) seen(e tag, page int, left, top, right, bottom float64) {
	m := &t.more[t.elements[e].more-1]
	switch int(m.page) {
	case -1:
		*m = more{m.alt, int32(page), left, top, right, bottom}
	case page:
		m.left, m.top, m.right, m.bottom = min(m.left, left), min(m.top, top), max(m.right, right), max(m.bottom, bottom)
	default:
		m.page = -2
	}
}

// appendOrder adds an element and those within it, in their order.
func (t *tags) appendOrder(all []tag, n tag) []tag {
	all = append(all, n)
	for k := t.elements[n].first; k != 0; k = t.kids[k].next {
		if t.kids[k].kind == kidElement {
			all = t.appendOrder(all, tag(t.kids[k].n))
		}
	}
	return all
}

// tree is a structure as objects, made as they are written: the root (14.7.2),
// the elements in their order, and what is marked on each page by its identifier
// (14.7.4.4).
type tree struct {
	*tags
	pages  []int // their objects
	height float64
	order  []tag
	places []int32 // of the elements, in that order
}

func newTree(t *tags, pages []int, height float64) *tree {
	s := &tree{t, pages, height, make([]tag, 1, len(t.elements)), make([]int32, len(t.elements))}
	s.order = t.appendOrder(s.order, whole)
	for i, n := range s.order {
		s.places[n] = int32(i)
	}
	return s
}

// Len implements [object.Run].
func (t *tree) Len() int { return len(t.elements) + len(t.parents) }

// Append implements [object.Run].
func (t *tree) Append(b []byte, i, first int) []byte {
	switch {
	case i == 0:
		return t.appendRoot(b, first)
	case i < len(t.elements):
		return t.appendElement(b, t.order[i], first)
	}
	b = append(b, '[')
	for n, parent := range t.parents[i-len(t.elements)] {
		if n > 0 {
			b = append(b, ' ')
		}
		b = t.appendRef(b, parent, first)
	}
	return append(b, ']')
}

// appendRef adds a reference to an element, or to the root.
func (t *tree) appendRef(b []byte, n tag, first int) []byte {
	return appendRef(b, first+int(t.places[n]))
}

func appendRef(b []byte, n int) []byte {
	return append(strconv.AppendInt(b, int64(n), 10), " 0 R"...)
}

func (t *tree) appendRoot(b []byte, first int) []byte {
	b = append(b, "<< /Type /StructTreeRoot /K "...)
	b = t.appendRef(b, whole, first)
	b = append(b, " /ParentTree << /Nums ["...)
	for i := range t.parents {
		if i > 0 {
			b = append(b, ' ')
		}
		b = append(strconv.AppendInt(b, int64(i), 10), ' ')
		b = appendRef(b, first+len(t.elements)+i)
	}
	for i, a := range t.annots {
		if i+len(t.parents) > 0 {
			b = append(b, ' ')
		}
		b = append(strconv.AppendInt(b, int64(len(t.pages)+i), 10), ' ')
		b = t.appendRef(b, a.of, first)
	}
	b = append(b, "] >> /ParentTreeNextKey "...)
	b = strconv.AppendInt(b, int64(len(t.pages)+len(t.annots)), 10)
	return append(b, " >>"...)
}

// parentKey is under which key the tree of parents has an annotation.
func (t *tree) parentKey(annot int) int { return len(t.pages) + annot }

func (t *tree) appendElement(b []byte, n tag, first int) []byte {
	e := &t.elements[n]
	b = append(b, "<< /S /"...)
	b = append(b, roleNames[e.role]...)
	b = append(b, " /P "...)
	b = t.appendRef(b, e.parent, first)
	page := t.pageOf(e)
	if page >= 0 {
		b = append(b, " /Pg "...)
		b = appendRef(b, t.pages[page])
	}
	if e.more > 0 {
		b = t.appendMore(b, t.more[e.more-1])
	}
	if e.columns > 1 {
		b = append(b, " /A << /O /Table /ColSpan "...)
		b = append(strconv.AppendInt(b, int64(e.columns), 10), " >>"...)
	}
	if e.role == roleTH {
		b = append(b, " /A << /O /Table /Scope /Column >>"...)
	}
	if e.first != 0 {
		b = t.appendKids(append(b, " /K "...), e, page, first)
	}
	return append(b, " >>"...)
}

// pageOf is the page on which the content of an element begins; -1 where it has
// none of its own.
func (t *tags) pageOf(e *element) int32 {
	for k := e.first; k != 0; k = t.kids[k].next {
		if t.kids[k].kind != kidElement {
			return t.kids[k].page
		}
	}
	return -1
}

func (t *tree) appendMore(b []byte, m more) []byte {
	if m.page >= 0 {
		b = append(b, " /A << /O /Layout /BBox "...)
		b = append(b, object.Numbers(m.left, t.height-m.bottom, m.right, t.height-m.top).Source()...)
		b = append(b, " >>"...)
	}
	if m.alt != "" {
		b = append(b, " /Alt "...)
		b = append(b, object.TextString(m.alt)...)
	}
	return b
}

func (t *tree) appendKids(b []byte, e *element, page int32, first int) []byte {
	several := t.kids[e.first].next != 0
	if several {
		b = append(b, '[')
	}
	for k := e.first; k != 0; k = t.kids[k].next {
		if k != e.first {
			b = append(b, ' ')
		}
		b = t.appendKid(b, t.kids[k], page, first)
	}
	if several {
		b = append(b, ']')
	}
	return b
}

func (t *tree) appendKid(b []byte, k kid, page int32, first int) []byte {
	switch {
	case k.kind == kidElement:
		return t.appendRef(b, tag(k.n), first)
	case k.kind == kidContent && k.page == page:
		return strconv.AppendInt(b, int64(k.n), 10)
	case k.kind == kidContent:
		b = append(b, "<< /Type /MCR /Pg "...)
		b = append(appendRef(b, t.pages[k.page]), " /MCID "...)
		b = strconv.AppendInt(b, int64(k.n), 10)
	default:
		b = append(b, "<< /Type /OBJR /Pg "...)
		b = append(appendRef(b, t.pages[k.page]), " /Obj "...)
		b = appendRef(b, t.annots[k.n].number)
	}
	return append(b, " >>"...)
}
