package sign

import (
	"crypto/sha256"
	"crypto/x509"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
)

// Fingerprint is the SHA-256 of a certificate in DER.
type Fingerprint [sha256.Size]byte

// FingerprintOf returns the fingerprint of c.
func FingerprintOf(c *x509.Certificate) Fingerprint { return sha256.Sum256(c.Raw) }

// String writes a fingerprint so that it can be read over a telephone: sixteen
// groups of four digits, which are told and heard one group at a time.
func (f Fingerprint) String() string {
	digits := strings.ToUpper(hex.EncodeToString(f[:]))
	groups := make([]string, 0, len(digits)/4)
	for ; digits != ""; digits = digits[4:] {
		groups = append(groups, digits[:4])
	}
	return strings.Join(groups, " ")
}

// ParseFingerprint reads a fingerprint as anybody writes one: with spaces,
// colons or hyphens or without, in capitals or not. The error says what it is of
// instead of 64 digits.
func ParseFingerprint(s string) (Fingerprint, error) {
	var f Fingerprint
	plain := strings.NewReplacer(" ", "", ":", "", "-", "").Replace(s)
	b, err := hex.DecodeString(plain)
	switch {
	case err != nil:
		return f, errors.New("something else than the digits 0 to 9 and A to F")
	case len(b) != len(f):
		return f, fmt.Errorf("%d digits", len(plain))
	}
	copy(f[:], b)
	return f, nil
}
