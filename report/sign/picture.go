package sign

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/jpeg" // pictures are PNG or JPEG
	_ "image/png"

	"golang.org/x/image/draw"
	"setline.example/report/pdf/object"
)

// Limits on a picture of a signature. Pixels are counted before they are made.
const (
	maxPictureBytes  = 8 << 20
	maxPicturePixels = 32 << 20
	maxPictureSide   = 32 << 10 // a strip of one pixel by millions costs hours to scale
	pictureWidth     = 640      // shown with no more pixels than these
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
	config, _, err := image.DecodeConfig(bytes.NewReader(file))
	if err != nil {
		return nil, fmt.Errorf("%w: found no picture, expected PNG or JPEG", ErrPicture)
	}
	if config.Width <= 0 || config.Height <= 0 || config.Width > maxPicturePixels/config.Height {
		return nil, fmt.Errorf("%w: found %d by %d pixels, expected at most %d million", ErrPicture, config.Width, config.Height, maxPicturePixels>>20)
	}
	if max(config.Width, config.Height) > maxPictureSide {
		return nil, fmt.Errorf("%w: found %d by %d pixels, expected at most %d on a side", ErrPicture, config.Width, config.Height, maxPictureSide)
	}
	img, _, err := image.Decode(bytes.NewReader(file))
	if err != nil {
		return nil, fmt.Errorf("%w: the picture is broken: %w", ErrPicture, err)
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
