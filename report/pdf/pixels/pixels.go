// Package pixels reads pictures in PNG and JPEG whole, within bounds: what of a
// file cannot be drawn to its last row is no picture. Every picture that comes to
// Setline from outside goes through [Decode].
package pixels

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
)

// The kinds of pictures that are read.
const (
	PNG  = "png"
	JPEG = "jpeg"
)

// format is how a kind of pictures is read.
type format struct {
	begins string
	config func(io.Reader) (image.Config, error)
	decode func(io.Reader) (image.Image, error)
}

var formats = map[string]format{
	PNG:  {"\x89PNG\r\n\x1a\n", png.DecodeConfig, png.Decode},
	JPEG: {"\xff\xd8", jpeg.DecodeConfig, jpeg.Decode},
}

func kindOf(file []byte) string {
	for _, kind := range [...]string{PNG, JPEG} {
		if bytes.HasPrefix(file, []byte(formats[kind].begins)) {
			return kind
		}
	}
	return ""
}

// Limits of a picture in pixels, which are counted before they are made.
type Limits struct {
	Pixels int
	Side   int // a strip of one pixel by millions costs hours to scale
}

// What is wrong with a picture, for [errors.Is].
var (
	ErrNone   = errors.New("no PNG or JPEG picture")
	ErrBroken = errors.New("a picture that cannot be drawn whole")
)

// SizeError says that a picture has more pixels than are read.
type SizeError struct {
	Width, Height int
	Most          int
	OnSide        bool // Most is on a side, not in all
}

func (e *SizeError) Error() string {
	if e.OnSide {
		return fmt.Sprintf("%d by %d pixels, more than %d on a side", e.Width, e.Height, e.Most)
	}
	return fmt.Sprintf("%d by %d pixels, more than %d million", e.Width, e.Height, e.Most>>20)
}

// mostScans is in how many passes over all of its pixels a JPEG may come; cameras
// and programs make some ten. A file can ask for millions, each of which costs time.
const mostScans = 200

// startOfScan begins a pass (ITU-T T.81, B.1.1.3). In what was packed, 0xFF is never
// followed by it.
var startOfScan = []byte{0xff, 0xda}

// Decode reads a picture, and says what kind it is of. The error is [ErrNone],
// [ErrBroken] or a [*SizeError].
func Decode(file []byte, most Limits) (image.Image, string, error) {
	kind := kindOf(file)
	as, known := formats[kind]
	if !known {
		return nil, "", ErrNone
	}
	config, err := as.config(bytes.NewReader(file))
	if err != nil {
		return nil, "", ErrNone
	}
	if config.Width <= 0 || config.Height <= 0 || config.Width > most.Pixels/config.Height {
		return nil, kind, &SizeError{config.Width, config.Height, most.Pixels, false}
	}
	if max(config.Width, config.Height) > most.Side {
		return nil, kind, &SizeError{config.Width, config.Height, most.Side, true}
	}
	if kind == JPEG && bytes.Count(file, startOfScan) > mostScans {
		return nil, kind, fmt.Errorf("%w: it has more than %d scans", ErrBroken, mostScans)
	}
	img, err := as.decode(bytes.NewReader(file))
	if err != nil {
		return nil, kind, fmt.Errorf("%w: %w", ErrBroken, err)
	}
	return img, kind, nil
}
