package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
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

// BitmapOfJPEG returns a JPEG file that [Bitmap.JPEG] gave as a picture that is
// w points wide, as it is.
func BitmapOfJPEG(file []byte, w float64) (*Bitmap, error) {
	config, err := jpeg.DecodeConfig(bytes.NewReader(file))
	if err != nil || config.Width <= 0 {
		return nil, fmt.Errorf("%w: a broken JPEG picture", ErrDocument)
	}
	return &Bitmap{bytes.Clone(file), w, w * float64(config.Height) / float64(config.Width)}, nil
}

// Pixels returns the width and height of the picture in pixels.
func (b *Bitmap) Pixels() (w, h int) {
	config, err := jpeg.DecodeConfig(bytes.NewReader(b.jpeg))
	if err != nil {
		return 0, 0
	}
	return config.Width, config.Height
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
