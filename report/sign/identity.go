package sign

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/ed25519"
	"crypto/elliptic"
	"crypto/rsa"
	"crypto/x509"
	"crypto/x509/pkix"
	"errors"
	"fmt"
	"io"
	"math/big"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"software.sslmate.com/src/go-pkcs12"
)

// ErrIdentity is wrapped by every error about a key or its certificate.
var ErrIdentity = errors.New("cannot use this identity")

// Identity is what someone signs with.
type Identity struct {
	Key         crypto.Signer
	Certificate *x509.Certificate
	// Chain holds the certificates between Certificate and its authority, nearest first; it may be empty.
	Chain []*x509.Certificate
}

// maxName is the greatest length of a name in a certificate (RFC 5280,
// appendix A.1: ub-common-name, ub-organization-name).
const maxName = 64

// NewIdentity makes a key (ECDSA P-256) and a certificate, signed with that
// key itself, for three years from now. name must not be empty; firm may be.
// Neither may be longer than 64 characters.
// Nobody trusts it until they put the certificate on their list.
func NewIdentity(name, firm string, now time.Time, rand io.Reader) (Identity, error) {
	name, firm = strings.TrimSpace(name), strings.TrimSpace(firm)
	if name == "" {
		return Identity{}, fmt.Errorf("%w: the name is empty; give the name of the one who signs", ErrIdentity)
	}
	for _, given := range [...]struct{ what, text string }{{"name", name}, {"firm", firm}} {
		what, text := given.what, given.text
		if utf8.RuneCountInString(text) > maxName || !utf8.ValidString(text) || strings.ContainsFunc(text, func(c rune) bool { return !unicode.IsPrint(c) }) {
			return Identity{}, fmt.Errorf("%w: the %s is %q, expected at most %d characters that can be seen", ErrIdentity, what, text, maxName)
		}
	}
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand)
	if err != nil {
		return Identity{}, fmt.Errorf("make a key: %w", err)
	}
	subject := pkix.Name{CommonName: name}
	if firm != "" {
		subject.Organization = []string{firm}
	}
	return selfSigned(key, subject, now, rand)
}

// Renew returns id with a certificate for three years from now, of the same key
// and in the same name. It is another certificate, with a fingerprint that
// those who shall trust it have to be told. One that an authority issued is
// renewed by that authority.
func (id Identity) Renew(now time.Time, rand io.Reader) (Identity, error) {
	c := id.Certificate
	if !bytes.Equal(c.RawIssuer, c.RawSubject) {
		return Identity{}, fmt.Errorf("%w: its certificate was issued by %s, expected one signed with its own key; ask there for a new one", ErrIdentity, c.Issuer)
	}
	return selfSigned(id.Key, pkix.Name{CommonName: c.Subject.CommonName, Organization: c.Subject.Organization}, now, rand)
}

// selfSigned makes a certificate of a key that is signed with it.
func selfSigned(key crypto.Signer, subject pkix.Name, now time.Time, rand io.Reader) (Identity, error) {
	serial := make([]byte, 16)
	if _, err := io.ReadFull(rand, serial); err != nil {
		return Identity{}, fmt.Errorf("make a serial number: %w", err)
	}
	serial[0] = serial[0]&0x3F | 0x40 // positive, and always of 16 bytes
	now = now.UTC().Truncate(time.Second)
	template := &x509.Certificate{
		SerialNumber:          new(big.Int).SetBytes(serial),
		Subject:               subject,
		NotBefore:             now,
		NotAfter:              now.AddDate(3, 0, 0),
		KeyUsage:              x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment,
		BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand, template, template, key.Public(), key)
	if err != nil {
		return Identity{}, fmt.Errorf("make a certificate: %w", err)
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		return Identity{}, fmt.Errorf("make a certificate: %w", err)
	}
	return Identity{Key: key, Certificate: cert}, nil
}

// iterations slow down guessing of the passphrase (OWASP's advice for
// PBKDF2-HMAC-SHA256, from memory).
const iterations = 600_000

// PKCS12 returns id as a file in PKCS#12 (RFC 7292) under the passphrase,
// encrypted with AES-256 and PBKDF2.
func (id Identity) PKCS12(passphrase string) ([]byte, error) {
	if passphrase == "" {
		return nil, fmt.Errorf("%w: the passphrase is empty; choose one", ErrIdentity)
	}
	return pkcs12.Modern2023.WithIterations(iterations).Encode(id.Key, id.Certificate, id.Chain, passphrase)
}

// checkKey takes ECDSA on P-256 and P-384, and RSA of 2048 bits or more.
func checkKey(key crypto.PublicKey) error {
	switch k := key.(type) {
	case *ecdsa.PublicKey:
		if k.Curve != elliptic.P256() && k.Curve != elliptic.P384() {
			return fmt.Errorf("the key is ECDSA on %s, expected P-256 or P-384", k.Params().Name)
		}
	case *rsa.PublicKey:
		if n := k.N.BitLen(); n < 2048 || n > 8192 {
			return fmt.Errorf("the key is RSA of %d bits, expected 2048 to 8192", n)
		}
	case ed25519.PublicKey:
		return errors.New("the key is Ed25519, which few readers of signed PDF know yet, expected ECDSA (P-256, P-384) or RSA of 2048 bits or more")
	default:
		return fmt.Errorf("the key is a %T, expected ECDSA (P-256, P-384) or RSA of 2048 bits or more", key)
	}
	return nil
}

// checkIssuer takes what may issue the certificates of others: keys as strong as
// those of signers, on whichever curve. One of a million bits would keep whoever
// verifies busy for minutes.
func checkIssuer(key crypto.PublicKey) error {
	switch k := key.(type) {
	case *ecdsa.PublicKey:
		if k.Params().BitSize < 256 {
			return fmt.Errorf("the key is ECDSA on %s, expected P-256 or a larger curve", k.Params().Name)
		}
		return nil
	case ed25519.PublicKey:
		return nil
	}
	return checkKey(key)
}

// check holds that key and certificate belong together and are fit for signatures.
func (id Identity) check() error {
	if id.Key == nil || id.Certificate == nil {
		return fmt.Errorf("%w: the key or the certificate is missing", ErrIdentity)
	}
	if err := checkKey(id.Key.Public()); err != nil {
		return fmt.Errorf("%w: %w; get a new one", ErrIdentity, err)
	}
	public, ok := id.Certificate.PublicKey.(interface{ Equal(crypto.PublicKey) bool })
	if !ok || !public.Equal(id.Key.Public()) {
		return fmt.Errorf("%w: the key is not that of the certificate of %s; put the two that belong together into the file", ErrIdentity, id.Certificate.Subject)
	}
	if err := checkUsage(id.Certificate); err != nil {
		return fmt.Errorf("%w: %w", ErrIdentity, err)
	}
	return nil
}

// checkUsage refuses a certificate that is for something else (RFC 5280, 4.2.1.3).
func checkUsage(c *x509.Certificate) error {
	if c.KeyUsage != 0 && c.KeyUsage&(x509.KeyUsageDigitalSignature|x509.KeyUsageContentCommitment) == 0 {
		return fmt.Errorf("the certificate of %s is not for signatures: its key usage is neither digital signature nor content commitment", c.Subject)
	}
	if err := checkNamed(c); err != nil {
		return err
	}
	return checkPurpose(c)
}

// checkNamed holds that a certificate names one person. Of two common names one
// reader shows the first and another the last.
func checkNamed(c *x509.Certificate) error {
	names := 0
	for _, n := range c.Subject.Names {
		if n.Type.Equal(oidCommonName) {
			names++
		}
	}
	if names != 1 || strings.TrimSpace(c.Subject.CommonName) == "" {
		return fmt.Errorf("the certificate of %q names nobody or several (common name), expected one name; get a new one", c.Subject)
	}
	return nil
}

// checkPurpose refuses a certificate whose purposes (RFC 5280, 4.2.1.12) are all
// others, or among them time stamps, whose key does nothing else (RFC 3161, 2.3).
func checkPurpose(c *x509.Certificate) error {
	others := []x509.ExtKeyUsage{x509.ExtKeyUsageTimeStamping, x509.ExtKeyUsageServerAuth, x509.ExtKeyUsageCodeSigning, x509.ExtKeyUsageOCSPSigning}
	is := func(u x509.ExtKeyUsage) bool { return slices.Contains(others, u) }
	switch {
	case slices.Contains(c.ExtKeyUsage, x509.ExtKeyUsageTimeStamping):
		return fmt.Errorf("the certificate of %s is for time stamps, whose authority signs no reports", c.Subject)
	case len(c.ExtKeyUsage) > 0 && len(c.UnknownExtKeyUsage) == 0 && !slices.ContainsFunc(c.ExtKeyUsage, func(u x509.ExtKeyUsage) bool { return !is(u) }):
		return fmt.Errorf("the certificate of %s is for servers or for code: its extended key usage has nothing that a person signs with", c.Subject)
	}
	return nil
}

// checkTime refuses a certificate outside its validity.
func checkTime(c *x509.Certificate, at time.Time) error {
	switch {
	case at.After(c.NotAfter):
		return fmt.Errorf("the certificate of %s expired on %s, before %s", c.Subject, c.NotAfter.UTC().Format(time.RFC3339), at.UTC().Format(time.RFC3339))
	case at.Before(c.NotBefore):
		return fmt.Errorf("the certificate of %s is valid only from %s on, after %s", c.Subject, c.NotBefore.UTC().Format(time.RFC3339), at.UTC().Format(time.RFC3339))
	}
	return nil
}
