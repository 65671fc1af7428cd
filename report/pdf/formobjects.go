package pdf

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"setline.example/report/pdf/object"
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

// form adds the fields of a document.
type form struct {
	*file
	height float64
	looks  map[look]int          // appearances
	ticks  map[look]object.Value // both appearances of tick boxes
	dict   object.Value          // of the field at hand: room that is used again
	text   []byte                // likewise
	font   int                   // for typed text; 0 until there is any
}

// addForm adds fields, and returns what the catalog says of them and the fields
// of each page. Every field has an appearance, so that no reader has to make one
// up before it shows the page.
func (f *file) addForm(fields []placed, height float64) (object.Value, [][]object.Value) {
	m := &form{file: f, height: height, looks: map[look]int{}, ticks: map[look]object.Value{}}
	byPage := make([][]object.Value, len(f.pages))
	all := object.List()
	dict := object.NewDict("")
	for _, p := range fields {
		d := m.widget(p)
		if p.annot >= 0 {
			d.Add("StructParent", object.Whole(f.tree.parentKey(p.annot)))
		}
		var field object.Value
		field, m.text = object.Written(d, m.text)
		n := f.add(field)
		if p.annot >= 0 {
			f.tree.annots[p.annot].number = n
		}
		ref := object.RefTo(n)
		all.Items = append(all.Items, ref)
		byPage[p.page-1] = append(byPage[p.page-1], ref)
	}
	dict.Add("Fields", all)
	if m.font > 0 || len(m.ticks) > 0 { // else there are signatures alone
		m.typedFont()
		fonts := object.NewDict("")
		fonts.Add(typedFont, object.RefTo(m.font))
		resources := object.NewDict("")
		resources.Add("Font", fonts)
		dict.Add("DR", resources)
		dict.Add("DA", object.Bytes(typed(bodySize)))
	}
	return dict, byPage
}

// look is an appearance: what a box of a size shows.
type look struct {
	w, h    float64
	content string
}

// look gives a form XObject as large as a box (8.10). Boxes of one size and
// content share theirs.
func (m *form) look(p placed, content string) object.Value {
	key := look{p.w, p.h, content}
	n := m.looks[key]
	if n == 0 {
		resources := object.NewDict("")
		if strings.Contains(content, "/"+typedFont) {
			font := object.NewDict("")
			font.Add(typedFont, object.RefTo(m.font))
			resources.Add("Font", font)
		}
		d := object.NewDict("XObject")
		d.Add("Subtype", object.NameOf("Form"))
		d.Add("BBox", object.Numbers(0, 0, p.w, p.h))
		d.Add("Resources", resources)
		n = m.addPlain(d, []byte(content))
		m.looks[key] = n
	}
	return object.RefTo(n)
}

// tick draws a tick across a box.
func tick(w, h float64) string {
	s := min(w, h)
	x, y := (w-s)/2, (h-s)/2
	at := func(u, v float64) string { return number(x+float64(u*s)) + " " + number(y+float64(v*s)) }
	return fmt.Sprintf("q 0 g 0 G 1 J 1 j %s w %s m %s l %s l S Q\n", number(float64(s*0.12)), at(0.2, 0.5), at(0.42, 0.25), at(0.82, 0.8))
}

// widget is a field and its one place on a page, which are one object (12.5.6.19).
func (m *form) widget(p placed) object.Value {
	flags, bits := annotPrint, 0
	if p.Hidden {
		flags = annotHidden
	}
	if p.ReadOnly || p.Hidden {
		bits |= fieldReadOnly
	}
	d := object.Value{Kind: object.Dict, Keys: m.dict.Keys[:0], Items: m.dict.Items[:0]}
	d.Add("Type", object.NameOf("Annot"))
	d.Add("Subtype", object.NameOf("Widget"))
	d.Add("T", object.Bytes(p.Name))
	d.Add("F", object.Whole(flags))
	d.Add("P", object.RefTo(m.pages[p.page-1]))
	d.Add("Rect", object.Numbers(p.x, m.height-p.y-p.h, p.x+p.w, m.height-p.y))
	if p.Tooltip != "" {
		d.Add("TU", object.Text(plain(p.Tooltip)))
	}
	switch p.Kind {
	case SignatureField:
		d.Add("FT", object.NameOf("Sig"))
		shown := object.NewDict("")
		shown.Add("N", m.look(p, ""))
		d.Add("AP", shown)
	case TickField:
		m.tickBox(&d, p)
	case TextField:
		bits |= textNoSpell
		if p.Multiline {
			bits |= textMultiline
		}
		m.textBox(&d, p)
	}
	if bits != 0 {
		d.Add("Ff", object.Whole(bits))
	}
	m.dict = d
	return d
}

// tickBox draws both states with lines alone: a font of marks that is not embedded
// would be another one in every program, and none of them has to be named.
func (m *form) tickBox(d *object.Value, p placed) {
	shown, known := m.ticks[look{w: p.w, h: p.h}]
	if !known {
		states := object.NewDict("")
		states.Add(TickOn, m.look(p, tick(p.w, p.h)))
		states.Add("Off", m.look(p, ""))
		shown = object.NewDict("")
		shown.Add("N", states)
		m.ticks[look{w: p.w, h: p.h}] = shown
	}
	d.Add("FT", object.NameOf("Btn"))
	d.Add("V", object.NameOf("Off"))
	d.Add("AS", object.NameOf("Off"))
	d.Add("AP", shown)
}

func (m *form) textBox(d *object.Value, p placed) {
	m.typedFont()
	if p.MaxLen > 0 {
		d.Add("MaxLen", object.Whole(p.MaxLen))
	}
	if p.Value != "" {
		d.Add("V", object.Text(p.Value))
	}
	shown := object.NewDict("")
	shown.Add("N", m.look(p, content(p)))
	d.Add("FT", object.NameOf("Tx"))
	d.Add("DA", object.Bytes(typed(textSize(p))))
	d.Add("AP", shown)
}

func textSize(p placed) float64 {
	if p.Size > 0 {
		return p.Size
	}
	return bodySize
}

// content shows the value of a text field on one line, or nothing.
func content(p placed) string {
	if p.Value == "" || p.Hidden {
		return "/Tx BMC\nEMC\n"
	}
	size := textSize(p)
	base := (p.h-size)/2 + float64(descent*size)
	if p.Multiline {
		base = p.h - 2 - float64(ascent*size)
	}
	return fmt.Sprintf("/Tx BMC\nq 1 1 %s %s re W n BT %s 2 %s Td (%s) Tj ET Q\nEMC\n",
		number(max(p.w-2, 0)), number(max(p.h-2, 0)), typed(size), number(base), literal(codesOf(p.Value)))
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
