package sign

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"setline.example/report/pdf/object"
)

// Role is as what someone signs.
type Role string

// The roles, in the order in which a report is usually signed.
const (
	Inspector  Role = "inspector"
	Installer  Role = "installer"
	Contractor Role = "contractor"
)

func roles() []Role { return []Role{Inspector, Installer, Contractor} }

// Request says who signs, as what, why and when.
type Request struct {
	Identity
	As     Role
	Reason string    // what is signed for; it may be empty
	Time   time.Time // the claimed time, kept in UTC and whole seconds
	TSA    string    // address of an RFC 3161 time-stamp authority, http or https; empty for none
	// Picture is shown in the report's place for this role; nil for none.
	Picture *Picture
	// Made is as for [VerifyMade]; nil for one who makes nothing again.
	Made func(first []byte) bool
}

// ErrChanged is wrapped by the error of [Sign] for a report that is no longer
// what was made or signed before.
var ErrChanged = errors.New("will not sign a report that was changed")

// Sign returns pdf with a signature appended; the bytes of pdf are its
// beginning, unchanged. It refuses a file that [Verify] finds fault with, and a
// certificate that is not valid at r.Time. Errors wrap [ErrFile],
// [ErrIdentity] or [ErrChanged] where they apply.
func Sign(pdf []byte, r Request) ([]byte, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	f, err := read(pdf)
	if err != nil {
		return nil, err
	}
	if r.Made == nil {
		r.Made = unmade
	}
	if before := f.verify(nil, r.Made); !before.unchanged() {
		problems := before.Problems
		for i, s := range before.Signatures {
			if s.Problem != "" {
				problems = append(problems, fmt.Sprintf("signature %d: %s", i+1, s.Problem))
			}
		}
		return nil, fmt.Errorf("%w: %s", ErrChanged, strings.Join(problems, "; "))
	}
	u, err := f.update(r)
	if err != nil {
		return nil, err
	}
	return u.sign(r)
}

func (r Request) check() error {
	if err := r.Identity.check(); err != nil {
		return err
	}
	if !slices.Contains(roles(), r.As) {
		return fmt.Errorf("sign as %q: expected one of %v", r.As, roles())
	}
	if y := r.Time.UTC().Year(); r.Time.IsZero() || y < 1 || y > 9999 {
		return fmt.Errorf("sign at %v: expected a time in the years 1 to 9999", r.Time)
	}
	if err := checkTime(r.Certificate, r.Time); err != nil {
		return fmt.Errorf("%w: %w; get a new certificate", ErrIdentity, err)
	}
	for i, c := range r.Chain {
		if err := checkTime(c, r.Time); err != nil {
			return fmt.Errorf("%w: certificate %d of its chain: %w", ErrIdentity, i+1, err)
		}
	}
	return nil
}

// update is a file with an incremental update whose signature is yet to be filled in.
type update struct {
	data          []byte
	rangeAt       int // where the numbers of /ByteRange go
	contents, end int // /Contents, with its < and >
}

const (
	rangeWidth  = 36 // three numbers of ten digits, and between
	spaceForCMS = 4 << 10
	dateLayout  = "D:20060102150405+00'00'"
)

// documentRules are what the first signature allows after it: to fill in the form
// and to sign (12.8.2.2).
func documentRules() object.Value {
	params := object.NewDict("TransformParams")
	params.Add("V", object.NameOf("1.2"))
	params.Add("P", object.Whole(2))
	rules := object.NewDict("SigRef")
	rules.Add("TransformMethod", object.NameOf("DocMDP"))
	rules.Add("TransformParams", params)
	return object.List(rules)
}

// update appends everything but the signature itself.
func (f *file) update(r Request) (*update, error) {
	k := len(f.Revisions) - 1
	root := f.Revisions[k].Trailer.Get("Root")
	catalog, _ := f.Find(root.Int, k)
	var err error
	sig := f.size(k)

	w := writer{f: f, offsets: make(map[int]int)}
	w.Write(f.Data)
	if !bytes.HasSuffix(f.Data, []byte("\n")) {
		w.WriteString("\n")
	}
	u := &update{}
	w.signature(sig, r, k == 0, u)
	fields := catalog.Get("AcroForm").Get("Fields")
	size := 0
	if place, ok := f.place(r.As, k); ok {
		size, err = w.fill(place, sig, r)
	} else {
		size, err = w.unseen(k, sig, r)
		fields = grown(fields, sig+1)
	}
	if err != nil {
		return nil, err
	}
	form := dictOf("Fields", fields)
	form.Add("SigFlags", object.Whole(3))
	entries := dictOf("AcroForm", form)
	if k == 0 {
		entries.Add("Perms", dictOf("DocMDP", object.RefTo(sig)))
	}
	w.dict(int(root.Int), edited(catalog.Value, entries))
	w.tail(f.Revisions[k], size)
	u.data = w.Bytes()
	return u, nil
}

// fill fills the report's own place for a signature, and returns the number
// after that of the last object.
func (w *writer) fill(place field, sig int, r Request) (int, error) {
	width, height, ok := boxOf(place.Get("Rect"))
	if !ok {
		return 0, fmt.Errorf("%w: the place for the signature of the %s has no size", ErrFile, r.As)
	}
	b := block{
		name: r.Certificate.Subject.CommonName, firm: firmOf(r.Certificate), reason: reason(r.As, r.Reason), time: r.Time.Truncate(time.Second),
		certificate: r.Certificate, width: width, height: height, picture: r.Picture != nil,
	}
	entries := dictOf("V", object.RefTo(sig))
	entries.Add("AP", dictOf("N", object.RefTo(sig+1)))
	w.dict(place.number, edited(place.Value, entries))
	w.object(sig+1, b.appearance(sig+2))
	if r.Picture == nil {
		return sig + 2, nil
	}
	w.object(sig+2, r.Picture.object())
	return sig + 3, nil
}

// unseen adds a field without a place on the page, where the report has none
// left for the role, and returns the number after that of the last object.
func (w *writer) unseen(k, sig int, r Request) (int, error) {
	if r.Picture != nil {
		return 0, fmt.Errorf("%w: the report has no free place for the signature of the %s", ErrPicture, r.As)
	}
	number, err := w.f.firstPage(k)
	if err != nil {
		return 0, err
	}
	page, _ := w.f.Find(number, k)
	if a := page.Get("Annots"); a.Kind != object.Array && a.Kind != object.Null {
		return 0, fmt.Errorf("%w: byte %d: /Annots of the first page is %v, expected an array in the page", ErrFile, a.Start, a)
	}
	w.dict(sig+1, fieldOf(sig, int(number), k+1))
	w.dict(int(number), edited(page.Value, dictOf("Annots", grown(page.Get("Annots"), sig+1))))
	return sig + 2, nil
}

// fieldOf is the field of a signature without a place on the page, the n-th.
func fieldOf(sig, page, n int) object.Value {
	d := object.NewDict("Annot")
	d.Add("Subtype", object.NameOf("Widget"))
	d.Add("FT", object.NameOf("Sig"))
	d.Add("T", object.Text(fmt.Sprintf("Signature %d", n)))
	d.Add("V", object.RefTo(sig))
	d.Add("P", object.RefTo(page))
	d.Add("F", object.Whole(132))
	d.Add("Rect", object.Numbers(0, 0, 0, 0))
	return d
}

func (w *writer) signature(n int, r Request, first bool, u *update) {
	room := spaceForCMS + len(r.Certificate.Raw)
	for _, c := range r.Chain {
		room += len(c.Raw)
	}
	if r.TSA != "" {
		room += maxStamp
	}
	w.offsets[n] = w.Len()
	fmt.Fprintf(w, "%d 0 obj\n<< /Type /Sig /Filter /Adobe.PPKLite /SubFilter /ETSI.CAdES.detached\n/ByteRange [0 ", n)
	u.rangeAt = w.Len()
	w.WriteString(strings.Repeat(" ", rangeWidth) + "]\n/Contents ")
	u.contents = w.Len()
	w.WriteString("<" + strings.Repeat("0", 2*room) + ">")
	u.end = w.Len()
	fmt.Fprintf(w, "\n/M (%s)\n/Name %s\n/Reason %s\n", r.Time.UTC().Format(dateLayout),
		object.TextString(r.Certificate.Subject.CommonName), object.TextString(reason(r.As, r.Reason)))
	if first {
		w.WriteString("/Reference " + documentRules().Source() + "\n")
	}
	w.WriteString(">>\nendobj\n")
}

// reason writes role and reason as one text, and readReason takes it apart.
func reason(as Role, why string) string { return "As " + string(as) + ": " + why }

func readReason(s string) (Role, string, bool) {
	for _, r := range roles() {
		if why, ok := strings.CutPrefix(s, reason(r, "")); ok {
			return r, why, true
		}
	}
	return "", s, false
}

// sign fills in the range and the signature.
func (u *update) sign(r Request) ([]byte, error) {
	numbers := fmt.Sprintf("%d %d %d", u.contents, u.end, len(u.data)-u.end)
	if len(numbers) > rangeWidth {
		return nil, fmt.Errorf("%w: the file is too large", ErrFile)
	}
	copy(u.data[u.rangeAt:], numbers)
	var ask func([]byte) ([]byte, error)
	if r.TSA != "" {
		ask = func(signature []byte) ([]byte, error) { return askStamp(r.TSA, signature) }
	}
	cms, err := signCMS(r.Identity, ask, u.data[:u.contents], u.data[u.end:])
	if err != nil {
		return nil, err
	}
	room := u.data[u.contents+1 : u.end-1]
	if hex.EncodedLen(len(cms)) > len(room) {
		return nil, fmt.Errorf("the signature has %d bytes, more than the %d there is room for", len(cms), len(room)/2)
	}
	hex.Encode(room, cms)
	return u.data, nil
}
