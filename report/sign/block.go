package sign

import (
	"bytes"
	"crypto/x509"
	"fmt"
	"strconv"
	"strings"
	"time"

	"setline.example/report/pdf"
	"setline.example/report/pdf/object"
	"setline.example/schema/plaintext"
)

// block is what the place of a signature shows once it is signed. It holds
// nothing but what the signature itself says and, beside it, a picture. Letters
// are drawn as outlines: with no font there is none to exchange.
type block struct {
	name, firm, reason string
	time               time.Time
	certificate        *x509.Certificate
	width, height      float64
	picture            bool
}

// Measures of a block, in points.
const (
	blockPad     = 8.0
	pictureShare = 0.36 // of the width, where there is a picture
)

// drawings are the ways in which blocks have been drawn, by the number that a
// block carries. The same block always gives the same bytes: a verifier draws it
// again in the same way and compares. A drawing never changes, or blocks of
// earlier signatures would look forged: what is to look otherwise gets a new
// number. One that can no longer be drawn, when a font has changed, is taken
// out; its blocks are then said to be not compared.
var drawings = map[int]func(block) []byte{1: block.first}

// newest is the number of the drawing that new signatures get.
const newest = 1

// first is drawing 1.
func (b block) first() []byte {
	var out bytes.Buffer
	fmt.Fprintf(&out, "1 g 0 0 %s %s re f\n0.6 G 0.5 w 0.25 0.25 %s %s re S\n0 g\n",
		points(b.width), points(b.height), points(b.width-0.5), points(b.height-0.5))
	room := b.width - 2*blockPad
	if b.picture {
		room -= float64(b.width * pictureShare)
	}
	line := func(up, size float64, bold bool, text string) {
		ops, _ := pdf.Outlines(blockPad, b.height-up, size, bold, fitted(size, bold, room, text))
		out.WriteString(ops)
	}
	who := b.name
	if b.firm != "" {
		who += ", " + b.firm
	}
	line(13.5, 10, true, who)
	line(24.5, 8, false, b.reason)
	line(34.5, 8, false, b.time.UTC().Format("2006-01-02 15:04:05 UTC")+" by the signer's clock; certificate")
	line(43.5, 6.5, false, FingerprintOf(b.certificate).String())
	line(52.5, 6.5, false, "Nothing seen in this block proves a signature; setline verify does.")
	if b.picture {
		x, y, w, h := b.pictureBox()
		ops, _ := pdf.Outlines(x, 4, 6.5, false, "a picture, which proves nothing")
		out.WriteString(ops)
		fmt.Fprintf(&out, "q %s 0 0 %s %s %s cm /Picture Do Q\n", points(w), points(h), points(x), points(y))
	}
	return out.Bytes()
}

// pictureBox is where the picture goes, from the lower left corner of the block.
func (b block) pictureBox() (x, y, w, h float64) {
	w = float64(b.width*pictureShare) - blockPad
	return float64(b.width * (1 - pictureShare)), 13, w, min(b.height-17, w*pictureHeight/pictureWidth)
}

// fitted cuts a line that is too long, and says so with an ellipsis.
func fitted(size float64, bold bool, room float64, text string) string {
	return plaintext.Fit(text, func(s string) bool { return pdf.TextWidth(size, bold, s) <= room })
}

// points writes a length in points to a hundredth.
func points(v float64) string {
	s := strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(v, 'f', 2, 64), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// boxOf returns width and height of a rectangle.
func boxOf(rect object.Value) (w, h float64, ok bool) {
	var v [4]float64
	if rect.Kind != object.Array || len(rect.Items) != 4 {
		return 0, 0, false
	}
	for i, item := range rect.Items {
		n, err := strconv.ParseFloat(item.String(), 64)
		if err != nil {
			return 0, 0, false
		}
		v[i] = n
	}
	w, h = v[2]-v[0], v[3]-v[1]
	return w, h, w > 0 && h > 0
}

// appearance is the block as a form XObject (ISO 32000-1, 8.10). picture is the
// number of the picture's object where there is one.
func (b block) appearance(picture int) object.Item {
	return object.Item{Value: b.head(newest, picture), Stream: object.Pack(drawings[newest](b))}
}

// drawingKey is the entry that holds the number of a block's drawing.
const drawingKey = "SetlineDrawing"

// head says how the XObject was drawn, how large it is and what it uses.
func (b block) head(drawing, picture int) object.Value {
	resources := object.NewDict("")
	if b.picture {
		resources.Add("XObject", dictOf("Picture", object.RefTo(picture)))
	}
	d := object.NewDict("XObject")
	d.Add("Subtype", object.NameOf("Form"))
	d.Add(drawingKey, object.Whole(drawing))
	d.Add("BBox", object.Numbers(0, 0, b.width, b.height))
	d.Add("Resources", resources)
	d.Add("Filter", object.NameOf("FlateDecode"))
	return d
}
