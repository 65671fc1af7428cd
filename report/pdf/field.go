package pdf

import (
	"fmt"
	"strings"
)

// FieldKind is what a form field takes.
type FieldKind int

// The kinds of form field (ISO 32000-1, 12.7.4).
const (
	TextField      FieldKind = iota // text that is typed
	TickField                       // a box that is ticked or not
	SignatureField                  // a place for a signature, empty
)

// Field is a form field.
type Field struct {
	Kind FieldKind

	// Name is the whole name: printable ASCII without ".", which PDF keeps for
	// the levels of a name. No two fields of a document share one.
	Name string

	// Tooltip tells what belongs into the field, for who cannot see the page too.
	Tooltip string

	// Value is the text in a text field, in characters that its font has unless
	// the field is hidden: those of the alphabets in which names of Europe are written.
	Value string

	// Final, where there is one, gives the Value of a hidden field once the page of
	// every field is known: from the names of the others, page by page in their order.
	Final func(pages [][]string) string

	Multiline bool // the text may have several lines
	ReadOnly  bool
	Hidden    bool    // is on no page and no print; it carries its Value
	MaxLen    int     // most characters of a text; 0 for no limit
	Size      float64 // of typed text, in points; 0 is that of the page's text
}

// PlaceName is the name of the [SignatureField] that a document keeps for the
// signature of someone in a role, by which who signs finds it.
func PlaceName(role string) string { return "signature-" + role }

// TickOn is the state of a tick field that is ticked; "Off" is the other
// (12.7.4.2.3).
const TickOn = "Yes"

// placed is a field on a page.
type placed struct {
	Field
	page       int // from 1
	x, y, w, h float64
	annot      int // its place among the annotations of the document; -1 where nobody reaches it
}

// Field puts a form field over the box w wide and h high whose top left corner
// is at x, y. Text and tick fields get an outline on the page, so that they are
// there on paper; a signature field gets none. Fields are reached by the tab
// key in the order of the calls.
func (c *Canvas) Field(x, y, w, h float64, f Field) {
	if !finite(x, y, w, h) || w < 0 || h < 0 {
		c.p.fail("field %q has a box of %v by %v at %v, %v; numbers must be finite", f.Name, w, h, x, y)
		return
	}
	if !f.Hidden && f.Kind != SignatureField {
		c.outline(x, y, w, h)
	}
	annot := -1
	if !f.Hidden {
		in := c.in
		if c.opaque {
			in = c.p.tags.elements[in].parent
		}
		annot = c.p.tags.annotation(c.p.tags.add(roleForm, in), len(c.p.pages))
	}
	c.p.fields = append(c.p.fields, placed{f, len(c.p.pages) + 1, c.x + x, c.y + y, w, h, annot})
}

// checkFields refuses fields that no form can hold.
func checkFields(fields []placed) error {
	seen := make(map[string]bool)
	for _, f := range fields {
		outside := func(r rune) bool { return r <= ' ' || r > '~' || r == '.' }
		switch {
		case f.Name == "" || strings.ContainsFunc(f.Name, outside):
			return fmt.Errorf("%w: field name %q; use printable ASCII without blanks and dots", ErrDocument, f.Name)
		case seen[f.Name]:
			return fmt.Errorf("%w: two fields are named %q; give each its own name", ErrDocument, f.Name)
		case f.Kind != TextField && f.Value != "":
			return fmt.Errorf("%w: field %q has a value and is no text field", ErrDocument, f.Name)
		}
		if r, lacks := untypeable(f.Value); lacks && !f.Hidden {
			return fmt.Errorf("%w: the value of field %q holds %U, which the font of typed text lacks", ErrDocument, f.Name, r)
		}
		seen[f.Name] = true
	}
	return nil
}

// untypeable finds the first character that the font of typed text lacks.
func untypeable(text string) (rune, bool) {
	for _, r := range text {
		if _, has := typedCodes()[r]; !has {
			return r, true
		}
	}
	return 0, false
}

// finalValues sets the values of fields that wait for where all others are.
func finalValues(fields []placed, pages int) {
	names := make([][]string, pages)
	for _, f := range fields {
		if f.Final == nil && f.Kind != SignatureField {
			names[f.page-1] = append(names[f.page-1], f.Name)
		}
	}
	for i := range fields {
		if final := fields[i].Final; final != nil {
			fields[i].Value = final(names)
		}
	}
}
