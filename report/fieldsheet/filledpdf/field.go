package filledpdf

import (
	"fmt"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"

	"setline.example/report/fieldsheet"
	"setline.example/report/pdf/lenient"
)

// inherited is what a field has of the fields above it (ISO 32000-1, 12.7.3.1).
type inherited struct {
	name  string
	kind  string
	value types.Object
	page  int
}

// field reads a field and the fields and widgets under it.
func (f *form) field(o types.Object, up inherited, level int) {
	if ref, ok := o.(types.IndirectRef); ok {
		n := ref.ObjectNumber.Value()
		if f.seen[n] {
			return
		}
		f.seen[n] = true
		if page := f.pages[n]; page > 0 {
			up.page = page
		}
	}
	if level > maxLevels {
		f.fail("its fields stand more than %d deep", maxLevels)
	}
	d := f.dict(o)
	if d == nil || f.err != nil {
		return
	}
	if name, ok := f.textOf(d["T"]); ok {
		if up.name != "" {
			name = up.name + "." + name
		}
		up.name = name
	}
	if kind, ok := f.name(d["FT"]); ok {
		up.kind = kind
	}
	if v, ok := d.Find("V"); ok {
		up.value = v
	}
	for _, kid := range f.array(d["Kids"]) {
		f.field(kid, up, level+1)
	}
	if up.name == "" {
		return
	}
	f.take(d, up)
}

// take notes the value of a field, or of one of its widgets.
func (f *form) take(d types.Dict, up inherited) {
	was := f.into.Entries[up.name]
	e := fieldsheet.Entry{Text: was.Text, On: was.On, Page: was.Page, Unsure: was.Unsure}
	if e.Page == 0 {
		e.Page = up.page
	}
	switch up.kind {
	case "Btn":
		// A tick is a name; some programs write it as a string, and some set the
		// widget's state alone.
		on, ok := f.name(up.value)
		if !ok {
			on, ok = f.textOf(up.value)
		}
		if state, has := f.name(d["AS"]); has {
			if !ok || on == "" {
				on = state
			}
			e.Unsure = was.Unsure || (on == "Off") != (state == "Off")
		}
		e.On = e.On || on != "" && on != "Off"
	case "Tx", "Ch":
		text, ok := f.textOf(up.value)
		if ok && was.Text != "" && text != was.Text {
			f.fail("two of its boxes are named %s and hold different values", fieldsheet.NameShown(up.name))
		}
		if ok {
			e.Text = text
		}
	default:
		return
	}
	if up.name == fieldsheet.PlanField {
		f.into.Plan = e.Text
		return
	}
	f.into.Entries[up.name] = e
}

func (f *form) name(o types.Object) (string, bool) {
	o, err := f.table.Dereference(o)
	n, ok := o.(types.Name)
	return n.Value(), ok && err == nil
}

// textOf reads a text string (ISO 32000-1, 7.9.2.2), a stream of one (7.9.2.3),
// or a name in the place of one. One that is there and cannot be read fails the
// file: what somebody filled in must not be lost.
func (f *form) textOf(o types.Object) (string, bool) {
	o, err := f.table.Dereference(o)
	if err != nil {
		f.fail("a value in it cannot be found")
		return "", false
	}
	var raw []byte
	switch v := o.(type) {
	case types.StringLiteral:
		raw, err = types.Unescape(v.Value())
	case types.HexLiteral:
		raw, err = v.Bytes()
	case types.StreamDict:
		if v.Content == nil {
			err = v.DecodeWithLimit(lenient.MaxStream)
		}
		raw = v.Content
	case types.Name:
		return v.Value(), true
	default:
		return "", false
	}
	if f.typed += len(raw); f.typed > maxText {
		err = errTooMuch
	}
	if err != nil {
		f.fail("a value in it cannot be read: %w", err)
		return "", false
	}
	return decodeText(raw), true
}

var errTooMuch = fmt.Errorf("more than %d MiB of text", maxText>>20)
