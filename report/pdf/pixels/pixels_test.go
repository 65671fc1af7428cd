package pixels

import (
	"bytes"
	"encoding/base64"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math/rand/v2"
	"strings"
	"testing"

	"setline.example/schema/chance"
)

var limits = Limits{Pixels: 1 << 20, Side: 1 << 12}

// drawn is a picture of noise, of which every part of a file is needed.
func drawn(t *testing.T) image.Image {
	t.Helper()
	r := rand.New(chance.Source(t))
	img := image.NewRGBA(image.Rect(0, 0, 40, 24))
	for y := range 24 {
		for x := range 40 {
			img.Set(x, y, color.RGBA{uint8(r.IntN(256)), uint8(r.IntN(256)), uint8(r.IntN(256)), 255})
		}
	}
	return img
}

func encoded(t *testing.T) map[string][]byte {
	t.Helper()
	img := drawn(t)
	var p, j bytes.Buffer
	if err := errors.Join(png.Encode(&p, img), jpeg.Encode(&j, img, nil)); err != nil {
		t.Fatal(err)
	}
	progressive, err := base64.StdEncoding.DecodeString(strings.Join(strings.Fields(redProgressive), ""))
	if err != nil {
		t.Fatal(err)
	}
	return map[string][]byte{"png": p.Bytes(), "jpeg": j.Bytes(), "progressive": progressive}
}

// redProgressive is 16 by 16 pixels of red in several scans, packed by libjpeg.
const redProgressive = `
/9j/4AAQSkZJRgABAQAAAQABAAD/2wBDABQODxIPDRQSEBIXFRQYHjIhHhwcHj0sLiQySUBMS0dARkVQWnNiUFVtVk
VGZIhlbXd7gYKBTmCNl4x9lnN+gXz/2wBDARUXFx4aHjshITt8U0ZTfHx8fHx8fHx8fHx8fHx8fHx8fHx8fHx8fHx8
fHx8fHx8fHx8fHx8fHx8fHx8fHx8fHz/wgARCAAQABADASIAAhEBAxEB/8QAFQABAQAAAAAAAAAAAAAAAAAAAAT/xA
AVAQEBAAAAAAAAAAAAAAAAAAAEBf/aAAwDAQACEAMQAAABkB7H/8QAFBABAAAAAAAAAAAAAAAAAAAAIP/aAAgBAQAB
BQIf/8QAFBEBAAAAAAAAAAAAAAAAAAAAAP/aAAgBAwEBPwF//8QAFBEBAAAAAAAAAAAAAAAAAAAAAP/aAAgBAgEBPw
F//8QAFBABAAAAAAAAAAAAAAAAAAAAIP/aAAgBAQAGPwIf/8QAFBABAAAAAAAAAAAAAAAAAAAAIP/aAAgBAQABPyEf
/9oADAMBAAIAAwAAABDz/8QAFBEBAAAAAAAAAAAAAAAAAAAAAP/aAAgBAwEBPxB//8QAFBEBAAAAAAAAAAAAAAAAAA
AAAP/aAAgBAgEBPxB//8QAFBABAAAAAAAAAAAAAAAAAAAAIP/aAAgBAQABPxAf/9k=`

// TestNoPartIsAPicture: of a file that ends anywhere before its end nothing is taken
// for a picture; nor is one that says that it ended.
func TestNoPartIsAPicture(t *testing.T) {
	for name, file := range encoded(t) {
		if _, kind, err := Decode(file, limits); err != nil || !strings.Contains("png jpeg", kind) {
			t.Fatalf("%s: the whole: %q, %v", name, kind, err)
		}
		for n := range len(file) {
			if name == "jpeg" || name == "progressive" {
				n = min(n, len(file)-2) // without the mark of the end, which says nothing by itself
			}
			_, _, err := Decode(file[:n], limits)
			if !errors.Is(err, ErrNone) && !errors.Is(err, ErrBroken) {
				t.Fatalf("%s: the first %d of %d bytes are a picture: %v", name, n, len(file), err)
			}
			if name != "jpeg" || n > len(file)-4 { // a few bits behind the last block only fill its byte
				continue
			}
			if _, _, err := Decode(append(bytes.Clone(file[:n]), 0xff, 0xd9), limits); err == nil {
				t.Fatalf("%s: the first %d of %d bytes, ended, are a picture", name, n, len(file))
			}
		}
	}
}

// TestManyScans: a JPEG that asks to go over its pixels again and again is not
// followed.
func TestManyScans(t *testing.T) {
	file := encoded(t)["progressive"]
	at := bytes.LastIndex(file, startOfScan)
	last := file[at : len(file)-2]
	many := bytes.Clone(file[:at])
	for range mostScans + 1 {
		many = append(many, last...)
	}
	many = append(many, 0xff, 0xd9)
	if _, _, err := Decode(many, limits); !errors.Is(err, ErrBroken) || !strings.Contains(err.Error(), "scans") {
		t.Errorf("%v", err)
	}
}

// TestSizes: limits pass themselves; what is beyond is told with its size.
func TestSizes(t *testing.T) {
	for _, c := range []struct {
		w, h   int
		onSide bool
		ok     bool
	}{{64, 64, false, true}, {65, 64, false, false}, {128, 1, false, true}, {129, 1, true, false}, {1, 129, true, false}} {
		var b bytes.Buffer
		if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, c.w, c.h))); err != nil {
			t.Fatal(err)
		}
		_, _, err := Decode(b.Bytes(), Limits{Pixels: 64 * 64, Side: 128})
		var large *SizeError
		switch {
		case c.ok && err != nil:
			t.Errorf("%d by %d: %v", c.w, c.h, err)
		case !c.ok && (!errors.As(err, &large) || large.OnSide != c.onSide || large.Width != c.w || large.Height != c.h):
			t.Errorf("%d by %d: %v", c.w, c.h, err)
		}
	}
}

// TestOtherFiles: what is no picture of the two kinds is none.
func TestOtherFiles(t *testing.T) {
	for _, file := range []string{"", "GIF89a", "II*\x00\x08\x00\x00\x00", "\x89PNG\r\n\x1a\n", "\xff\xd8", "hello"} {
		if _, _, err := Decode([]byte(file), limits); !errors.Is(err, ErrNone) {
			t.Errorf("%q: %v", file, err)
		}
	}
}
