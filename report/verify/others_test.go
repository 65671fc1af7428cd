package verify

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"setline.example/report/pdf/object"
	"setline.example/report/sign"
)

// TestSignedElsewhere: files as other software signed them, behind a signature
// of Setline. The report is kept once, and of each file what follows it:
//
//   - poppler: pdfsig 22.12.0 with a key in NSS, into the place of the report
//   - mutool: mutool sign 1.21.1, which signs by SHA-1
//   - signpdf: @signpdf/signpdf 3.3.0 from npm, which writes /AcroForm twice
func TestSignedElsewhere(t *testing.T) {
	long(t)
	const folder = "testdata/others/"
	part, err := os.ReadFile(folder + "report.pdf")
	if err != nil {
		t.Fatal(err)
	}
	alone := verified(t, part, Options{})
	if bad := having(alone, Bad); judgedOtherwise(bad) != "" {
		t.Fatalf("the report itself: %s", bad)
	}
	for name, says := range map[string]string{
		"poppler": "added a signature by Tomas Quiroga (Brackenfell Construction) (valid; whose it is was not checked)",
		"mutool":  "added a signature by somebody (not checked: the digest algorithm is 1.3.14.3.2.26",
		"signpdf": "added a signature by Tomas Quiroga (Brackenfell Construction) (valid; whose it is was not checked)",
	} {
		t.Run(name, func(t *testing.T) {
			tail, err := os.ReadFile(folder + name + ".tail")
			if err != nil {
				t.Fatal(err)
			}
			v := verified(t, slices.Concat(part, tail), Options{})
			if found := foundBy(v, OtherSoftware); len(found) != 1 || !strings.HasPrefix(found[0], "up to revision 2 everything holds; after that ") || !strings.Contains(found[0], says) {
				t.Errorf("found %q, want %q", found, says)
			}
			if having(v, Bad) != having(alone, Bad) || !strings.Contains(having(v, Open), string(OtherSoftware)) || v.Holds || v.Answer != "" || strings.Contains(v.headline(), "READY") {
				t.Errorf("%s: bad %q, open %q", v.headline(), having(v, Bad), having(v, Open))
			}
			if alone.Verdict != DoesNotHold && (v.Verdict != Indeterminate || v.HoldsTo != 2 || !bytes.Equal(v.Part, part)) {
				t.Errorf("%s up to revision %d; the part has %d bytes, expected %d", v.Verdict, v.HoldsTo, len(v.Part), len(part))
			}
			// A byte of the signed part, of the addition, and of what it covers.
			for _, at := range []int{len(part) / 2, len(part) + 20, len(part) + len(tail) - 40} {
				broken := slices.Concat(part, tail)
				broken[at] ^= 1
				if b := verified(t, broken, Options{}); b.Verdict != DoesNotHold && name != "mutool" {
					t.Errorf("byte %d changed: %s", at, b.Verdict)
				}
			}
		})
	}
}

// judgedOtherwise takes from the codes of checks that do not hold those which
// come with rules that judge an old record otherwise.
func judgedOtherwise(bad string) string {
	return strings.TrimSpace(strings.NewReplacer(string(AnswerStated), "", string(ResultsSame), "", string(ReasonOfIt), "").Replace(bad))
}

func foundBy(v *Found, code Code) (found []string) {
	for _, c := range v.Checks {
		if c.Code == code {
			found = append(found, c.Found)
		}
	}
	return found
}

// addedTo appends objects to a file as other software does: with a table, or
// with a cross-reference stream and those of packed in an object stream.
func addedTo(t testing.TB, file []byte, objects map[int]string, packed map[int]string, change func(trailer string) string) []byte {
	t.Helper()
	f, err := object.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	last := f.Revisions[len(f.Revisions)-1]
	size := int(last.Trailer.Get("Size").Int) + 40
	root := fmt.Sprintf("/Root %s /Prev %d", last.Trailer.Get("Root").Source(), last.Table)
	if change != nil {
		root = change(root)
	}
	b := bytes.NewBuffer(slices.Clone(file))
	entries := map[int][3]int{}
	for _, n := range slices.Sorted(maps.Keys(objects)) {
		if objects[n] == "" { // taken away
			entries[n] = [3]int{0, 0, 1}
			continue
		}
		entries[n] = [3]int{1, b.Len(), 0}
		fmt.Fprintf(b, "%d 0 obj\n%s\nendobj\n", n, objects[n])
	}
	if packed == nil {
		table := b.Len()
		b.WriteString("xref\n0 1\n0000000000 65535 f \n")
		for _, n := range slices.Sorted(maps.Keys(entries)) {
			kind := "n"
			if entries[n][0] == 0 {
				kind = "f"
			}
			fmt.Fprintf(b, "%d 1\n%010d %05d %s \n", n, entries[n][1], entries[n][2], kind)
		}
		fmt.Fprintf(b, "trailer\n<< /Size %d %s >>\nstartxref\n%d\n%%%%EOF\n", size, root, table)
		return b.Bytes()
	}
	holder, table := size-2, size-1
	var heads, bodies strings.Builder
	for i, n := range slices.Sorted(maps.Keys(packed)) {
		fmt.Fprintf(&heads, "%d %d ", n, bodies.Len())
		bodies.WriteString(packed[n] + "\n")
		entries[n] = [3]int{2, holder, i}
	}
	entries[holder] = [3]int{1, b.Len(), 0}
	stream := object.Pack([]byte(heads.String() + bodies.String()))
	fmt.Fprintf(b, "%d 0 obj\n<< /Type /ObjStm /N %d /First %d /Filter /FlateDecode /Length %d >>\nstream\n%s\nendstream\nendobj\n", holder, len(packed), heads.Len(), len(stream), stream)
	entries[table] = [3]int{1, b.Len(), 0}
	var index strings.Builder
	var rows []byte
	for _, n := range slices.Sorted(maps.Keys(entries)) {
		fmt.Fprintf(&index, "%d 1 ", n)
		e := entries[n]
		rows = append(rows, byte(e[0]))
		rows = binary.BigEndian.AppendUint32(rows, uint32(e[1]))
		rows = binary.BigEndian.AppendUint16(rows, uint16(e[2]))
	}
	at := b.Len()
	stream = object.Pack(rows)
	fmt.Fprintf(b, "%d 0 obj\n<< /Type /XRef /W [1 4 2] /Index [%s] /Size %d %s /Filter /FlateDecode /Length %d >>\nstream\n%s\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n",
		table, index.String(), size, root, len(stream), stream, at)
	return b.Bytes()
}

// TestAddedElsewhere: what other software may do behind a report is to sign, and
// nothing else, in whatever form it is written.
func TestAddedElsewhere(t *testing.T) {
	long(t)
	part := signed(t, reportOf(t, metric), ada(t), sign.Inspector, noon)
	f, err := object.Read(part)
	if err != nil {
		t.Fatal(err)
	}
	k := len(f.Revisions) - 1
	number := func(v object.Value) int { return int(v.Int) }
	root := number(f.Revisions[k].Trailer.Get("Root"))
	catalog, _ := f.Find(int64(root), k)
	pages := f.Resolve(catalog.Get("Pages"), k)
	first := number(pages.Get("Kids").Items[0])
	page, _ := f.Find(int64(first), k)
	content := number(page.Get("Contents"))
	fields := catalog.Get("AcroForm").Get("Fields").Items
	place, _ := f.Find(fields[2].Int, k)
	used, _ := f.Find(fields[0].Int, k)
	next := int(f.Revisions[k].Trailer.Get("Size").Int)

	with := func(v object.Value, key, source string) string {
		item, err := object.Parse([]byte(source))
		if err != nil {
			t.Fatal(err)
		}
		return v.With(key, item).Source()
	}
	// A signature that covers the report, and that nobody here can read.
	sig := fmt.Sprintf("<< /Type /Sig /Filter /X /SubFilter /y /ByteRange [0 %d %d 0] /Contents <00> >>", len(part), len(part)+4)
	cover := func(file []byte) []byte { // its /Contents stand where they stand
		at := bytes.LastIndex(file, []byte("/Contents <00>"))
		if at < len(part) {
			return file
		}
		at += len("/Contents ")
		old := fmt.Sprintf("/ByteRange [0 %d %d 0]", len(part), len(part)+4)
		return bytes.Replace(file, []byte(old), fmt.Appendf(nil, "/ByteRange [0 %d %d 0]", at, at+4)[:len(old)], 1)
	}
	widget := func(more string) string {
		return fmt.Sprintf("<< /Type /Annot /Subtype /Widget /FT /Sig /T (x) /V %d 0 R /P %d 0 R /Rect [0 0 0 0] %s>>", next, first, more)
	}
	signs := func(more ...any) map[int]string {
		m := map[int]string{
			next: sig, next + 1: widget(""), first: with(page.Value, "Annots", fmt.Sprintf("[%d 0 R]", next+1)),
			root: with(catalog.Value, "AcroForm", fmt.Sprintf("<< /Fields [%d 0 R] /SigFlags 3 >>", next+1)),
		}
		for i := 0; i < len(more); i += 2 {
			m[more[i].(int)] = more[i+1].(string)
		}
		return m
	}
	none := map[int]string{}
	for _, c := range []struct {
		name            string
		objects, packed map[int]string
		trailer         func(string) string
		want            string // what other software is said to do; "" for signing alone
	}{
		{"signs", signs(), nil, nil, ""},
		{"signs in streams", map[int]string{next: sig}, map[int]string{next + 1: widget(""), first: signs()[first], root: signs()[root]}, nil, ""},
		{"signs in the place", map[int]string{next: sig, number(fields[2]): with(place.Value, "V", fmt.Sprintf("%d 0 R", next))}, nil, nil, ""},
		{"adds what validates it", signs(root, with(catalog.Value, "DSS", "<< >>")), nil, nil, ""},
		{"nothing", map[int]string{next: "(x)"}, nil, nil, "adds no signature"},
		{"another page's content", signs(content, "<< /Length 1 >>\nstream\n \nendstream"), nil, nil, fmt.Sprintf("replaces object %d", content)},
		{"content, in a stream", map[int]string{next: sig}, map[int]string{next + 1: widget(""), content: "<< >>"}, nil, fmt.Sprintf("replaces object %d", content)},
		{"page, in a stream", map[int]string{next: sig}, map[int]string{first: with(page.Value, "Contents", "[]")}, nil, "changes /Contents of page object"},
		{"other resources", signs(first, with(page.Value, "Resources", "<< >>")), nil, nil, "changes /Resources of page object"},
		{"takes content away", signs(content, ""), nil, nil, fmt.Sprintf("takes away object %d", content)},
		{"opens with an action", signs(root, with(catalog.Value, "OpenAction", "<< /S /URI /URI (x) >>")), nil, nil, "changes /OpenAction of the catalog"},
		{"other pages", signs(root, with(catalog.Value, "Pages", "<< >>")), nil, nil, "changes /Pages of the catalog"},
		{"other permissions", signs(root, with(catalog.Value, "Perms", "<< >>")), nil, nil, "changes /Perms of the catalog"},
		{"a note over the page", signs(next+1, "<< /Type /Annot /Subtype /FreeText /Rect [0 0 600 800] >>"), nil, nil, "puts something else than a signature on page object"},
		{"a field with an action", signs(next+1, widget("/AA << >> ")), nil, nil, "has /AA in a signature field"},
		{"a form of another kind", signs(root, with(catalog.Value, "AcroForm", fmt.Sprintf("<< /Fields [%d 0 R] /SigFlags 3 /XFA (x) >>", next+1))), nil, nil, "has /XFA in the form"},
		{"a form that computes", signs(root, with(catalog.Value, "AcroForm", fmt.Sprintf("<< /Fields [%d 0 R] /CO [%d 0 R] >>", next+1, next+1))), nil, nil, "has /CO in the form"},
		{"a field to fill in", signs(next+2, "<< /FT /Tx /T (answer) /V (READY) >>", root, with(catalog.Value, "AcroForm", fmt.Sprintf("<< /Fields [%d 0 R %d 0 R] >>", next+1, next+2))), nil, nil, "puts something else than a signature in the form"},
		{"a larger place", signs(number(fields[2]), with(place.Value, "Rect", "[0 0 600 800]")), nil, nil, "changes /Rect of field object"},
		{"a place that is signed", signs(number(fields[0]), with(used.Value, "V", fmt.Sprintf("%d 0 R", next))), nil, nil, fmt.Sprintf("replaces object %d", number(fields[0]))},
		{"another catalog", signs(next+2, catalog.Source()), nil, func(s string) string {
			return strings.Replace(s, fmt.Sprintf("/Root %d", root), fmt.Sprintf("/Root %d", next+2), 1)
		}, "makes another object the catalog"},
		{"a document of its own", signs(), nil, func(s string) string { return s[:strings.Index(s, "/Prev")] }, "takes away object"},
		{"a document in streams", none, signs(), func(s string) string { return s[:strings.Index(s, "/Prev")] }, "takes away object"},
	} {
		t.Run(c.name, func(t *testing.T) {
			v := verified(t, cover(addedTo(t, part, c.objects, c.packed, c.trailer)), Options{})
			found := strings.Join(foundBy(v, OtherSoftware), "\n")
			if c.want == "" {
				if v.Verdict != Indeterminate || !strings.Contains(found, "added a signature by somebody (not checked") || v.HoldsTo != 2 {
					t.Errorf("%s up to %d: %s", v.Verdict, v.HoldsTo, found)
				}
				return
			}
			if v.Verdict != DoesNotHold || !strings.Contains(found, "up to revision 2 everything holds; after that other software "+c.want) && !strings.Contains(found, "that cannot be read") {
				t.Errorf("%s: %s, want %q", v.Verdict, found, c.want)
			}
			if !bytes.Equal(v.Part, part) {
				t.Errorf("the part that holds has %d bytes, expected %d", len(v.Part), len(part))
			}
		})
	}
	// Hidden objects: a table that is as it should be, and beside it a stream
	// that puts another content on the page, for those who read it.
	for _, key := range []string{"/XRefStm", "/XRef#53tm"} {
		objects := signs(next+2, "<< /Length 12 >>\nstream\n0 0 9 9 re f\nendstream", next+3, "")
		table := func(replaced int) string {
			rows := binary.BigEndian.AppendUint32([]byte{1}, uint32(replaced))
			return fmt.Sprintf("<< /Type /XRef /W [1 4 2] /Index [%d 1] /Size %d /Length 7 >>\nstream\n%s\x00\x00\nendstream", content, next+9, rows)
		}
		objects[next+3] = table(1 << 20)
		at := func(file []byte, n int) int { return bytes.LastIndex(file, fmt.Appendf(nil, "\n%d 0 obj", n)) + 1 }
		first := addedTo(t, part, objects, nil, nil)
		objects[next+3] = table(at(first, next+2))
		hybrid := cover(addedTo(t, part, objects, nil, func(s string) string { return fmt.Sprintf("%s %s %d", s, key, at(first, next+3)) }))
		v := verified(t, hybrid, Options{})
		if found := strings.Join(foundBy(v, OtherSoftware), "\n"); v.Verdict != DoesNotHold || !bytes.Equal(v.Part, part) || !strings.Contains(found, "has a cross-reference stream beside its table") {
			t.Errorf("%s: %s: %s", key, v.Verdict, found)
		}
		if _, err := sign.Sign(hybrid, sign.Request{Identity: ada(t), As: sign.Installer, Reason: accepted, Time: noon}); err == nil {
			t.Errorf("%s: signed", key)
		}
	}
	// What is said to cover the report and does not.
	short := addedTo(t, part, signs(next, "<< /Type /Sig /ByteRange [0 10 20 0] /Contents <00> >>"), nil, nil)
	if v := verified(t, short, Options{}); v.Verdict != DoesNotHold || !strings.Contains(strings.Join(foundBy(v, OtherSoftware), ""), "its /ByteRange is") {
		t.Errorf("%s: %s", v.Verdict, foundBy(v, OtherSoftware))
	}
	// Text behind the end, and a report of which nothing holds.
	if v := verified(t, append(slices.Clone(part), "text"...), Options{}); v.Verdict != DoesNotHold || v.HoldsTo != 2 {
		t.Errorf("text behind the end: %s", v.Verdict)
	}
	if v := verified(t, reportOf(t, metric), Options{}); v.Verdict != DoesNotHold || v.Part != nil || v.HoldsTo != 0 {
		t.Errorf("nobody has signed: %s up to %d", v.Verdict, v.HoldsTo)
	}
}
