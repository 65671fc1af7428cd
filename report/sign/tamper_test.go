package sign

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"setline.example/schema/chance"
)

// Some bits, and the case of a letter, are changed at places all over the file:
// some in every part, the rest at random.
func TestChangedByte(t *testing.T) {
	long(t)
	b, _ := signed(t, 2)
	t.Run("unseen", func(t *testing.T) { changeBytes(t, b) })
	t.Run("seen", func(t *testing.T) { changeBytes(t, seen(t)) })
}

func changeBytes(t *testing.T, b []byte) {
	random := chance.Source(t)
	var places []int
	for i := range 40 { // header and beginning; the end
		places = append(places, i, len(b)-1-i)
	}
	f, err := read(b)
	if err != nil {
		t.Fatal(err)
	}
	for k, r := range f.Revisions {
		for i := range 200 { // table and trailer
			if r.Table+i < r.End {
				places = append(places, r.Table+i)
			}
		}
		if k == 0 {
			continue
		}
		c := f.later(k).found
		contents := c.Get("Contents")
		for i := c.Start; i < contents.Start+200; i++ {
			places = append(places, i)
		}
		for range 200 { // the gap
			places = append(places, contents.Start+random.IntN(contents.End-contents.Start))
		}
		for i := contents.End - 60; i < min(contents.End+300, r.End); i++ { // padding and what follows
			places = append(places, i)
		}
	}
	for range 600 {
		places = append(places, random.IntN(len(b)))
	}
	changed := bytes.Clone(b)
	for _, at := range places {
		flips := []byte{byte(1 + random.IntN(255))}
		if c := b[at] | 0x20; 'a' <= c && c <= 'z' { // in a name, and in hexadecimal that stays the same number
			flips = append(flips, 0x20)
		}
		for _, flip := range flips {
			changed[at] ^= flip
			if faults(changed) == "" {
				t.Errorf("byte %d from %#x to %#x (near %q) was not noticed", at, b[at], changed[at], b[max(0, at-20):min(len(b), at+20)])
			}
			changed[at] = b[at]
		}
	}
	t.Logf("%d places", len(places))
}

func TestTruncated(t *testing.T) {
	b, _ := signed(t, 1)
	for n := range len(b) {
		if n%97 != 0 && n < len(b)-300 {
			continue
		}
		if n == len(report()) {
			continue // the report before it was signed
		}
		if faults(b[:n]) == "" {
			t.Errorf("cut to %d of %d bytes, which was not noticed", n, len(b))
		}
	}
}

func TestInsertedAndAppended(t *testing.T) {
	long(t)
	b, _ := signed(t, 2)
	for _, tail := range []string{"\n", "\r", " ", "\x00", "%", "%%EOF\n", "\n%%EOF\n", "1 0 obj\n<<>>\nendobj\n"} {
		if got := faults(append(bytes.Clone(b), tail...)); !strings.Contains(got, fmt.Sprintf("%d bytes stand after the end of the last revision", len(tail))) {
			t.Errorf("%q appended: %q", tail, got)
		}
	}
	random := chance.Source(t)
	for range 300 {
		at := random.IntN(len(b))
		if faults(bytes.Join([][]byte{b[:at], []byte(" "), b[at:]}, nil)) == "" {
			t.Errorf("a space inserted at %d was not noticed", at)
		}
		if faults(bytes.Join([][]byte{b[:at], b[at+1:]}, nil)) == "" {
			t.Errorf("byte %d taken out, which was not noticed", at)
		}
	}
}

// gaps returns where the /Contents of each signature are.
func gaps(t testing.TB, b []byte) [][2]int {
	t.Helper()
	f, err := read(b)
	if err != nil {
		t.Fatal(err)
	}
	var at [][2]int
	for k := 1; k < len(f.Revisions); k++ {
		c := f.later(k).found.Get("Contents")
		at = append(at, [2]int{c.Start, c.End})
	}
	return at
}

func TestSignaturesSwapped(t *testing.T) {
	long(t)
	id := identity(t, "Ada Fitter") // one signer twice, so that the gaps are of one size
	b := sign(t, report(), Request{Identity: id, As: Inspector, Time: day})
	b = sign(t, b, Request{Identity: id, As: Inspector, Time: day})
	g := gaps(t, b)
	swapped := bytes.Clone(b)
	copy(swapped[g[0][0]:g[0][1]], b[g[1][0]:g[1][1]])
	copy(swapped[g[1][0]:g[1][1]], b[g[0][0]:g[0][1]])
	got := faults(swapped)
	for i := range 2 {
		if want := fmt.Sprintf("signature %d: the bytes it covers were changed", i+1); !strings.Contains(got, want) {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// A signature of one report is of no use in another.
func TestSignatureMoved(t *testing.T) {
	r := people(t)[0]
	b := sign(t, report(), r)
	changed := bytes.Replace(report(), []byte("/Title"), []byte("/Tilte"), 1)
	other := sign(t, changed, r)
	g := gaps(t, b)[0]
	copy(other[g[0]:g[1]], b[g[0]:g[1]])
	if got := faults(other); !strings.Contains(got, "the bytes it covers were changed") {
		t.Errorf("got %q", got)
	}
}

// resign puts another signature of the same bytes into the last gap, as only
// the holder of some key can.
func resign(t testing.TB, b []byte, make func(covered ...[]byte) []byte) []byte {
	t.Helper()
	g := gaps(t, b)
	at := g[len(g)-1]
	out := bytes.Clone(b)
	cms := make(b[:at[0]], b[at[1]:])
	gap := out[at[0]+1 : at[1]-1]
	copy(gap, bytes.Repeat([]byte("0"), len(gap)))
	copy(gap, fmt.Appendf(nil, "%x", cms))
	return out
}

func TestCertificateReplaced(t *testing.T) {
	long(t)
	who := people(t)
	b := sign(t, report(), who[0])
	// The same name, another key.
	twin := identity(t, who[0].Certificate.Subject.CommonName)
	for _, c := range []struct {
		name string
		make func(covered ...[]byte) []byte
		want string
	}{
		{"certificate exchanged in place", func(covered ...[]byte) []byte {
			cms, err := signCMS(who[0].Identity, nil, covered...)
			if err != nil {
				t.Fatal(err)
			}
			swapped := bytes.Replace(cms, who[0].Certificate.Raw, twin.Certificate.Raw, 1)
			if len(who[0].Certificate.Raw) != len(twin.Certificate.Raw) {
				return swapped // broken DER, noticed as such
			}
			return swapped
		}, "signature 1: "},
		{"certificate of the same issuer and serial number", func(covered ...[]byte) []byte {
			forged := who[0].Identity
			forged.Certificate = sameNumber(t, who[0].Certificate, twin)
			cms, err := signCMS(who[0].Identity, nil, covered...)
			if err != nil {
				t.Fatal(err)
			}
			return replaceCertificate(t, cms, forged)
		}, "signature 1: the certificate is not the one that was signed with"},
		{"key of another", func(covered ...[]byte) []byte {
			cms, err := signCMS(Identity{Key: twin.Key, Certificate: who[0].Certificate}, nil, covered...)
			if err != nil {
				t.Fatal(err)
			}
			return cms
		}, "signature 1: the signature is not that of the certificate's key"},
		{"certificate added", func(covered ...[]byte) []byte {
			cms, err := signCMS(who[0].Identity, nil, covered...)
			if err != nil {
				t.Fatal(err)
			}
			return replaceCertificate(t, cms, Identity{Certificate: who[0].Certificate, Chain: chainOf(twin)})
		}, "was not there when it was signed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := faults(resign(t, b, c.make)); !strings.Contains(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
	// A twin who signs anew is intact, but not trusted by the name.
	v, err := Verify(sign(t, report(), Request{Identity: twin, As: Inspector, Time: day}), pool(who[0].Certificate))
	if err != nil || !v.Sound() || v.Signatures[0].Trusted {
		t.Errorf("the same name on another key: %v %+v", err, v.Signatures)
	}
}
