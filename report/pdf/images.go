package pdf

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image/color"
	"image/jpeg"
	"strconv"

	"setline.example/report/pdf/object"
)

// images are the pictures of a file, each in it once, however often it is shown.
type images struct {
	known   map[[sha256.Size]byte]int // from 1, in the order of their use
	objects []int                     // their numbers
}

// image shows a JPEG file in a box.
func (p *painter) image(file []byte, x, y, w, h float64) {
	n, err := p.images.add(p.file, file)
	if err != nil {
		p.fail("%w", err)
		return
	}
	p.buf = append(p.buf, "q "...)
	p.number(w)
	p.buf = append(p.buf, " 0 0 "...)
	p.number(h)
	p.buf = append(p.buf, ' ')
	p.point(x, y+h, " cm /I")
	p.buf = strconv.AppendInt(p.buf, int64(n), 10)
	p.buf = append(p.buf, " Do Q\n"...)
}

// add adds a JPEG file, if it is not there yet, and returns its number.
func (m *images) add(f *file, jpegFile []byte) (int, error) {
	sum := sha256.Sum256(jpegFile)
	if n := m.known[sum]; n != 0 {
		return n, nil
	}
	config, err := jpeg.DecodeConfig(bytes.NewReader(jpegFile))
	if err != nil {
		return 0, fmt.Errorf("%w: a broken JPEG picture", ErrDocument)
	}
	d := object.NewDict("XObject")
	d.Add("Subtype", object.NameOf("Image"))
	d.Add("Width", object.Whole(config.Width))
	d.Add("Height", object.Whole(config.Height))
	d.Add("BitsPerComponent", object.Whole(8))
	switch config.ColorModel {
	case color.GrayModel:
		d.Add("ColorSpace", object.NameOf("DeviceGray"))
	case color.YCbCrModel:
		d.Add("ColorSpace", object.NameOf("DeviceRGB"))
	default:
		return 0, fmt.Errorf("%w: a JPEG picture in four colours", ErrDocument)
	}
	d.Add("Filter", object.NameOf("DCTDecode"))
	m.objects = append(m.objects, f.addPlain(d, jpegFile))
	if m.known == nil {
		m.known = make(map[[sha256.Size]byte]int)
	}
	m.known[sum] = len(m.objects)
	return len(m.objects), nil
}

// names are the pictures as pages know them.
func (m *images) names() object.Value {
	d := object.NewDict("")
	for i, n := range m.objects {
		d.Add("I"+strconv.Itoa(i+1), object.RefTo(n))
	}
	return d
}
