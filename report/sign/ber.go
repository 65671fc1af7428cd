package sign

import (
	"golang.org/x/crypto/cryptobyte"
	der "golang.org/x/crypto/cryptobyte/asn1"
)

// maxNesting is more than the levels of a CMS signature.
const maxNesting = 64

// definite rewrites the first element of b, in which lengths may be indefinite
// (X.690, 8.1.3.6) as some software writes them in CMS, with definite lengths.
// Elements of definite length stay as they are. It returns what follows.
func definite(b []byte, depth int) (element, rest []byte, ok bool) {
	if len(b) >= 2 && b[0]&0x20 != 0 && b[1] == 0x80 && b[0]&0x1f != 0x1f && depth < maxNesting {
		var inner cryptobyte.Builder
		for rest = b[2:]; len(rest) >= 2; {
			if rest[0] == 0 && rest[1] == 0 {
				content, err := inner.Bytes()
				var out cryptobyte.Builder
				out.AddASN1(der.Tag(b[0]), func(o *cryptobyte.Builder) { o.AddBytes(content) })
				element, err2 := out.Bytes()
				return element, rest[2:], err == nil && err2 == nil
			}
			if element, rest, ok = definite(rest, depth+1); !ok {
				return nil, nil, false
			}
			inner.AddBytes(element)
		}
		return nil, nil, false
	}
	s := cryptobyte.String(b)
	var e cryptobyte.String
	var tag der.Tag
	if !s.ReadAnyASN1Element(&e, &tag) {
		return nil, nil, false
	}
	return e, s, true
}
