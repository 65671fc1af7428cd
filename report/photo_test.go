package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/image/tiff"
	"setline.example/checks"
	"setline.example/schema"
)

// photograph makes a JPEG of w by h pixels, dark in its top left quarter,
// with an Exif segment that says how the camera was held and where it was.
func photograph(t *testing.T, w, h, orientation int) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.Set(x, y, color.White)
			if x < w/2 && y < h/2 {
				img.Set(x, y, color.Black)
			}
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, nil); err != nil {
		t.Fatal(err)
	}
	// TIFF, big endian, one directory of two entries: orientation (0x0112) and
	// the artist (0x013B), which stands for all that must not travel.
	const secret = "Camera of N. Owner, 51.5 N\x00"
	tiff := []byte("MM\x00*\x00\x00\x00\x08\x00\x02")
	entry := func(tag, kind uint16, count, value uint32) {
		tiff = binary.BigEndian.AppendUint16(tiff, tag)
		tiff = binary.BigEndian.AppendUint16(tiff, kind)
		tiff = binary.BigEndian.AppendUint32(tiff, count)
		tiff = binary.BigEndian.AppendUint32(tiff, value)
	}
	entry(0x0112, 3, 1, uint32(orientation)<<16)
	entry(0x013B, 2, uint32(len(secret)), 38)
	tiff = append(append(tiff, 0, 0, 0, 0), secret...)
	exif := append([]byte("Exif\x00\x00"), tiff...)
	segment := append([]byte{0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(len(exif)+2))...)
	return bytes.Join([][]byte{out.Bytes()[:2], segment, exif, out.Bytes()[2:]}, nil)
}

// TestUpright: in whatever way the camera was held, the dark quarter comes out
// where the person who took the picture saw it: Exif 2.32 names for each value
// the side at which the first row and the first column of the file are.
func TestUpright(t *testing.T) {
	// Where the first row and the first column, and so the dark quarter, are.
	for orientation, want := range map[int]string{
		1: "top left", 2: "top right", 3: "bottom right", 4: "bottom left",
		5: "top left", 6: "top right", 7: "bottom right", 8: "bottom left",
	} {
		b, err := upright(photograph(t, 80, 40, orientation))
		if err != nil {
			t.Fatal(err)
		}
		img, err := jpeg.Decode(bytes.NewReader(b.JPEG()))
		if err != nil {
			t.Fatal(err)
		}
		w, h := img.Bounds().Dx(), img.Bounds().Dy()
		if tall := orientation > 4; tall != (h > w) {
			t.Errorf("orientation %d: %d by %d", orientation, w, h)
		}
		got := ""
		for name, at := range map[string]image.Point{
			"top left": {w / 4, h / 4}, "top right": {3 * w / 4, h / 4}, "bottom left": {w / 4, 3 * h / 4}, "bottom right": {3 * w / 4, 3 * h / 4},
		} {
			if r, _, _, _ := img.At(at.X, at.Y).RGBA(); r < 0x8000 {
				got += name
			}
		}
		if got != want {
			t.Errorf("orientation %d: dark at %q, want %q", orientation, got, want)
		}
	}
}

// pngHeldSo makes a PNG of 16 bits a colour that says how the camera was held, by
// the chunk eXIf of the third edition of the PNG specification (11.3.4.6), which may
// stand before the pixels or behind them.
func pngHeldSo(t *testing.T, orientation byte, behind bool) []byte {
	t.Helper()
	img := image.NewRGBA64(image.Rect(0, 0, 80, 40))
	for i := range 80 * 40 {
		img.Set(i%80, i/80, color.White)
		if i%80 < 40 && i/80 < 20 {
			img.Set(i%80, i/80, color.Black)
		}
	}
	var out bytes.Buffer
	if err := png.Encode(&out, img); err != nil {
		t.Fatal(err)
	}
	exif := []byte("eXIfMM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00" + string(rune(orientation)) + "\x00\x00\x00\x00\x00\x00")
	chunk := binary.BigEndian.AppendUint32(nil, uint32(len(exif)-4))
	chunk = binary.BigEndian.AppendUint32(append(chunk, exif...), crc32.ChecksumIEEE(exif))
	at := 8 + 25 // behind the signature and the first chunk, IHDR
	if behind {
		at = bytes.LastIndex(out.Bytes(), []byte("IEND")) - 4
	}
	return slices.Insert(out.Bytes(), at, chunk...)
}

// TestUprightPNG: a PNG is turned too, by where its dark quarter comes to lie.
func TestUprightPNG(t *testing.T) {
	for _, behind := range []bool{false, true} {
		for orientation, dark := range map[byte]image.Point{1: {20, 10}, 3: {60, 30}, 6: {30, 20}, 8: {10, 60}} {
			b, err := upright(pngHeldSo(t, orientation, behind))
			if err != nil {
				t.Fatal(err)
			}
			img, err := jpeg.Decode(bytes.NewReader(b.JPEG()))
			if err != nil {
				t.Fatal(err)
			}
			if r, _, _, _ := img.At(dark.X, dark.Y).RGBA(); r > 0x2000 {
				t.Errorf("orientation %d, behind the pixels %t: not dark at %v of %v", orientation, behind, dark, img.Bounds())
			}
		}
	}
}

// Pictures of 16 by 16 red pixels, as another program wrote them.
const (
	redInCMYK = "/9j/7gAOQWRvYmUAZAAAAAAC/9sAQwAUDg8SDw0UEhASFxUUGB4yIR4cHB49LC4kMklATEtHQEZFUFpzYlBVbVZFRm" +
		"SIZW13e4GCgU5gjZeMfZZzfoF8/9sAQwEVFxceGh47ISE7fFNGU3x8fHx8fHx8fHx8fHx8fHx8fHx8fHx8fHx8fHx8" +
		"fHx8fHx8fHx8fHx8fHx8fHx8fHx8/8AAFAgAEAAQBAEiAAIRAQMRAQQiAP/EABYAAQEBAAAAAAAAAAAAAAAAAAAFBv" +
		"/EABQQAQAAAAAAAAAAAAAAAAAAAAD/xAAVAQEBAAAAAAAAAAAAAAAAAAAFBv/EABQRAQAAAAAAAAAAAAAAAAAAAAD/" +
		"2gAOBAEAAhEDEQQAAD8AqAEEc2YD/9k="
	redProgressive = "/9j/4AAQSkZJRgABAQAAAQABAAD/2wBDABQODxIPDRQSEBIXFRQYHjIhHhwcHj0sLiQySUBMS0dARkVQWnNiUFVtVk" +
		"VGZIhlbXd7gYKBTmCNl4x9lnN+gXz/2wBDARUXFx4aHjshITt8U0ZTfHx8fHx8fHx8fHx8fHx8fHx8fHx8fHx8fHx8" +
		"fHx8fHx8fHx8fHx8fHx8fHx8fHx8fHz/wgARCAAQABADASIAAhEBAxEB/8QAFQABAQAAAAAAAAAAAAAAAAAAAAT/xA" +
		"AVAQEBAAAAAAAAAAAAAAAAAAAEBf/aAAwDAQACEAMQAAABkB7H/8QAFBABAAAAAAAAAAAAAAAAAAAAIP/aAAgBAQAB" +
		"BQIf/8QAFBEBAAAAAAAAAAAAAAAAAAAAAP/aAAgBAwEBPwF//8QAFBEBAAAAAAAAAAAAAAAAAAAAAP/aAAgBAgEBPw" +
		"F//8QAFBABAAAAAAAAAAAAAAAAAAAAIP/aAAgBAQAGPwIf/8QAFBABAAAAAAAAAAAAAAAAAAAAIP/aAAgBAQABPyEf" +
		"/9oADAMBAAIAAwAAABDz/8QAFBEBAAAAAAAAAAAAAAAAAAAAAP/aAAgBAwEBPxB//8QAFBEBAAAAAAAAAAAAAAAAAA" +
		"AAAP/aAAgBAgEBPxB//8QAFBABAAAAAAAAAAAAAAAAAAAAIP/aAAgBAQABPxAf/9k="
)

// TestKindsOfJPEG: four colours of ink and progressive ones are shown as they are seen.
func TestKindsOfJPEG(t *testing.T) {
	for name, text := range map[string]string{"CMYK": redInCMYK, "progressive": redProgressive} {
		data, err := base64.StdEncoding.DecodeString(text)
		if err != nil {
			t.Fatal(err)
		}
		shown, err := upright(data)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		img, err := jpeg.Decode(bytes.NewReader(shown.JPEG()))
		if err != nil {
			t.Fatal(err)
		}
		if r, g, b, _ := img.At(8, 8).RGBA(); r < 0xe000 || g > 0x3000 || b > 0x3000 {
			t.Errorf("%s: red is shown as %04x %04x %04x", name, r, g, b)
		}
	}
}

// TestPanorama: what would be a strip in half the page is as wide as the page.
func TestPanorama(t *testing.T) {
	for _, c := range []struct {
		w, h int
		want float64
	}{{4000, 3000, photoWidth}, {3000, 4000, photoWidth * 0.75}, {2999, 1000, photoWidth}, {3000, 1000, drawingWidth}, {9000, 1000, drawingWidth}} {
		if got := shownWidth(c.w, c.h); got != c.want {
			t.Errorf("%d by %d pixels are shown %v wide, want %v", c.w, c.h, got, c.want)
		}
	}
}

// TestOtherKindsAreRefused: whatever else is in the program that knows TIFF, a
// photograph is a PNG or JPEG picture, for every reader of the report alike.
func TestOtherKindsAreRefused(t *testing.T) {
	var file bytes.Buffer
	if err := tiff.Encode(&file, image.NewGray(image.Rect(0, 0, 8, 4)), nil); err != nil {
		t.Fatal(err)
	}
	if _, err := upright(file.Bytes()); err == nil || err.Error() != noPicture {
		t.Errorf("%v, want %q", err, noPicture)
	}
}

// photoJob is the annex with photographs in it.
func photoJob(t *testing.T, photos string) (*checks.Findings, []checks.Fault, []byte) {
	t.Helper()
	return findings(t, annex, `"remarks": ["Filler B4 not on site; end of the island left open"]`,
		`"remarks": ["Filler B4 not on site"], "photos": [`+photos+`]`)
}

func TestPhotographs(t *testing.T) {
	long(t)
	good := photograph(t, 3000, 1500, 6)
	sum := fmt.Sprintf("%x", sha256.Sum256(good))
	folder := fstest.MapFS{
		"photos/b2.jpg":   {Data: good},
		"photos/text.jpg": {Data: []byte("no picture")},
		"photos/bomb.png": {Data: bomb()},
	}
	entry := func(file, sum, of string) string {
		return fmt.Sprintf(`{"file": %q, "sha256": %q, "of": %q, "caption": "Screw in the left stile", "by": "I. Sørlie"}`, file, sum, of)
	}
	of := func(data []byte) string { return fmt.Sprintf("%x", sha256.Sum256(data)) }
	found, faults, data := photoJob(t, strings.Join([]string{
		entry("photos/b2.jpg", strings.ToUpper(sum), "B2"),
		entry("photos/gone.jpg", sum, "B2"),
		entry("photos/text.jpg", sum, "B1+B2"),
		entry("photos/../../etc/passwd", sum, "B2"),
		entry("photos/bomb.png", of(bomb()), "A1"),
	}, ", "))
	o := options(nil)
	o.Photos = LoadPhotos(found.Record, folder)
	for file, want := range map[string]string{
		"photos/b2.jpg":           "",
		"photos/gone.jpg":         "missing",
		"photos/text.jpg":         "SHA-256 differs",
		"photos/../../etc/passwd": "out of the record's folder",
		"photos/bomb.png":         "100000 by 100000 pixels",
	} {
		p, ok := o.Photos[file]
		if !ok || (p.Picture != nil) != (want == "") || !strings.Contains(p.Problem, want) {
			t.Errorf("%s: %q, want %q", file, p.Problem, want)
		}
	}
	config, err := jpeg.DecodeConfig(bytes.NewReader(o.Photos["photos/b2.jpg"].Picture.JPEG()))
	if w, h := config.Width, config.Height; err != nil || max(w, h) > photoPixels || h < w {
		t.Errorf("the picture has %d by %d pixels (%v); it is to be upright and scaled down", w, h, err)
	}
	r, err := New(found, faults, data, o)
	if err != nil {
		t.Fatal(err)
	}
	file := pdfOf(t, r)
	if bytes.Contains(file, []byte("N. Owner")) {
		t.Error("what the camera wrote travels in the report")
	}
	if n := bytes.Count(file, []byte("/Subtype /Image")); n != 1 {
		t.Errorf("%d pictures in the file, want 1", n)
	}
	text := pdfText(t, r)
	for _, words := range []string{
		"Photographs not as recorded: 4.", "Photograph of B2: Screw in the left stile (I. Sørlie, visit 3, 2026-09-16)",
		"Not shown: the file is missing.", "Not shown: it is not the file that was recorded: its SHA-256 differs.",
	} {
		if text != "" && !strings.Contains(text, words) {
			t.Errorf("the PDF does not say %q", words)
		}
	}
	// Whoever receives the report can make it again without the files.
	again, err := Rebuild(file)
	if err != nil || again.Differs != "" {
		t.Errorf("made again: %+v, %v", again, err)
	}
	var page bytes.Buffer
	if err := r.HTML(&page); err != nil || strings.Count(page.String(), "data:image/jpeg;base64,") != 1 {
		t.Errorf("the page of HTML does not hold the picture: %v", err)
	}
}

// TestPhotographsNobodyLookedFor: a record from standard input has no folder.
func TestPhotographsNobodyLookedFor(t *testing.T) {
	found, faults, data := photoJob(t, `{"file": "a.jpg", "sha256": "`+strings.Repeat("0", 64)+`"}`)
	r, err := New(found, faults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	if text := markdown(t, r); !strings.Contains(text, "Not shown: nobody looked for it") {
		t.Error("the report does not say that nobody looked for the photograph")
	}
	if again, err := Rebuild(pdfOf(t, r)); err != nil || again.Differs != "" {
		t.Errorf("made again: %v", err)
	}
}

func TestPhotosOfARecordWithout(t *testing.T) {
	if p := LoadPhotos(&schema.Record{}, fstest.MapFS{}); p == nil || len(p) != 0 {
		t.Errorf("%v", p)
	}
}

// TestCaptions: however many photographs there are and whatever is said of them,
// each caption is the one of its picture: in HTML one figure holds both, and
// Markdown, in which no picture travels, keeps what is said of it.
func TestCaptions(t *testing.T) {
	folder, entries := fstest.MapFS{}, []string{}
	for i, caption := range []string{"One", `![x](photo-1) ](photo-2) and [so](photo-3) on`, "", "Four\\nlines", "Five"} {
		file := fmt.Sprintf("%d.jpg", i)
		data := photograph(t, 40+i, 30, 1)
		folder[file] = &fstest.MapFile{Data: data}
		entries = append(entries, fmt.Sprintf(`{"file": %q, "sha256": "%x", "of": "B2", "caption": "%s", "by": "maker of %[1]s"}`, file, sha256.Sum256(data), caption))
	}
	found, faults, data := photoJob(t, strings.Join(entries, ", "))
	o := options(nil)
	o.Photos = LoadPhotos(found.Record, folder)
	r, err := New(found, faults, data, o)
	if err != nil {
		t.Fatal(err)
	}
	var html, markdown bytes.Buffer
	if err := errors.Join(r.HTML(&html), r.Markdown(&markdown)); err != nil {
		t.Fatal(err)
	}
	figures := slices.DeleteFunc(strings.Split(html.String(), "<figure>")[1:], func(f string) bool {
		return !strings.Contains(f, "<img") // a drawing
	})
	if len(figures) != len(entries) {
		t.Fatalf("%d figures, want %d", len(figures), len(entries))
	}
	for i, f := range figures {
		f, _, _ = strings.Cut(f, "</figure>")
		if want := fmt.Sprintf("maker of %d.jpg", i); !strings.Contains(f, want) || !strings.Contains(f, fmt.Sprintf(`width="%d"`, 347)) || strings.Count(f, "<img") != 1 {
			t.Errorf("figure %d does not hold one picture and %q:\n%.200s ... %s", i, want, f, f[max(0, len(f)-300):])
		}
		if want := fmt.Sprintf("maker of %d.jpg", i); !strings.Contains(markdown.String(), want) {
			t.Errorf("Markdown does not say %q", want)
		}
	}
	if want := `: \!\[x\](photo-1) \](photo-2) and \[so\](photo-3) on (maker`; !strings.Contains(markdown.String(), want) {
		t.Errorf("Markdown does not say %q", want)
	}
	if strings.Contains(markdown.String(), "](photo-1) Photograph") {
		t.Error("Markdown names a picture that it does not bring along")
	}
}

// TestPhotosAreShownOnce: a firm's template of the time when photographs stood with
// the results shows none of those that the page of the room shows before it.
func TestPhotosAreShownOnce(t *testing.T) {
	found, faults, data := findings(t, "../examples/soil/job.json")
	for name, body := range map[string]string{
		"no template":     "",
		"one of our time": "{{range .Rooms}}{{range .Groups}}{{range .Results}}{{.Rule}}\n{{end}}{{end}}{{end}}",
		"an earlier one":  "{{range .Rooms}}{{range .Groups}}{{range .Photos}}![{{.Alt}}]({{.Name}}) {{.Caption}}\n\n{{end}}{{end}}{{end}}end",
	} {
		t.Run(name, func(t *testing.T) {
			var folder fs.FS
			if body != "" {
				folder = fstest.MapFS{"turnover.md": {Data: []byte(body)}}
			}
			o := options(folder)
			o.Photos = LoadPhotos(found.Record, os.DirFS("../examples/soil"))
			r, err := New(found, faults, data, o)
			if err != nil {
				t.Fatal(err)
			}
			text := markdown(t, r)
			if n := strings.Count(text, "A3 stands proud, drawn in place of a photograph"); n != 1 {
				t.Errorf("the caption stands there %d times, want once", n)
			}
		})
	}
}
