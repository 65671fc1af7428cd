package pdf

import (
	"fmt"
	"math"
	"sync"

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
	family string // as fpdf knows it: lower case, no blanks
	name   string // PostScript name
	ttf    []byte
	font   func() *sfnt.Font
}

func newFaceFile(family, name string, ttf []byte) faceFile {
	return faceFile{family, name, ttf, sync.OnceValue(func() *sfnt.Font {
		f, err := sfnt.Parse(ttf)
		if err != nil {
			panic(fmt.Sprintf("embedded font %s: %v", name, err)) // part of the program, not of its input
		}
		return f
	})}
}

var faceFiles = [faces]faceFile{
	sans:           newFaceFile("lsans", "LiberationSans", liberationsansregular.TTF),
	sansBold:       newFaceFile("lsansb", "LiberationSans-Bold", liberationsansbold.TTF),
	sansItalic:     newFaceFile("lsansi", "LiberationSans-Italic", liberationsansitalic.TTF),
	sansBoldItalic: newFaceFile("lsansz", "LiberationSans-BoldItalic", liberationsansbolditalic.TTF),
	mono:           newFaceFile("lmono", "LiberationMono", liberationmonoregular.TTF),
	wide:           newFaceFile("djsans", "DejaVuSans", dejavusans.TTF),
	wideBold:       newFaceFile("djsansb", "DejaVuSans-Bold", dejavusansbold.TTF),
}

// Heights above and below the baseline, in parts of the font size, as the
// Liberation fonts state them.
const (
	ascent  = 0.905
	descent = 0.212
)

// fontSet finds glyphs and their widths for one document.
type fontSet struct {
	buf    sfnt.Buffer
	common [faces][]int32        // widths of the first characters of Unicode, plus 2; 0 is not yet measured
	widths [faces]map[rune]int32 // of the others: thousandths of the font size; noGlyph where there is none
	links  []*link               // of the glyphs, by linkID less 1
}

const (
	noGlyph     = -1
	commonRunes = 0x2070 // the alphabets of Europe, and dashes
)

// width returns the advance of r in face f, rounded as the width table in the
// PDF is, or noGlyph.
func (s *fontSet) width(f face, r rune) int32 {
	if 0 <= r && r < commonRunes {
		if s.common[f] == nil {
			s.common[f] = make([]int32, commonRunes)
		}
		w := &s.common[f][r]
		if *w == 0 {
			*w = s.measure(f, r) + 2
		}
		return *w - 2
	}
	if w, ok := s.widths[f][r]; ok {
		return w
	}
	if s.widths[f] == nil {
		s.widths[f] = make(map[rune]int32)
	}
	w := s.measure(f, r)
	s.widths[f][r] = w
	return w
}

func (s *fontSet) measure(f face, r rune) int32 {
	if r > 0xFFFE { // fpdf addresses glyphs by 16 bits of the code point
		return noGlyph
	}
	ft := faceFiles[f].font()
	g, err := ft.GlyphIndex(&s.buf, r)
	if err != nil || g == 0 {
		return noGlyph
	}
	em := ft.UnitsPerEm()
	// At one pixel per font unit the advance comes back unscaled.
	a, err := ft.GlyphAdvance(&s.buf, g, fixed.Int26_6(em), font.HintingNone)
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
