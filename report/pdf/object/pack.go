package object

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/adler32"
	"io"
	"sync"

	"github.com/klauspost/compress/flate"
	pinned "github.com/klauspost/compress/zlib"
)

// Packer packs streams (FlateDecode, 7.4.4), one after the other. Its zero value
// is ready. What it packed before does not change what comes.
type Packer struct {
	// Dense packs a tenth smaller and takes twice as long. No report is packed so,
	// whose bytes have to stay as they are.
	Dense bool

	out bytes.Buffer
	z   *pinned.Writer
	f   *flate.Writer
}

// Pack returns the packed bytes, which are valid until the next call.
func (p *Packer) Pack(plain []byte) []byte {
	p.out.Reset()
	if p.z == nil {
		p.z = zlibs[p.level()].Get().(*pinned.Writer)
	}
	p.z.Reset(&p.out)
	_, _ = p.z.Write(plain) // into memory
	_ = p.z.Close()
	return p.out.Bytes()
}

// Pack packs a single stream.
func Pack(plain []byte) []byte { return new(Packer).Pack(plain) }

// Begun is a packed stream whose end is not known yet. It takes no more room
// than what is packed.
type Begun struct {
	packed []byte
	sum    uint32 // of what was packed (RFC 1950, Adler-32)
}

// Begin packs the beginning of a stream, of which [Packer.End] packs the rest.
func (p *Packer) Begin(plain []byte) Begun {
	p.out.Reset()
	p.out.Write([]byte{0x78, 0x01}) // RFC 1950: deflate, 32 KiB, packed fast
	f := p.deflate()
	_, _ = f.Write(plain) // into memory
	_ = f.Flush()         // to a whole byte
	return Begun{bytes.Clone(p.out.Bytes()), adler32.Checksum(plain)}
}

// End packs the rest of a stream, and returns all of it. The two parts are
// packed each by itself, so that nothing need be kept of the first but its
// bytes: where one ends at a whole byte, the blocks of another may follow (RFC
// 1951, 2.4).
func (p *Packer) End(b Begun, rest []byte) []byte {
	p.out.Reset()
	p.out.Write(b.packed)
	f := p.deflate()
	_, _ = f.Write(rest)
	_ = f.Close()
	return bytes.Clone(binary.BigEndian.AppendUint32(p.out.Bytes(), goOn(b.sum, rest)))
}

func (p *Packer) deflate() *flate.Writer {
	if p.f == nil {
		p.f = deflates[p.level()].Get().(*flate.Writer)
	}
	p.f.Reset(&p.out)
	return p.f
}

// The two levels of packing.
const (
	fast = iota
	dense
	levels
)

func (p *Packer) level() int {
	if p.Dense {
		return dense
	}
	return fast
}

// Writers are large, and are used for one file after the other.
var zlibs, deflates [levels]sync.Pool

func init() {
	for i, level := range [levels]int{fast: flate.BestSpeed, dense: flate.DefaultCompression} {
		zlibs[i].New = func() any { w, _ := pinned.NewWriterLevel(nil, level); return w } // the level is one
		deflates[i].New = func() any { w, _ := flate.NewWriter(nil, level); return w }
	}
}

// Done gives back what a packer packs with. It can go on packing.
func (p *Packer) Done() {
	if p.z != nil {
		zlibs[p.level()].Put(p.z)
	}
	if p.f != nil {
		deflates[p.level()].Put(p.f)
	}
	p.z, p.f = nil, nil
}

// goOn is the checksum of a text of which one is known, and more (RFC 1950, 8.2).
func goOn(sum uint32, more []byte) uint32 {
	const prime = 65521
	a, b := sum&0xFFFF, sum>>16
	for _, c := range more {
		a = (a + uint32(c)) % prime
		b = (b + a) % prime
	}
	return b<<16 | a
}

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
