package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
)

// mostDecoded limits what one stream may unpack to.
const mostDecoded = 64 << 20

// SameContent compares two files that this package wrote, object by object
// and with streams unpacked. Versions of the Go library may pack the same text
// into other bytes; everything else has to be equal. It returns "" where it
// is, else what differs first.
func SameContent(a, b []byte) string {
	x, _, err := split(a)
	if err != nil {
		return "the first file was not written by Setline: " + err.Error()
	}
	y, _, err := split(b)
	if err != nil {
		return "the second file was not written by Setline: " + err.Error()
	}
	if len(x) != len(y) {
		return fmt.Sprintf("one has %d objects, the other %d", len(x), len(y))
	}
	for i := range x {
		if bytes.Equal(x[i], y[i]) {
			continue
		}
		p, err1 := unpacked(x[i])
		q, err2 := unpacked(y[i])
		if err1 != nil || err2 != nil || !bytes.Equal(p, q) {
			return fmt.Sprintf("object %d differs", i+1)
		}
	}
	return ""
}

var packedLength = regexp.MustCompile(`/Length \d+`)

// unpacked returns an object with its stream unpacked and without the length
// that the packed one had.
func unpacked(o []byte) ([]byte, error) {
	dict, rest, ok := bytes.Cut(o, []byte("stream\n"))
	if !ok || !bytes.Contains(dict, []byte("/FlateDecode")) {
		return o, nil
	}
	r, err := zlib.NewReader(bytes.NewReader(rest))
	if err != nil {
		return nil, err
	}
	defer r.Close()
	plain, err := io.ReadAll(io.LimitReader(r, mostDecoded+1))
	if err != nil {
		return nil, err
	}
	if len(plain) > mostDecoded {
		return nil, fmt.Errorf("a stream unpacks to more than %d MiB", mostDecoded>>20)
	}
	return append(packedLength.ReplaceAll(dict, nil), plain...), nil
}
