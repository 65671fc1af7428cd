package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"

	"setline.example/report/pdf/object"
)

// finish rewrites what fpdf v0.9.0 wrote so that it is a sound PDF 1.7
// (ISO 32000-1), and says so. fpdf
//
//   - writes version 1.3 in the header, older than what the file uses;
//   - takes the first page for object 3 in the outline, though the attachments
//     come before it, so every bookmark would lead astray, and counts no items
//     of the outline (12.3.3);
//   - names attachments in an order that a name tree may not have from the
//     tenth on (7.9.6);
//   - names fonts without the tag that marks them as subsets (9.6.4);
//   - writes dates without a zone (7.9.4), and no file identifier (14.4);
//   - puts pictures of one width in an order that is another each time.
//
// It also writes the form fields, which fpdf does not know.
//
// Only whole objects are edited, found through the cross-reference table, and
// the file is written anew in the form of [object.Write]; streams are never
// searched.
func finish(raw []byte, d Document, fields []placed, height float64) ([]byte, error) {
	objects, trailer, err := split(raw)
	if err != nil {
		return nil, fmt.Errorf("finish PDF: %w", err)
	}
	if err := mendOutline(objects, len(d.Attachments)); err != nil {
		return nil, fmt.Errorf("finish PDF: outline: %w", err)
	}
	if err := sortImages(objects); err != nil {
		return nil, fmt.Errorf("finish PDF: pictures: %w", err)
	}
	for i, o := range objects {
		body := afterLine(o)
		switch {
		case bytes.HasPrefix(body, []byte("<</Type /Font")):
			o = nameFonts(o)
		case bytes.HasPrefix(body, []byte("<<\n/Type /Catalog")):
			o = sortNames(o)
		case i == len(objects)-2: // the information dictionary comes before the catalog
			o = zoneDates(o, d.Date.IsZero())
		}
		objects[i] = o
	}
	if objects, err = addFields(objects, fields, height); err != nil {
		return nil, fmt.Errorf("finish PDF: fields: %w", err)
	}
	write := object.Write
	if d.Compact {
		write = object.WriteCompact
	}
	out, err := join(objects, trailer, d.Attachments, write)
	if err != nil {
		return nil, fmt.Errorf("finish PDF: %w", err)
	}
	return out, nil
}

var errLayout = errors.New("the library wrote a file of an unknown layout")

// split cuts a file of fpdf into its objects, numbered from 1, and the trailer dictionary.
func split(raw []byte) (objects [][]byte, trailer object.Value, err error) {
	f, err := object.Read(raw)
	if err != nil {
		return nil, trailer, err
	}
	last := f.Revisions[len(f.Revisions)-1]
	for n := 1; n <= len(last.Objects); n++ {
		o, ok := last.Objects[n]
		if !ok || len(f.Revisions) > 1 || raw[o.Past] != '\n' {
			return nil, trailer, errLayout
		}
		objects = append(objects, raw[o.Begin:o.Past+1])
	}
	return objects, last.Trailer, nil
}

// join writes the objects in the one form that a verifier accepts.
func join(objects [][]byte, trailer object.Value, files []Attachment, write func([]object.Item, object.Value) []byte) ([]byte, error) {
	p := packing{files: files}
	items := make([]object.Item, len(objects))
	for i, text := range objects {
		n, o, err := object.ParseObject(text)
		if err != nil || n != i+1 {
			return nil, fmt.Errorf("%w: object %d: %w", errLayout, i+1, err)
		}
		items[i].Value = o.Value
		if !o.Stream {
			continue
		}
		if items[i], err = p.item(o, text[o.From:o.To]); err != nil {
			return nil, fmt.Errorf("%w: object %d: %w", errLayout, n, err)
		}
	}
	return write(items, trailer), nil
}

// packing packs the streams of a file.
type packing struct {
	object.Packer
	files []Attachment // that are still to come
}

// item packs the stream of an object: that of an attachment, which fpdf left
// empty; one that fpdf packed, anew; and those that it did not pack, pages
// among them, for which it would take nearly a megabyte of tables each.
func (p *packing) item(o object.Object, stream []byte) (object.Item, error) {
	filter := o.Get("Filter")
	switch {
	case o.Get("Type").IsName("EmbeddedFile"):
		if len(p.files) == 0 {
			return object.Item{}, errLayout
		}
		stream = p.files[0].Content
		p.files = p.files[1:]
		o.Value = o.With("Params", object.Value{Kind: object.Dict}.With("Size", object.Whole(len(stream))))
	case filter.IsName("FlateDecode"):
		var err error
		if stream, err = object.Unpack(stream, math.MaxInt32); err != nil {
			return object.Item{}, err
		}
	case filter.Kind != object.Null:
		return object.Item{Value: o.Value, Stream: stream}, nil
	}
	packed := bytes.Clone(p.Pack(stream))
	return object.Item{Value: o.With("Filter", object.Value{Kind: object.Name, Text: "FlateDecode"}), Stream: packed}, nil
}

func afterLine(o []byte) []byte {
	_, body, _ := bytes.Cut(o, []byte("\n"))
	return body
}

// nameFonts gives a font its own name in place of the one that fpdf made of the family.
func nameFonts(o []byte) []byte {
	for i, f := range faceFiles {
		// Six capitals and a plus mark a subset; they need only differ within the file.
		tag := fmt.Sprintf("/SUBST%c+%s", 'A'+i, f.name)
		for _, end := range []string{"\n", " "} {
			o = bytes.ReplaceAll(o, []byte("/utf8"+f.family+end), []byte(tag+end))
		}
	}
	return o
}

var attachmentKey = regexp.MustCompile(`\(Attachement(\d+)\)`)

// sortNames pads the numbers in the keys of the attachments, so that the order
// of numbers is the order of keys.
func sortNames(o []byte) []byte {
	return attachmentKey.ReplaceAllFunc(o, func(key []byte) []byte {
		n, _ := strconv.Atoi(string(attachmentKey.FindSubmatch(key)[1]))
		return fmt.Appendf(nil, "(file %06d)", n)
	})
}

var infoDate = regexp.MustCompile(`/(CreationDate|ModDate) \(D:(\d{14})\)\n`)

// zoneDates says that the dates are in UTC, or takes them out.
func zoneDates(o []byte, drop bool) []byte {
	if drop {
		return infoDate.ReplaceAll(o, nil)
	}
	return infoDate.ReplaceAll(o, []byte("/$1 (D:${2}+00'00)\n"))
}
