package sign

import (
	"bytes"
	"crypto/elliptic"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"setline.example/report/pdf"
)

// placesPicture is the places for the signatures of all roles.
type placesPicture struct{}

func (placesPicture) Size() (w, h float64) { return 490, 200 }

func (placesPicture) Paint(c *pdf.Canvas) {
	for i, r := range roles() {
		c.Field(0, float64(i)*66, 490, 60, pdf.Field{Kind: pdf.SignatureField, Name: pdf.PlaceName(string(r)), Tooltip: "Signature"})
	}
}

// withPlaces is a report of one page that keeps a place for each signature.
var withPlaces = sync.OnceValue(func() []byte {
	var b bytes.Buffer
	err := pdf.Write(&b, pdf.Document{
		Parts:       [][]byte{[]byte("# Room A101\n\nReady. <https://example.org/>\n\n![places](p)\n")},
		Pictures:    map[string]pdf.Picture{"p": placesPicture{}},
		Attachments: []pdf.Attachment{{Name: "job-record.json", Content: []byte("{}\n")}},
		Date:        day,
	})
	if err != nil {
		panic(err)
	}
	return b.Bytes()
})

// seen is a report with two signatures in its places, one beside a picture.
func seen(t testing.TB) []byte {
	who := people(t)
	who[0].Picture = hand(t)
	return sign(t, sign(t, withPlaces(), who[0]), who[1])
}

// hand is a picture of a signature, with a clear background.
func hand(t testing.TB) *Picture {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, 300, 100))
	for x := range 300 {
		for y := range 6 {
			img.Set(x, 20+x/5+y, color.NRGBA{0, 0, 90, 255})
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	p, err := ParsePicture(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestSignaturesSeen(t *testing.T) {
	long(t)
	b := withPlaces()
	who := people(t)
	who[0].Picture, who[2].Picture = hand(t), hand(t)
	for _, r := range who {
		b = sign(t, b, r)
	}
	v, err := Verify(b, pool(who[0].Certificate, who[1].Certificate, who[2].Certificate))
	if err != nil || !v.Sound() || !bytes.Equal(v.FirstRevision, withPlaces()) {
		t.Fatalf("%v: %s", err, faults(b))
	}
	for i, s := range v.Signatures {
		if !s.Seen || s.WithPicture != (i != 1) || s.Name != who[i].Certificate.Subject.CommonName {
			t.Errorf("signature %d: %+v", i+1, s)
		}
	}
	// A place is signed in once; who signs again is not seen.
	again := who[1]
	b = sign(t, b, again)
	if v, err = Verify(b, nil); err != nil || !v.Sound() || v.Signatures[3].Seen {
		t.Errorf("%v: %s", err, faults(b))
	}
	again.Picture = hand(t)
	if _, err := Sign(b, again); err == nil || !strings.Contains(err.Error(), "no free place") {
		t.Errorf("a picture without a place gave %v", err)
	}
	// Outside tools agree on the file.
	name := save(t, "signed.pdf", b)
	if out := tool(t, "pdfsig", "-nocert", name); strings.Count(out, "Signature is Valid.") != 4 || strings.Count(out, "Total document signed") != 1 {
		t.Error(out)
	}
	if out := tool(t, "qpdf", "--check", name); strings.Contains(out, "WARNING") {
		t.Error(out)
	}
}

// A signature paints its own place and nothing else, as two programs draw it.
func TestSignaturePaintsItsPlaceOnly(t *testing.T) {
	long(t)
	r := people(t)[1]
	r.Picture = hand(t)
	before, after := withPlaces(), sign(t, withPlaces(), r)
	place := image.Rect(50, 0, 543, 792) // points; its height is found below
	for _, program := range []string{"pdftoppm", "mutool"} {
		t.Run(program, func(t *testing.T) {
			a, b := drawn(t, program, before), drawn(t, program, after)
			changed := image.Rectangle{}
			for y := range a.Bounds().Dy() {
				for x := range a.Bounds().Dx() {
					if a.At(x, y) != b.At(x, y) {
						changed = changed.Union(image.Rect(x, y, x+1, y+1))
					}
				}
			}
			if changed.Dx() < 450 || changed.Dy() < 50 || changed.Dy() > 62 || !changed.In(place) {
				t.Errorf("the page changed in %v; expected the second place, 490 by 60 points", changed)
			}
		})
	}
}

// drawn is the page as a program draws it, a pixel for a point.
func drawn(t *testing.T, program string, b []byte) image.Image {
	t.Helper()
	name := save(t, "a.pdf", b)
	out := filepath.Join(filepath.Dir(name), "a.png")
	if program == "mutool" {
		tool(t, "mutool", "draw", "-q", "-r", "72", "-o", out, name, "1")
	} else {
		tool(t, "pdftoppm", "-r", "72", "-png", "-singlefile", name, strings.TrimSuffix(out, ".png"))
	}
	f, err := os.Open(out)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// A signer with a sound key who makes the block show something else.
func TestForgedBlocks(t *testing.T) {
	long(t)
	honest := people(t)[1]
	b := withPlaces()
	f, err := read(b)
	if err != nil {
		t.Fatal(err)
	}
	place, ok := f.place(Installer, 0)
	if !ok {
		t.Fatal("the report has no place for the installer")
	}
	sig := f.size(0)
	shown := func(change func(*block)) string {
		k := block{
			name: honest.Certificate.Subject.CommonName, firm: firmOf(honest.Certificate), reason: reason(honest.As, honest.Reason),
			time: honest.Time, certificate: honest.Certificate, width: 490, height: 60,
		}
		change(&k)
		return itemText(k.appearance(sig + 2))
	}
	field := func(e ...entry) string {
		all := []entry{{"V", fmt.Sprintf("%d 0 R", sig)}}
		if len(e) == 0 || e[0].key != "AP" {
			all = append(all, entry{"AP", fmt.Sprintf("<< /N %d 0 R >>", sig+1)})
		}
		return editedText(place.Value, append(all, e...)...)
	}
	other, _ := f.place(Contractor, 0)
	for _, c := range []struct {
		name    string
		objects map[int]string
		want    string
	}{
		{"honest", map[int]string{sig + 1: shown(func(*block) {})}, ""},
		{"another name", map[int]string{sig + 1: shown(func(k *block) { k.name = "Ada Fitter" })}, errShows.Error()},
		{"another firm", map[int]string{sig + 1: shown(func(k *block) { k.firm = "Linden Inspection" })}, errShows.Error()},
		{"another role", map[int]string{sig + 1: shown(func(k *block) { k.reason = "As inspector: accepted" })}, errShows.Error()},
		{"another time", map[int]string{sig + 1: shown(func(k *block) { k.time = day })}, errShows.Error()},
		{"another certificate", map[int]string{sig + 1: shown(func(k *block) { k.certificate = identity(t, "Eve").Certificate })}, errShows.Error()},
		{"larger than its place", map[int]string{sig + 1: shown(func(k *block) { k.width, k.height = 612, 792 })}, errShows.Error()},
		{"no drawing", map[int]string{sig + 1: strings.Replace(shown(func(*block) {}), "/SetlineDrawing 1 ", "", 1)}, errShows.Error()},
		{"drawing nought", map[int]string{sig + 1: strings.Replace(shown(func(*block) {}), "Drawing 1", "Drawing 0", 1)}, errShows.Error()},
		{"a drawing in words", map[int]string{sig + 1: strings.Replace(shown(func(*block) {}), "Drawing 1", "Drawing /One", 1)}, errShows.Error()},
		{"a drawing of no end", map[int]string{sig + 1: strings.Replace(shown(func(*block) {}), "Drawing 1", "Drawing 9999999", 1)}, errShows.Error()},
		{"blown up", map[int]string{sig + 1: strings.Replace(shown(func(*block) {}), "/BBox", "/Matrix [9 0 0 9 0 0] /BBox", 1)}, errShows.Error()},
		{"in another packing", map[int]string{sig + 1: strings.Replace(shown(func(*block) {}), "/FlateDecode", "/RunLengthDecode", 1)}, errShows.Error()},
		{"a font of its own", map[int]string{sig + 1: strings.Replace(shown(func(*block) {}), "/Resources << >>", "/Resources << /Font << >> >>", 1)}, errShows.Error()},
		{"a picture that is a page", map[int]string{sig + 1: shown(func(k *block) { k.picture = true }), sig + 2: shown(func(*block) {})}, "has a picture in its signature field"},
		{"a picture with an action", map[int]string{sig + 1: shown(func(k *block) { k.picture = true }), sig + 2: strings.Replace(itemText(hand(t).object()), "/Width", "/OPI << >> /Width", 1)}, "has a picture in its signature field"},
		{"a picture of the wrong size", map[int]string{sig + 1: shown(func(k *block) { k.picture = true }), sig + 2: strings.Replace(itemText(hand(t).object()), "/Width 640", "/Width 639", 1)}, "its pixels are broken"},
		{"a picture nobody shows", map[int]string{sig + 1: shown(func(*block) {}), sig + 2: itemText(hand(t).object())}, "adds object"},
		{"a larger place", map[int]string{place.number: strings.Replace(field(), "/Rect", "/Rect [0 0 612 792] /Old", 1)}, "changes /Rect"},
		{"a look for the mouse", map[int]string{place.number: field(entry{"AP", fmt.Sprintf("<< /N %d 0 R /R %d 0 R >>", sig+1, sig+1)})}, "has /AP"},
		{"an action", map[int]string{place.number: field(entry{"A", "<< /S /URI /URI (https://example.org/) >>"})}, "changes /A "},
		{"hidden", map[int]string{place.number: strings.Replace(field(), "/F 4", "/F 6", 1)}, "changes /F "},
		{"a look from before", map[int]string{place.number: field(entry{"AP", "<< /N 5 0 R >>"})}, "something that it does not bring"},
		{"two places", map[int]string{other.number: field()}, "replaces object"},
		{"no picture of the page", map[int]string{place.number: strings.Replace(field(), "/AP", "/Xx", 1)}, "has /AP null"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := faults(signWith(t, b, honest, c.objects))
			if c.want == "" && got != "" || !strings.Contains(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
	t.Run("in the place of another", func(t *testing.T) {
		got := faults(signWith(t, b, honest, map[int]string{
			place.number: field(), other.number: field(entry{"T", "(signature-installer)"}),
		}))
		if got == "" {
			t.Error("nothing is said")
		}
		// The honest signature, but the field is the contractor's.
		forged := forceSign(t, b, Request{Identity: honest.Identity, As: Contractor, Reason: "x", Time: honest.Time}, func(u *update) {
			at := bytes.LastIndex(u.data, []byte("/Reason (As contractor"))
			copy(u.data[at:], "/Reason (As installer: xx)")
		})
		if got := faults(forged); !strings.Contains(got, "in the place of another") {
			t.Errorf("got %q", got)
		}
	})
}

func TestParsePicture(t *testing.T) {
	var wide bytes.Buffer
	if err := jpeg.Encode(&wide, image.NewGray(image.Rect(0, 0, 3000, 20)), nil); err != nil {
		t.Fatal(err)
	}
	if p, err := ParsePicture(wide.Bytes()); err != nil || p.w != pictureWidth || p.h != pictureHeight || p.grey[0] != 255 {
		t.Errorf("%v, %+v", err, p)
	}
	// A bomb: a header that promises more pixels than are ever made.
	bomb := []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x01\x00\x00\x00\x01\x00\x00\x08\x00\x00\x00\x00")
	bomb = append(bomb, 0xcb, 0x13, 0x3c, 0x94) // its CRC-32, as every reader of PNG would ask for
	for name, c := range map[string]struct {
		file []byte
		want string
	}{
		"no picture":  {[]byte("hello"), "expected PNG or JPEG"},
		"nothing":     {nil, "expected PNG or JPEG"},
		"too large":   {make([]byte, maxPictureBytes+1), "at most 8 MiB"},
		"too wide":    {bomb, ErrPicture.Error()},
		"cut in half": {wide.Bytes()[:wide.Len()/2], "cannot be drawn whole"},
	} {
		if _, err := ParsePicture(c.file); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", name, err, c.want)
		}
	}
}

// A clock's certificate must be for time stamps. openssl ts refuses to sign
// with any other, so that the token is made of a true one's time with openssl cms.
func TestTimestampByACertificateForSomethingElse(t *testing.T) {
	long(t)
	url, _ := authority(t, nil)
	r := people(t)[0]
	r.TSA = url
	_, d, token := stampOf(t, sign(t, report(), r))
	alone, err := asn1.Marshal([]asn1.ObjectIdentifier{{1, 3, 6, 1, 5, 5, 7, 3, 8}})
	if err != nil {
		t.Fatal(err)
	}
	clock := x509.ExtKeyUsageTimeStamping // which x509 does not write as critical
	for name, c := range map[string]*x509.Certificate{
		"":             {ExtraExtensions: []pkix.Extension{{Id: oidExtKeyUsage, Critical: true, Value: alone}}},
		"any":          {},
		"not critical": {ExtKeyUsage: []x509.ExtKeyUsage{clock}},
		"servers too":  {ExtKeyUsage: []x509.ExtKeyUsage{clock, x509.ExtKeyUsageServerAuth}},
		"another too":  {ExtKeyUsage: []x509.ExtKeyUsage{clock}, UnknownExtKeyUsage: []asn1.ObjectIdentifier{{1, 2, 3}}},
	} {
		c.Subject.CommonName, c.KeyUsage = "Clock", x509.KeyUsageDigitalSignature
		who := issue(t, nil, c, onCurve(t, elliptic.P256()))
		forged := opensslCMS(t, who, token.content, "-nodetach", "-cades", "-md", "sha256", "-nosmimecap", "-econtent_type", oidTSTInfo.String())
		_, err := readStamp(forged, d.signature)
		refused := err != nil && strings.Contains(err.Error(), "is not for time stamps alone")
		if refused == (name == "") {
			t.Errorf("%q: %v", name, err)
		}
	}
}
