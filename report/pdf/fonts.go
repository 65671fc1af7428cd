package pdf

import (
	"fmt"
	"math"
	"sync"
	"sync/atomic"

	"github.com/go-fonts/dejavu/dejavusans"
	"github.com/go-fonts/dejavu/dejavusansbold"
	"github.com/go-fonts/liberation/liberationmonoregular"
	"github.com/go-fonts/liberation/liberationsansbold"
	"github.com/go-fonts/liberation/liberationsansbolditalic"
	"github.com/go-fonts/liberation/liberationsansitalic"
	"github.com/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// face is one of the embedded fonts.
type face uint8

const (
	sans face = iota
	sansBold
	sansItalic
	sansBoldItalic
	mono
	wide     // for the characters the others lack
	wideBold //
	faces
)

// faceFile is the font file of a face. It never changes.
type faceFile struct {
	name string // PostScript name
	bold bool
	ttf  []byte
	font func() *sfnt.Font
}

func newFaceFile(name string, bold bool, ttf []byte) faceFile {
	return faceFile{name, bold, ttf, sync.OnceValue(func() *sfnt.Font { return parseFont(name, ttf) })}
}

// parseFont reads a font that is part of the program, or of one.
func parseFont(name string, ttf []byte) *sfnt.Font {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic(fmt.Sprintf("embedded font %s: %v", name, err)) // not of its input
	}
	return f
}

var faceFiles = [faces]faceFile{
	sans:           newFaceFile("LiberationSans", false, liberationsansregular.TTF),
	sansBold:       newFaceFile("LiberationSans-Bold", true, liberationsansbold.TTF),
	sansItalic:     newFaceFile("LiberationSans-Italic", false, liberationsansitalic.TTF),
	sansBoldItalic: newFaceFile("LiberationSans-BoldItalic", true, liberationsansbolditalic.TTF),
	mono:           newFaceFile("LiberationMono", false, liberationmonoregular.TTF),
	wide:           newFaceFile("DejaVuSans", false, dejavusans.TTF),
	wideBold:       newFaceFile("DejaVuSans-Bold", true, dejavusansbold.TTF),
}

// Heights above and below the baseline, in parts of the font size, as the
// Liberation fonts state them.
const (
	ascent  = 0.905
	descent = 0.212
)

// fontSet finds glyphs and their widths for one document.
type fontSet struct {
	buf   *sfnt.Buffer // nil until a glyph is looked up in its font, which most were before
	links []*link      // of the glyphs, by linkID less 1
}

const (
	noGlyph  = -1
	mostRune = 0xFFFE // glyphs are addressed by 16 bits of the code point
)

// widths are those of all characters of a face, plus 2; 0 is not yet measured.
// They are the same for all documents.
var widths [faces][mostRune + 1]atomic.Int32

// width returns the advance of r in face f in thousandths of the font size,
// rounded as the width table in the PDF is, or noGlyph.
func (s *fontSet) width(f face, r rune) int32 {
	if r < 0 || r > mostRune {
		return noGlyph
	}
	kept := &widths[f][r]
	w := kept.Load()
	if w == 0 {
		w = s.measure(f, r) + 2
		kept.Store(w)
	}
	return w - 2
}

// room is what a font is read with. It is large.
func (s *fontSet) room() *sfnt.Buffer {
	if s.buf == nil {
		s.buf = new(sfnt.Buffer)
	}
	return s.buf
}

func (s *fontSet) measure(f face, r rune) int32 {
	ft := faceFiles[f].font()
	buf := s.room()
	g, err := ft.GlyphIndex(buf, r)
	if err != nil || g == 0 {
		return noGlyph
	}
	em := ft.UnitsPerEm()
	// At one pixel per font unit the advance comes back unscaled.
	a, err := ft.GlyphAdvance(buf, g, fixed.Int26_6(em), font.HintingNone)
	if err != nil {
		return noGlyph
	}
	return int32(math.Round(float64(1000 / float64(em) * float64(a))))
}

// find returns the face that shows r in style st.
func (s *fontSet) find(st style, r rune) (face, int32, bool) {
	candidates := [...]face{st.face(), wide, wide}
	if st.bold {
		candidates[1] = wideBold
	}
	for _, f := range candidates {
		if w := s.width(f, r); w != noGlyph {
			return f, w, true
		}
	}
	return sans, 0, false
}

// style is how a stretch of text looks.
type style struct {
	bold, italic, mono bool
	link               linkID
}

func (s style) face() face {
	switch {
	case s.mono:
		return mono
	case s.bold && s.italic:
		return sansBoldItalic
	case s.bold:
		return sansBold
	case s.italic:
		return sansItalic
	}
	return sans
}

// link is where a stretch of text leads: to an address or to a heading.
type link struct {
	address string
	heading *heading
}

// linkID stands for a link of the document; 0 for none.
type linkID uint32

// keep returns what stands for a link that is not nil.
func (s *fontSet) keep(to *link) linkID {
	s.links = append(s.links, to)
	return linkID(len(s.links))
}
