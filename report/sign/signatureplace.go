package sign

import (
	"crypto/x509"
	"errors"
	"fmt"
	"slices"
	"strings"

	"setline.example/report/pdf"
	"setline.example/report/pdf/object"
)

// field is a form field and the number of its object.
type field struct {
	object.Value
	number int
}

// place returns the place that the report keeps for the signature of a role,
// if nobody has signed there up to revision k.
func (f *file) place(as Role, k int) (field, bool) {
	catalog := f.Resolve(f.Revisions[k].Trailer.Get("Root"), k)
	for _, item := range catalog.Get("AcroForm").Get("Fields").Items {
		o, ok := f.Find(item.Int, k)
		if ok && item.Kind == object.Ref && o.Get("T").Text == pdf.PlaceName(string(as)) && !o.Has("V") {
			return field{o.Value, int(item.Int)}, true
		}
	}
	return field{}, false
}

// placeKeys are what a place for a signature has before anyone has signed there.
func placeKeys() []string {
	return []string{"Type", "Subtype", "FT", "T", "TU", "F", "P", "Rect", "AP", "StructParent"}
}

// isPlace reports whether an object is a place nobody has signed in.
func isPlace(o object.Object) bool {
	return !o.Stream && o.Get("FT").IsName("Sig") && !o.Has("V")
}

// places looks at the form of the report as it was made: places for signatures,
// and nothing else.
func (c *changes) places(form object.Value) {
	c.only("/AcroForm", form, "Fields")
	for _, item := range form.Get("Fields").Items {
		o, _ := c.f.Find(item.Int, c.k)
		what := fmt.Sprintf("field %s (object %d)", printable(o.Get("T").Text), item.Int)
		if item.Kind != object.Ref || !isPlace(o) || !slices.ContainsFunc(roles(), func(r Role) bool { return o.Get("T").Text == pdf.PlaceName(string(r)) }) {
			c.addf("has a %s, which is no place for a signature", what)
		}
		c.only(what, o.Value, placeKeys()...)
	}
}

// filled looks at what a signature made of its place: its value, and the block
// that is seen there. What the block shows is compared in [Signature.shown].
func (c *changes) filled() {
	n := c.field.number
	c.compare(n, "V", "AP")
	what := fmt.Sprintf("its signature field (object %d)", n)
	c.expect(what, c.field.Value, "V", object.RefTo(c.found.number))
	ap := c.field.Get("AP")
	look := ap.Get("N")
	c.expect(what, c.field.Value, "AP", dictOf("N", object.RefTo(int(look.Int))))
	o, ok := c.f.Revisions[c.k].Object(int(look.Int))
	if !ok || !o.Stream {
		c.addf("shows in %s something that it does not bring", what)
		return
	}
	c.drawing = &drawing{Object: o, allowed: []int{int(look.Int)}}
	if picture := o.Get("Resources").Get("XObject").Get("Picture"); picture.Kind == object.Ref {
		p, ok := c.f.Revisions[c.k].Object(int(picture.Int))
		if problem := pictureProblem(c.f, p); !ok || problem != "" {
			c.addf("has a picture in %s that is none: %s", what, problem)
		}
		c.drawing.picture = int(picture.Int)
		c.drawing.allowed = append(c.drawing.allowed, c.drawing.picture)
	}
}

// drawing is the block that a signature drew on the page.
type drawing struct {
	object.Object
	picture int   // number of its picture's object; 0 for none
	allowed []int // numbers of all its objects
}

// pictureProblem says why an object is no picture as this package writes them.
func pictureProblem(f *file, o object.Object) string {
	w, h := o.Get("Width"), o.Get("Height")
	switch want := pictureHead(w, h).With("Length", object.Whole(o.To-o.From)); {
	case !o.Stream || o.Value.String() != want.String():
		return "it is " + short(o.Value)
	case w.Kind != object.Integer || h.Kind != object.Integer || w.Int < 1 || h.Int < 1 || w.Int > pictureWidth || h.Int > pictureWidth:
		return fmt.Sprintf("it has %v by %v pixels", w, h)
	}
	grey, err := object.Unpack(f.Data[o.From:o.To], int(w.Int*h.Int))
	if err != nil || int64(len(grey)) != w.Int*h.Int {
		return "its pixels are broken"
	}
	return ""
}

var errShows = errors.New("its block on the page does not show what the signature says")

// maxDrawing is more than the numbers of drawings will come to.
const maxDrawing = 1 << 20

// maxBlock is far more than the drawing of a block takes, unpacked.
const maxBlock = 4 << 20

// shown holds that the block on the page shows what the signature says and
// nothing else: it is drawn again and compared, if in a way that this program
// knows. Only what the picture in it
// shows is the signer's affair.
func (s *Signature) shown(f *file, c *changes) error {
	d := c.drawing
	if d == nil {
		return nil
	}
	if c.field.Get("T").Text != pdf.PlaceName(string(s.Role)) {
		return fmt.Errorf("it is by the %s, in the place of another", s.Role)
	}
	width, height, _ := boxOf(c.field.Get("Rect"))
	b := block{
		name: s.Name, firm: s.Firm, reason: reason(s.Role, s.Reason), time: s.Time,
		certificate: s.Certificate, width: width, height: height, picture: d.picture != 0,
	}
	s.Drawing = int(min(max(d.Get(drawingKey).Int, 0), maxDrawing))
	if want := b.head(s.Drawing, d.picture).With("Length", object.Whole(d.To-d.From)); want.String() != d.Value.String() {
		return fmt.Errorf("%w: it is %s", errShows, short(d.Object.Value))
	}
	content, err := object.Unpack(f.Data[d.From:d.To], maxBlock)
	if err != nil {
		return fmt.Errorf("%w: %w", errShows, err)
	}
	draw := drawings[s.Drawing]
	if draw == nil && s.Drawing < 1 || draw != nil && string(content) != string(draw(b)) {
		return errShows
	}
	s.Compared = draw != nil
	s.Seen, s.WithPicture = true, b.picture
	return nil
}

func firmOf(c *x509.Certificate) string { return strings.Join(c.Subject.Organization, ", ") }
