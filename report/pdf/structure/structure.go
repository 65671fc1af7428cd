// Package structure reads a PDF as someone does who cannot see its pages, for
// tests: along its structure tree (ISO 32000-1, 14.7 and 14.8), and holds that all
// that stands on the pages is either in that tree, once, or said to be no part of
// what is read. It goes by the objects and operators of the file alone and shares
// nothing with the package that writes them but the reader of objects.
//
// What is where: content.go reads the operators of a page, rules.go holds the tree
// to the rules, structure.go reads it.
package structure

import (
	"fmt"

	"setline.example/report/pdf/object"
)

// Element is a structure element.
type Element struct {
	Number int64  // of its object
	Role   string // "P", "TH"
	Alt    string
	Scope  string // of a header cell
	Span   int64  // columns of a cell
	Kids   []Kid
}

// Kid is an element, marked content of a page, or an annotation.
type Kid struct {
	Element *Element
	Page    int   // from 0, of content
	MCID    int   // of content; -1 else
	Annot   int64 // number of an annotation's object; 0 else
}

// Document is a file with its structure.
type Document struct {
	Root    *Element
	Pages   []Page
	file    *object.File
	catalog object.Value
	parents map[int64]object.Value // the tree of parents
}

// Page is what a page says of itself.
type Page struct {
	object.Value
	Number  int64
	Content Content
}

// Read reads the structure of a file in the form of a report.
func Read(data []byte) (*Document, error) {
	f, err := object.Read(data)
	if err != nil {
		return nil, err
	}
	d := &Document{file: f, parents: map[int64]object.Value{}}
	d.catalog = d.resolve(f.Revisions[len(f.Revisions)-1].Trailer.Get("Root"))
	if err := d.readPages(d.catalog.Get("Pages")); err != nil {
		return nil, err
	}
	root := d.resolve(d.catalog.Get("StructTreeRoot"))
	if !root.Get("Type").IsName("StructTreeRoot") {
		return nil, fmt.Errorf("the catalog has no structure tree")
	}
	nums := d.resolve(d.resolve(root.Get("ParentTree")).Get("Nums")).Items
	for i := 0; i+1 < len(nums); i += 2 {
		d.parents[nums[i].Int] = nums[i+1]
	}
	d.Root, err = d.element(root.Get("K"), d.catalog.Get("StructTreeRoot").Int, map[int64]bool{})
	return d, err
}

func (d *Document) resolve(v object.Value) object.Value {
	return d.file.Resolve(v, len(d.file.Revisions)-1)
}

func (d *Document) readPages(at object.Value) error {
	node := d.resolve(at)
	for _, kid := range node.Get("Kids").Items {
		if err := d.readPages(kid); err != nil {
			return err
		}
	}
	if !node.Get("Type").IsName("Page") {
		return nil
	}
	o, ok := d.file.Find(node.Get("Contents").Int, len(d.file.Revisions)-1)
	if !ok {
		return fmt.Errorf("page %d has no content", len(d.Pages)+1)
	}
	plain, err := object.Unpack(d.file.Data[o.From:o.To], object.MostUnpacked)
	if err != nil {
		return err
	}
	content, err := readContent(plain)
	if err != nil {
		return fmt.Errorf("page %d: %w", len(d.Pages)+1, err)
	}
	d.Pages = append(d.Pages, Page{node, at.Int, content})
	return nil
}

func (d *Document) element(at object.Value, parent int64, seen map[int64]bool) (*Element, error) {
	v := d.resolve(at)
	switch {
	case at.Kind != object.Ref || v.Kind != object.Dict:
		return nil, fmt.Errorf("found %s, expected a structure element", at)
	case seen[at.Int]:
		return nil, fmt.Errorf("element %d is in the tree twice", at.Int)
	case v.Get("P").Int != parent:
		return nil, fmt.Errorf("element %d has the parent %d, expected %d", at.Int, v.Get("P").Int, parent)
	}
	seen[at.Int] = true
	e := &Element{Number: at.Int, Role: v.Get("S").Text, Alt: object.DecodeText(v.Get("Alt").Text), Scope: v.Get("A").Get("Scope").Text, Span: max(v.Get("A").Get("ColSpan").Int, 1)}
	kids := []object.Value{v.Get("K")}
	if kids[0].Kind == object.Array {
		kids = kids[0].Items
	}
	for _, k := range kids {
		kid, err := d.kid(k, v, seen, at.Int)
		if err != nil {
			return nil, err
		}
		if kid != nil {
			e.Kids = append(e.Kids, *kid)
		}
	}
	return e, nil
}

func (d *Document) kid(k, parent object.Value, seen map[int64]bool, number int64) (*Kid, error) {
	page := parent.Get("Pg").Int
	if k.Has("Pg") {
		page = k.Get("Pg").Int
	}
	switch {
	case k.Kind == object.Null:
		return nil, nil
	case k.Kind == object.Ref:
		e, err := d.element(k, number, seen)
		return &Kid{Element: e, MCID: -1}, err
	case k.Get("Type").IsName("OBJR"):
		return &Kid{Annot: k.Get("Obj").Int, MCID: -1}, nil
	case k.Get("Type").IsName("MCR"):
		k = k.Get("MCID")
	}
	for i, p := range d.Pages {
		if p.Number == page && k.Kind == object.Integer {
			return &Kid{Page: i, MCID: int(k.Int)}, nil
		}
	}
	return nil, fmt.Errorf("element %d has %s on object %d, which is no page", number, k, page)
}

// Each calls do for an element and all within it, in the order in which they are read.
func (e *Element) Each(do func(*Element)) {
	do(e)
	for _, k := range e.Kids {
		if k.Element != nil {
			k.Element.Each(do)
		}
	}
}

// Text is what is read of an element: its alternative text where it has one,
// else the text of its content and of the elements within it.
func (d *Document) Text(e *Element) string {
	if e.Alt != "" {
		return e.Alt
	}
	s := ""
	for _, k := range e.Kids {
		switch {
		case k.Element != nil:
			s += d.Text(k.Element)
		case k.MCID >= 0:
			s += d.Pages[k.Page].Content.Texts[k.MCID]
		default:
			s += object.DecodeText(d.annot(k.Annot).Get("TU").Text)
		}
	}
	return s
}

func (d *Document) annot(n int64) object.Value {
	return d.resolve(object.Value{Kind: object.Ref, Int: n})
}
