package sign

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	_ "crypto/sha256" // for crypto.SHA256
	_ "crypto/sha512" // for crypto.SHA384 and crypto.SHA512
	"crypto/x509"
	"encoding/asn1"
	"errors"
	"fmt"
	"math/big"

	"golang.org/x/crypto/cryptobyte"
	der "golang.org/x/crypto/cryptobyte/asn1"
)

var (
	oidData          = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 1} // RFC 5652
	oidSignedData    = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 2}
	oidContentType   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 3}
	oidMessageDigest = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 4}
	oidSigningTime   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 5}
	oidCommonName    = asn1.ObjectIdentifier{2, 5, 4, 3}                         // RFC 5280, appendix A.1
	oidExtKeyUsage   = asn1.ObjectIdentifier{2, 5, 29, 37}                       // RFC 5280, 4.2.1.12
	oidSigningCertV2 = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 47} // RFC 5035
	oidTimeStamp     = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 14} // RFC 3161, appendix A
	oidTSTInfo       = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 1, 4}
	oidRSA           = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 1}
)

// digest is a digest algorithm and the signature algorithms that use it (RFC 5754, RFC 5758).
type digest struct {
	hash            crypto.Hash
	oid, ecdsa, rsa asn1.ObjectIdentifier
}

func digests() []digest {
	return []digest{
		{crypto.SHA256, asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 1}, asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 2}, asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 11}},
		{crypto.SHA384, asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 2}, asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 3}, asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 12}},
		{crypto.SHA512, asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 3}, asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 4}, asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 13}},
	}
}

func sum(h crypto.Hash, parts ...[]byte) []byte {
	w := h.New()
	for _, p := range parts {
		w.Write(p)
	}
	return w.Sum(nil)
}

// algorithm returns an AlgorithmIdentifier.
func algorithm(oid asn1.ObjectIdentifier, nullParameters bool) []byte {
	var b cryptobyte.Builder
	b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
		b.AddASN1ObjectIdentifier(oid)
		if nullParameters {
			b.AddASN1NULL()
		}
	})
	return b.BytesOrPanic()
}

// attribute returns an Attribute of one value.
func attribute(oid asn1.ObjectIdentifier, value func(*cryptobyte.Builder)) []byte {
	var b cryptobyte.Builder
	b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
		b.AddASN1ObjectIdentifier(oid)
		b.AddASN1(der.SET, value)
	})
	return b.BytesOrPanic()
}

// signCMS returns a CMS signature (RFC 5652) of content, which is not in it.
// The attributes are those that PAdES asks for (ETSI EN 319 142-1, 6.3); the
// signing time is none of them. stamp may add a time stamp of the signature.
func signCMS(id Identity, stamp func(signature []byte) ([]byte, error), content ...[]byte) ([]byte, error) {
	d := digests()[0]
	signatureAlgorithm := algorithm(d.rsa, true)
	if k, ok := id.Key.Public().(*ecdsa.PublicKey); ok {
		if k.Curve == elliptic.P384() {
			d = digests()[1]
		}
		signatureAlgorithm = algorithm(d.ecdsa, false)
	}
	certs := append([]*x509.Certificate{id.Certificate}, id.Chain...)
	attributes := [][]byte{
		attribute(oidContentType, func(b *cryptobyte.Builder) { b.AddASN1ObjectIdentifier(oidData) }),
		attribute(oidMessageDigest, func(b *cryptobyte.Builder) { b.AddASN1OctetString(sum(d.hash, content...)) }),
		// All certificates, so that none can be exchanged.
		attribute(oidSigningCertV2, func(b *cryptobyte.Builder) {
			b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
				b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
					for _, c := range certs {
						b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) { b.AddASN1OctetString(sum(crypto.SHA256, c.Raw)) })
					}
				})
			})
		}),
	}
	signed := setOf(attributes)
	signature, err := id.Key.Sign(rand.Reader, sum(d.hash, signed), d.hash)
	if err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	var unsigned []byte
	if stamp != nil {
		token, err := stamp(signature)
		if err != nil {
			return nil, err
		}
		unsigned = attribute(oidTimeStamp, func(b *cryptobyte.Builder) { b.AddBytes(token) })
	}
	var b cryptobyte.Builder
	b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
		b.AddASN1ObjectIdentifier(oidSignedData)
		b.AddASN1(explicit(0), func(b *cryptobyte.Builder) {
			b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
				b.AddASN1Int64(1)
				b.AddASN1(der.SET, func(b *cryptobyte.Builder) { b.AddBytes(algorithm(d.oid, false)) })
				b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) { b.AddASN1ObjectIdentifier(oidData) })
				b.AddASN1(explicit(0), func(b *cryptobyte.Builder) {
					for _, c := range certs {
						b.AddBytes(c.Raw)
					}
				})
				b.AddASN1(der.SET, func(b *cryptobyte.Builder) {
					b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
						b.AddASN1Int64(1)
						b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
							b.AddBytes(id.Certificate.RawIssuer)
							b.AddASN1BigInt(id.Certificate.SerialNumber)
						})
						b.AddBytes(algorithm(d.oid, false))
						b.AddBytes(retag(signed, explicit(0)))
						b.AddBytes(signatureAlgorithm)
						b.AddASN1OctetString(signature)
						if unsigned != nil {
							b.AddASN1(explicit(1), func(b *cryptobyte.Builder) { b.AddBytes(unsigned) })
						}
					})
				})
			})
		})
	})
	return b.Bytes()
}

func explicit(n uint8) der.Tag { return der.Tag(n).ContextSpecific().Constructed() }

// retag gives an element another tag of one byte.
func retag(element []byte, tag der.Tag) []byte {
	out := bytes.Clone(element)
	out[0] = byte(tag)
	return out
}

// signedData is a CMS SignedData of one signer.
type signedData struct {
	contentType   asn1.ObjectIdentifier
	content       []byte // nil if detached
	certs         []*x509.Certificate
	issuer        []byte
	serial        *big.Int
	digest        digest
	attributes    []byte                       // as they are signed
	signed        map[string]cryptobyte.String // the value of each attribute, by type
	unsigned      map[string]cryptobyte.String
	usesRSA       bool
	signature     []byte
	certificateV2 []certHash
}

type certHash struct {
	hash crypto.Hash
	sum  []byte
}

var errCMS = errors.New("the signature is no CMS signed data in DER as PAdES has it")

// signer returns the certificate that the signer names, if the signed
// attributes bind it and the signature is its.
func (d *signedData) signer() (*x509.Certificate, error) {
	cert := d.named()
	if cert == nil {
		return nil, errors.New("the signer's certificate is missing")
	}
	if len(d.certificateV2) == 0 {
		return nil, errors.New("the signing certificate attribute is missing")
	}
	if first := d.certificateV2[0]; !bytes.Equal(sum(first.hash, cert.Raw), first.sum) {
		return cert, errors.New("the certificate is not the one that was signed with (signing certificate attribute)")
	}
	return cert, d.madeWith(cert)
}

// named returns the certificate that the signer names, nil where it is missing.
func (d *signedData) named() *x509.Certificate {
	for _, c := range d.certs {
		if bytes.Equal(c.RawIssuer, d.issuer) && c.SerialNumber.Cmp(d.serial) == 0 {
			return c
		}
	}
	return nil
}

// madeWith holds that the signature is that of the certificate's key.
func (d *signedData) madeWith(cert *x509.Certificate) error {
	if err := checkKey(cert.PublicKey); err != nil {
		return err
	}
	h := sum(d.digest.hash, d.attributes)
	switch k := cert.PublicKey.(type) {
	case *ecdsa.PublicKey:
		if d.usesRSA || !ecdsa.VerifyASN1(k, h, d.signature) {
			return errors.New("the signature is not that of the certificate's key")
		}
	case *rsa.PublicKey:
		if !d.usesRSA || rsa.VerifyPKCS1v15(k, d.digest.hash, h, d.signature) != nil {
			return errors.New("the signature is not that of the certificate's key")
		}
	}
	return nil
}
