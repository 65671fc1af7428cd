package sign

import (
	"bytes"
	"crypto"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"

	"software.sslmate.com/src/go-pkcs12"
)

// ParseIdentity reads a PKCS#12 file, or PEM with one key (PKCS#8, SEC 1 or
// PKCS#1, not encrypted) and its certificate, other certificates of the chain
// beside it. The passphrase is that of PKCS#12; PEM has none.
// Errors wrap [ErrIdentity]. Whether the certificate has expired is a matter
// of [Sign].
func ParseIdentity(data []byte, passphrase string) (Identity, error) {
	var id Identity
	var err error
	if bytes.Contains(data, []byte("-----BEGIN ")) {
		id, err = parsePEM(data)
	} else {
		id, err = parsePKCS12(data, passphrase)
	}
	if err != nil {
		return Identity{}, fmt.Errorf("%w: %w", ErrIdentity, err)
	}
	if err := id.check(); err != nil {
		return Identity{}, err
	}
	return id, nil
}

func parsePKCS12(data []byte, passphrase string) (Identity, error) {
	if err := checkRounds(data); err != nil {
		return Identity{}, err
	}
	if what := bareDER(data); what != "" {
		return Identity{}, fmt.Errorf("found %s alone, in DER, expected key and certificate together, in PKCS#12 or PEM; join them with openssl pkcs12 -export", what)
	}
	key, cert, chain, err := pkcs12.DecodeChain(data, passphrase)
	switch {
	case errors.Is(err, pkcs12.ErrIncorrectPassword), errors.Is(err, pkcs12.ErrDecryption):
		return Identity{}, errors.New("wrong passphrase")
	case err != nil:
		return Identity{}, fmt.Errorf("this is neither PEM nor PKCS#12 that can be read: %w", err)
	}
	signer, ok := key.(crypto.Signer)
	if !ok {
		return Identity{}, fmt.Errorf("the key is a %T, which cannot sign", key)
	}
	return order(signer, append([]*x509.Certificate{cert}, chain...))
}

// bareDER says what a file in DER is that is not PKCS#12; "" where it is none of these.
func bareDER(data []byte) string {
	if _, err := x509.ParseCertificate(data); err == nil {
		return "a certificate"
	}
	for _, parse := range []func([]byte) error{
		func(b []byte) error { _, err := x509.ParsePKCS8PrivateKey(b); return err },
		func(b []byte) error { _, err := x509.ParseECPrivateKey(b); return err },
		func(b []byte) error { _, err := x509.ParsePKCS1PrivateKey(b); return err },
	} {
		if parse(data) == nil {
			return "a private key"
		}
	}
	return ""
}

func parsePEM(data []byte) (Identity, error) {
	var key crypto.Signer
	var certs []*x509.Certificate
	for rest := data; ; {
		var block *pem.Block
		if block, rest = pem.Decode(rest); block == nil {
			break
		}
		if block.Type == "ENCRYPTED PRIVATE KEY" || block.Headers["DEK-Info"] != "" {
			return Identity{}, errors.New("the key is encrypted PEM, which is not read; turn it into PKCS#12 with openssl pkcs12 -export")
		}
		switch block.Type {
		case "CERTIFICATE":
			c, err := x509.ParseCertificate(block.Bytes)
			if err != nil {
				return Identity{}, fmt.Errorf("certificate %d in the file: %w", len(certs)+1, err)
			}
			certs = append(certs, c)
		case "PRIVATE KEY", "EC PRIVATE KEY", "RSA PRIVATE KEY":
			if key != nil {
				return Identity{}, errors.New("there is more than one key in the file; keep one")
			}
			var err error
			if key, err = parseKey(block); err != nil {
				return Identity{}, err
			}
		case "EC PARAMETERS": // openssl ecparam writes the curve's name before the key, which has it too
		default:
			return Identity{}, fmt.Errorf("found a block %q in the file, expected \"PRIVATE KEY\" and \"CERTIFICATE\"; write it anew with openssl pkcs12 -export", block.Type[:min(len(block.Type), 40)])
		}
	}
	if key == nil {
		return Identity{}, errors.New("there is no private key in the file; add it")
	}
	if len(certs) == 0 {
		return Identity{}, errors.New("there is no certificate in the file; add it")
	}
	return order(key, certs)
}

func parseKey(block *pem.Block) (crypto.Signer, error) {
	var key any
	var err error
	switch block.Type {
	case "EC PRIVATE KEY":
		key, err = x509.ParseECPrivateKey(block.Bytes)
	case "RSA PRIVATE KEY":
		key, err = x509.ParsePKCS1PrivateKey(block.Bytes)
	default:
		key, err = x509.ParsePKCS8PrivateKey(block.Bytes)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", block.Type, err)
	}
	signer, ok := key.(crypto.Signer)
	if !ok {
		return nil, fmt.Errorf("the key is a %T, which cannot sign", key)
	}
	return signer, nil
}

// order finds the certificate of the key and follows its issuers.
func order(key crypto.Signer, certs []*x509.Certificate) (Identity, error) {
	id := Identity{Key: key, Certificate: certs[0]}
	for _, c := range certs {
		if k, ok := c.PublicKey.(interface{ Equal(crypto.PublicKey) bool }); ok && k.Equal(key.Public()) {
			id.Certificate = c
			break
		}
	}
	last := id.Certificate
	for len(id.Chain) < len(certs) && !bytes.Equal(last.RawIssuer, last.RawSubject) {
		next := last
		for _, c := range certs {
			if c != last && checkIssuer(c.PublicKey) == nil && last.CheckSignatureFrom(c) == nil {
				next = c
				break
			}
		}
		if next == last {
			break
		}
		id.Chain = append(id.Chain, next)
		last = next
	}
	return id, nil
}
