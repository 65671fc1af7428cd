package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
)

const (
	pageStart   = "<</Type /Page\n"
	streamStart = ">>\nstream\n"
	streamEnd   = "\nendstream\nendobj\n"
)

// packPages packs the content of every page, which stands behind the page
// itself. fpdf would do it too, but with a packer of its own for each page:
// nearly a megabyte of tables, more than all else a page needs.
func packPages(objects [][]byte) error {
	var packed bytes.Buffer
	z, err := zlib.NewWriterLevel(&packed, zlib.BestSpeed)
	if err != nil {
		return err
	}
	for i, o := range objects[:max(0, len(objects)-1)] {
		if !bytes.HasPrefix(afterLine(o), []byte(pageStart)) {
			continue
		}
		dict, rest, ok := bytes.Cut(objects[i+1], []byte(streamStart))
		content, whole := bytes.CutSuffix(rest, []byte(streamEnd))
		if !ok || !whole {
			return errLayout
		}
		packed.Reset()
		z.Reset(&packed)
		if _, err := z.Write(content); err != nil {
			return err
		}
		if err := z.Close(); err != nil {
			return err
		}
		number, _, _ := bytes.Cut(dict, []byte("\n"))
		objects[i+1] = fmt.Appendf(nil, "%s\n<</Filter /FlateDecode /Length %d%s%s%s", number, packed.Len(), streamStart, packed.Bytes(), streamEnd)
	}
	return nil
}
