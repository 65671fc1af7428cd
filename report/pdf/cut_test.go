package pdf

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"

	"golang.org/x/image/font/sfnt"
	"setline.example/report/pdf/object"
)

// TestCutsAreTheirOwn: a font in a file depends on the characters of that file
// alone, not on what was cut before or is cut meanwhile, nor on how often.
func TestCutsAreTheirOwn(t *testing.T) {
	long(t)
	texts := []string{"abc", "cab", "abcd", "½ Łódź", "→ ✓ ∑", strings.Repeat("a", 300)}
	want := make([][]byte, len(texts))
	for i, s := range texts {
		forgetCuts()
		want[i] = write(t, Document{Parts: [][]byte{[]byte(s)}})
	}
	var all sync.WaitGroup
	for n := range 4 {
		random := rand.New(rand.NewPCG(uint64(n), 5))
		all.Go(func() {
			for range 60 {
				i := random.IntN(len(texts))
				var b bytes.Buffer
				if err := Write(&b, Document{Parts: [][]byte{[]byte(texts[i])}}); err != nil || !bytes.Equal(b.Bytes(), want[i]) {
					t.Errorf("%q gave another file (%v)", texts[i], err)
				}
			}
		})
	}
	all.Wait()
	if bytes.Equal(want[0], want[2]) {
		t.Error("other characters gave the same file")
	}
}

// TestCutsAreBounded: however many sets of characters a process prints, only so
// many cuts are kept.
func TestCutsAreBounded(t *testing.T) {
	long(t)
	defer forgetCuts()
	for i := range 3 * mostCuts {
		used := new(runes)
		used.add(rune('A' + i))
		kept[sans].of(sans, used)
		if n := len(kept[sans].made); n > mostCuts {
			t.Fatalf("%d cuts are kept", n)
		}
	}
}

func forgetCuts() {
	for i := range kept {
		kept[i].made = nil
	}
}

// TestCutFontsShowTheSame: every character of a cut font has the outline that it
// has in the whole one, as golang.org/x/image reads both.
func TestCutFontsShowTheSame(t *testing.T) {
	long(t)
	var buf, small sfnt.Buffer
	for f := range faces {
		used := new(runes)
		for r := range rune(0x2700) {
			if (r%7 == 3 || r < 0x180) && (&fontSet{}).width(f, r) != noGlyph {
				used.add(r)
			}
		}
		c := newCut(f, used.all())
		file, err := object.Unpack(c.file.Stream, 1<<24)
		if err != nil {
			t.Fatal(err)
		}
		glyphs, err := object.Unpack(c.glyphs.Stream, 2<<16)
		if err != nil {
			t.Fatal(err)
		}
		whole, cut := faceFiles[f].font(), parseFont("cut", file)
		for _, r := range used.all() {
			was, _ := whole.GlyphIndex(&buf, r)
			is := sfnt.GlyphIndex(glyphs[2*r])<<8 | sfnt.GlyphIndex(glyphs[2*r+1])
			a, errA := whole.LoadGlyph(&buf, was, 2048, nil)
			b, errB := cut.LoadGlyph(&small, is, 2048, nil)
			if errA != nil || errB != nil || !equalSegments(a, b) {
				t.Errorf("%s: %q has another outline (%v, %v)", faceFiles[f].name, r, errA, errB)
			}
		}
	}
}

func equalSegments(a, b sfnt.Segments) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
