package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"

	"setline.example/report/pdf/pixels"
)

// Bitmap is a [Picture] made of pixels. It keeps nothing of the file it came
// from but these: no place, no camera.
type Bitmap struct {
	jpeg []byte
	w, h float64
}

// NewBitmap returns img as a picture that is w points wide. What is
// transparent in it shows white.
func NewBitmap(img image.Image, w float64) (*Bitmap, error) {
	b := img.Bounds()
	if b.Empty() {
		return nil, fmt.Errorf("%w: a picture of %d by %d pixels", ErrDocument, b.Dx(), b.Dy())
	}
	flat := image.NewRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(flat, flat.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(flat, flat.Bounds(), img, b.Min, draw.Over)
	var out bytes.Buffer
	if err := jpeg.Encode(&out, flat, &jpeg.Options{Quality: 88}); err != nil {
		return nil, err
	}
	return &Bitmap{out.Bytes(), w, w * float64(b.Dy()) / float64(b.Dx())}, nil
}

// Limits on a picture that comes in a file.
var bitmapLimits = pixels.Limits{Pixels: 16 << 20, Side: 32 << 10}

// BitmapOfJPEG returns a JPEG file that [Bitmap.JPEG] gave as a picture, as it is,
// and as many points wide as is said of one of w by h pixels. One that cannot be
// drawn whole is an error.
func BitmapOfJPEG(file []byte, wide func(w, h int) float64) (*Bitmap, error) {
	img, kind, err := pixels.Decode(file, bitmapLimits)
	if err != nil || kind != pixels.JPEG {
		return nil, fmt.Errorf("%w: a broken JPEG picture", ErrDocument)
	}
	size := img.Bounds().Size()
	w := wide(size.X, size.Y)
	return &Bitmap{bytes.Clone(file), w, w * float64(size.Y) / float64(size.X)}, nil
}

// Size implements [Picture].
func (b *Bitmap) Size() (w, h float64) { return b.w, b.h }

// JPEG returns the picture as a JPEG file.
func (b *Bitmap) JPEG() []byte { return bytes.Clone(b.jpeg) }

// Paint implements [Picture].
func (b *Bitmap) Paint(c *Canvas) {
	c.decorates()
	c.p.image(b.jpeg, c.x, c.y, c.w, c.h)
}
