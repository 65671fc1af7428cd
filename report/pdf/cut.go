package pdf

import (
	"fmt"
	"math/bits"
	"slices"
	"sync"

	"github.com/go-pdf/fpdf"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"setline.example/report/pdf/object"
)

// runes is a set of characters up to [mostRune].
type runes [1024]uint64

func (s *runes) add(r rune) { s[r>>6] |= 1 << (r & 63) }

// uses reports whether one of a block of 256 characters is in the set.
func (s *runes) uses(block int) bool {
	return slices.ContainsFunc(s[block*4:block*4+4], func(word uint64) bool { return word != 0 })
}

// all lists the characters in their order.
func (s *runes) all() []rune {
	var list []rune
	for i, word := range s {
		for ; word != 0; word &= word - 1 {
			list = append(list, rune(i<<6|bits.TrailingZeros64(word)))
		}
	}
	return list
}

// cut is a face cut down to some characters, as it stands in a file. It depends
// on these characters alone, and never changes.
type cut struct {
	file   object.Item  // the font (9.9)
	glyphs object.Item  // from character to glyph (9.7.4.2)
	widths object.Value // (9.7.4.3)
}

// cuts are the last cuts of a face, by their characters: the sheets of one job
// use the same ones.
type cuts struct {
	sync.Mutex
	made map[string]*cut
}

// mostCuts is how many cuts of a face are kept.
const mostCuts = 64

var kept [faces]cuts

// of returns face f cut down to these characters.
func (c *cuts) of(f face, used *runes) *cut {
	c.Lock()
	defer c.Unlock()
	list := used.all()
	key := string(list)
	if made := c.made[key]; made != nil {
		return made
	}
	if c.made == nil || len(c.made) == mostCuts {
		c.made = make(map[string]*cut)
	}
	made := newCut(f, list)
	c.made[key] = made
	return made
}

func newCut(f face, used []rune) *cut {
	ttf := fpdf.UTF8CutFont(faceFiles[f].ttf, "\x00"+string(used)) // glyph 0 is for what is missing
	small := parseFont(faceFiles[f].name, ttf)
	var fonts fontSet
	var glyphs [2 << 16]byte
	c := &cut{widths: object.List()}
	for i, r := range used {
		g, err := small.GlyphIndex(fonts.room(), r)
		if err != nil {
			panic(err) // of a font that has been parsed
		}
		glyphs[2*r], glyphs[2*r+1] = byte(g>>8), byte(g)
		if i == 0 || used[i-1] != r-1 {
			c.widths.Items = append(c.widths.Items, object.Whole(int(r)), object.List())
		}
		run := &c.widths.Items[len(c.widths.Items)-1]
		run.Items = append(run.Items, object.Whole(int(fonts.width(f, r))))
	}
	length := object.NewDict("")
	length.Add("Length1", object.Whole(len(ttf)))
	c.file, c.glyphs = packed(length, ttf), packed(object.NewDict(""), glyphs[:])
	return c
}

// packed returns an object with a packed stream.
func packed(dict object.Value, plain []byte) object.Item {
	return object.Item{Value: dict.With("Filter", object.NameOf("FlateDecode")), Stream: slices.Clone(object.Pack(plain))}
}

// Flags of a font (9.8.2, table 123).
const (
	flagFixed       = 1 << 0
	flagNonsymbolic = 1 << 5
	flagSymbolic    = 1 << 2 // characters of its own, which a reader need not know
	flagItalic      = 1 << 6
	flagForceBold   = 1 << 18
)

// descriptor says what a face looks like, for readers that have to stand in for
// it (9.8.1), in thousandths of the font size.
func (f face) descriptor(name object.Value, file int) object.Value {
	ft := faceFiles[f].font()
	em := fixed.Int26_6(ft.UnitsPerEm())
	var buf sfnt.Buffer
	m, errMetrics := ft.Metrics(&buf, em, font.HintingNone)
	box, errBounds := ft.Bounds(&buf, em, font.HintingNone)
	if errMetrics != nil || errBounds != nil {
		panic("an embedded font does not say how large it is")
	}
	milli := func(v fixed.Int26_6) object.Value { return object.Whole(int(v) * 1000 / int(em)) }
	flags, stem := flagSymbolic, 87
	if faceFiles[f].bold {
		flags |= flagForceBold
		stem = 165
	}
	angle := 0
	if post := ft.PostTable(); post != nil {
		angle = int(post.ItalicAngle)
		if post.IsFixedPitch {
			flags |= flagFixed
		}
	}
	if angle != 0 {
		flags |= flagItalic
	}
	d := object.NewDict("FontDescriptor")
	d.Add("FontName", name)
	d.Add("Flags", object.Whole(flags))
	// The box of a font has y downwards, and ours has it upwards.
	d.Add("FontBBox", object.List(milli(box.Min.X), milli(-box.Max.Y), milli(box.Max.X), milli(-box.Min.Y)))
	d.Add("ItalicAngle", object.Whole(angle))
	d.Add("Ascent", milli(m.Ascent))
	d.Add("Descent", milli(-m.Descent))
	d.Add("CapHeight", milli(m.CapHeight))
	d.Add("StemV", object.Whole(stem))
	d.Add("FontFile2", object.RefTo(file))
	return d
}

// addFont adds a face with the characters used, and returns its object's number.
func (f *file) addFont(as face, used *runes, unicode int) int {
	c := kept[as].of(as, used)
	// Six capitals and a plus mark a subset (9.6.4); they need only differ within the file.
	name := object.NameOf("SUBST" + string('A'+rune(as)) + "+" + faceFiles[as].name)
	system := object.NewDict("")
	system.Add("Registry", object.Bytes("Adobe"))
	system.Add("Ordering", object.Bytes("Identity"))
	system.Add("Supplement", object.Whole(0))
	cid := object.NewDict("Font")
	cid.Add("Subtype", object.NameOf("CIDFontType2"))
	cid.Add("BaseFont", name)
	cid.Add("CIDSystemInfo", system)
	cid.Add("FontDescriptor", object.RefTo(f.add(as.descriptor(name, f.addItem(c.file)))))
	cid.Add("W", c.widths)
	cid.Add("CIDToGIDMap", object.RefTo(f.addItem(c.glyphs)))
	d := object.NewDict("Font")
	d.Add("Subtype", object.NameOf("Type0"))
	d.Add("BaseFont", name)
	d.Add("Encoding", object.NameOf("Identity-H"))
	d.Add("DescendantFonts", object.List(object.RefTo(f.add(cid))))
	d.Add("ToUnicode", object.RefTo(unicode))
	return f.add(d)
}

// toUnicode says that characters are what they are (9.10.3), for every block of
// 256 of which one is used: a range may not reach beyond one.
func toUnicode(used *[faces]*runes) []byte {
	var blocks []int
	for b := range 256 {
		if slices.ContainsFunc(used[:], func(s *runes) bool { return s != nil && s.uses(b) }) {
			blocks = append(blocks, b)
		}
	}
	text := []byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	const most = 100 // ranges in one list
	for part := range slices.Chunk(blocks, most) {
		text = fmt.Appendf(text, "%d beginbfrange\n", len(part))
		for _, b := range part {
			text = fmt.Appendf(text, "<%02X00> <%02XFF> <%02X00>\n", b, b, b)
		}
		text = append(text, "endbfrange\n"...)
	}
	return append(text, "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"...)
}
