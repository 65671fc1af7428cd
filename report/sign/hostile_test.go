package sign

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"setline.example/report/pdf/object"
)

// tiny is a PDF of one page without content, made of these objects; trailer
// and startxref may be broken on purpose.
func tiny(trailer, startxref string, objects ...string) []byte {
	var b strings.Builder
	b.WriteString("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
	var at []int
	for i, o := range objects {
		at = append(at, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	table := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for _, n := range at {
		fmt.Fprintf(&b, "%010d 00000 n \n", n)
	}
	place := strings.NewReplacer("SIZE", fmt.Sprint(len(objects)+1), "TABLE", fmt.Sprint(table))
	fmt.Fprintf(&b, "trailer\n%s\nstartxref\n%s\n%%%%EOF\n", place.Replace(trailer), place.Replace(startxref))
	return []byte(b.String())
}

const (
	catalog = "<< /Type /Catalog /Pages 2 0 R >>"
	pages   = "<< /Type /Pages /Count 1 /Kids [3 0 R] >>"
	page    = "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] >>"
	rest    = "/Info << >> /ID [() ()]"
	trailer = "<< /Size SIZE /Root 1 0 R " + rest + " >>"
)

type hostile struct {
	name string
	pdf  []byte
	want string
}

func hostileFiles() []hostile {
	with := func(o ...string) []byte {
		return tiny(trailer, "TABLE", append([]string{catalog, pages, page}, o...)...)
	}
	small := func(trailer string) []byte { return tiny(trailer, "TABLE", catalog, pages, page) }
	replaced := func(from, to string) []byte { return []byte(strings.Replace(string(with()), from, to, 1)) }
	return []hostile{
		{"empty", nil, "does not begin with %PDF"},
		{"header only", []byte("%PDF-1.7\n"), "has no end"},
		{"no table", []byte("%PDF-1.7\nstartxref\n0\n%%EOF\n"), `expected "xref"`},
		{"table to itself", small("<< /Size SIZE /Root 1 0 R /Prev TABLE >>"), "expected the place of an earlier table"},
		{"table beyond", small("<< /Size SIZE /Root 1 0 R /Prev 99999999 >>"), "expected the place of an earlier table"},
		{"table before the file", small("<< /Size SIZE /Root 1 0 R /Prev -1 >>"), "expected the place of an earlier table"},
		{"table in an object", small("<< /Size SIZE /Root 1 0 R /Prev 12 >>"), `expected "xref"`},
		{"table by reference", small("<< /Size SIZE /Root 1 0 R /Prev 1 0 R >>"), "expected the place of an earlier table"},
		{"huge number", small("<< /Size 99999999999999999999999999 /Root 1 0 R >>"), "no number, or too large"},
		{"huge size", small("<< /Size 9223372036854775807 /Root 1 0 R >>"), "has /Size 9223372036854775807"},
		{"huge startxref", tiny(trailer, "99999999999999999999", catalog, pages, page), "expected a number below"},
		{"startxref beyond", tiny(trailer, "2000000000", catalog, pages, page), `expected "xref"`},
		{"negative startxref", tiny(trailer, "-5", catalog, pages, page), "expected a number below"},
		{"no root", small("<< /Size SIZE >>"), "has /Root null"},
		{"root is missing", small("<< /Size SIZE /Root 77 0 R >>"), "no catalog"},
		{"trailer is no dictionary", small("[]"), "no dictionary"},
		{"encrypted", small("<< /Size SIZE /Root 1 0 R /Encrypt << >> >>"), "has /Encrypt in its trailer"},
		{"two tables", small("<< /Size SIZE /Root 1 0 R /XRefStm 9 >>"), "has /XRefStm in its trailer"},
		{"more objects than fit", replaced("0 4\n", "0 2000000000\n"), "that fit the file"},
		{"no objects", replaced("0 4\n", "0 0\n"), "that fit the file"},
		{"object in use twice", replaced("0 4\n", "0 1\n"), "found"},
		{"entry of another generation", replaced("00000 n", "00001 n"), "no table entry of object 1 in use"},
		{"unlisted object", replaced("1 0 obj", "9 0 obj\n<<>>\nendobj\n1 0 obj"), "expected"},
		{"unlisted object before the table", tiny(trailer, "TABLE", catalog, pages, page+"\nendobj\n9 0 obj\n<< >>"), "which no table lists"},
		{"comment between objects", replaced("endobj\n2", "endobj\n%x\n2"), "expected"},
		{"nested parentheses", with("(" + strings.Repeat("(", 100000) + ")"), "a string has no end"},
		{"nested arrays", with(strings.Repeat("[", 100000)), "nested more than 40 deep"},
		{"nested dictionaries", with(strings.Repeat("<</A", 100000)), "nested more than 40 deep"},
		{"string without end", with("(abc\\"), "a string has no end"},
		{"hexadecimal string without end", with("<abc"), "a hexadecimal string has no end"},
		{"name cut short", with("/a#1"), "cut short"},
		{"key twice", with("<< /A 1 /A 2 >>"), "the key /A twice"},
		{"endless stream", with("<< /Length 99999999 >>\nstream\nx\nendstream"), "expected a number that fits"},
		{"negative stream", with("<< /Length -1 >>\nstream\nx\nendstream"), "expected a number that fits"},
		{"stream longer than it says", with("<< /Length 1 >>\nstream\nabc\nendstream"), `expected "endstream"`},
		{"stream of another's length", with("<< /Length 4 0 R >>\nstream\nx\nendstream"), "expected a number that fits"},
		{"pages in a circle", tiny(trailer, "TABLE", catalog, "<< /Type /Pages /Kids [2 0 R] >>"), "more than 40 deep"},
		{"no pages", tiny(trailer, "TABLE", catalog, "<< /Type /Pages /Kids [] >>"), "has no pages"},
		{"form with more than places", tiny(trailer, "TABLE", strings.Replace(catalog, "/Pages", "/AcroForm << /XFA [] >> /Pages", 1), pages, page), "has /XFA in /AcroForm"},
		{"field that is no place", tiny(trailer, "TABLE", strings.Replace(catalog, "/Pages", "/AcroForm << /Fields [3 0 R] >> /Pages", 1), pages, page), "which is no place for a signature"},
		{"unsigned", with(), "there is no signature"},
	}
}

func TestHostileFiles(t *testing.T) {
	for _, c := range hostileFiles() {
		t.Run(c.name, func(t *testing.T) {
			if got := faults(c.pdf); !strings.Contains(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
			r := people(t)[0]
			switch _, err := Sign(c.pdf, r); {
			case c.name == "unsigned":
				if err != nil {
					t.Error(err)
				}
			case !errors.Is(err, ErrFile) && !errors.Is(err, ErrChanged):
				t.Errorf("signing it gave %v", err)
			}
		})
	}
}

// Many revisions, and a chain of many objects, take no longer than their size.
func TestManyObjects(t *testing.T) {
	long(t)
	objects := []string{catalog, pages, page}
	for i := range 20000 {
		objects = append(objects, fmt.Sprintf("<< /Next %d 0 R /Self %d 0 R >>", i+5, i+4))
	}
	objects = append(objects, "<< >>")
	objects[0] = "<< /Type /Catalog /Pages 2 0 R /Outlines 4 0 R >>"
	b := sign(t, tiny(trailer, "TABLE", objects...), people(t)[0])
	b = appendTo(t, b, map[int]string{20000: "<< >>"})
	if got := faults(b); !strings.Contains(got, "replaces object 20000 (catalog/Outlines/Next") {
		t.Errorf("got %.300q", got)
	}
	b = tiny(trailer, "TABLE", catalog, pages, page)
	for range object.MaxRevisions {
		b = appendTo(t, b, map[int]string{4: "<< >>"})
	}
	if got := faults(b); !strings.Contains(got, "more than 64 revisions") {
		t.Errorf("got %.300q", got)
	}
}

// The corpus has files signed once, twice and three times, and by forgers.
//
// FuzzVerify holds that no file makes Verify panic, that what it takes for
// sound can be signed once more, and that it does not take half of it.
func FuzzVerify(f *testing.F) {
	for _, c := range hostileFiles() {
		if len(c.pdf) < 10000 {
			f.Add(c.pdf)
		}
	}
	r := people(f)[0]
	f.Fuzz(func(t *testing.T, b []byte) {
		v, err := Verify(b, nil)
		if err != nil {
			if !errors.Is(err, ErrFile) {
				t.Errorf("the error does not wrap ErrFile: %v", err)
			}
			return
		}
		if !v.Sound() {
			return
		}
		if again, err := Sign(b, r); err != nil {
			t.Errorf("sound, but cannot be signed: %v", err)
		} else if got := faults(again); got != "" {
			t.Errorf("sound, but not when signed once more: %s", got)
		}
		if faults(b[:len(b)-1]) == "" {
			t.Error("sound without its last byte")
		}
	})
}

// FuzzCMS holds that no signature makes the reader panic.
func FuzzCMS(f *testing.F) {
	f.Add([]byte{0x30, 0x80})
	f.Fuzz(func(t *testing.T, b []byte) {
		if d, err := readCMS(b); err == nil {
			_, _ = d.signer()
			_ = d.detached()
			_ = d.checkDigest([]byte("content"))
		}
		_, _ = readStamp(b, []byte("signature"))
		_, _ = stampToken(b)
	})
}
