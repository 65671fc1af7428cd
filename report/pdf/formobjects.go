package pdf

import (
	"bytes"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/encoding/charmap"
)

// Bits of /F of an annotation (ISO 32000-1, table 165) and of /Ff of a field
// (tables 221 and 228).
const (
	annotHidden   = 1 << 1
	annotPrint    = 1 << 2
	fieldReadOnly = 1 << 0
	textMultiline = 1 << 12
	textNoSpell   = 1 << 22 // tags and lengths are in no dictionary
)

// form writes the fields of a document behind its other objects.
type form struct {
	objects [][]byte
	pages   []int // numbers of the page objects
	height  float64
	empty   map[[2]float64]int // appearance of an empty box, by size
	ticked  map[[2]float64]int
	refs    []string
	byPage  map[int][]string
	font    int // Helvetica, for typed text; 0 where there is none
}

// addFields appends the fields to the objects of a file, and names them in the
// catalog and on their pages. Every field has an appearance, so that no reader
// has to make one up before it shows the page.
func addFields(objects [][]byte, fields []placed, height float64) ([][]byte, error) {
	if len(fields) == 0 {
		return objects, nil
	}
	f := &form{objects: objects, height: height, empty: map[[2]float64]int{}, ticked: map[[2]float64]int{}, byPage: map[int][]string{}}
	catalog := -1
	for i, o := range objects {
		switch body := afterLine(o); {
		case bytes.HasPrefix(body, []byte("<</Type /Page\n")):
			f.pages = append(f.pages, i+1)
		case bytes.HasPrefix(body, []byte("<<\n/Type /Catalog\n")):
			catalog = i
		}
	}
	if catalog < 0 {
		return nil, errLayout
	}
	resources := f.prepare(fields)
	for _, p := range fields {
		if p.page < 1 || p.page > len(f.pages) {
			return nil, errLayout
		}
		ref := fmt.Sprintf("%d 0 R", f.widget(p))
		f.refs = append(f.refs, ref)
		f.byPage[p.page] = append(f.byPage[p.page], ref)
	}
	for _, page := range slices.Sorted(maps.Keys(f.byPage)) {
		f.annotate(f.pages[page-1]-1, strings.Join(f.byPage[page], " "))
	}
	f.objects[catalog] = bytes.Replace(f.objects[catalog], []byte("/Type /Catalog\n"),
		fmt.Appendf(nil, "/Type /Catalog\n/AcroForm <</Fields [%s]%s>>\n", strings.Join(f.refs, " "), resources), 1)
	return f.objects, nil
}

// prepare writes what fields share, and returns the form's resources.
func (f *form) prepare(fields []placed) string {
	texts, ticks := boxes(fields, TextField), boxes(fields, TickField)
	for _, b := range texts {
		f.empty[b] = f.appearance(b, "", "/Tx BMC\nEMC\n")
	}
	for _, b := range ticks {
		if f.empty[b] == 0 {
			f.empty[b] = f.appearance(b, "", "")
		}
		f.ticked[b] = f.appearance(b, "", tick(b))
	}
	if len(texts) == 0 && len(ticks) == 0 {
		return "" // signatures alone
	}
	// What is typed is set in the two fonts that every reader has, since the
	// characters are not known yet (9.6.2.2).
	f.font = f.add("<</Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding>>")
	marks := f.add("<</Type /Font /Subtype /Type1 /BaseFont /ZapfDingbats>>")
	return fmt.Sprintf(" /DR <</Font <</Helv %d 0 R /ZaDb %d 0 R>>>> /DA (/Helv %s Tf 0 g)", f.font, marks, number(bodySize))
}

func (f *form) add(body string) int {
	n := len(f.objects) + 1
	f.objects = append(f.objects, fmt.Appendf(nil, "%d 0 obj\n%s\nendobj\n", n, body))
	return n
}

// appearance writes a form XObject as large as a box (8.10).
func (f *form) appearance(box [2]float64, resources, content string) int {
	return f.add(fmt.Sprintf("<</Type /XObject /Subtype /Form /BBox [0 0 %s %s] /Resources <<%s>> /Length %d>>\nstream\n%s\nendstream",
		number(box[0]), number(box[1]), resources, len(content), content))
}

// tick draws a tick across a box.
func tick(b [2]float64) string {
	s := min(b[0], b[1])
	x, y := (b[0]-s)/2, (b[1]-s)/2
	at := func(u, v float64) string { return number(x+float64(u*s)) + " " + number(y+float64(v*s)) }
	return fmt.Sprintf("q 0 g 0 G 1 J 1 j %s w %s m %s l %s l S Q\n", number(float64(s*0.12)), at(0.2, 0.5), at(0.42, 0.25), at(0.82, 0.8))
}

// widget writes a field and its one place on a page, which are one object (12.5.6.19).
func (f *form) widget(p placed) int {
	var b strings.Builder
	flags, bits := annotPrint, 0
	if p.Hidden {
		flags = annotHidden
	}
	if p.ReadOnly || p.Hidden {
		bits |= fieldReadOnly
	}
	fmt.Fprintf(&b, "<</Type /Annot /Subtype /Widget /T (%s) /F %d /P %d 0 R /Rect [%s %s %s %s]", literal(p.Name), flags, f.pages[p.page-1],
		number(p.x), number(f.height-p.y-p.h), number(p.x+p.w), number(f.height-p.y))
	if p.Tooltip != "" {
		b.WriteString(" /TU " + textString(plain(p.Tooltip)))
	}
	box := [2]float64{p.w, p.h}
	switch p.Kind {
	case SignatureField:
		b.WriteString(" /FT /Sig")
	case TickField:
		fmt.Fprintf(&b, " /FT /Btn /V /Off /AS /Off /MK <</CA (4)>> /DA (/ZaDb 0 Tf 0 g) /AP <</N <</%s %d 0 R /Off %d 0 R>>>>", TickOn, f.ticked[box], f.empty[box])
	case TextField:
		bits |= textNoSpell
		if p.Multiline {
			bits |= textMultiline
		}
		if p.MaxLen > 0 {
			fmt.Fprintf(&b, " /MaxLen %d", p.MaxLen)
		}
		if p.Value != "" {
			b.WriteString(" /V " + textString(p.Value))
		}
		fmt.Fprintf(&b, " /FT /Tx /DA (/Helv %s Tf 0 g) /AP <</N %d 0 R>>", number(textSize(p)), f.shown(p))
	}
	if bits != 0 {
		fmt.Fprintf(&b, " /Ff %d", bits)
	}
	b.WriteString(">>")
	return f.add(b.String())
}

func textSize(p placed) float64 {
	if p.Size > 0 {
		return p.Size
	}
	return bodySize
}

// shown is the appearance of a text field: its value on one line, or nothing.
func (f *form) shown(p placed) int {
	box := [2]float64{p.w, p.h}
	if p.Value == "" || p.Hidden {
		return f.empty[box]
	}
	text, _ := charmap.Windows1252.NewEncoder().String(p.Value) // checkFields has seen that it can
	size := textSize(p)
	base := (p.h-size)/2 + float64(descent*size)
	if p.Multiline {
		base = p.h - 2 - float64(ascent*size)
	}
	content := fmt.Sprintf("/Tx BMC\nq 1 1 %s %s re W n BT /Helv %s Tf 0 g 2 %s Td (%s) Tj ET Q\nEMC\n",
		number(max(p.w-2, 0)), number(max(p.h-2, 0)), number(size), number(base), literal(text))
	return f.appearance(box, fmt.Sprintf("/Font <</Helv %d 0 R>>", f.font), content)
}

// annotate adds widgets to a page, after the links that fpdf wrote there.
func (f *form) annotate(i int, refs string) {
	page := f.objects[i]
	if links := []byte("/Annots ["); bytes.Contains(page, links) {
		f.objects[i] = bytes.Replace(page, links, []byte("/Annots ["+refs+" "), 1)
		return
	}
	f.objects[i] = bytes.Replace(page, []byte("/Type /Page\n"), []byte("/Type /Page\n/Annots ["+refs+"]\n"), 1)
}

// number writes a length in points as PDF does, to a hundredth.
func number(v float64) string {
	s := strconv.FormatFloat(math.Round(float64(v*100))/100, 'f', 2, 64)
	s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// literal writes bytes for between the parentheses of a string (7.3.4.2).
func literal(s string) string { return inParentheses.Replace(s) }

var inParentheses = strings.NewReplacer(`\`, `\\`, `(`, `\(`, `)`, `\)`, "\r", `\r`, "\n", `\n`)
