package sign

import (
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/hex"
	"fmt"
	"strings"
	"testing"
)

// TestDrawingsStay: a block that was drawn once is drawn in the same way for
// ever. Where a sum changes, keep the old drawing under its number, and give the
// changed one the next; where a font has changed, take the old one out.
func TestDrawingsStay(t *testing.T) {
	sums := map[int]string{
		1: "0021569f7395dea2b8c00b102091332a1ef3e9adee9b26dbb388011477e97322",
	}
	b := block{
		name: "Žofie Brázdilová", firm: "Linden Inspection", reason: "As inspector: accepted: READY", time: day, width: 493.28, height: 60,
		certificate: &x509.Certificate{Raw: []byte("a certificate"), Subject: pkix.Name{CommonName: "Žofie Brázdilová"}},
	}
	for number, draw := range drawings {
		all := sha256.New()
		for _, picture := range []bool{false, true} {
			b.picture = picture
			head := b.head(number, 7).Source()
			head = strings.TrimSuffix(strings.TrimPrefix(head, "<< "), " /Filter /FlateDecode >>")
			fmt.Fprintf(all, "%s\n%s\n", head, draw(b))
		}
		if sum := hex.EncodeToString(all.Sum(nil)); sum != sums[number] {
			t.Errorf("drawing %d comes to %s, expected %q", number, sum, sums[number])
		}
	}
	if drawings[newest] == nil {
		t.Errorf("the newest drawing is %d, which is none", newest)
	}
}

// TestUnknownDrawing: a block in a drawing of another version is no forgery, and
// not compared.
func TestUnknownDrawing(t *testing.T) {
	r := people(t)[1]
	f, err := read(withPlaces())
	if err != nil {
		t.Fatal(err)
	}
	place, _ := f.place(r.As, 0)
	sig := f.size(0)
	b := block{
		name: r.Certificate.Subject.CommonName, firm: firmOf(r.Certificate), reason: reason(r.As, r.Reason),
		time: r.Time, certificate: r.Certificate, width: 490, height: 60,
	}
	look := strings.Replace(itemText(b.appearance(sig+2)), "Drawing 1", "Drawing 7", 1)
	field := editedText(place.Value, entry{"V", fmt.Sprintf("%d 0 R", sig)}, entry{"AP", fmt.Sprintf("<< /N %d 0 R >>", sig+1)})
	file := signWith(t, withPlaces(), r, map[int]string{place.number: field, sig + 1: look})
	v, err := Verify(file, nil)
	if err != nil || !v.Sound() || v.Signatures[0].Drawing != 7 || v.Signatures[0].Compared || !v.Signatures[0].Seen {
		t.Errorf("%v, %s, %+v", err, faults(file), v.Signatures)
	}
	// The next may sign it, as one who cannot see the drawing either.
	file = sign(t, file, people(t)[2])
	if v, err := Verify(file, nil); err != nil || !v.Sound() || !v.Signatures[1].Compared {
		t.Errorf("%v, %s", err, faults(file))
	}
}
