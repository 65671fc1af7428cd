package sign

import (
	"bytes"
	"crypto"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"io"
	"math/big"
	"net/http"
	"slices"
	"time"

	"golang.org/x/crypto/cryptobyte"
	der "golang.org/x/crypto/cryptobyte/asn1"
)

const (
	stampTimeout = 30 * time.Second
	maxStamp     = 15 << 10 // bytes of a time stamp, with its certificates
)

// askStamp asks the authority at url for a time stamp of signature (RFC 3161,
// 3.4) and returns the token.
func askStamp(url string, signature []byte) ([]byte, error) {
	nonce, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 63))
	if err != nil {
		return nil, err
	}
	var b cryptobyte.Builder
	b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
		b.AddASN1Int64(1)
		b.AddBytes(imprint(signature))
		b.AddASN1BigInt(nonce)
		b.AddASN1Boolean(true) // with the certificate
	})
	client := http.Client{Timeout: stampTimeout}
	resp, err := client.Post(url, "application/timestamp-query", bytes.NewReader(b.BytesOrPanic()))
	if err != nil {
		return nil, fmt.Errorf("time stamp: %w", err)
	}
	defer func() { _ = resp.Body.Close() }()
	body, err := io.ReadAll(io.LimitReader(resp.Body, maxStamp+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("time stamp from %s: %w", url, err)
	case resp.StatusCode != http.StatusOK:
		return nil, fmt.Errorf("time stamp from %s: status %s, expected 200", url, resp.Status)
	case len(body) > maxStamp:
		return nil, fmt.Errorf("time stamp from %s: the answer is longer than %d bytes", url, maxStamp)
	}
	token, err := stampToken(body)
	if err != nil {
		return nil, fmt.Errorf("time stamp from %s: %w", url, err)
	}
	s, err := readStamp(token, signature)
	if err != nil {
		return nil, fmt.Errorf("time stamp from %s: %w", url, err)
	}
	if s.nonce == nil || s.nonce.Cmp(nonce) != 0 {
		return nil, fmt.Errorf("time stamp from %s: the answer is to another question (nonce)", url)
	}
	return token, nil
}

// imprint is a MessageImprint in SHA-256.
func imprint(content []byte) []byte {
	var b cryptobyte.Builder
	b.AddASN1(der.SEQUENCE, func(b *cryptobyte.Builder) {
		b.AddBytes(algorithm(digests()[0].oid, true))
		b.AddASN1OctetString(sum(crypto.SHA256, content))
	})
	return b.BytesOrPanic()
}

// stampToken takes the token out of an answer, or says why there is none.
func stampToken(answer cryptobyte.String) ([]byte, error) {
	var resp, info, token cryptobyte.String
	var status int64
	if !answer.ReadASN1(&resp, der.SEQUENCE) || !answer.Empty() ||
		!resp.ReadASN1(&info, der.SEQUENCE) || !info.ReadASN1Integer(&status) {
		return nil, errors.New("the answer is no RFC 3161 response")
	}
	if status != 0 && status != 1 {
		return nil, fmt.Errorf("the authority refused, status %d", status)
	}
	if !resp.ReadASN1Element(&token, der.SEQUENCE) || !resp.Empty() {
		return nil, errors.New("the answer holds no time stamp")
	}
	return token, nil
}

// stamp is a time stamp whose signature is sound.
type stamp struct {
	time   time.Time
	nonce  *big.Int
	signer *x509.Certificate
	others []*x509.Certificate
}

// readStamp reads a token and holds that it is of this signature.
func readStamp(token, signature []byte) (stamp, error) {
	d, err := readCMS(token)
	if err != nil {
		return stamp{}, err
	}
	if !d.contentType.Equal(oidTSTInfo) {
		return stamp{}, errors.New("it holds no time (TSTInfo)")
	}
	if err := d.checkDigest(d.content); err != nil {
		return stamp{}, err
	}
	s := stamp{others: d.certs}
	if s.signer, err = d.signer(); err != nil {
		return stamp{}, err
	}
	if !forStamps(s.signer) {
		return stamp{}, fmt.Errorf("the certificate of %s is not for time stamps alone (a critical extended key usage; RFC 3161, 2.3)", s.signer.Subject)
	}
	if err := s.readInfo(d.content, signature); err != nil {
		return stamp{}, err
	}
	return s, checkTime(s.signer, s.time)
}

// forStamps reports whether a certificate is for time stamps and for nothing else,
// and whoever does not know of that may not use it (RFC 3161, 2.3).
func forStamps(c *x509.Certificate) bool {
	critical := slices.ContainsFunc(c.Extensions, func(e pkix.Extension) bool { return e.Critical && e.Id.Equal(oidExtKeyUsage) })
	return critical && slices.Equal(c.ExtKeyUsage, []x509.ExtKeyUsage{x509.ExtKeyUsageTimeStamping}) && len(c.UnknownExtKeyUsage) == 0
}

func (s *stamp) readInfo(content cryptobyte.String, signature []byte) error {
	var info, imprint, alg, at cryptobyte.String
	var version int64
	var policy asn1.ObjectIdentifier
	var hashed []byte
	serial := new(big.Int)
	if !content.ReadASN1(&info, der.SEQUENCE) || !content.Empty() ||
		!info.ReadASN1Integer(&version) || version != 1 ||
		!info.ReadASN1ObjectIdentifier(&policy) ||
		!info.ReadASN1(&imprint, der.SEQUENCE) || !imprint.ReadASN1Element(&alg, der.SEQUENCE) ||
		!imprint.ReadASN1Bytes(&hashed, der.OCTET_STRING) || !imprint.Empty() ||
		!info.ReadASN1Integer(serial) || !info.ReadASN1(&at, der.GeneralizedTime) {
		return errors.New("its time (TSTInfo) cannot be read")
	}
	i := slices.IndexFunc(digests(), func(g digest) bool {
		return bytes.Equal(alg, algorithm(g.oid, false)) || bytes.Equal(alg, algorithm(g.oid, true))
	})
	if i < 0 || !bytes.Equal(hashed, sum(digests()[i].hash, signature)) {
		return errors.New("it is of another signature")
	}
	var err error
	// Fractions of a second are read though the layout has none.
	if s.time, err = time.Parse("20060102150405Z", string(at)); err != nil {
		return fmt.Errorf("its time cannot be read: %w", err)
	}
	var skipped cryptobyte.String
	var ok bool
	if !info.ReadOptionalASN1(&skipped, &ok, der.SEQUENCE) || // accuracy
		!info.ReadOptionalASN1(&skipped, &ok, der.BOOLEAN) { // ordering
		return errors.New("its time (TSTInfo) cannot be read")
	}
	if info.PeekASN1Tag(der.INTEGER) {
		s.nonce = new(big.Int)
		if !info.ReadASN1Integer(s.nonce) {
			return errors.New("its nonce cannot be read")
		}
	}
	return nil
}
