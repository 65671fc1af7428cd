package verify

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"testing"
	"testing/fstest"

	"setline.example/report"
	"setline.example/report/pdf"
	"setline.example/report/pdf/object"
	"setline.example/report/sign"
)

// photograph is a picture of a colour, with a mark on it where wanted.
func photograph(t *testing.T, mark bool) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 300, 200))
	for i := range 300 * 200 {
		img.Set(i%300, i/300, color.RGBA{90, 120, 150, 255})
	}
	for i := range 400 {
		if mark {
			img.Set(100+i%20, 100+i/20, color.RGBA{200, 30, 30, 255})
		}
	}
	var out bytes.Buffer
	if err := png.Encode(&out, img); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// jpegOf is the picture that travels in a report as an attachment.
func jpegOf(t *testing.T, file []byte) (found []byte) {
	t.Helper()
	rewritten(t, file, func(dict *object.Value, stream []byte) []byte {
		if dict.Get("Type").IsName("EmbeddedFile") && bytes.HasPrefix(stream, []byte{0xff, 0xd8}) {
			found = bytes.Clone(stream)
		}
		return stream
	})
	return found
}

// TestPhotographsHeld: what travels is a picture made smaller, which only the
// file itself can hold to the SHA-256 that was recorded.
func TestPhotographsHeld(t *testing.T) {
	long(t)
	good, marked := photograph(t, false), photograph(t, true)
	const remarks = `"remarks": ["Filler B4 not on site; end of the island left open"]`
	named := fmt.Sprintf(`%s, "photos": [{"file": "b2.png", "sha256": "%x", "of": "B2"}]`, remarks, sha256.Sum256(good))
	path := "../../examples/annex/job.json"
	honest := reportWith(t, path, report.Options{}, fstest.MapFS{"b2.png": {Data: good}}, remarks, named)
	// The forger's report shows another picture than the one whose SHA-256 stands in the record.
	img, _, err := image.Decode(bytes.NewReader(marked))
	if err != nil {
		t.Fatal(err)
	}
	picture, err := pdf.NewBitmap(img, 260)
	if err != nil {
		t.Fatal(err)
	}
	forged := reportWith(t, path, report.Options{Photos: report.Photos{"b2.png": {Picture: picture}}}, nil, remarks, named)
	// Reports that say of themselves that another version drew their pages.
	const format = ", page format 1"
	later, laterForged := another(t, honest, format), another(t, forged, format)
	// One whose photographs this version cannot read, and one that says of them what it likes.
	unread := another(t, honest, format, [2]string{string(jpegOf(t, honest)), "a later form"})
	who := identity(t, "Ada Fitter", "Linden Inspection")
	for _, c := range []struct {
		name   string
		file   []byte
		folder fstest.MapFS
		result Result
	}{
		{"nobody looks", honest, nil, Remark},
		{"held", honest, fstest.MapFS{"b2.png": {Data: good}}, Good},
		{"the file is gone", honest, fstest.MapFS{}, Bad},
		{"another file", honest, fstest.MapFS{"b2.png": {Data: marked}}, Bad},
		{"another picture in the report, nobody looks", forged, nil, Remark},
		{"another picture in the report", forged, fstest.MapFS{"b2.png": {Data: good}}, Bad},
		{"another picture in the report, and its file", forged, fstest.MapFS{"b2.png": {Data: marked}}, Bad},
		{"another format, nobody looks", later, nil, Remark},
		{"another format, held", later, fstest.MapFS{"b2.png": {Data: good}}, Good},
		{"another format, the file is gone", later, fstest.MapFS{}, Bad},
		{"another format, another file", later, fstest.MapFS{"b2.png": {Data: marked}}, Bad},
		{"another format, another picture in the report", laterForged, fstest.MapFS{"b2.png": {Data: good}}, Open},
		{"another format, photographs of a later form", unread, fstest.MapFS{"b2.png": {Data: good}}, Open},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := Options{}
			if c.folder != nil {
				o.Photos = c.folder
			}
			v := verified(t, signed(t, c.file, who, sign.Inspector, noon), o)
			for _, check := range v.Checks {
				if check.Code == PhotosHeld && check.Result == c.result {
					return
				}
			}
			t.Errorf("%s; bad %q", v.headline(), having(v, Bad))
		})
	}
}
