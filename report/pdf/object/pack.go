package object

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"

	pinned "github.com/klauspost/compress/zlib"
)

// Packer packs streams (FlateDecode, 7.4.4), one after the other. Its zero value
// is ready. What it packed before does not change what comes.
type Packer struct {
	out bytes.Buffer
	z   *pinned.Writer
}

// Pack returns the packed bytes, which are valid until the next call.
func (p *Packer) Pack(plain []byte) []byte {
	p.out.Reset()
	if p.z == nil {
		p.z, _ = pinned.NewWriterLevel(&p.out, pinned.BestSpeed) // the level is one
	} else {
		p.z.Reset(&p.out)
	}
	_, _ = p.z.Write(plain) // into memory
	_ = p.z.Close()
	return p.out.Bytes()
}

// Pack packs a single stream.
func Pack(plain []byte) []byte { return new(Packer).Pack(plain) }

// Errors of unpacking; both wrap [ErrFile].
var (
	ErrPacked = fmt.Errorf("%w: packed data is broken", ErrFile)
	ErrBehind = fmt.Errorf("%w: something stands behind the end of packed data", ErrFile)
	ErrLarge  = fmt.Errorf("%w: packed data is larger than it may be", ErrFile)
)

// Unpack returns what was packed, all of it, where it is no more than most bytes.
func Unpack(packed []byte, most int) ([]byte, error) {
	var out bytes.Buffer
	_, err := unpackTo(&out, packed, int64(most))
	return out.Bytes(), err
}

// unpackTo writes what was packed to w and returns how much it is. The packed
// bytes have to end where the packed data does.
func unpackTo(w io.Writer, packed []byte, most int64) (int64, error) {
	from := bytes.NewReader(packed) // an io.ByteReader, of which no more is read than there is to unpack
	z, err := zlib.NewReader(from)
	if err != nil {
		return 0, ErrPacked
	}
	n, err := io.Copy(w, io.LimitReader(z, most+1))
	switch {
	case err != nil:
		return n, ErrPacked
	case n > most:
		return n, fmt.Errorf("%w: more than %d bytes", ErrLarge, most)
	case from.Len() > 0:
		return n, ErrBehind
	}
	return n, z.Close()
}
