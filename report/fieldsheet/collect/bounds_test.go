package collect

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"setline.example/report/fieldsheet/filledpdf"
	"setline.example/report/pdf/lenient"
)

// packed gives n zero bytes as zlib packs them.
func packed(t *testing.T, n int) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	for ; n > 0; n -= 1 << 20 {
		if _, err := z.Write(make([]byte, min(n, 1<<20))); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// tableBomb is a PDF whose cross-reference stream unpacks into n bytes.
func tableBomb(t *testing.T, n int, typ, filter string) []byte {
	data := packed(t, n)
	const head = "%PDF-1.7\n"
	return fmt.Appendf(nil, "%s1 0 obj\n<</Type %s /Size 10 /W [1 2 1] /Root 2 0 R /Filter %s /Length %d>>\nstream\n%s\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n",
		head, typ, filter, len(data), data, len(head))
}

// objectBombs is a PDF of many object streams, each of them within its limit.
func objectBombs(t *testing.T, n int) []byte {
	data := packed(t, lenient.MaxStream-1)
	one := fmt.Sprintf("<</Type /ObjStm /N 1 /First 4 /Filter /FlateDecode /Length %d>>\nstream\n%s\nendstream", len(data), data)
	objects := make([]string, n)
	for i := range objects {
		objects[i] = one
	}
	return formPDF("", objects...)
}

// TestBombsAreNotUnpacked: a file that unpacks into far more than it holds is
// refused before that is in memory, however its names are written.
func TestBombsAreNotUnpacked(t *testing.T) {
	long(t)
	for _, c := range []struct {
		name string
		data []byte
		says string
	}{
		{"cross-reference stream", tableBomb(t, 64<<20, "/XRef", "/FlateDecode"), "unpacks into more than 4 MiB"},
		{"with an escaped name", tableBomb(t, 64<<20, "/XR#65f", "/Fl#61teDecode"), "unpacks into more than 4 MiB"},
		{"by two filters", tableBomb(t, 100, "/XRef", "[/FlateDecode /FlateDecode]"), "expected /FlateDecode alone"},
		{"by another filter", tableBomb(t, 100, "/XRef", "/LZWDecode"), `by the filter "/LZWDecode"`},
		{"by a filter said elsewhere", tableBomb(t, 100, "/XRef", "3 0 R"), "expected /FlateDecode alone"},
		{"object streams", objectBombs(t, 5), "its objects unpack into more than 128 MiB"},
		{"an object without end", append([]byte("%PDF-1.7\n1 0 obj\n["), append(bytes.Repeat([]byte("0 "), 10<<20), "%%EOF"...)...), "it has an object of 20 MiB"},
		{"a table without end", append([]byte("%PDF-1.7\nxref\n0 9\n"), append(bytes.Repeat([]byte("0000000000 00000 n \n"), 500_000), "%%EOF"...)...), "500000 entries of tables"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := filledpdf.Read("x.pdf", c.data)
			runtime.ReadMemStats(&after)
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%v, want %q in it", err, c.says)
			}
			if took := after.TotalAlloc - before.TotalAlloc; took > 16<<20 {
				t.Errorf("%d MiB were allocated for a file of %d KiB", took>>20, len(c.data)>>10)
			}
		})
	}
	// What other programs write stays within: see TestRoundTripRewritten.
	if _, err := filledpdf.Read("x.pdf", tableBomb(t, lenient.MaxTable, "/XRef", "/FlateDecode")); err != nil && strings.Contains(err.Error(), "unpacks into more") {
		t.Error(err)
	}
}
