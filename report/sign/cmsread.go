package sign

import (
	"bytes"
	"crypto"
	"crypto/x509"
	"encoding/asn1"
	"fmt"
	"math/big"
	"slices"
	"time"

	"golang.org/x/crypto/cryptobyte"
	der "golang.org/x/crypto/cryptobyte/asn1"
)

// readCMS reads SignedData of one signer. Every byte has to be one that is
// expected: what no signature protects may not carry anything else.
func readCMS(data []byte) (*signedData, error) {
	in := cryptobyte.String(data)
	var info, wrapped, sd cryptobyte.String
	var oid asn1.ObjectIdentifier
	if !in.ReadASN1(&info, der.SEQUENCE) || !in.Empty() ||
		!info.ReadASN1ObjectIdentifier(&oid) || !oid.Equal(oidSignedData) ||
		!info.ReadASN1(&wrapped, explicit(0)) || !info.Empty() ||
		!wrapped.ReadASN1(&sd, der.SEQUENCE) || !wrapped.Empty() {
		return nil, fmt.Errorf("%w: its outer parts", errCMS)
	}
	d := &signedData{}
	var version int64
	var algorithms, content, certs, infos, signer cryptobyte.String
	if !sd.ReadASN1Integer(&version) || !sd.ReadASN1(&algorithms, der.SET) ||
		!sd.ReadASN1(&content, der.SEQUENCE) || !content.ReadASN1ObjectIdentifier(&d.contentType) ||
		!sd.ReadASN1(&certs, explicit(0)) ||
		!sd.ReadASN1(&infos, der.SET) || !sd.Empty() ||
		!infos.ReadASN1(&signer, der.SEQUENCE) || !infos.Empty() {
		return nil, fmt.Errorf("%w: expected version, digest algorithm, content, certificates and one signer", errCMS)
	}
	want := int64(3)
	if d.contentType.Equal(oidData) {
		want = 1
	}
	if version != want {
		return nil, fmt.Errorf("%w: version %d, expected %d", errCMS, version, want)
	}
	if !content.Empty() {
		var outer cryptobyte.String
		if !content.ReadASN1(&outer, explicit(0)) || !content.Empty() ||
			!outer.ReadASN1Bytes(&d.content, der.OCTET_STRING) || !outer.Empty() {
			return nil, fmt.Errorf("%w: its content", errCMS)
		}
	}
	for !certs.Empty() {
		var raw cryptobyte.String
		if len(d.certs) >= 20 || !certs.ReadASN1Element(&raw, der.SEQUENCE) {
			return nil, fmt.Errorf("%w: its certificates", errCMS)
		}
		c, err := x509.ParseCertificate(raw)
		if err != nil {
			return nil, fmt.Errorf("certificate %d in the signature: %w", len(d.certs)+1, err)
		}
		d.certs = append(d.certs, c)
	}
	if err := d.readSigner(signer, algorithms); err != nil {
		return nil, err
	}
	return d, nil
}

func (d *signedData) readSigner(s, algorithms cryptobyte.String) error {
	var version int64
	var sid, issuer, digestAlgorithm, signed, signatureAlgorithm cryptobyte.String
	d.serial = new(big.Int)
	if !s.ReadASN1Integer(&version) || version != 1 ||
		!s.ReadASN1(&sid, der.SEQUENCE) || !sid.ReadASN1Element(&issuer, der.SEQUENCE) || !sid.ReadASN1Integer(d.serial) || !sid.Empty() ||
		!s.ReadASN1Element(&digestAlgorithm, der.SEQUENCE) ||
		!s.ReadASN1Element(&signed, explicit(0)) ||
		!s.ReadASN1Element(&signatureAlgorithm, der.SEQUENCE) ||
		!s.ReadASN1Bytes(&d.signature, der.OCTET_STRING) {
		return fmt.Errorf("%w: its signer", errCMS)
	}
	d.issuer = issuer
	if !bytes.Equal(algorithms, digestAlgorithm) {
		return fmt.Errorf("%w: the digest algorithm stands in it in two ways", errCMS)
	}
	if err := d.readAlgorithms(digestAlgorithm, signatureAlgorithm); err != nil {
		return err
	}
	d.attributes = retag(signed, der.SET)
	var err error
	if d.signed, err = readAttributes(signed, explicit(0)); err != nil {
		return err
	}
	if !s.Empty() {
		var unsigned cryptobyte.String
		if !s.ReadASN1Element(&unsigned, explicit(1)) || !s.Empty() {
			return fmt.Errorf("%w: what follows the signature", errCMS)
		}
		if d.unsigned, err = readAttributes(unsigned, explicit(1)); err != nil {
			return err
		}
	}
	return d.readSigningCertificate()
}

// readAlgorithms takes SHA-256, SHA-384 and SHA-512, with ECDSA or RSA (PKCS #1 v1.5).
func (d *signedData) readAlgorithms(digestAlgorithm, signatureAlgorithm []byte) error {
	is := func(found []byte, oid asn1.ObjectIdentifier) bool {
		return bytes.Equal(found, algorithm(oid, false)) || bytes.Equal(found, algorithm(oid, true))
	}
	i := slices.IndexFunc(digests(), func(g digest) bool { return is(digestAlgorithm, g.oid) })
	if i < 0 {
		return fmt.Errorf("the digest algorithm is %s, expected SHA-256, SHA-384 or SHA-512", algorithmName(digestAlgorithm))
	}
	d.digest = digests()[i]
	switch {
	case is(signatureAlgorithm, oidRSA), is(signatureAlgorithm, d.digest.rsa):
		d.usesRSA = true
	case is(signatureAlgorithm, d.digest.ecdsa):
	default:
		return fmt.Errorf("the signature algorithm is %s, expected ECDSA or RSA (PKCS #1) with the digest algorithm", algorithmName(signatureAlgorithm))
	}
	return nil
}

func algorithmName(found cryptobyte.String) string {
	var inner cryptobyte.String
	var oid asn1.ObjectIdentifier
	if !found.ReadASN1(&inner, der.SEQUENCE) || !inner.ReadASN1ObjectIdentifier(&oid) {
		return "not readable"
	}
	return oid.String()
}

// readAttributes reads attributes of one value each, no type twice.
func readAttributes(s cryptobyte.String, tag der.Tag) (map[string]cryptobyte.String, error) {
	found := make(map[string]cryptobyte.String)
	var list cryptobyte.String
	if !s.ReadASN1(&list, tag) {
		return nil, fmt.Errorf("%w: its attributes", errCMS)
	}
	for !list.Empty() {
		var a, values, value cryptobyte.String
		var oid asn1.ObjectIdentifier
		var t der.Tag
		if !list.ReadASN1(&a, der.SEQUENCE) || !a.ReadASN1ObjectIdentifier(&oid) ||
			!a.ReadASN1(&values, der.SET) || !a.Empty() || !values.ReadAnyASN1Element(&value, &t) || !values.Empty() {
			return nil, fmt.Errorf("%w: its attributes", errCMS)
		}
		if _, twice := found[oid.String()]; twice {
			return nil, fmt.Errorf("%w: attribute %s stands in it twice", errCMS, oid)
		}
		found[oid.String()] = value
	}
	return found, nil
}

// readSigningCertificate reads the attribute signing-certificate-v2 (RFC 5035, 3).
func (d *signedData) readSigningCertificate() error {
	value, ok := d.signed[oidSigningCertV2.String()]
	if !ok {
		return nil // [signedData.signer] says that it is missing
	}
	var outer, list cryptobyte.String
	bad := fmt.Errorf("%w: its signing certificate attribute", errCMS)
	if !value.ReadASN1(&outer, der.SEQUENCE) || !outer.ReadASN1(&list, der.SEQUENCE) {
		return bad
	}
	for !list.Empty() {
		var one, alg cryptobyte.String
		c := certHash{hash: crypto.SHA256}
		if !list.ReadASN1(&one, der.SEQUENCE) {
			return bad
		}
		if one.PeekASN1Tag(der.SEQUENCE) {
			if !one.ReadASN1Element(&alg, der.SEQUENCE) {
				return bad
			}
			i := slices.IndexFunc(digests(), func(g digest) bool {
				return bytes.Equal(alg, algorithm(g.oid, false)) || bytes.Equal(alg, algorithm(g.oid, true))
			})
			if i < 0 {
				return bad
			}
			c.hash = digests()[i].hash
		}
		if !one.ReadASN1Bytes(&c.sum, der.OCTET_STRING) {
			return bad
		}
		d.certificateV2 = append(d.certificateV2, c)
	}
	return nil
}

// nearTime is how far the two times may be apart that one program writes as it signs.
const nearTime = 5 * time.Minute

// sameTime holds that a signature with a time of its own says what its /M does.
// PAdES has that time nowhere else (ETSI EN 319 142-1, 6.3, from memory), but some
// programs write both, and a reader may show either.
func (d *signedData) sameTime(claimed time.Time) error {
	value, ok := d.signed[oidSigningTime.String()]
	if !ok {
		return nil
	}
	var at time.Time
	if !value.ReadASN1UTCTime(&at) && !value.ReadASN1GeneralizedTime(&at) || !value.Empty() {
		return fmt.Errorf("%w: its signing time attribute", errCMS)
	}
	if at.Sub(claimed).Abs() > nearTime {
		return fmt.Errorf("it says two times: its /M %s and its signing time attribute %s", claimed.UTC().Format(time.RFC3339), at.UTC().Format(time.RFC3339))
	}
	return nil
}

// checkDigest holds that the signed attributes are of this content.
func (d *signedData) checkDigest(content ...[]byte) error {
	var oid asn1.ObjectIdentifier
	value := d.signed[oidContentType.String()]
	if !value.ReadASN1ObjectIdentifier(&oid) || !value.Empty() || !oid.Equal(d.contentType) {
		return fmt.Errorf("%w: its content type attribute", errCMS)
	}
	var digest []byte
	value = d.signed[oidMessageDigest.String()]
	if !value.ReadASN1Bytes(&digest, der.OCTET_STRING) || !value.Empty() {
		return fmt.Errorf("%w: its message digest attribute", errCMS)
	}
	if !bytes.Equal(digest, sum(d.digest.hash, content...)) {
		return fmt.Errorf("the bytes it covers were changed after signing (message digest)")
	}
	return nil
}
