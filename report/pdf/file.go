package pdf

import (
	"cmp"
	"fmt"
	"io"

	"setline.example/report/pdf/object"
)

// file gathers the objects of a PDF (ISO 32000-1, 7.7), numbered from 1 on.
type file struct {
	items []object.Item
	root  int // of the tree of pages
	pages []int
	tree  *tree
}

// newFile begins with the tree of pages.
func newFile() *file {
	f := &file{}
	f.root = f.reserve()
	return f
}

// reserve gives the number of an object that is to be set later.
func (f *file) reserve() int { return f.addItem(object.Item{}) }

func (f *file) set(n int, v object.Value) { f.items[n-1] = object.Item{Value: v} }

func (f *file) add(v object.Value) int { return f.addItem(object.Item{Value: v}) }

func (f *file) addItem(it object.Item) int {
	f.items = append(f.items, it)
	return len(f.items)
}

// addPlain adds a stream that is short, or packed already, and stays as it is.
func (f *file) addPlain(dict object.Value, stream []byte) int {
	return f.addItem(object.Item{Value: dict, Stream: stream})
}

// setPages sets the tree of pages (7.7.3), which is flat.
func (f *file) setPages(mediaBox object.Value) {
	kids := object.List()
	for _, n := range f.pages {
		kids.Items = append(kids.Items, object.RefTo(n))
	}
	d := object.NewDict("Pages")
	d.Add("Kids", kids)
	d.Add("Count", object.Whole(len(f.pages)))
	d.Add("MediaBox", mediaBox)
	f.set(f.root, d)
}

// addAttachments adds the attachments (7.11.4) and returns the tree of their
// names, and a list of them in their order. Each is packed when it is written.
func (f *file) addAttachments(d Document) (names, all object.Value) {
	list, all := object.List(), object.List()
	for i, a := range d.Attachments {
		params := object.NewDict("")
		params.Add("Size", object.Whole(len(a.Content)))
		if !d.Date.IsZero() {
			params.Add("CreationDate", date(d))
			params.Add("ModDate", date(d))
		}
		stream := object.NewDict("EmbeddedFile")
		stream.Add("Subtype", object.NameOf(mediaType(a.Name)))
		stream.Add("Params", params)
		content := a.Content
		if content == nil {
			content = []byte{}
		}
		held := object.NewDict("")
		held.Add("F", object.RefTo(f.addItem(object.Item{Value: stream, Plain: content})))
		spec := object.NewDict("Filespec")
		spec.Add("F", object.Text(a.Name))
		spec.Add("UF", object.Text(a.Name))
		spec.Add("EF", held)
		spec.Add("Desc", object.Text(plain(a.Description)))
		spec.Add("AFRelationship", object.NameOf(string(cmp.Or(a.Relation, "Unspecified"))))
		// The order of keys is that of the files (7.9.6).
		ref := object.RefTo(f.add(spec))
		list.Items = append(list.Items, object.Bytes(fmt.Sprintf("file %06d", i+1)), ref)
		all.Items = append(all.Items, ref)
	}
	embedded := object.NewDict("")
	embedded.Add("Names", list)
	names = object.NewDict("")
	names.Add("EmbeddedFiles", embedded)
	return names, all
}

func date(d Document) object.Value {
	return object.Bytes("D:" + d.Date.UTC().Format("20060102150405") + "+00'00")
}

// information is the information dictionary (14.3.3).
func information(d Document) object.Value {
	info := object.NewDict("")
	for _, m := range []struct{ key, text string }{
		{"Title", d.Title}, {"Subject", d.Subject}, {"Author", d.Author}, {"Creator", d.Creator},
	} {
		if m.text != "" {
			info.Add(m.key, object.Text(m.text))
		}
	}
	if !d.Date.IsZero() {
		info.Add("CreationDate", date(d))
		info.Add("ModDate", date(d))
	}
	return info
}

// write writes the file, whose catalog has these entries beside its pages.
func (f *file) write(w io.Writer, d Document, catalog object.Value) error {
	trailer := object.NewDict("")
	trailer.Add("Size", object.Whole(0)) // set as it is written
	info := f.add(information(d))
	// The root of the structure is the first of the run behind the catalog.
	catalog.Add("StructTreeRoot", object.RefTo(len(f.items)+2))
	trailer.Add("Root", object.RefTo(f.add(catalog)))
	trailer.Add("Info", object.RefTo(info))
	write := object.WriteTo
	if d.Compact {
		write = object.WriteCompact
	}
	if err := write(w, f.items, f.tree, trailer); err != nil {
		return fmt.Errorf("write PDF: %w", err)
	}
	return nil
}
