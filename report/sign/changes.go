package sign

import (
	"fmt"
	"slices"

	"setline.example/report/pdf/object"
	"setline.example/schema/plaintext"
)

// signatureObject is a signature dictionary and where it stands.
type signatureObject struct {
	object.Value
	number int
}

// changes compares a revision with the one before, and lists what it holds
// beside one signature. k is from 0; revision 0 is the report as it was made.
type changes struct {
	f        *file
	k        int
	labels   map[int64]string
	problems []string
	named    int // objects of which a problem tells, or would
	found    *signatureObject
	field    *field
	// drawing is what a signature shows in the report's own place for it; nil
	// where it shows nothing.
	drawing *drawing
}

func (c *changes) addf(format string, args ...any) {
	c.problems = append(c.problems, fmt.Sprintf("revision %d ", c.k+1)+fmt.Sprintf(format, args...))
}

// maxNamed is how many objects of one revision are named, since there may be
// hundreds of thousands of them.
const maxNamed = 20

// addObject adds a problem with an object that a revision should not have.
func (c *changes) addObject(does string, n int) {
	if c.named++; c.named <= maxNamed {
		c.addf("%s %s", does, c.describe(n))
	}
}

// more says how many objects were not named.
func (c *changes) more() {
	if c.named > maxNamed {
		c.addf("adds or replaces %d more objects", c.named-maxNamed)
	}
}

func (c *changes) describe(n int) string {
	if c.labels == nil {
		c.labels = c.f.labels(c.k)
	}
	return c.f.describe(n, c.k, c.labels)
}

// first looks at the report as it was made. inForm says that it is known to be
// in the form in which reports are written.
func (f *file) first(inForm bool) []string {
	c := &changes{f: f}
	if !inForm {
		if err := f.Canonical(); err != nil {
			c.problems = append(c.problems, fmt.Sprintf("the report as it was made: %v", err))
		}
		c.lively()
	}
	c.trailer()
	if _, err := f.firstPage(0); err != nil {
		c.addf("has no pages: %v", err)
	}
	catalog := f.Resolve(f.Revisions[0].Trailer.Get("Root"), 0)
	c.places(catalog.Get("AcroForm"))
	for _, key := range []string{"Perms", "DSS"} {
		if catalog.Has(key) {
			c.addf("has /%s in its catalog already, which a report has only when it is signed", key)
		}
	}
	return c.problems
}

// later looks at what was appended.
func (f *file) later(k int) *changes {
	c := &changes{f: f, k: k}
	if err := f.Appended(k); err != nil {
		c.addf("is not what signing writes: %v", err)
	}
	c.trailer()
	root := int(f.Revisions[k-1].Trailer.Get("Root").Int)
	page, err := f.firstPage(k - 1)
	if err != nil {
		c.addf("follows one without pages: %v", err)
		return c
	}
	r := f.Revisions[k]
	filled := false
	var more []int
	for _, n := range r.Numbers() {
		o, _ := r.Object(n)
		before, old := f.Find(int64(n), k-1)
		switch {
		case n == root, n == int(page): // compared below
		case old && isPlace(before) && c.field == nil:
			c.field, filled = &field{o.Value, n}, true
		case old:
			c.addObject("replaces", n)
		case o.Get("Type").IsName("Sig") && !o.Stream && c.found == nil:
			c.found = &signatureObject{o.Value, n}
		case o.Get("FT").IsName("Sig") && !o.Stream && c.field == nil:
			c.field = &field{o.Value, n}
		default:
			more = append(more, n)
		}
	}
	if filled && c.found != nil {
		c.filled()
	}
	for _, n := range more {
		if c.drawing == nil || !slices.Contains(c.drawing.allowed, n) {
			c.addObject("adds", n)
		}
	}
	c.more()
	if c.found == nil || c.field == nil {
		c.addf("adds no signature with its field; only signing may change a report")
		if c.found != nil {
			c.addf("adds %s", c.describe(c.found.number))
		}
		if c.field != nil {
			c.addf("adds %s", c.describe(c.field.number))
		}
		c.compare(root)
		c.compare(int(page))
		return c
	}
	c.signature()
	c.compare(root, "AcroForm", "Perms")
	c.form(root, !filled)
	if filled {
		c.compare(int(page))
		return c
	}
	c.widget(page)
	c.compare(int(page), "Annots")
	c.annotations(page)
	return c
}

// trailer takes what a trailer has to hold, and the document of before.
func (c *changes) trailer() {
	t := c.f.Revisions[c.k].Trailer
	for _, key := range t.Keys {
		if !slices.Contains([]string{"Size", "Root", "Info", "ID", "Prev"}, key) {
			c.addf("has /%s in its trailer", printable(key))
		}
	}
	if n := c.f.size(c.k); !t.Get("Size").IsInt(int64(n)) {
		c.addf("has /Size %v in its trailer, expected %d", t.Get("Size"), n)
	}
	if t.Get("Root").Kind != object.Ref {
		c.addf("has /Root %v in its trailer, expected a reference", t.Get("Root"))
	}
	if c.k == 0 {
		return
	}
	before := c.f.Revisions[c.k-1].Trailer
	for _, key := range []string{"Root", "Info"} {
		if a, b := before.Get(key), t.Get(key); a.String() != b.String() {
			c.addf("changes /%s of the trailer from %v to %v", key, a, b)
		}
	}
	a, b := before.Get("ID"), t.Get("ID")
	if len(a.Items) != len(b.Items) || len(b.Items) > 0 && (len(b.Items) != 2 || a.Items[0].String() != b.Items[0].String() || b.Items[1].Kind != object.String) {
		c.addf("changes the file's identifier (/ID)")
	}
}

// only lists keys of a dictionary that are not among those allowed.
func (c *changes) only(what string, v object.Value, allowed ...string) {
	for _, key := range v.Keys {
		if !slices.Contains(allowed, key) {
			c.addf("has /%s in %s", printable(key), what)
		}
	}
}

func (c *changes) expect(what string, v object.Value, key string, want object.Value) {
	if found := v.Get(key).String(); found != want.String() {
		c.addf("has /%s %s in %s, expected %v", key, found, what, want)
	}
}

func (c *changes) signature() {
	what := fmt.Sprintf("its signature (object %d)", c.found.number)
	c.only(what, c.found.Value, "Type", "Filter", "SubFilter", "ByteRange", "Contents", "M", "Name", "Reason", "Reference")
	c.expect(what, c.found.Value, "Filter", object.NameOf("Adobe.PPKLite"))
	c.expect(what, c.found.Value, "SubFilter", object.NameOf("ETSI.CAdES.detached"))
	var want object.Value // null
	if c.k == 1 {         // it certifies the report
		want = documentRules()
	}
	c.expect(what, c.found.Value, "Reference", want)
}

func (c *changes) widget(page int64) {
	what := fmt.Sprintf("its signature field (object %d)", c.field.number)
	v := c.field.Value
	c.only(what, v, "Type", "Subtype", "FT", "T", "V", "P", "F", "Rect")
	want := fieldOf(c.found.number, int(page), c.k)
	for i, key := range want.Keys {
		c.expect(what, v, key, want.Items[i])
	}
}

// compare holds that an object is what it was but for some keys.
func (c *changes) compare(n int, except ...string) {
	before, _ := c.f.Find(int64(n), c.k-1)
	after, _ := c.f.Find(int64(n), c.k)
	if before.Kind != object.Dict || after.Kind != object.Dict || before.Stream || after.Stream {
		c.addf("makes %s something else than a dictionary", c.describe(n))
		return
	}
	for _, key := range slices.Compact(slices.Sorted(slices.Values(slices.Concat(before.Keys, after.Keys)))) {
		if !slices.Contains(except, key) && (before.Has(key) != after.Has(key) || before.Get(key).String() != after.Get(key).String()) {
			c.addf("changes /%s of %s", printable(key), c.describe(n))
		}
	}
}

// grownBy holds that an array has the new field at its end and nothing else new.
func (c *changes) grownBy(what string, before, after object.Value) {
	want := grown(before, c.field.number)
	if before.Kind != object.Array && before.Kind != object.Null || after.String() != want.String() {
		c.addf("has in %s not what was there and its own signature field: %s, expected %s", what, short(after), short(want))
	}
}

func short(v object.Value) string { return plaintext.Cut(v.String(), maxLabel) }

// form looks at the catalog's list of fields and its permissions.
func (c *changes) form(root int, grows bool) {
	before, _ := c.f.Find(int64(root), c.k-1)
	after, _ := c.f.Find(int64(root), c.k)
	form := after.Get("AcroForm")
	c.only("/AcroForm", form, "Fields", "SigFlags")
	c.expect("/AcroForm", form, "SigFlags", object.Whole(3))
	if fields := before.Get("AcroForm").Get("Fields"); grows {
		c.grownBy("/AcroForm /Fields", fields, form.Get("Fields"))
	} else {
		c.expect("/AcroForm", form, "Fields", fields)
	}
	want := before.Get("Perms")
	if c.k == 1 {
		want = dictOf("DocMDP", object.RefTo(c.found.number))
	}
	c.expect("the catalog", after.Value, "Perms", want)
}

func (c *changes) annotations(page int64) {
	before, _ := c.f.Find(page, c.k-1)
	after, _ := c.f.Find(page, c.k)
	c.grownBy("/Annots of "+c.describe(int(page)), before.Get("Annots"), after.Get("Annots"))
}
