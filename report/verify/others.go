package verify

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
	"setline.example/report/pdf/lenient"
	"setline.example/report/sign"
)

// addition is what other software added behind the part of a report that holds.
type addition struct {
	file     []byte
	part     int // bytes of the part that holds
	was, is  *model.Context
	signed   []outsider
	problems []string
}

// outsider is a signature by other software.
type outsider struct {
	name string // as the certificate, or else the signature, says
	err  error  // of [sign.Outside]
	past int    // bytes that it covers
}

// added looks at what follows the part of a file that holds. The error says that
// it cannot be read. Its problems say what it does beside signing: such a file
// may show anything.
func added(file, part []byte) (*addition, error) {
	a := &addition{file: file, part: len(part)}
	keep := func(to **model.Context) func(context.Context, *model.Context) error {
		return func(_ context.Context, c *model.Context) error {
			*to = c
			return nil
		}
	}
	if err := lenient.Read(part, int64(len(file)), keep(&a.was)); err != nil {
		return nil, err
	}
	if err := lenient.Read(file, int64(len(file)), keep(&a.is)); err != nil {
		return nil, err
	}
	if lenient.Hybrid(file[len(part):]) {
		a.problem("has a cross-reference stream beside its table, with objects that some programs show and others do not")
	}
	a.changed()
	a.find()
	if len(a.signed) == 0 {
		a.problem("adds no signature")
	}
	return a, nil
}

func (a *addition) problem(format string, args ...any) {
	a.problems = append(a.problems, fmt.Sprintf(format, args...))
}

// changed holds that nothing that was there has changed but what signing has to.
func (a *addition) changed() {
	if a.was.Root == nil || a.is.Root == nil || *a.was.Root != *a.is.Root {
		a.problem("makes another object the catalog")
		return
	}
	for _, n := range sorted(a.was.Table) {
		was, is := a.was.Table[n], a.is.Table[n]
		switch {
		case was.Free || sameEntry(was, is):
		case is == nil || is.Free:
			a.problem("takes away object %d", n)
		case n == a.was.Root.ObjectNumber.Value():
			a.only(n, "the catalog", "AcroForm", "DSS", "Extensions")
			a.form()
		case a.was.Info != nil && n == a.was.Info.ObjectNumber.Value():
		default:
			a.replaced(n)
		}
	}
}

// sameEntry reports whether an object is the same bytes of the file, or of a stream
// of objects, which is an object of the table too.
func sameEntry(was, is *model.XRefTableEntry) bool {
	if is == nil || is.Free {
		return false
	}
	same := func(a, b *int) bool { return a != nil && b != nil && *a == *b }
	if was.Offset == nil && is.Offset == nil {
		return same(was.ObjectStream, is.ObjectStream) && same(was.ObjectStreamInd, is.ObjectStreamInd)
	}
	return !was.Compressed && !is.Compressed && was.Offset != nil && is.Offset != nil && *was.Offset == *is.Offset
}

// form holds that the form keeps its fields, gets only those of signatures, and
// nothing that could show or do something else.
func (a *addition) form() {
	was, is := a.formOf(a.was), a.formOf(a.is)
	for _, key := range sorted(is) {
		if !slices.Contains([]string{"Type", "Fields", "SigFlags", "DR", "DA", "Q", "NeedAppearances"}, key) && written(was[key]) != written(is[key]) {
			a.problem("has /%s in the form", key)
		}
	}
	before, err := a.was.DereferenceArray(was["Fields"])
	after, err2 := a.is.DereferenceArray(is["Fields"])
	if err != nil || err2 != nil {
		a.problem("has a form that cannot be read")
		return
	}
	for _, item := range after {
		if slices.ContainsFunc(before, func(b types.Object) bool { return written(b) == written(item) }) {
			continue
		}
		a.field(item, "in the form")
	}
}

// formOf is the form of a file; empty for none.
func (a *addition) formOf(c *model.Context) types.Dict {
	catalog, _ := at(c, c.Root.ObjectNumber.Value())
	form, err := c.DereferenceDict(catalog["AcroForm"])
	if err != nil || form == nil {
		return types.Dict{}
	}
	return form
}

// field takes a field of a signature that does nothing.
func (a *addition) field(item types.Object, where string) {
	d, err := a.is.DereferenceDict(item)
	if err != nil || d == nil || !named(d, "FT", "Sig") {
		a.problem("puts something else than a signature %s", where)
		return
	}
	a.inert(where, d)
}

// replaced takes a page with more signature fields on it, and a place for a
// signature that is filled in.
func (a *addition) replaced(n int) {
	was, _ := at(a.was, n)
	switch kind := was.Type(); {
	case kind != nil && *kind == "Page":
		a.only(n, fmt.Sprintf("page object %d", n), "Annots")
		a.annotations(n)
	case named(was, "FT", "Sig") && was["V"] == nil:
		a.only(n, fmt.Sprintf("field object %d", n), "V", "AP", "MK", "DA", "F", "Lock", "M", "NM", "SV", "TU", "Border", "BS")
		if is, ok := at(a.is, n); ok {
			a.inert(fmt.Sprintf("of object %d", n), is)
		}
	default:
		a.problem("replaces object %d", n)
	}
}

// only holds that a dictionary has changed in no other keys than these.
func (a *addition) only(n int, what string, keys ...string) {
	was, ok := at(a.was, n)
	is, ok2 := at(a.is, n)
	if !ok || !ok2 {
		a.problem("makes %s something else", what)
		return
	}
	all := types.Dict{}
	for key := range was {
		all[key] = nil
	}
	for key := range is {
		all[key] = nil
	}
	for _, key := range sorted(all) {
		if !slices.Contains(keys, key) && written(was[key]) != written(is[key]) {
			a.problem("changes /%s of %s", key, what)
		}
	}
}

// annotations holds that a page keeps its annotations and gets only fields of signatures.
func (a *addition) annotations(n int) {
	before, _ := at(a.was, n)
	was, err := a.was.DereferenceArray(before["Annots"])
	page, ok := at(a.is, n)
	if err != nil || !ok {
		return // [addition.only] has said so
	}
	is, err := a.is.DereferenceArray(page["Annots"])
	if err != nil || len(is) < len(was) || written(is[:len(was)]) != written(was) {
		a.problem("takes annotations from page object %d", n)
		return
	}
	for _, item := range is[len(was):] {
		where := fmt.Sprintf("on page object %d", n)
		if d, err := a.is.DereferenceDict(item); err != nil || !named(d, "Subtype", "Widget") {
			a.problem("puts something else than a signature %s", where)
			continue
		}
		a.field(item, where)
	}
}

// inert refuses a field that does something.
func (a *addition) inert(where string, field types.Dict) {
	for _, key := range []string{"A", "AA", "Parent", "Kids"} {
		if field[key] != nil {
			a.problem("has /%s in a signature field %s", key, where)
		}
	}
}

// find lists the signatures that were not there before.
func (a *addition) find() {
	for _, n := range sorted(a.is.Table) {
		e := a.is.Table[n]
		if e == nil || e.Free || sameEntry(e, a.was.Table[n]) {
			continue
		}
		d, ok := at(a.is, n)
		if !ok || d["ByteRange"] == nil || d["Contents"] == nil {
			continue
		}
		a.signed = append(a.signed, a.signature(d))
	}
	slices.SortStableFunc(a.signed, func(x, y outsider) int { return cmp.Compare(x.past, y.past) })
}

func (a *addition) signature(d types.Dict) outsider {
	o := outsider{name: "somebody"}
	if name, err := a.is.DereferenceText(d["Name"]); err == nil && name != "" {
		o.name = name
	}
	var covered [4]int
	numbers, err := a.is.DereferenceArray(d["ByteRange"])
	if err != nil || len(numbers) != len(covered) {
		o.err = fmt.Errorf("%w: its /ByteRange is no four numbers", sign.ErrOutside)
		return o
	}
	for i, item := range numbers {
		number, ok := item.(types.Integer)
		if !ok {
			o.err = fmt.Errorf("%w: its /ByteRange is no four numbers", sign.ErrOutside)
			return o
		}
		covered[i] = number.Value()
	}
	o.past = covered[2] + covered[3]
	cert, err := sign.Outside(a.file, covered, a.part)
	if cert != nil {
		o.name = person(cert.Subject.CommonName, strings.Join(cert.Subject.Organization, ", "))
	}
	o.err = err
	return o
}

// at is the dictionary that is object n, if it is one; the library unpacks those
// of an object stream only when they are asked for.
func at(c *model.Context, n int) (types.Dict, bool) {
	o, err := c.Dereference(*types.NewIndirectRef(n, 0))
	d, ok := o.(types.Dict)
	return d, ok && err == nil
}

func named(d types.Dict, key, name string) bool {
	n := d.NameEntry(key)
	return n != nil && *n == name
}

// written is an object in one way, whatever its own.
func written(o types.Object) string {
	if o == nil {
		return ""
	}
	return o.PDFString()
}

func sorted[K cmp.Ordered, V any](m map[K]V) []K {
	keys := make([]K, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// others says what other software did behind the part that holds. It reports
// whether that was signing alone.
func (v *verifier) others(file, part []byte, revisions int) bool {
	until := fmt.Sprintf("up to revision %d everything holds; after that ", revisions)
	what := "nothing was added by other software"
	a, err := added(file, part)
	if err != nil {
		v.add(OtherSoftware, 0, Bad, what, until+"something was added that cannot be read: "+err.Error())
		return false
	}
	for _, p := range a.problems {
		v.add(OtherSoftware, 0, Bad, what, until+"other software "+p)
	}
	for _, s := range a.signed {
		found := fmt.Sprintf("%sother software added a signature by %s", until, s.name)
		switch {
		case s.err == nil && s.past == len(file):
			found += " (valid; whose it is was not checked)"
		case s.err == nil:
			found += fmt.Sprintf(" (valid for the first %d bytes; whose it is was not checked)", s.past)
		case errors.Is(s.err, sign.ErrOutside):
			v.add(OtherSoftware, 0, Bad, what, found+" ("+s.err.Error()+")")
			continue
		default:
			found += " (" + s.err.Error() + ")"
		}
		v.add(OtherSoftware, 0, Open, what, found+"; the pages after it are not proven, those before it are in what "+cmp.Or(v.o.Ways.Part, "--extract-report gives"))
	}
	return len(a.problems) == 0 && !slices.ContainsFunc(a.signed, func(s outsider) bool { return errors.Is(s.err, sign.ErrOutside) })
}
