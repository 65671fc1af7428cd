package sign

import (
	"errors"
	"fmt"
	"image"
	"image/color"

	"golang.org/x/image/draw"
	"setline.example/report/pdf/object"
	"setline.example/report/pdf/pixels"
)

// Limits on a picture of a signature. Pixels are counted before they are made.
const (
	maxPictureBytes  = 8 << 20
	maxPicturePixels = 32 << 20
	maxPictureSide   = 32 << 10
	pictureWidth     = 640 // shown with no more pixels than these
	pictureHeight    = 160
)

// ErrPicture is wrapped by the errors about a picture of a signature.
var ErrPicture = errors.New("cannot be shown as a picture of a signature")

// Picture is a picture of a handwritten signature, in greys. It proves nothing.
type Picture struct {
	w, h int
	grey []byte
}

// ParsePicture reads a PNG or JPEG file, and makes it as small as it is shown.
// Errors wrap [ErrPicture].
func ParsePicture(file []byte) (*Picture, error) {
	if len(file) > maxPictureBytes {
		return nil, fmt.Errorf("%w: found %d bytes, expected at most %d MiB", ErrPicture, len(file), maxPictureBytes>>20)
	}
	img, _, err := pixels.Decode(file, pixels.Limits{Pixels: maxPicturePixels, Side: maxPictureSide})
	var large *pixels.SizeError
	switch {
	case errors.As(err, &large):
		return nil, fmt.Errorf("%w: found %w, expected fewer", ErrPicture, large)
	case err != nil:
		return nil, fmt.Errorf("%w: found %w, expected PNG or JPEG", ErrPicture, err)
	}
	// The ink keeps its proportions on paper of the block's own.
	paper := image.NewGray(image.Rect(0, 0, pictureWidth, pictureHeight))
	draw.Draw(paper, paper.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	size := img.Bounds().Size()
	scale := min(float64(pictureWidth)/float64(size.X), float64(pictureHeight)/float64(size.Y))
	w, h := max(1, int(float64(size.X)*scale)), max(1, int(float64(size.Y)*scale))
	at := image.Rect(0, pictureHeight-h, w, pictureHeight)
	draw.CatmullRom.Scale(paper, at, img, img.Bounds(), draw.Over, nil)
	return &Picture{pictureWidth, pictureHeight, paper.Pix}, nil
}

func (p *Picture) object() object.Item {
	return object.Item{Value: pictureHead(object.Whole(p.w), object.Whole(p.h)), Stream: object.Pack(p.grey)}
}

// pictureHead says how a picture is drawn, of so many pixels.
func pictureHead(w, h object.Value) object.Value {
	d := object.NewDict("XObject")
	d.Add("Subtype", object.NameOf("Image"))
	d.Add("Width", w)
	d.Add("Height", h)
	d.Add("ColorSpace", object.NameOf("DeviceGray"))
	d.Add("BitsPerComponent", object.Whole(8))
	d.Add("Filter", object.NameOf("FlateDecode"))
	return d
}
