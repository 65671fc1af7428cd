package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"os"
	"strings"
	"testing"
)

// TestPicturesHaveOneOrder: however many pictures of one size, and of others, a
// document shows, it is the same file every time, and every place shows its own.
func TestPicturesHaveOneOrder(t *testing.T) {
	long(t)
	const n = 12
	d := Document{Pictures: map[string]Picture{}, Attachments: []Attachment{{Name: "a.txt", Content: []byte("a")}}}
	var text strings.Builder
	for i := range n {
		name := fmt.Sprintf("p%d", i)
		d.Pictures[name] = plainBitmap(t, 40+i/6*8, uint8(20*i))
		fmt.Fprintf(&text, "![](%s)\n\nunder %s\n\n", name, name)
	}
	d.Parts = [][]byte{[]byte(text.String())}
	first := write(t, d)
	for range 8 {
		if !bytes.Equal(first, write(t, d)) {
			t.Fatal("the same document gave another file")
		}
	}
	needTool(t, "pdfimages")
	name := save(t, first)
	tool(t, "pdfimages", "-all", name, name) // in the order in which pages paint them
	for i := range n {
		got, err := os.ReadFile(fmt.Sprintf("%s-%03d.jpg", name, i))
		want := d.Pictures[fmt.Sprintf("p%d", i)].(*Bitmap).jpeg
		if err != nil || !bytes.Equal(got, want) {
			t.Errorf("at place %d stands another picture (%v)", i, err)
		}
	}
	checkSound(t, first)
}

// plainBitmap is a picture of so many pixels by as many, in one grey but for its middle.
func plainBitmap(t *testing.T, side int, grey uint8) *Bitmap {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, side, side))
	for i := range img.Pix {
		img.Pix[i] = grey
	}
	img.SetGray(side/2, side/2, color.Gray{Y: ^grey})
	b, err := NewBitmap(img, 50)
	if err != nil {
		t.Fatal(err)
	}
	return b
}
