package pdf

import (
	"fmt"
	"io"

	"setline.example/report/pdf/object"
)

// finish adds what all pages share, draws their feet, and writes the file.
func (p *painter) finish(w io.Writer) error {
	if p.err == nil {
		finalValues(p.fields, len(p.pages))
		p.err = checkFields(p.fields)
	}
	if p.err != nil {
		return p.err
	}
	f := p.file
	for range p.pages {
		f.pages = append(f.pages, f.reserve())
	}
	f.setPages(mediaBox(p.d.Paper))
	f.tree = newTree(p.tags, f.pages, p.pageH)
	resources := f.reserve()
	form, widgets := f.addForm(p.fields, p.pageH)
	for i, pg := range p.pages {
		packed := object.NewDict("")
		packed.Add("Filter", object.NameOf("FlateDecode"))
		content := f.addPlain(packed, p.foot(i+1))
		d := object.NewDict("Page")
		d.Add("Parent", object.RefTo(f.root))
		d.Add("Resources", object.RefTo(resources))
		// Links come behind fields, which the tab key reaches first.
		if annots := append(widgets[i], f.annotations(pg.links, p.pageH)...); len(annots) > 0 {
			d.Add("Annots", object.List(annots...))
		}
		d.Add("Contents", object.RefTo(content))
		d.Add("StructParents", object.Whole(i))
		d.Add("Tabs", object.NameOf("S")) // as the structure has them
		f.set(f.pages[i], d)
		p.pages[i] = painted{}
	}
	p.packer.Done()
	f.set(resources, p.resources())
	catalog := object.NewDict("Catalog")
	catalog.Add("Pages", object.RefTo(f.root))
	if p.d.Lang != "" {
		catalog.Add("Lang", object.Bytes(p.d.Lang))
	}
	marks := object.NewDict("")
	marks.Add("Marked", object.Value{Kind: object.Boolean, Text: "true"})
	catalog.Add("MarkInfo", marks)
	if p.d.Title != "" {
		shown := object.NewDict("")
		shown.Add("DisplayDocTitle", object.Value{Kind: object.Boolean, Text: "true"})
		catalog.Add("ViewerPreferences", shown)
	}
	if len(p.titles) > 0 {
		catalog.Add("Outlines", object.RefTo(f.addOutline(p.titles, p.pageH)))
		catalog.Add("PageMode", object.NameOf("UseOutlines"))
	}
	if len(p.d.Attachments) > 0 {
		names, all := f.addAttachments(p.d)
		catalog.Add("Names", names)
		catalog.Add("AF", all)
	}
	catalog.Add("Metadata", object.RefTo(f.addMetadata(p.d)))
	catalog.Add("OutputIntents", f.addIntent())
	if len(p.fields) > 0 {
		catalog.Add("AcroForm", form)
	}
	return f.write(w, p.d, catalog)
}

// mediaBox is the size of all pages (14.11.2).
func mediaBox(paper Paper) object.Value {
	w, h := "612.00", "792.00"
	if paper == A4 {
		w, h = "595.28", "841.89"
	}
	side := func(text string) object.Value { return object.Value{Kind: object.Real, Text: text} }
	return object.List(object.Whole(0), object.Whole(0), side(w), side(h))
}

// annotations are the links of a page (12.5.6.5), and say where they lead in
// words too (14.9.3).
func (f *file) annotations(links []clickable, height float64) []object.Value {
	var all []object.Value
	for _, l := range links {
		d := object.NewDict("Annot")
		d.Add("Subtype", object.NameOf("Link"))
		d.Add("F", object.Whole(annotPrint))
		d.Add("Rect", object.Numbers(l.x, height-l.y-l.h, l.x+l.w, height-l.y))
		d.Add("Border", object.Numbers(0, 0, 0))
		if l.to.heading != nil {
			d.Add("Dest", f.destination(l.to.heading, height))
		} else {
			action := object.NewDict("")
			action.Add("S", object.NameOf("URI"))
			action.Add("URI", object.Bytes(l.to.address))
			d.Add("A", action)
			d.Add("Contents", object.Text(l.to.address))
		}
		if l.to.heading != nil && l.to.heading.text != "" {
			d.Add("Contents", object.Text(l.to.heading.text))
		}
		d.Add("StructParent", object.Whole(f.tree.parentKey(l.annot)))
		n := f.add(d)
		f.tree.annots[l.annot].number = n
		all = append(all, object.RefTo(n))
	}
	return all
}

// resources are the fonts and pictures of all pages (7.8.3).
func (p *painter) resources() object.Value {
	fonts := object.NewDict("")
	unicode := 0
	for i, used := range p.used {
		if used == nil {
			continue
		}
		if unicode == 0 {
			unicode = p.addItem(object.Item{Value: object.NewDict(""), Plain: toUnicode(&p.used)})
		}
		fonts.Add(fmt.Sprintf("F%d", i+1), object.RefTo(p.addFont(face(i), used, unicode)))
	}
	d := object.NewDict("")
	d.Add("Font", fonts)
	if len(p.images.objects) > 0 {
		d.Add("XObject", p.images.names())
	}
	return d
}
