package sign

import (
	"crypto/x509"
	"errors"
	"fmt"
	"slices"
	"strings"

	"setline.example/report/pdf"
)

// field is a form field and the number of its object.
type field struct {
	value
	number int
}

// place returns the place that the report keeps for the signature of a role,
// if nobody has signed there up to revision k.
func (f *file) place(as Role, k int) (field, bool) {
	catalog := f.resolve(f.revisions[k].trailer.get("Root"), k)
	for _, item := range catalog.get("AcroForm").get("Fields").items {
		o, ok := f.find(item.integer, k)
		if ok && item.kind == ref && o.get("T").text == pdf.PlaceName(string(as)) && !o.has("V") {
			return field{o.value, int(item.integer)}, true
		}
	}
	return field{}, false
}

// placeKeys are what a place for a signature has before anyone has signed there.
func placeKeys() []string {
	return []string{"Type", "Subtype", "FT", "T", "TU", "F", "P", "Rect"}
}

// isPlace reports whether an object is a place nobody has signed in.
func (o object) isPlace() bool {
	return !o.stream && o.get("FT").isName("Sig") && !o.has("V")
}

// places looks at the form of the report as it was made: places for signatures,
// and nothing else.
func (c *changes) places(form value) {
	c.only("/AcroForm", form, "Fields")
	for _, item := range form.get("Fields").items {
		o, _ := c.f.find(item.integer, c.k)
		what := fmt.Sprintf("field %s (object %d)", printable(o.get("T").text), item.integer)
		if item.kind != ref || !o.isPlace() || !slices.ContainsFunc(roles(), func(r Role) bool { return o.get("T").text == pdf.PlaceName(string(r)) }) {
			c.addf("has a %s, which is no place for a signature", what)
		}
		c.only(what, o.value, placeKeys()...)
	}
}

// filled looks at what a signature made of its place: its value, and the block
// that is seen there. What the block shows is compared in [Signature.shown].
func (c *changes) filled() {
	n := c.field.number
	c.compare(n, "V", "AP")
	what := fmt.Sprintf("its signature field (object %d)", n)
	c.expect(what, c.field.value, "V", fmt.Sprintf("%d 0 R", c.found.number))
	ap := c.field.get("AP")
	look := ap.get("N")
	c.expect(what, c.field.value, "AP", fmt.Sprintf(`<< /"N" %d 0 R >>`, look.integer))
	o, ok := c.f.revisions[c.k].objects[int(look.integer)]
	if !ok || !o.stream {
		c.addf("shows in %s something that it does not bring", what)
		return
	}
	c.drawing = &drawing{object: o, allowed: []int{int(look.integer)}}
	if picture := o.get("Resources").get("XObject").get("Picture"); picture.kind == ref {
		p, ok := c.f.revisions[c.k].objects[int(picture.integer)]
		if problem := pictureProblem(c.f, p); !ok || problem != "" {
			c.addf("has a picture in %s that is none: %s", what, problem)
		}
		c.drawing.picture = int(picture.integer)
		c.drawing.allowed = append(c.drawing.allowed, c.drawing.picture)
	}
}

// drawing is the block that a signature drew on the page.
type drawing struct {
	object
	picture int   // number of its picture's object; 0 for none
	allowed []int // numbers of all its objects
}

// pictureProblem says why an object is no picture as this package writes them.
func pictureProblem(f *file, o object) string {
	w, h := o.get("Width"), o.get("Height")
	want := fmt.Sprintf(`<< /"Type" /"XObject" /"Subtype" /"Image" /"Width" %v /"Height" %v /"ColorSpace" /"DeviceGray" /"BitsPerComponent" 8 /"Filter" /"FlateDecode" /"Length" %d >>`, w, h, o.to-o.from)
	switch {
	case !o.stream || o.value.String() != want:
		return "it is " + short(o.value)
	case w.kind != integer || h.kind != integer || w.integer < 1 || h.integer < 1 || w.integer > pictureWidth || h.integer > pictureWidth:
		return fmt.Sprintf("it has %v by %v pixels", w, h)
	}
	grey, err := inflate(f.data[o.from:o.to], int(w.integer*h.integer))
	if err != nil || int64(len(grey)) != w.integer*h.integer {
		return "its pixels are broken"
	}
	return ""
}

var errShows = errors.New("its block on the page does not show what the signature says")

// maxBlock is far more than the drawing of a block takes, unpacked.
const maxBlock = 4 << 20

// shown holds that the block on the page shows what the signature says and
// nothing else: it is drawn again and compared. Only what the picture in it
// shows is the signer's affair.
func (s *Signature) shown(f *file, c *changes) error {
	d := c.drawing
	if d == nil {
		return nil
	}
	if c.field.get("T").text != pdf.PlaceName(string(s.Role)) {
		return fmt.Errorf("it is by the %s, in the place of another", s.Role)
	}
	width, height, _ := boxOf(c.field.get("Rect"))
	b := block{
		name: s.Name, firm: s.Firm, reason: reason(s.Role, s.Reason), time: s.Time,
		certificate: s.Certificate.Raw, width: width, height: height, picture: d.picture != 0,
	}
	head := scanner{data: fmt.Appendf(nil, "<< %s /Filter /FlateDecode /Length %d >>", b.head(d.picture), d.to-d.from)}
	head.limit = len(head.data)
	want, err := head.value(0)
	if err != nil || want.String() != d.value.String() {
		return fmt.Errorf("%w: it is %s", errShows, short(d.value))
	}
	content, err := inflate(f.data[d.from:d.to], maxBlock)
	if err != nil {
		return fmt.Errorf("%w: %w", errShows, err)
	}
	if string(content) != string(b.draw()) {
		return errShows
	}
	s.Seen, s.WithPicture = true, b.picture
	return nil
}

func firmOf(c *x509.Certificate) string { return strings.Join(c.Subject.Organization, ", ") }
