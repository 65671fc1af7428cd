package pdf

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"golang.org/x/text/encoding/charmap"
	"setline.example/report/pdf/object"
)

// What is typed into a form is shown by whatever program it is typed into, in the
// font that the form names. That is one of the document's own, since what others
// stand in with has the letters of few languages, and a simple one of 256 codes,
// since many programs write nothing else: Windows-1252, with signs that nobody
// types given up for letters and for Ω.

// typedFont names the font of typed text.
const typedFont = "Typed"

// typed is how typed text looks.
func typed(size float64) string { return "/" + typedFont + " " + number(size) + " Tf 0 g" }

// typedLetters stand at the codes of signs given up, with their names in the Adobe
// Glyph List: those of Polish, Czech, Slovak, Hungarian, Turkish, Romanian,
// Croatian and Lithuanian, and of Latvian the small ones.
const typedLetters = "Ł Lslash ł lslash Ą Aogonek ą aogonek Ć Cacute ć cacute Ę Eogonek ę eogonek Ń Nacute ń nacute " +
	"Ś Sacute ś sacute Ź Zacute ź zacute Ż Zdotaccent ż zdotaccent Č Ccaron č ccaron Ě Ecaron ě ecaron Ř Rcaron ř rcaron " +
	"Ů Uring ů uring Ď Dcaron ď dcaron Ť Tcaron ť tcaron Ň Ncaron ň ncaron Ő Ohungarumlaut ő ohungarumlaut " +
	"Ű Uhungarumlaut ű uhungarumlaut Ω uni03A9 \u2126 Omega Ľ Lcaron ľ lcaron Ğ Gbreve ğ gbreve İ Idotaccent ı dotlessi Ş Scedilla ş scedilla " +
	"Ă Abreve ă abreve Đ Dcroat đ dcroat Ė Edotaccent ė edotaccent Į Iogonek į iogonek Ų Uogonek ų uogonek Ū Umacron ū umacron " +
	"ā amacron ē emacron ī imacron ≤ lessequal ≥ greaterequal"

// givenUp are the codes at which they stand, those that readers know best first.
var givenUp = []byte{
	0xA4, 0xA6, 0xA8, 0xAA, 0xAC, 0xAF, 0xB4, 0xB8, 0xBA, 0xA2, 0xA5, 0xB6, 0xB7, 0xB9, 0x8B, 0x9B, 0x82, 0x83, 0x84, 0x86, 0x87, 0x88, 0x89, 0x98, 0x99,
	0xA7, 0xA9, 0xAE, 0xAB, 0xBB, 0x81, 0x8D, 0x8F, 0x90, 0x9D, 0x7F,
	1, 2, 3, 4, 5, 6, 7, 8, 11, 12, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24, 25, 26, 27, 28, 29, 30, 31,
}

// typedCodes gives the code of every character that can be typed.
var typedCodes = sync.OnceValue(func() map[rune]byte {
	codes := map[rune]byte{}
	for c := 0x20; c <= 0xFF; c++ {
		r := charmap.Windows1252.DecodeByte(byte(c))
		if r != 0xAD && r != 0xA0 && !slices.Contains(givenUp, byte(c)) {
			codes[r] = byte(c)
		}
	}
	letters := strings.Fields(typedLetters)
	for i := 0; i+1 < len(letters); i += 2 {
		codes[[]rune(letters[i])[0]] = givenUp[i/2]
	}
	return codes
})

// codesOf writes text in these codes; what has none is left out.
func codesOf(text string) string {
	var b strings.Builder
	for _, r := range text {
		if c, has := typedCodes()[r]; has {
			b.WriteByte(c)
		}
	}
	return b.String()
}

// typedFont adds the font of typed text (9.6.3).
func (m *form) typedFont() {
	if m.font > 0 {
		return
	}
	used := new(runes)
	var at [256]rune
	for _, r := range slices.Sorted(maps.Keys(typedCodes())) {
		used.add(r)
		at[typedCodes()[r]] = r
	}
	name := object.NameOf("TYPED" + "A+" + faceFiles[sans].name)
	descriptor := sans.descriptor(name, m.addItem(kept[sans].of(sans, used).file))
	for i, key := range descriptor.Keys {
		if key == "Flags" {
			descriptor.Items[i] = object.Whole(flagNonsymbolic)
		}
	}
	var fonts fontSet
	widths := object.List()
	const first = 1
	for _, r := range at[first:] {
		widths.Items = append(widths.Items, object.Whole(int(max(0, fonts.width(sans, r)))))
	}
	differences := object.List()
	letters := strings.Fields(typedLetters)
	for i := 0; i+1 < len(letters); i += 2 {
		differences.Items = append(differences.Items, object.Whole(int(givenUp[i/2])), object.NameOf(letters[i+1]))
	}
	encoding := object.NewDict("Encoding")
	encoding.Add("BaseEncoding", object.NameOf("WinAnsiEncoding"))
	encoding.Add("Differences", differences)
	d := object.NewDict("Font")
	d.Add("Subtype", object.NameOf("TrueType"))
	d.Add("BaseFont", name)
	d.Add("FirstChar", object.Whole(first))
	d.Add("LastChar", object.Whole(0xFF))
	d.Add("Widths", widths)
	d.Add("FontDescriptor", object.RefTo(m.add(descriptor)))
	d.Add("Encoding", encoding)
	d.Add("ToUnicode", object.RefTo(m.addItem(object.Item{Value: object.NewDict(""), Plain: typedToUnicode(at)})))
	m.font = m.add(d)
}

// typedToUnicode says which characters the codes are (9.10.3).
func typedToUnicode(at [256]rune) []byte {
	text := []byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<00> <FF>\nendcodespacerange\n")
	var codes []int
	for c, r := range at {
		if r != 0 {
			codes = append(codes, c)
		}
	}
	const most = 100 // characters in one list
	for part := range slices.Chunk(codes, most) {
		text = fmt.Appendf(text, "%d beginbfchar\n", len(part))
		for _, c := range part {
			text = fmt.Appendf(text, "<%02X> <%04X>\n", c, at[c])
		}
		text = append(text, "endbfchar\n"...)
	}
	return append(text, "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"...)
}
