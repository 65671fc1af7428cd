package structure

import (
	"fmt"
	"maps"
	"slices"

	"setline.example/report/pdf/object"
)

// Problems says what does not hold, nil where all does: every page draws nothing
// that is neither in the tree nor an artifact; what is marked is in the tree
// once, where the tree of parents says; headings begin with the first level and
// skip none; tables have rows and head cells with a scope; figures are told in
// words; links and fields are in the tree, and say what they are for.
func (d *Document) Problems() []string {
	c := &check{d: d, placed: map[[2]int]*Element{}, annots: map[int64]*Element{}}
	c.document()
	for i := range d.Pages {
		c.page(i)
	}
	d.Root.Each(c.element)
	c.parents()
	return c.all
}

type check struct {
	d      *Document
	all    []string
	level  int
	placed map[[2]int]*Element // page and identifier
	annots map[int64]*Element
}

func (c *check) addf(format string, args ...any) { c.all = append(c.all, fmt.Sprintf(format, args...)) }

func (c *check) document() {
	catalog := c.d.catalog
	if catalog.Get("MarkInfo").Get("Marked").Text != "true" {
		c.addf("it does not say that it is marked")
	}
	if catalog.Get("Lang").Text == "" {
		c.addf("it does not say its language")
	}
	if catalog.Get("ViewerPreferences").Get("DisplayDocTitle").Text != "true" {
		c.addf("its title is not shown")
	}
	if c.d.Root.Role != "Document" {
		c.addf("the tree begins with %s, expected Document", c.d.Root.Role)
	}
}

func (c *check) page(i int) {
	p := c.d.Pages[i]
	for _, found := range []struct {
		what string
		list any
		n    int
	}{
		{"draws what belongs to nothing", p.Content.Unmarked, len(p.Content.Unmarked)},
		{"does not nest", p.Content.Crossed, len(p.Content.Crossed)},
		{"has identifiers twice", p.Content.Again, len(p.Content.Again)},
	} {
		if found.n > 0 {
			c.addf("page %d %s: %v", i+1, found.what, found.list)
		}
	}
	if !p.Get("Tabs").IsName("S") {
		c.addf("page %d is not tabbed through in the order of the structure", i+1)
	}
}

// within are the elements that may stand in one another (14.8.4).
var within = map[string][]string{
	"Table": {"TR"}, "TR": {"TH", "TD"}, "L": {"LI"}, "LI": {"Lbl", "LBody"},
	"Figure": {}, "Link": {}, "Form": {}, "Lbl": {},
}

func (c *check) element(e *Element) {
	for _, k := range e.Kids {
		allowed, limited := within[e.Role]
		switch {
		case k.Element != nil && limited && !slices.Contains(allowed, k.Element.Role):
			c.addf("a %s is in a %s", k.Element.Role, e.Role)
		case k.Annot != 0:
			if c.annots[k.Annot] != nil {
				c.addf("annotation %d is in the tree twice", k.Annot)
			}
			c.annots[k.Annot] = e
		case k.MCID >= 0:
			c.content(e, k)
		}
	}
	switch {
	case len(e.Role) == 2 && e.Role[0] == 'H' && e.Role[1] <= '6':
		level := int(e.Role[1] - '0')
		if level > c.level+1 {
			c.addf("a heading of level %d follows one of level %d: %q", level, c.level, c.d.Text(e))
		}
		c.level = level
	case e.Role == "Table":
		c.table(e)
	case e.Role == "TH" && e.Scope == "":
		c.addf("the head cell %q does not say what it is the head of", c.d.Text(e))
	case e.Role == "Figure" && e.Alt == "":
		c.addf("a figure (element %d) is not told in words", e.Number)
	}
}

func (c *check) content(e *Element, k Kid) {
	key := [2]int{k.Page, k.MCID}
	marks := c.d.Pages[k.Page].Content.Marks
	switch {
	case c.placed[key] != nil:
		c.addf("content %d of page %d is in the tree twice", k.MCID, k.Page+1)
	case k.MCID >= len(marks):
		c.addf("content %d is not on page %d", k.MCID, k.Page+1)
	case marks[k.MCID] != e.Role:
		c.addf("content %d of page %d is marked %s and stands in a %s", k.MCID, k.Page+1, marks[k.MCID], e.Role)
	}
	c.placed[key] = e
}

func (c *check) table(e *Element) {
	columns := -1
	for i, row := range e.Kids {
		if row.Element == nil {
			continue
		}
		n := 0
		for _, cell := range row.Element.Kids {
			if head := i == 0; cell.Element != nil && head != (cell.Element.Role == "TH") {
				c.addf("a %s is in row %d of a table", cell.Element.Role, i+1)
			}
			if cell.Element != nil {
				n += int(cell.Element.Span)
			}
		}
		if columns >= 0 && n != columns {
			c.addf("row %d of a table has %d cells, expected %d", i+1, n, columns)
		} else {
			columns = n
		}
	}
	if columns < 1 {
		c.addf("a table has no cells")
	}
}

// parents holds the tree of parents to the tree.
func (c *check) parents() {
	for i, p := range c.d.Pages {
		list := c.d.resolve(c.d.parents[p.Get("StructParents").Int]).Items
		if n := len(p.Content.Marks); len(list) != n {
			c.addf("page %d has %d marked contents, and the tree of parents %d", i+1, n, len(list))
			continue
		}
		for id, ref := range list {
			if e := c.placed[[2]int{i, id}]; e == nil || e.Number != ref.Int {
				c.addf("content %d of page %d is not where the tree of parents has it, in element %d", id, i+1, ref.Int)
			}
		}
		for _, a := range p.Get("Annots").Items {
			c.annotation(i, a)
		}
	}
	for _, n := range slices.Sorted(maps.Keys(c.annots)) {
		if c.annots[n] == nil {
			c.addf("annotation %d is in the tree and on no page", n)
		}
	}
}

const hidden = 1 << 1 // in /F of an annotation

func (c *check) annotation(page int, ref object.Value) {
	a := c.d.resolve(ref)
	if a.Get("F").Int&hidden != 0 {
		return
	}
	want := map[string]string{"Link": "Link", "Widget": "Form"}[a.Get("Subtype").Text]
	e := c.annots[ref.Int]
	switch {
	case e == nil || e.Role != want:
		c.addf("page %d: a %s is in no %s", page+1, a.Get("Subtype").Text, want)
	case c.d.parents[a.Get("StructParent").Int].Int != e.Number:
		c.addf("page %d: a %s is not where the tree of parents has it", page+1, a.Get("Subtype").Text)
	case want == "Form" && a.Get("TU").Text == "":
		c.addf("page %d: the field %q does not say what it is for", page+1, a.Get("T").Text)
	case want == "Link" && a.Get("Contents").Text == "":
		c.addf("page %d: a link does not say where it leads", page+1)
	}
}
