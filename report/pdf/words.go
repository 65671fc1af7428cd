package pdf

import (
	"regexp"
	"strconv"
	"strings"
	"unicode/utf16"

	"setline.example/report/pdf/object"
)

// Shown is a piece of text on a page, and the size it is shown in, in points.
type Shown struct {
	Text string
	Size float64
}

// mostContent is far more than the content of a page takes, unpacked.
const mostContent = 16 << 20

// showing finds the operators by which this package has always shown text: a
// font with its size, and a string.
var showing = regexp.MustCompile(`(?s)/\S+ ([0-9.]+) Tf\b|\(((?:\\.|[^\\()])*)\) Tj\b`)

// FirstPage returns the texts of the first page, in the order in which they are
// drawn, as whichever version of this package wrote them. It proves nothing of
// what is seen there: fonts can show other letters, and drawings can cover all.
func (b *Back) FirstPage() ([]Shown, error) {
	catalog := b.file.Resolve(b.file.Revisions[0].Trailer.Get("Root"), 0)
	kids := b.file.Resolve(catalog.Get("Pages"), 0).Get("Kids").Items
	if len(kids) == 0 {
		return nil, errBack
	}
	at := b.file.Resolve(kids[0], 0).Get("Contents")
	o, ok := b.file.Find(at.Int, 0)
	if !ok || at.Kind != object.Ref || !o.Stream || !o.Get("Filter").IsName("FlateDecode") {
		return nil, errBack
	}
	content, err := object.Unpack(b.file.Data[o.From:o.To], mostContent)
	if err != nil {
		return nil, err
	}
	var all []Shown
	size := 0.0
	for _, m := range showing.FindAllSubmatch(content, -1) {
		if len(m[1]) > 0 {
			size, _ = strconv.ParseFloat(string(m[1]), 64) // 0 where it is no number
			continue
		}
		all = append(all, Shown{textOf(string(m[2])), size})
	}
	return all, nil
}

// textOf reads a string in parentheses, in UTF-16 without a mark as fpdf shows
// text, or plain.
func textOf(literal string) string {
	v, err := object.Parse([]byte("(" + literal + ")"))
	if err != nil {
		return ""
	}
	if len(v.Text)%2 != 0 || !strings.Contains(v.Text, "\x00") {
		return v.Text
	}
	units := make([]uint16, 0, len(v.Text)/2)
	for i := 0; i < len(v.Text); i += 2 {
		units = append(units, uint16(v.Text[i])<<8|uint16(v.Text[i+1]))
	}
	return string(utf16.Decode(units))
}
