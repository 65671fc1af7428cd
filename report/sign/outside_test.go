package sign

import (
	"bytes"
	"testing"

	"setline.example/report/pdf/object"
)

// TestSoundPart: the part that holds ends with the last revision up to which all
// does, whatever follows, and of many revisions each is looked at once.
func TestSoundPart(t *testing.T) {
	long(t)
	once, _ := signed(t, 1)
	thrice, _ := signed(t, 3)
	grown := func(b []byte, revisions int) []byte {
		for i := range revisions {
			b = appendTo(t, b, map[int]string{partsOf(t, b).after + i: "(more)"})
		}
		return b
	}
	most := object.MaxRevisions
	for _, c := range []struct {
		name       string
		file, want []byte
	}{
		{"signed", thrice, thrice},
		{"signed, and text", append(bytes.Clone(thrice), "text"...), thrice},
		{"signed, and one more", grown(once, 1), once},
		{"signed, and as many as there may be", grown(once, most-2), once},
		{"nobody has signed", report(), nil},
		{"nobody has signed, and as many as there may be", grown(report(), most-1), nil},
		{"signed behind something else", forceSign(t, grown(report(), 1), people(t)[0], nil), nil},
		{"ends without a file", bytes.Repeat([]byte("xref\nstartxref\n0\n%%EOF\n"), 1000), nil},
	} {
		if got := SoundPart(c.file); !bytes.Equal(got, c.want) {
			t.Errorf("%s: %d bytes, want %d", c.name, len(got), len(c.want))
		}
	}
	known := soundness{}
	for i, file := range [][]byte{once, grown(once, 1), grown(once, 2)} {
		f, err := read(file)
		if err != nil {
			t.Fatal(err)
		}
		if i > 0 { // what was looked at is not looked at again
			f.Revisions[0].Offsets = nil
		}
		if got := known.all(f); got != (i == 0) || len(known) != len(f.Revisions) || !known[f.Revisions[0].End] || !known[f.Revisions[1].End] {
			t.Errorf("file %d: %v, known %v", i+1, got, known)
		}
	}
}
