package pdf

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
)

// fieldsPicture is a picture that is nothing but fields.
type fieldsPicture []Field

func (fieldsPicture) Size() (w, h float64) { return 300, 200 }

func (p fieldsPicture) Paint(c *Canvas) {
	for i, f := range p {
		w := 120.0
		if f.Kind == TickField {
			w = 16
		}
		c.Field(10, 10+float64(i)*24, w, 16, f)
	}
}

func withFields(fields ...Field) Document {
	return Document{
		Parts:       [][]byte{[]byte("# Sheet\n\n<https://example.org/>\n\n![fields](f)\n")},
		Pictures:    map[string]Picture{"f": fieldsPicture(fields)},
		Attachments: []Attachment{{Name: "a.txt", Content: []byte("a")}},
	}
}

func someFields() []Field {
	return []Field{
		{Name: "rooms/S-104/tops/FL", Tooltip: "Top, front-left: at most ½ in, Δ", MaxLen: 40},
		{Name: "rooms/S-104/bearing/FL=yes", Kind: TickField},
		{Name: "remark(1)", Multiline: true, Value: `Žlutý (two) \ lines`},
		{Name: "plan", Hidden: true, Value: "Ωmega " + strings.Repeat("x", 5000)},
		{Name: "shown", ReadOnly: true, Value: "Annex ½"},
		{Name: "signature/inspector", Kind: SignatureField},
	}
}

func TestFieldsPassOutsideTools(t *testing.T) {
	long(t)
	name := save(t, write(t, withFields(someFields()...)))
	if out := tool(t, "qpdf", "--check", name); strings.Contains(out, "WARNING") {
		t.Error(out)
	}
	dump := tool(t, "pdftk", name, "dump_data_fields_utf8")
	var names []string
	for line := range strings.Lines(dump) {
		if n, ok := strings.CutPrefix(line, "FieldName: "); ok {
			names = append(names, strings.TrimSpace(n))
		}
	}
	var want []string
	for _, f := range someFields() {
		want = append(want, f.Name)
	}
	if !slices.Equal(names, want) {
		t.Errorf("fields in order %q, expected %q", names, want)
	}
	for _, want := range []string{"FieldNameAlt: Top, front-left: at most ½ in, Δ\n", "FieldMaxLength: 40\n", "FieldStateOption: Yes\n", `FieldValue: Žlutý (two) \ lines`, "FieldValue: Annex ½\n"} {
		if !strings.Contains(dump, want) {
			t.Errorf("%q is not in %s", want, dump)
		}
	}
}

// A value is on the page at once, without a reader that makes it up.
func TestFieldShowsItsValue(t *testing.T) {
	name := save(t, write(t, withFields(Field{Name: "a", Value: "Annex ½"}, Field{Name: "b", Hidden: true, Value: "unseen"})))
	text := tool(t, "mutool", "draw", "-q", "-F", "txt", name)
	if !strings.Contains(text, "Annex ½") || strings.Contains(text, "unseen") {
		t.Errorf("the page says %q", text)
	}
}

// The second opinion of a PDF library, which knows the rules for every kind of field.
func TestFieldsAreValid(t *testing.T) {
	doc := withFields(someFields()...)
	doc.Parts[0] = []byte("# Sheet\n\n![fields](f)\n") // it refuses links as fpdf writes them
	if err := api.Validate(bytes.NewReader(write(t, doc)), nil); err != nil {
		t.Error(err)
	}
}

func TestFieldsRefused(t *testing.T) {
	for _, c := range []struct {
		name   string
		fields []Field
		want   string
	}{
		{"no name", []Field{{}}, `field name ""`},
		{"a dot", []Field{{Name: "a.b"}}, `field name "a.b"`},
		{"beyond ASCII", []Field{{Name: "ü"}}, "printable ASCII"},
		{"twice", []Field{{Name: "a"}, {Name: "a", Kind: TickField}}, `two fields are named "a"`},
		{"a tick with a value", []Field{{Name: "a", Kind: TickField, Value: "x"}}, "is no text field"},
		{"a value no font shows", []Field{{Name: "a", Value: "漢"}}, "U+6F22, which the font of typed text lacks"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := Write(&bytes.Buffer{}, withFields(c.fields...))
			if !errors.Is(err, ErrDocument) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, expected %q", err, c.want)
			}
		})
	}
}

// TestTypedLetters: every letter that can be typed is in the font, at a code of its
// own, and other programs read it where it is shown.
func TestTypedLetters(t *testing.T) {
	var fonts fontSet
	at := map[byte]rune{}
	for r, c := range typedCodes() {
		if fonts.width(sans, r) == noGlyph {
			t.Errorf("the font has no %q", r)
		}
		if other, twice := at[c]; twice {
			t.Errorf("%q and %q have one code", r, other)
		}
		at[c] = r
	}
	const shown = "Łódź, Žofie Brázdilová, Őrsi, Şükrü İnönü, 5 Ω ≤ ½ in"
	name := filepath.Join(t.TempDir(), "x.pdf")
	var b bytes.Buffer
	if err := Write(&b, withFields(Field{Name: "a", Value: shown})); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := tool(t, "pdftotext", "-enc", "UTF-8", name, "-"); !strings.Contains(got, shown) {
		t.Errorf("another program reads %q", got)
	}
}
