package object

import (
	"bytes"
	"compress/zlib"
	"hash/adler32"
	"io"
	"math/rand/v2"
	"testing"
)

// TestBegunStreams: a stream packed in two parts is one by RFC 1950, as the
// standard library reads it, wherever it is parted, whatever was packed before.
func TestBegunStreams(t *testing.T) {
	random := rand.New(rand.NewPCG(12, 1))
	text := make([]byte, 300_000)
	for i := range text {
		text[i] = "0123456789 mlS\n"[random.IntN(15)]
	}
	var used Packer
	for _, at := range []int{0, 1, 7, 65_520, 65_521, 65_536, 131_072, len(text) - 1, len(text)} {
		for _, total := range []int{at, min(at+300, len(text)), len(text)} {
			packed := used.End(used.Begin(text[:at]), text[at:total])
			z, err := zlib.NewReader(bytes.NewReader(packed))
			if err != nil {
				t.Fatal(err)
			}
			if got, err := io.ReadAll(z); err != nil || !bytes.Equal(got, text[:total]) {
				t.Errorf("parted at %d of %d: %v", at, total, err)
			}
			if got, err := Unpack(packed, total); err != nil || !bytes.Equal(got, text[:total]) {
				t.Errorf("parted at %d of %d: %v", at, total, err)
			}
			if !bytes.Equal(packed, new(Packer).End(new(Packer).Begin(text[:at]), text[at:total])) {
				t.Errorf("parted at %d of %d: another packer packs otherwise", at, total)
			}
			if got, want := goOn(adler32.Checksum(text[:at]), text[at:total]), adler32.Checksum(text[:total]); got != want {
				t.Errorf("parted at %d of %d: sum %08x, expected %08x", at, total, got, want)
			}
		}
	}
}
