package collect

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/filledpdf"
	"setline.example/report/pdf/lenient"
	"setline.example/schema"
)

// build writes a PDF of objects numbered from 1, the first being the catalog.
func build(objects ...string) []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n")
	var at []int
	for i, o := range objects {
		at = append(at, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	xref := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for _, o := range at {
		fmt.Fprintf(&b, "%010d 00000 n \n", o)
	}
	fmt.Fprintf(&b, "trailer\n<</Size %d /Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, xref)
	return b.Bytes()
}

const (
	catalogObject = "<</Type /Catalog /Pages 2 0 R /AcroForm <</Fields [%s]>>>>"
	pagesObject   = "<</Type /Pages /Count 1 /Kids [3 0 R]>>"
)

func formPDF(fields string, objects ...string) []byte {
	return build(append([]string{fmt.Sprintf(catalogObject, fields), pagesObject, "<</Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] /Annots [" + fields + "]>>"}, objects...)...)
}

// TestHowFillersWrite: values as different programs write them.
func TestHowFillersWrite(t *testing.T) {
	for _, c := range []struct {
		name   string
		object string // of field "a"
		more   []string
		want   fieldsheet.Entry
	}{
		{"literal", "<</T (a) /FT /Tx /V (1/64 in)>>", nil, fieldsheet.Entry{Text: "1/64 in", Page: 1}},
		{"escapes", `<</T (a) /FT /Tx /V (\(a\)\\ \101\n)>>`, nil, fieldsheet.Entry{Text: "(a)\\ A\n", Page: 1}},
		{"hex", "<</T <61> /FT /Tx /V <312F3634>>>", nil, fieldsheet.Entry{Text: "1/64", Page: 1}},
		{"UTF-16BE", "<</T <FEFF0061> /FT /Tx /V <FEFF017D00BD>>>", nil, fieldsheet.Entry{Text: "Ž½", Page: 1}},
		{"UTF-16LE", "<</T (a) /FT /Tx /V <FFFE7D01BD00>>>", nil, fieldsheet.Entry{Text: "Ž½", Page: 1}},
		{"UTF-8", "<</T (a) /FT /Tx /V <EFBBBFC5BDC2BD>>>", nil, fieldsheet.Entry{Text: "Ž½", Page: 1}},
		{"PDFDocEncoding", "<</T (a) /FT /Tx /V <99BD>>>", nil, fieldsheet.Entry{Text: "Ž½", Page: 1}},
		{"language mark", "<</T (a) /FT /Tx /V <FEFF001B0065006E001B0041>>>", nil, fieldsheet.Entry{Text: "A", Page: 1}},
		{"reference", "<</T (a) /FT /Tx /V 5 0 R>>", []string{"(there)"}, fieldsheet.Entry{Text: "there", Page: 1}},
		{"stream", "<</T (a) /FT /Tx /V 5 0 R>>", []string{"<</Length 5>>\nstream\nthere\nendstream"}, fieldsheet.Entry{Text: "there", Page: 1}},
		{"widget below", "<</T (a) /FT /Tx /V (up) /Kids [5 0 R]>>", []string{"<</Subtype /Widget /Parent 4 0 R>>"}, fieldsheet.Entry{Text: "up", Page: 1}},
		{"tick as name", "<</T (a) /FT /Btn /V /Yes /AS /Yes>>", nil, fieldsheet.Entry{On: true, Page: 1}},
		{"tick as string", "<</T (a) /FT /Btn /V (Yes)>>", nil, fieldsheet.Entry{On: true, Page: 1}},
		{"tick by state alone", "<</T (a) /FT /Btn /AS /1>>", nil, fieldsheet.Entry{On: true, Page: 1}},
		{"tick of a widget below", "<</T (a) /FT /Btn /Kids [5 0 R]>>", []string{"<</Subtype /Widget /AS /On>>"}, fieldsheet.Entry{On: true, Page: 1}},
		{"no tick", "<</T (a) /FT /Btn /V /Off /AS /Off>>", nil, fieldsheet.Entry{Page: 1}},
		{"nothing", "<</T (a) /FT /Tx>>", nil, fieldsheet.Entry{Page: 1}},
		{"null", "<</T (a) /FT /Tx /V null>>", nil, fieldsheet.Entry{Page: 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := filledpdf.Read("x.pdf", formPDF("4 0 R", append([]string{c.object}, c.more...)...))
			if err != nil {
				t.Fatal(err)
			}
			if got := f.Entries["a"]; got != c.want || len(f.Entries) != 1 {
				t.Errorf("%+v, want %+v", f.Entries, c.want)
			}
		})
	}
}

// TestDocEncoding compares the table of PDFDocEncoding with that of another program.
func TestDocEncoding(t *testing.T) {
	var raw []byte
	for c := 0x18; c <= 0xFF; c++ {
		if c >= ' ' && c <= 0x7F || c == 0x9F || c == 0xAD { // ASCII, and not defined
			continue
		}
		raw = append(raw, byte(c))
	}
	name := filepath.Join(t.TempDir(), "x.pdf")
	titled := bytes.Replace(formPDF("", fmt.Sprintf("<</Title <%X>>>", raw)), []byte("/Root"), []byte("/Info 4 0 R /Root"), 1)
	if err := os.WriteFile(name, titled, 0o600); err != nil {
		t.Fatal(err)
	}
	want := regexp.MustCompile(`Title: +(.+)`).FindStringSubmatch(tool(t, "pdfinfo", "-enc", "UTF-8", name))
	if want == nil {
		t.Fatal("the other program reads no title")
	}
	f, err := filledpdf.Read("x.pdf", formPDF("4 0 R", fmt.Sprintf("<</T (a) /FT /Tx /V <%X>>>", raw)))
	if err != nil {
		t.Fatal(err)
	}
	got, other := []rune(f.Entries["a"].Text), []rune(want[1])
	if len(got) != len(other) {
		t.Fatalf("%q, another program reads %q", string(got), want[1])
	}
	for i, r := range got {
		if r != other[i] {
			t.Errorf("%#x: %q, another program reads %q", raw[i], r, other[i])
		}
	}
}

// TestBrokenFiles: what is no sheet is refused, in good time and without panic.
func TestBrokenFiles(t *testing.T) {
	long(t)
	j := newJob(t, "metric", nil)
	sheet := readFile(t, j.pdf())
	deep := "<</T (a) /FT /Tx /V (x) /Kids [4 0 R 5 0 R]>>"
	var bomb bytes.Buffer
	z := zlib.NewWriter(&bomb)
	if _, err := z.Write(make([]byte, lenient.MaxStream+1)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	many := make([]string, lenient.MaxObjects)
	for i := range many {
		many[i] = "0"
	}
	for _, c := range []struct {
		name string
		data []byte
	}{
		{"nothing", nil},
		{"text", []byte("a sheet")},
		{"header alone", []byte("%PDF-1.7\n")},
		{"no form", build("<</Type /Catalog /Pages 2 0 R>>", pagesObject, "<</Type /Page>>")},
		{"too many objects", formPDF("4 0 R", many...)},
		{"packed stream", formPDF("4 0 R", "<</T (a) /FT /Tx /V 5 0 R>>", fmt.Sprintf("<</Filter /FlateDecode /Length %d>>\nstream\n%s\nendstream", bomb.Len(), bomb.Bytes()))},
		{"field that is its own kid", formPDF("4 0 R", deep, deep)},
		{"pages that are their own kids", build(fmt.Sprintf(catalogObject, ""), "<</Type /Pages /Kids [2 0 R 2 0 R]>>")},
		{"table far away", []byte("%PDF-1.7\nstartxref\n99999999999\n%%EOF\n")},
		{"table that leads to itself", []byte("%PDF-1.7\nxref\n0 1\n0000000000 65535 f \ntrailer <</Size 1 /Prev 9 /Root 1 0 R>>\nstartxref\n9\n%%EOF\n")},
		{"cut in the middle", sheet[:len(sheet)/2]},
		{"end cut off", sheet[:len(sheet)-40]},
		{"hole", append(append(bytes.Clone(sheet[:len(sheet)/3]), make([]byte, 500)...), sheet[len(sheet)/3:]...)},
	} {
		t.Run(c.name, func(t *testing.T) {
			start := time.Now()
			f, err := filledpdf.Read("x.pdf", c.data)
			if took := time.Since(start); took > 2*lenient.MaxTime {
				t.Errorf("took %v", took)
			}
			var problems schema.Problems
			if err != nil && (!errors.As(err, &problems) || problems[0].Mend == "") {
				t.Errorf("error %v", err)
			}
			if err == nil && f.Plan != "" && c.name != "hole" {
				t.Error("read as a sheet")
			}
		})
	}
	for name, data := range map[string][]byte{
		"a value too large to unpack":     formPDF("4 0 R", "<</T (a) /FT /Tx /V 5 0 R>>", fmt.Sprintf("<</Filter /FlateDecode /Length %d>>\nstream\n%s\nendstream", bomb.Len(), bomb.Bytes())),
		"a value that cannot be unpacked": formPDF("4 0 R", "<</T (a) /FT /Tx /V 5 0 R>>", "<</Filter /FlateDecode /Length 1>>\nstream\nx\nendstream"),
		"two values of one name":          formPDF("4 0 R 5 0 R", "<</T (a) /FT /Tx /V (1)>>", "<</T (a) /FT /Tx /V (2)>>"),
	} {
		if f, err := filledpdf.Read("x.pdf", data); err == nil {
			t.Errorf("%s: read, with %d values", name, len(f.Entries))
		}
	}
	if _, err := filledpdf.Read("x.pdf", make([]byte, fieldsheet.MaxFilled+1)); err == nil {
		t.Error("a file that is too large is read")
	}
}

// TestEncrypted: a sheet that asks for a password is refused.
func TestEncrypted(t *testing.T) {
	j := newJob(t, "metric", nil)
	name := j.pdf()
	out := j.save("out.pdf", nil)
	tool(t, "qpdf", "--encrypt", "secret", "owner", "256", "--", name, out)
	if _, err := filledpdf.Read("x.pdf", readFile(t, out)); err == nil || !strings.Contains(err.Error(), "asks for a password") {
		t.Errorf("%v", err)
	}
}

// TestMarkdownRefused: what somebody wrote where no line of the sheet is, or
// what stands there twice, is refused with its line.
func TestMarkdownRefused(t *testing.T) {
	j := newJob(t, "metric", nil)
	boxes := NewBoxes(j.asks)
	good := j.markdown(j.answers)
	for _, c := range []struct {
		name, old, new, found string
	}{
		{"a note between lines", "\n- Purpose", "\nlaser fell down today\n- Purpose", "laser fell down today"},
		{"a line twice", "- Set-height mark", "- Set-height mark, in millimetres: 231\n- Set-height mark", "a second time"},
		{"an item without colon", "- Set-height mark", "- something else\n- Set-height mark", "something else"},
		{"an answer moved up", "# Field sheet", "# Field sheet\n\n- Set-height mark, in millimetres: 231", "Set-height mark"},
		{"two lines that became one", between(good, "- Offset of the fronts, in millimetres (at", "Offset of the tops"), "Offset of the tops", "Offset of the fronts"},
		{"text behind the plan", "-->", "-->\nand more", "and more"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(good, c.old, c.new, 1)
			_, err := ReadMarkdown("x.md", []byte(text), boxes)
			var p schema.Problems
			if !errors.As(err, &p) || len(p) != 1 || p[0].Line == 0 || !strings.Contains(p[0].Found, c.found) {
				t.Errorf("%v", err)
			}
		})
	}
	// Of any number of lines that are none of the sheet some are named.
	_, err := ReadMarkdown("x.md", []byte(strings.Repeat("- a: b\n", 5000)+good), boxes)
	if p := (schema.Problems{}); !errors.As(err, &p) || len(p) != mostStrays+1 || !strings.HasPrefix(p[mostStrays].Found, "4900 more lines") {
		t.Errorf("%.300v", err)
	}
	// An unknown line that is filled in is refused once the plan fits.
	f, err := ReadMarkdown("x.md", []byte(strings.Replace(good, "- Set-height mark", "- Height of the mark, in millimetres: 5\n- Set-height mark", 1)), boxes)
	if err != nil {
		t.Fatal(err)
	}
	if p := j.refused(Options{}, f); len(p) != 1 || p[0].Line == 0 || !strings.Contains(p[0].Box, "Height of the mark") {
		t.Errorf("%v", p)
	}
	if _, err := ReadMarkdown("x.md", []byte("\xff"), boxes); err == nil {
		t.Error("bytes that are not UTF-8 are read")
	}
}

// between is what stands from the end of one text to the end of the next after it.
func between(text, from, to string) string {
	_, after, _ := strings.Cut(text, from)
	before, _, _ := strings.Cut(after, to)
	return before + to
}

// TestMarkdownByHand: what editors make of a sheet is read all the same.
func TestMarkdownByHand(t *testing.T) {
	j := newJob(t, "metric", nil)
	text := j.markdown(map[string]fieldsheet.Entry{"date": {Text: "2026-10-01"}, "people/0/name": {Text: "A. Reader"}})
	for _, r := range [][2]string{
		{"- Set-height mark, in millimetres: ___", "* Set-height mark, in millimetres: __231__"},
		{"- Slab cured:\n  - [ ] yes", "+ Slab cured:\n    * [X] yes"},
		{"- Remark on the site: ___", "- Remark on the site: dust: a lot \\*\n  and \"noise\""},
	} {
		if !strings.Contains(text, r[0]) {
			t.Fatalf("%q is not in the sheet", r[0])
		}
		text = strings.Replace(text, r[0], r[1], 1)
	}
	f, err := ReadMarkdown("x.md", []byte("\ufeff"+text), NewBoxes(j.asks))
	if err != nil {
		t.Fatal(err)
	}
	_, rec := j.add(Options{}, f)
	v := rec.Measured.Visits[0]
	if mark := v.Rooms["1.12"].Elevations["North"].Mark; mark == nil || mark.String() != "231 mm" {
		t.Errorf("mark %v", mark)
	}
	if v.Site == nil || v.Site.SlabCured == nil || !*v.Site.SlabCured || v.Site.Remark != "dust: a lot *\nand \"noise\"" {
		t.Errorf("site %+v", v.Site)
	}
}

// TestForgedPage: of a sheet with any number of boxes that nobody asks for some are
// named and the rest counted, and a photograph is of a room that the sheet is of.
func TestForgedPage(t *testing.T) {
	j := newJob(t, "annex", oneElevation)
	entries := map[string]fieldsheet.Entry{"date": {Text: "2026-10-01"}, "people/0/name": {Text: "Ingrid Sørlie"}}
	photo := j.byHand("page.html", entries)
	photo.Photos = []fieldsheet.Photo{{Room: "S-999", File: "p.jpg", SHA256: strings.Repeat("0", 64)}}
	if problems := j.refused(Options{}, photo); len(problems) != 1 || problems[0].Found != `a photograph of room "S-999"` || problems[0].Mend == "" {
		t.Errorf("%+v", problems)
	}
	for i := range mostUnknown + 5 {
		entries[fmt.Sprint("of-nobody/", i)] = fieldsheet.Entry{Text: "1"}
	}
	problems := j.refused(Options{}, j.byHand("page.html", entries))
	if len(problems) != mostUnknown || !strings.HasSuffix(problems[mostUnknown-1].Found, "; and 5 boxes more") {
		t.Errorf("%d problems, the last %+v", len(problems), problems[len(problems)-1])
	}
}
