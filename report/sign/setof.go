package sign

import (
	"bytes"
	"slices"

	"golang.org/x/crypto/cryptobyte"
	der "golang.org/x/crypto/cryptobyte/asn1"
)

// setOf returns elements as SET OF, in the order that DER asks for (X.690, 11.6).
func setOf(elements [][]byte) []byte {
	slices.SortFunc(elements, bytes.Compare)
	var b cryptobyte.Builder
	b.AddASN1(der.SET, func(b *cryptobyte.Builder) {
		for _, e := range elements {
			b.AddBytes(e)
		}
	})
	return b.BytesOrPanic()
}
