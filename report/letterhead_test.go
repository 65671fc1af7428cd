package report

import (
	"bytes"
	"encoding/base64"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"strings"
	"testing"
	"testing/fstest"
)

func pngOf(t *testing.T, w, h int) []byte {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for x := range w {
		img.Set(x, h/2, color.NRGBA{20, 60, 90, 200})
	}
	var out bytes.Buffer
	if err := png.Encode(&out, img); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestLogo: the logo is in the PDF and in the page of HTML, and the body is
// still our own.
func TestLogo(t *testing.T) {
	found, faults, data := findings(t, annex)
	r, err := New(found, faults, data, options(fstest.MapFS{"logo.png": {Data: pngOf(t, 90, 30)}}))
	if err != nil {
		t.Fatal(err)
	}
	var file, page bytes.Buffer
	if err := r.PDF(&file); err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(file.Bytes(), []byte("/Subtype /Image")) {
		t.Error("no picture in the PDF")
	}
	if err := r.HTML(&page); err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(page.String(), `<img src="data:image/jpeg;base64,`)
	code, _, _ := strings.Cut(rest, `"`)
	picture, err := base64.StdEncoding.DecodeString(code)
	if !ok || err != nil {
		t.Fatalf("no logo in the page: %v", err)
	}
	if config, kind, err := image.DecodeConfig(bytes.NewReader(picture)); err != nil || kind != "jpeg" || config.Width != 90 {
		t.Errorf("%s of %d pixels, %v", kind, config.Width, err)
	}
	if text := markdown(t, r); strings.Contains(text, "![") || !strings.Contains(text, "## Punch list") {
		t.Error("the Markdown shows a picture that it does not bring along, or lost its body")
	}
}

func TestBrokenLetterheads(t *testing.T) {
	for name, tc := range map[string]struct {
		folder fstest.MapFS
		want   string
	}{
		"empty":         {fstest.MapFS{}, "found none of turnover.md"},
		"no picture":    {fstest.MapFS{"logo.png": {Data: []byte("text")}}, "logo.png: found no PNG or JPEG picture"},
		"cut picture":   {fstest.MapFS{"logo.png": {Data: pngOf(t, 90, 30)[:60]}}, "logo.png: found"},
		"a bomb":        {fstest.MapFS{"logo.png": {Data: bomb()}}, "more than 16 million"},
		"a file of mud": {fstest.MapFS{"logo.jpg": {Data: make([]byte, maxLogoBytes+1)}}, "logo.jpg: found more than 8 MiB"},
	} {
		if _, err := NewLetterhead(tc.folder); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: %v, want %q in it", name, err, tc.want)
		}
	}
}

// bomb is the head of a PNG that says it is 100,000 by 100,000 pixels.
func bomb() []byte {
	var out bytes.Buffer
	_ = png.Encode(&out, image.NewGray(image.Rect(0, 0, 1, 1)))
	b := out.Bytes()
	copy(b[16:], []byte{0, 1, 0x86, 0xa0, 0, 1, 0x86, 0xa0})
	// The checksum of the head no longer fits; set it right (PNG, 5.3).
	crc := crc32.ChecksumIEEE(b[12:29])
	copy(b[29:], []byte{byte(crc >> 24), byte(crc >> 16), byte(crc >> 8), byte(crc)})
	return b
}
