package sign

import (
	"bytes"
	"crypto/x509"
	"encoding/hex"
	"encoding/pem"
	"strings"
	"testing"
	"time"
)

func appendHex(b []byte) []byte { return hex.AppendEncode(nil, b) }

// opensslCMS has openssl make a detached signature with an identity of ours.
func opensslCMS(t testing.TB, id Identity, content []byte, args ...string) []byte {
	t.Helper()
	key, err := x509.MarshalPKCS8PrivateKey(id.Key)
	if err != nil {
		t.Fatal(err)
	}
	out := save(t, "s.der", nil)
	tool(t, "openssl", append([]string{"cms", "-sign", "-binary", "-in", save(t, "c", content), "-outform", "DER", "-out", out,
		"-signer", save(t, "cert.pem", pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: id.Certificate.Raw})),
		"-inkey", save(t, "key.pem", pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: key}))}, args...)...)
	return readFile(t, out)
}

// Signatures made by openssl: a PAdES one is taken, others are refused by name.
func TestSignaturesOfOpenssl(t *testing.T) {
	long(t)
	needTool(t, "openssl")
	r := people(t)[0]
	r.Time = time.Now() // which openssl writes as the signing time
	b := sign(t, report(), r)
	earlier := r
	earlier.Time = day
	if got := faults(resign(t, sign(t, report(), earlier), func(covered ...[]byte) []byte {
		return opensslCMS(t, r.Identity, bytes.Join(covered, nil), "-md", "sha256", "-cades")
	})); !strings.Contains(got, "it says two times: its /M 2026-03-02T10:30:00Z and its signing time attribute ") {
		t.Errorf("another time: got %q", got)
	}
	for _, c := range []struct {
		name string
		args []string
		want string
	}{
		{"SHA-256", []string{"-md", "sha256", "-cades"}, ""},
		{"SHA-384", []string{"-md", "sha384", "-cades"}, ""},
		{"SHA-512", []string{"-md", "sha512", "-cades"}, ""},
		{"SHA-1", []string{"-md", "sha1", "-cades"}, "the digest algorithm is 1.3.14.3.2.26, expected SHA-256"},
		{"SHA-224", []string{"-md", "sha224", "-cades"}, "the digest algorithm is 2.16.840.1.101.3.4.2.4, expected SHA-256"},
		{"no signing certificate attribute", []string{"-md", "sha256"}, "the signing certificate attribute is missing"},
		{"no attributes", []string{"-md", "sha256", "-noattr"}, "no CMS signed data"},
		{"no certificate", []string{"-md", "sha256", "-cades", "-nocerts"}, "no CMS signed data"},
		{"content inside", []string{"-md", "sha256", "-cades", "-nodetach"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.name == "content inside" {
				got := faults(resign(t, b, func(...[]byte) []byte {
					return opensslCMS(t, r.Identity, []byte("other content"), c.args...)
				}))
				if !strings.Contains(got, "its content is not outside of it") {
					t.Errorf("got %q", got)
				}
				return
			}
			got := faults(resign(t, b, func(covered ...[]byte) []byte {
				return opensslCMS(t, r.Identity, bytes.Join(covered, nil), c.args...)
			}))
			if c.want == "" && got != "" || !strings.Contains(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// No byte of the signature itself may change, though no digest covers it.
func TestChangedSignature(t *testing.T) {
	long(t)
	b, _ := signed(t, 1)
	g := gaps(t, b)[0]
	cms, err := signatureBytes(b[g[0]:g[1]])
	if err != nil {
		t.Fatal(err)
	}
	if found := faultsBehind(b); found != "" {
		t.Fatal(found)
	}
	copied := bytes.Clone(b)
	for i := range cms {
		changed := bytes.Clone(cms)
		changed[i] ^= 1 << (i % 8)
		copy(copied[g[0]+1:], appendHex(changed))
		if faultsBehind(copied) == "" {
			t.Errorf("byte %d of the signature from %#x to %#x was not noticed", i, cms[i], changed[i])
		}
	}
}
