package sign

import (
	"crypto/rand"
	"crypto/x509"
	"testing"

	"golang.org/x/crypto/cryptobyte"
	der "golang.org/x/crypto/cryptobyte/asn1"
)

// sameNumber makes a certificate for the key of twin that has the issuer and
// the serial number of c.
func sameNumber(t testing.TB, c *x509.Certificate, twin Identity) *x509.Certificate {
	t.Helper()
	parent := *c
	parent.PublicKey = twin.Key.Public()
	raw, err := x509.CreateCertificate(rand.Reader, c, &parent, twin.Key.Public(), twin.Key)
	if err != nil {
		t.Fatal(err)
	}
	out, err := x509.ParseCertificate(raw)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func chainOf(ids ...Identity) []*x509.Certificate {
	var certs []*x509.Certificate
	for _, id := range ids {
		certs = append(certs, id.Certificate)
	}
	return certs
}

// replaceCertificate writes CMS anew with the certificates of id.
func replaceCertificate(t testing.TB, cms []byte, id Identity) []byte {
	t.Helper()
	in := cryptobyte.String(cms)
	var info, outer, sd, oid, version, algorithms, content, certs, infos cryptobyte.String
	if !in.ReadASN1(&info, der.SEQUENCE) || !info.ReadASN1Element(&oid, der.OBJECT_IDENTIFIER) ||
		!info.ReadASN1(&outer, explicit(0)) || !outer.ReadASN1(&sd, der.SEQUENCE) ||
		!sd.ReadASN1Element(&version, der.INTEGER) || !sd.ReadASN1Element(&algorithms, der.SET) ||
		!sd.ReadASN1Element(&content, der.SEQUENCE) || !sd.ReadASN1(&certs, explicit(0)) || !sd.ReadASN1Element(&infos, der.SET) {
		t.Fatal("the CMS to be changed cannot be read")
	}
	var b cryptobyte.Builder
	b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
		b.AddBytes(oid)
		b.AddASN1(explicit(0), func(b *cryptobyte.Builder) {
			b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
				b.AddBytes(version)
				b.AddBytes(algorithms)
				b.AddBytes(content)
				b.AddASN1(explicit(0), func(b *cryptobyte.Builder) {
					b.AddBytes(id.Certificate.Raw)
					for _, c := range id.Chain {
						b.AddBytes(c.Raw)
					}
				})
				b.AddBytes(infos)
			})
		})
	})
	return b.BytesOrPanic()
}
