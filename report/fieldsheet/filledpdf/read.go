package filledpdf

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
	"setline.example/report/fieldsheet"
	"setline.example/report/pdf/lenient"
	"setline.example/schema"
)

// Limits on a filled sheet. They are far above what a sheet needs, and keep a
// hostile or broken file from taking the machine with it.
const (
	maxLevels = 32       // of the tree of fields, and of pages
	maxText   = 64 << 20 // all values together
	tail      = 2048     // where the end of a file is marked
)

// Read reads the boxes of a sheet in a PDF. name is how messages call the
// file. The error is [schema.Problems].
func Read(name string, data []byte) (*fieldsheet.Filled, error) {
	if len(data) > fieldsheet.MaxFilled {
		return nil, schema.Problems{fieldsheet.NotSheet(schema.TooLarge, name, fmt.Sprintf("%d MiB", len(data)>>20), "a field sheet, which is far smaller")}
	}
	if !bytes.Contains(data[:min(len(data), 1024)], []byte("%PDF-")) {
		return nil, schema.Problems{fieldsheet.NotSheet(schema.OtherFile, name, "no PDF", "a field sheet in PDF")}
	}
	// The library mends a file that ends too soon, and what was filled in behind
	// that would be lost without a word.
	if !bytes.Contains(data[max(0, len(data)-tail):], []byte("%%EOF")) {
		return nil, schema.Problems{fieldsheet.NotSheet(schema.Malformed, name, "a PDF that ends too soon", "a whole file, as it was saved")}
	}
	var filled *fieldsheet.Filled
	err := lenient.ReadDecrypted(data, fieldsheet.MaxFilled, func(ctx context.Context, file *model.Context) (err error) {
		filled, err = readForm(ctx, name, file)
		return err
	})
	switch {
	case err == nil:
		return filled, nil
	case errors.Is(err, errNoForm):
		return nil, schema.Problems{noForm(name, err)}
	case errors.Is(err, lenient.ErrPassword):
		return nil, schema.Problems{typedInstead(name, "a PDF that asks for a password", "a sheet that opens without one", "save it without a password")}
	case errors.Is(err, lenient.ErrEncrypted):
		return nil, schema.Problems{typedInstead(name, "a PDF that is encrypted in a way that is not read ("+err.Error()+")", "a sheet that is not encrypted", "save it without encryption")}
	case errors.Is(err, lenient.ErrTime):
		return nil, schema.Problems{fieldsheet.NotSheet(schema.Malformed, name, "a PDF that takes too long to read", "a field sheet in PDF")}
	}
	return nil, schema.Problems{fieldsheet.NotSheet(schema.Malformed, name, "a PDF that cannot be read ("+err.Error()+")", "a field sheet in PDF")}
}

// form reads the fields of one file.
type form struct {
	table *model.XRefTable
	pages map[int]int // page of every annotation, by its object number
	seen  map[int]bool
	into  *fieldsheet.Filled
	typed int  // bytes of text so far: many fields may lead to one great string
	text  bool // a page names fonts
	image bool // a page names pictures
	err   error
}

func (f *form) fail(format string, args ...any) {
	if f.err == nil {
		f.err = fmt.Errorf(format, args...)
	}
}

func readForm(ctx context.Context, name string, read *model.Context) (*fieldsheet.Filled, error) {
	f := &form{table: read.XRefTable, pages: map[int]int{}, seen: map[int]bool{}, into: &fieldsheet.Filled{File: name, Entries: map[string]fieldsheet.Entry{}}}
	root, err := f.table.Catalog()
	if err != nil {
		return nil, err
	}
	number := 0
	f.findPages(root["Pages"], &number, 0, map[int]bool{})
	acro, err := f.table.DereferenceDict(root["AcroForm"])
	if err != nil || acro == nil || len(f.array(acro["Fields"])) == 0 {
		return nil, f.without(read)
	}
	for _, o := range f.array(acro["Fields"]) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if f.field(o, inherited{}, 0); f.err != nil {
			return nil, f.err
		}
	}
	if len(f.into.Entries) == 0 && f.into.Plan == "" {
		return nil, f.without(read)
	}
	f.into.Missing = missing(f.into)
	return f.into, nil
}

// dict and array give what an object or a reference leads to, nil for another.
func (f *form) dict(o types.Object) types.Dict {
	d, err := f.table.DereferenceDict(o)
	if err != nil {
		return nil
	}
	return d
}

func (f *form) array(o types.Object) types.Array {
	a, err := f.table.DereferenceArray(o)
	if err != nil {
		return nil
	}
	return a
}

// findPages numbers the pages and notes which annotations stand on each.
func (f *form) findPages(o types.Object, number *int, level int, seen map[int]bool) {
	if ref, ok := o.(types.IndirectRef); ok {
		n := ref.ObjectNumber.Value()
		if seen[n] {
			return
		}
		seen[n] = true
	}
	d := f.dict(o)
	if d == nil || level > maxLevels {
		return
	}
	if kids, ok := d.Find("Kids"); ok {
		for _, kid := range f.array(kids) {
			f.findPages(kid, number, level+1, seen)
		}
		return
	}
	*number++
	f.look(d)
	for _, a := range f.array(d["Annots"]) {
		if ref, ok := a.(types.IndirectRef); ok {
			f.pages[ref.ObjectNumber.Value()] = *number
		}
	}
}
