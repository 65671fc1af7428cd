package sign

import (
	"bytes"
	"encoding/asn1"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"software.sslmate.com/src/go-pkcs12"
)

// TestRounds: a PKCS#12 file that would be hashed for minutes is refused before
// it is, whichever of its three numbers of rounds asks for that.
func TestRounds(t *testing.T) {
	id := identity(t, "Ada Fitter")
	honest, err := pkcs12.Modern.WithIterations(2048).Encode(id.Key, id.Certificate, nil, "secret")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ParseIdentity(honest, "secret"); err != nil {
		t.Fatal(err)
	}
	rounds, _ := asn1.Marshal(2048)
	for _, huge := range []int{1<<31 - 1, maxRounds} {
		more, _ := asn1.Marshal(huge)
		for at := range bytes.Count(honest, rounds) {
			i := nth(honest, rounds, at)
			// The lengths around it do not matter to who looks for it only as deep as it can.
			if err := checkRounds(enlarged(t, honest, i, len(rounds), more)); err == nil {
				t.Errorf("%d rounds in place %d are accepted", huge, at)
			}
		}
	}
	if n := bytes.Count(honest, rounds); n < 3 {
		t.Fatalf("found %d numbers of rounds, expected three", n)
	}
}

// nth is where the nth occurrence of a text is.
func nth(b, text []byte, n int) int {
	at := bytes.Index(b, text)
	for range n {
		at += 1 + bytes.Index(b[at+1:], text)
	}
	return at
}

// enlarged replaces an element of DER by a longer one, and mends the lengths around it.
func enlarged(t *testing.T, file []byte, at, length int, with []byte) []byte {
	t.Helper()
	var rebuild func(b []byte, base int) []byte
	rebuild = func(b []byte, base int) []byte {
		var out []byte
		for len(b) > 0 {
			var v asn1.RawValue
			rest, err := asn1.Unmarshal(b, &v)
			if err != nil {
				return append(out, b...)
			}
			size := len(b) - len(rest)
			switch head := size - len(v.Bytes); {
			case base == at && size == length:
				out = append(out, with...)
			case base <= at && at < base+size:
				v.FullBytes, v.Bytes = nil, rebuild(v.Bytes, base+head)
				element, err := asn1.Marshal(v)
				if err != nil {
					t.Fatal(err)
				}
				out = append(out, element...)
			default:
				out = append(out, b[:size]...)
			}
			b, base = rest, base+size
		}
		return out
	}
	return rebuild(file, 0)
}

// TestOtherKeys: what is no identity is told for what it is.
func TestOtherKeys(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	tool(t, "openssl", "req", "-x509", "-newkey", "ed25519", "-nodes", "-keyout", at("key"), "-out", at("crt"), "-subj", "/CN=Ada", "-days", "9")
	tool(t, "openssl", "x509", "-in", at("crt"), "-outform", "der", "-out", at("crt.der"))
	tool(t, "openssl", "pkey", "-in", at("key"), "-outform", "der", "-out", at("key.der"))
	tool(t, "openssl", "pkcs12", "-export", "-in", at("crt"), "-inkey", at("key"), "-out", at("p12"), "-passout", "pass:secret")
	read := func(name string) []byte {
		b, err := os.ReadFile(at(name))
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	both := append(read("key"), read("crt")...)
	for _, c := range []struct {
		name string
		file []byte
		want string
	}{
		{"Ed25519 in PEM", both, "the key is Ed25519"},
		{"Ed25519 in PKCS#12", read("p12"), "the key is Ed25519"},
		{"a certificate in DER", read("crt.der"), "found a certificate alone, in DER"},
		{"a key in DER", read("key.der"), "found a private key alone, in DER"},
		{"an old label", bytes.ReplaceAll(both, []byte(" CERTIFICATE"), []byte(" X509 CERTIFICATE")), `found a block "X509 CERTIFICATE"`},
		{"a request", bytes.ReplaceAll(both, []byte(" CERTIFICATE"), []byte(" CERTIFICATE REQUEST")), `found a block "CERTIFICATE REQUEST"`},
	} {
		if _, err := ParseIdentity(c.file, "secret"); !errors.Is(err, ErrIdentity) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// TestManyAdded: of tens of thousands of objects that a revision adds, some are
// named and the rest counted.
func TestManyAdded(t *testing.T) {
	long(t)
	b, _ := signed(t, 1)
	objects := map[int]string{}
	for i := range 40000 {
		objects[1000+i] = fmt.Sprintf("<< /Next %d 0 R >>", 1001+i)
	}
	v, err := Verify(appendTo(t, b, objects), nil)
	if err != nil {
		t.Fatal(err)
	}
	if all := strings.Join(v.Problems, "\n"); len(v.Problems) > 2*maxNamed || !strings.Contains(all, "adds or replaces 39980 more objects") {
		t.Errorf("%d problems: %.2000s", len(v.Problems), all)
	}
}
