package sign

import (
	"fmt"
	"math/big"

	"golang.org/x/crypto/cryptobyte"
	der "golang.org/x/crypto/cryptobyte/asn1"
)

// maxRounds is how often all that a PKCS#12 file asks of its passphrase may be
// hashed together: some seconds, and far above what programs write (2,048 to
// about a million for each).
const maxRounds = 5_000_000

// maxLayers is how deep the structures of a PKCS#12 file may lie in each other.
const maxLayers = 24

// checkRounds refuses a PKCS#12 file that asks for more hashing than maxRounds,
// before any of it is done. A number of rounds follows its salt, in the
// parameters of RFC 7292 (appendix B and C) and of RFC 8018 (A.2), and in the
// MAC of RFC 7292 (4): a whole number behind octets.
func checkRounds(file []byte) error {
	sum := new(big.Int)
	if err := addRounds(sum, file, 0); err != nil {
		return err
	}
	if sum.Cmp(big.NewInt(maxRounds)) > 0 {
		return fmt.Errorf("it asks for its passphrase to be hashed %v times, expected at most %d; export it again with fewer iterations", sum, maxRounds)
	}
	return nil
}

// addRounds adds the rounds that DER asks for. Octets hold DER themselves, or
// what is encrypted; what is no DER is passed over, since it is for the reader
// of the whole to refuse.
func addRounds(sum *big.Int, text []byte, depth int) error {
	if depth > maxLayers {
		return fmt.Errorf("its structures lie more than %d deep in each other", maxLayers)
	}
	s := cryptobyte.String(text)
	salted := false
	for !s.Empty() {
		var body cryptobyte.String
		var tag der.Tag
		if !s.ReadAnyASN1(&body, &tag) {
			return nil
		}
		if tag == der.INTEGER && salted {
			sum.Add(sum, new(big.Int).Abs(new(big.Int).SetBytes(body)))
		}
		salted = tag == der.OCTET_STRING
		if tag&0x20 != 0 || salted {
			if err := addRounds(sum, body, depth+1); err != nil {
				return err
			}
		}
	}
	return nil
}
