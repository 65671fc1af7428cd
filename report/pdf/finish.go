package pdf

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
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
// the table is written anew; streams are never searched.
func finish(raw []byte, d Document, fields []placed, height float64) ([]byte, error) {
	objects, trailer, err := split(raw)
	if err != nil {
		return nil, fmt.Errorf("finish PDF: %w", err)
	}
	if err := mendOutline(objects, len(d.Attachments)); err != nil {
		return nil, fmt.Errorf("finish PDF: outline: %w", err)
	}
	if err := packPages(objects); err != nil {
		return nil, fmt.Errorf("finish PDF: pages: %w", err)
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
	return join(objects, trailer), nil
}

var errLayout = errors.New("the library wrote a file of an unknown layout")

// split cuts a file of fpdf into its objects, numbered from 1, and the trailer dictionary.
func split(raw []byte) (objects [][]byte, trailer []byte, err error) {
	i := bytes.LastIndex(raw, []byte("startxref\n"))
	if i < 0 {
		return nil, nil, errLayout
	}
	num, _, _ := bytes.Cut(raw[i+len("startxref\n"):], []byte("\n"))
	xref, err := strconv.Atoi(string(num))
	if err != nil || xref < 0 || xref > i {
		return nil, nil, errLayout
	}
	table, trailer, ok := bytes.Cut(raw[xref:i], []byte("trailer\n"))
	if !ok {
		return nil, nil, errLayout
	}
	lines := bytes.Split(table, []byte("\n"))
	if len(lines) < 4 || string(lines[0]) != "xref" {
		return nil, nil, errLayout
	}
	var starts []int
	for _, ln := range lines[3 : len(lines)-1] { // behind "xref", "0 n" and object 0
		if len(ln) < 10 {
			return nil, nil, errLayout
		}
		at, err := strconv.Atoi(string(ln[:10]))
		if err != nil || at >= xref {
			return nil, nil, errLayout
		}
		starts = append(starts, at)
	}
	ends := append(slices.Sorted(slices.Values(starts)), xref)
	for n, at := range starts {
		j, _ := slices.BinarySearch(ends, at)
		o := raw[at:ends[j+1]]
		if !bytes.HasPrefix(o, fmt.Appendf(nil, "%d 0 obj\n", n+1)) {
			return nil, nil, errLayout
		}
		objects = append(objects, o)
	}
	return objects, trailer, nil
}

var sizeEntry = regexp.MustCompile(`/Size \d+`)

func join(objects [][]byte, trailer []byte) []byte {
	var b bytes.Buffer
	size := 1024
	for _, o := range objects {
		size += len(o) + len("0000000000 00000 n \n")
	}
	b.Grow(size)
	// The second line tells programs that copy files that this one is binary (7.5.2).
	b.WriteString("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
	offsets := make([]int, len(objects))
	for i, o := range objects {
		offsets[i] = b.Len()
		b.Write(o)
	}
	id := sha256.Sum256(b.Bytes())
	xref := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for _, o := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", o)
	}
	b.WriteString("trailer\n")
	b.Write(sizeEntry.ReplaceAll(bytes.TrimSuffix(trailer, []byte(">>\n")), fmt.Appendf(nil, "/Size %d", len(objects)+1)))
	fmt.Fprintf(&b, "/ID [<%x> <%x>]\n>>\nstartxref\n%d\n%%%%EOF\n", id[:16], id[:16], xref)
	return b.Bytes()
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
