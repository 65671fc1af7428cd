package sign

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"setline.example/report/pdf/object"
)

// appendTo appends an update with these objects, as an editor of PDF would.
func appendTo(t testing.TB, b []byte, objects map[int]string) []byte {
	t.Helper()
	f, err := read(b)
	if err != nil {
		t.Fatal(err)
	}
	k := len(f.Revisions) - 1
	w := writer{f: f, offsets: make(map[int]int)}
	w.Write(b)
	size := f.size(k)
	for _, n := range slices.Sorted(maps.Keys(objects)) {
		w.text(n, objects[n])
		size = max(size, n+1)
	}
	w.tail(f.Revisions[k], size)
	return w.Bytes()
}

// forceSign signs what Sign refuses, after change has had its way with the update.
func forceSign(t testing.TB, b []byte, r Request, change func(*update)) []byte {
	t.Helper()
	f, err := read(b)
	if err != nil {
		t.Fatal(err)
	}
	u, err := f.update(r)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(u)
	}
	out, err := u.sign(r)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// signWith signs and puts objects into the same revision. Objects that signing
// writes too are replaced.
func signWith(t testing.TB, b []byte, r Request, objects map[int]string) []byte {
	t.Helper()
	return forceSign(t, b, r, func(u *update) {
		f, err := read(u.data)
		if err != nil {
			t.Fatal(err)
		}
		k := len(f.Revisions) - 1
		last := f.Revisions[k]
		w := writer{f: f, offsets: make(map[int]int)}
		w.Write(u.data[:last.Start])
		size := f.size(k)
		// The signature, of which the places are known, comes first and stays where it is.
		for _, n := range slices.SortedFunc(maps.Keys(last.Offsets), func(a, b int) int { return last.Offsets[a] - last.Offsets[b] }) {
			if _, changed := objects[n]; !changed {
				w.offsets[n] = w.Len()
				o, _ := last.Object(n)
				w.Write(u.data[o.Begin : o.Past+1])
			}
		}
		for _, n := range slices.Sorted(maps.Keys(objects)) {
			w.text(n, objects[n])
			size = max(size, n+1)
		}
		w.f = &file{&object.File{Data: u.data}}
		w.tail(f.Revisions[k-1], size)
		u.data = bytes.Clone(w.Bytes())
	})
}

// parts are object numbers in the report.
type parts struct {
	f                                                *file
	root, page, content, font, pages, attached, info int
	after                                            int // the next number
	catalog, first                                   object.Value
}

func partsOf(t testing.TB, b []byte) parts {
	t.Helper()
	f, err := read(b)
	if err != nil {
		t.Fatal(err)
	}
	k := len(f.Revisions) - 1
	page, err := f.firstPage(k)
	if err != nil {
		t.Fatal(err)
	}
	p := parts{f: f, page: int(page), after: f.size(k)}
	p.root = int(f.Revisions[k].Trailer.Get("Root").Int)
	p.info = int(f.Revisions[k].Trailer.Get("Info").Int)
	catalog, _ := f.Find(int64(p.root), k)
	first, _ := f.Find(page, k)
	p.catalog, p.first = catalog.Value, first.Value
	p.content = int(first.Get("Contents").Int)
	p.pages = int(catalog.Get("Pages").Int)
	for _, n := range f.Revisions[0].Numbers() {
		switch o, _ := f.Revisions[0].Object(n); {
		case o.Get("Type").IsName("EmbeddedFile"):
			p.attached = n
		case o.Get("Type").IsName("FontDescriptor"):
			p.font = n
		}
	}
	if p.content == 0 || p.attached == 0 || p.font == 0 || p.info == 0 {
		t.Fatalf("the report has not all the parts that are to be attacked: %+v", p)
	}
	return p
}

func (p parts) edit(v object.Value, e ...entry) string {
	return editedText(v, e...)
}

type attack struct {
	name    string
	objects func(p parts) map[int]string
	want    string // what has to be named
}

func attacks() []attack {
	one := func(n int, body string) map[int]string { return map[int]string{n: body} }
	fill := "<< /Length 12 >>\nstream\n0 0 9 9 re f\nendstream"
	return []attack{
		{"new content of page 1", func(p parts) map[int]string {
			return map[int]string{p.page: p.edit(p.first, entry{"Contents", fmt.Sprintf("%d 0 R", p.after+9)}), p.after + 9: fill}
		}, "changes /Contents of object PAGE (page 1, /Page)"},
		{"content of page 1 overwritten", func(p parts) map[int]string { return one(p.content, fill) }, "(page 1/Contents, a stream)"},
		{"new annotation", func(p parts) map[int]string {
			return map[int]string{
				p.page:      p.edit(p.first, entry{"Annots", grownText(p.first.Get("Annots"), p.after+9)}),
				p.after + 9: "<< /Type /Annot /Subtype /FreeText /Rect [0 0 99 99] /Contents (Ready) >>",
			}
		}, "/FreeText)"},
		{"attachment replaced", func(p parts) map[int]string {
			return one(p.attached, "<< /Type /EmbeddedFile /Length 2 >>\nstream\n{}\nendstream")
		}, "/EmbeddedFile, a stream)"},
		{"catalog /Names", func(p parts) map[int]string {
			return one(p.root, p.edit(p.catalog, entry{"Names", "<< /EmbeddedFiles << /Names [] >> >>"}))
		}, "changes /Names of object"},
		{"catalog /OpenAction", func(p parts) map[int]string {
			return one(p.root, p.edit(p.catalog, entry{"OpenAction", "<< /S /URI /URI (https://example.org/) >>"}))
		}, "changes /OpenAction of object"},
		{"catalog /Outlines taken out", func(p parts) map[int]string {
			return one(p.root, strings.Replace(p.edit(p.catalog), "/Outlines", "/Outline", 1))
		}, "changes /Outlines of object"},
		{"font replaced", func(p parts) map[int]string { return one(p.font, "<< /Type /FontDescriptor >>") }, "/FontDescriptor)"},
		{"page size", func(p parts) map[int]string {
			return one(p.page, p.edit(p.first, entry{"MediaBox", "[0 0 10 10]"}))
		}, "changes /MediaBox of object"},
		{"page turned", func(p parts) map[int]string {
			return one(p.page, p.edit(p.first, entry{"Rotate", "180"}))
		}, "changes /Rotate of object"},
		{"links of page 1 taken out", func(p parts) map[int]string {
			return one(p.page, p.edit(p.first, entry{"Annots", "[]"}))
		}, "/Annots"},
		{"pages taken out", func(p parts) map[int]string {
			return one(p.pages, fmt.Sprintf("<< /Type /Pages /Count 1 /Kids [%d 0 R] >>", p.page))
		}, "(catalog/Pages, /Pages)"},
		{"title changed", func(p parts) map[int]string { return one(p.info, "<< /Title (Other) >>") }, "(information)"},
		{"unused object", func(p parts) map[int]string { return one(p.after+9, "<< /Type /Page >>") }, "(which nothing uses, /Page)"},
		{"second field", func(p parts) map[int]string {
			return one(p.after+9, "<< /Type /Annot /Subtype /Widget /FT /Sig /Rect [0 0 0 0] >>")
		}, "/Widget)"},
		{"text field", func(p parts) map[int]string {
			return one(p.after+9, "<< /Type /Annot /Subtype /Widget /FT /Tx /V (Ready) /Rect [0 0 9 9] >>")
		}, "/Widget)"},
		{"permissions loosened", func(p parts) map[int]string {
			return one(p.root, p.edit(p.catalog, entry{"Perms", "<< >>"}))
		}, "/Perms"},
	}
}

// A forger changes the report after signature 1 and signs, with a sound key:
// in the same revision, in one of its own, or not at all.
func TestChangedThenSigned(t *testing.T) {
	long(t)
	b, _ := signed(t, 1)
	t.Run("unseen", func(t *testing.T) { changeThenSign(t, b) })
	t.Run("seen", func(t *testing.T) { changeThenSign(t, sign(t, withPlaces(), people(t)[0])) })
}

func changeThenSign(t *testing.T, b []byte) {
	forger := people(t)[1]
	for _, a := range attacks() {
		p := partsOf(t, b)
		objects := a.objects(p)
		alone := appendTo(t, b, objects)
		for name, forged := range map[string][]byte{
			"unsigned":          alone,
			"own revision":      forceSign(t, alone, forger, nil),
			"with signature":    signWith(t, b, forger, objects),
			"after a signature": appendTo(t, sign(t, b, forger), objects),
		} {
			t.Run(a.name+"/"+name, func(t *testing.T) {
				v, err := Verify(forged, nil)
				if err != nil {
					t.Fatal(err)
				}
				got := strings.Join(v.Problems, "\n")
				if v.Sound() || !strings.Contains(got, strings.Replace(a.want, "PAGE", fmt.Sprint(p.page), 1)) {
					t.Errorf("got %q, want %q", got, a.want)
				}
				if !v.Signatures[0].Intact {
					t.Error("the first signature, which is intact, is said not to be")
				}
			})
		}
		if _, err := Sign(alone, forger); !errors.Is(err, ErrChanged) {
			t.Errorf("%s: signing it gave %v", a.name, err)
		}
	}
}

// The same attacks with the signature's own parts, of one length each.
func TestSignatureParts(t *testing.T) {
	long(t)
	_, who := signed(t, 1)
	for _, c := range []struct{ name, from, to, want string }{
		{"visible field", "/Rect [0 0 0 0]", "/Rect [0 0 9 9]", "has /Rect [ 0 0 9 9 ] in its signature field"},
		{"hidden flag", "/F 132", "/F 134", "has /F 134 in its signature field"},
		{"other form", "ETSI.CAdES.detached", "adbe.pkcs7.detached", "has /SubFilter"},
		{"form flags", "/SigFlags 3", "/SigFlags 1", "has /SigFlags 1 in /AcroForm"},
		{"name of the field", "(Signature ", "(Signatuer ", "has /T"},
		{"action", "/F 132", "/A 132", "has /A in its signature field"},
		{"signature on another page", "/P ", "/P 1", "has /P"},
		{"two ranges", "/Filter /Adobe.PPKLite", "/ByteRange [0 1 2 3]  ", "has the key /ByteRange twice"},
		{"two contents", "/Filter /Adobe.PPKLite", "/Contents <000000>    ", "has the key /Contents twice"},
		{"tab before a key", " /Filter /Adobe", "\t/Filter /Adobe", "is not what signing writes"},
		{"zero behind a key", "/Filter /Adobe", "/Filter\x00/Adobe", "is not what signing writes"},
		{"another end of a line", "\n/Name (Ada", "\r/Name (Ada", "is not what signing writes"},
		{"space for the end of a line", " 0 obj\n<< /Type /Sig ", " 0 obj << /Type /Sig ", "is not what signing writes"},
		{"role", "/Reason (As inspector", "/Reason (As inspectre", "does not begin with a role"},
		{"name", "/Name (Ada", "/Name (Eda", "its /Name is not the name"},
		{"time", "/M (D:2026", "/M (D:20x6", "its time is"},
		{"expired", "/M (D:2026", "/M (D:2030", "expired on 2029"},
		{"not yet valid", "/M (D:2026", "/M (D:2020", "valid only from"},
		{"previous table", "/Prev ", "/Prex ", ""},
		{"size", "/Size ", "/Size 1", "has /Size"},
		{"more in the trailer", "/Info ", "/Inof ", "has /Inof in its trailer"},
		{"looser rules", "/P 2 >>", "/P 3 >>", "has /Reference"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := faults(forceSign(t, report(), who[0], func(u *update) {
				at := bytes.LastIndex(u.data, []byte(c.from))
				if c.name == "looser rules" || strings.HasPrefix(c.name, "two") || at < len(report()) {
					at = len(report()) + bytes.Index(u.data[len(report()):], []byte(c.from))
				}
				if at < len(report()) {
					t.Fatalf("%q is not in the update", c.from)
				}
				copy(u.data[at:], c.to)
			}))
			if got == "" || !strings.Contains(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// Only the first signature may certify.
func TestSecondCertification(t *testing.T) {
	once, _ := signed(t, 1)
	r := people(t)[1]
	rules := "/Reference " + documentRules().Source()
	r.Reason = strings.Repeat("x", len(rules))
	got := faults(forceSign(t, once, r, func(u *update) {
		at := bytes.LastIndex(u.data, []byte("/Reason"))
		end := at + bytes.IndexByte(u.data[at:], ')') + 1
		copy(u.data[at:end], bytes.Repeat([]byte(" "), end-at))
		copy(u.data[at:], rules)
	}))
	if !strings.Contains(got, "revision 3 has /Reference") {
		t.Errorf("got %q", got)
	}
}

func TestByteRange(t *testing.T) {
	long(t)
	_, who := signed(t, 1)
	r := who[0]
	for _, c := range []struct {
		name     string
		start    int // of the first part
		from, to int // of the gap, beside /Contents
		short    int // before the end
	}{
		{name: "gap begins early", from: -12},
		{name: "gap begins with the digits", from: 1},
		{name: "gap ends late", to: 20},
		{name: "gap ends with the digits", to: -1},
		{name: "not from the beginning", start: 9},
		{name: "not to the end", short: 7},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := read(report())
			if err != nil {
				t.Fatal(err)
			}
			u, err := f.update(r)
			if err != nil {
				t.Fatal(err)
			}
			a, z, end := u.contents+c.from, u.end+c.to, len(u.data)-c.short
			numbers := fmt.Sprintf("%d %d %d", a-c.start, z, end-z)
			copy(u.data[u.rangeAt:], numbers)
			if c.start > 0 {
				copy(u.data[u.rangeAt-2:], fmt.Sprint(c.start))
			}
			cms, err := signCMS(r.Identity, nil, u.data[c.start:a], u.data[z:end])
			if err != nil {
				t.Fatal(err)
			}
			copy(u.data[u.contents+1:], fmt.Sprintf("%x", cms))
			v, err := Verify(u.data, nil)
			if err != nil {
				t.Fatal(err)
			}
			if s := v.Signatures[0]; v.Sound() || s.CoversWholeRevision || !strings.Contains(s.Problem, "its /ByteRange is") {
				t.Errorf("got %+v", s)
			}
		})
	}
}

// What cannot be seen in the file: the last signature taken off.
func TestSignatureTakenOff(t *testing.T) {
	b, _ := signed(t, 2)
	f, err := read(b)
	if err != nil {
		t.Fatal(err)
	}
	if v, err := Verify(b[:f.Revisions[1].End], nil); err != nil || !v.Sound() || len(v.Signatures) != 1 {
		t.Errorf("one signature should be left: %v %+v", err, v)
	}
}

// TestLively: a report that does something, or shows now this and now that, is
// refused whatever page format it claims, and by the one who is to sign it too.
func TestLively(t *testing.T) {
	long(t)
	for name, c := range map[string]struct{ catalog, page, want string }{
		"opens with a script":    {catalog: "/OpenAction << /S /JavaScript /JS (x) >>", want: "/OpenAction"},
		"acts when it is shown":  {page: "/AA << /O << /S /Launch >> >>", want: "/AA"},
		"a link that launches":   {page: "/Annots [<< /Subtype /Link /Rect [0 0 9 9] /A << /S /Launch /F (x) >> >>]", want: "/Launch"},
		"a link to a file":       {page: "/Annots [<< /Subtype /Link /Rect [0 0 9 9] /A << /S /GoToR /F (x) >> >>]", want: "/GoToR"},
		"scripts by name":        {catalog: "/Names << /JavaScript << /Names [] >> >>", want: "/JavaScript"},
		"layers":                 {catalog: "/OCProperties << /OCGs [] >>", want: "/OCProperties"},
		"a form of another kind": {catalog: "/AcroForm << /Fields [] /XFA (x) >>", want: "/XFA"},
	} {
		t.Run(name, func(t *testing.T) {
			file := withMore(t, c.catalog, c.page)
			got := faults(forceSign(t, file, people(t)[0], nil))
			if !strings.Contains(got, "has "+c.want+", which a report never has") {
				t.Errorf("got %q", got)
			}
			if _, err := Sign(file, people(t)[0]); !errors.Is(err, ErrChanged) {
				t.Errorf("signing it gave %v", err)
			}
		})
	}
	if got := faults(sign(t, withMore(t, "", "/Annots [<< /Subtype /Link /Rect [0 0 9 9] /A << /S /URI /URI (x) >> >>]"), people(t)[0])); got != "" {
		t.Errorf("a link: %s", got)
	}
}

// withMore is the small report with more in its catalog and on its page.
func withMore(t *testing.T, catalog, page string) []byte {
	t.Helper()
	f, err := read(report())
	if err != nil {
		t.Fatal(err)
	}
	r := f.Revisions[0]
	first, err := f.firstPage(0)
	if err != nil {
		t.Fatal(err)
	}
	more := map[int64]string{r.Trailer.Get("Root").Int: catalog, first: page}
	items := make([]object.Item, len(r.Numbers()))
	for _, n := range r.Numbers() {
		o, _ := r.Object(n)
		v := o.Value
		added, err := object.Parse([]byte("<< " + more[int64(n)] + " >>"))
		if err != nil {
			t.Fatal(err)
		}
		for i, key := range added.Keys {
			v = v.With(key, added.Items[i])
		}
		items[n-1] = object.Item{Value: v}
		if o.Stream {
			items[n-1].Stream = f.Data[o.From:o.To]
		}
	}
	return object.Write(items, r.Trailer)
}
