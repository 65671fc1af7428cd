package webpage

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"strings"

	"setline.example/report/fieldsheet"
)

// File is a file of a folder for a web server.
type File struct {
	Name string
	Data []byte
}

// Folder makes of a sheet the files of a folder for a web server: the page, and
// what a device needs to keep it for when there is no network (a service worker
// and a manifest). The page comes last, so that nobody finds it without the rest.
func Folder(s *fieldsheet.Sheet) ([]File, error) {
	page, err := document(s, true)
	if err != nil {
		return nil, err
	}
	icon, large, err := icons()
	if err != nil {
		return nil, err
	}
	about, err := json.Marshal(manifest{
		Name: s.Say.Words("Field sheet") + ": " + s.Project(), ShortName: s.Say.Words("Field sheet"), Start: "./", Scope: "./",
		Display: "standalone", Background: "#fbfaf5", Theme: "#fbfaf5",
		Icons: []homeIcon{{"icon.png", "192x192", "image/png"}, {"icon-large.png", "512x512", "image/png"}},
	})
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(page)
	worker := strings.Replace(join("worker.js"), "@version@", hex.EncodeToString(sum[:8]), 1)
	return []File{
		{"icon.png", icon}, {"icon-large.png", large}, {"manifest.webmanifest", about}, {"worker.js", []byte(worker)}, {"index.html", page},
	}, nil
}

// manifest is a web application manifest (W3C).
type manifest struct {
	Name       string     `json:"name"`
	ShortName  string     `json:"short_name"`
	Start      string     `json:"start_url"`
	Scope      string     `json:"scope"`
	Display    string     `json:"display"`
	Background string     `json:"background_color"`
	Theme      string     `json:"theme_color"`
	Icons      []homeIcon `json:"icons"`
}

type homeIcon struct {
	Source string `json:"src"`
	Sizes  string `json:"sizes"`
	Type   string `json:"type"`
}

// icons draw a base cabinet on its levelers, for a home screen.
func icons() (small, large []byte, err error) {
	if small, err = icon(192); err == nil {
		large, err = icon(512)
	}
	return small, large, err
}

func icon(size int) ([]byte, error) {
	m := image.NewPaletted(image.Rect(0, 0, size, size), color.Palette{color.RGBA{0xfb, 0xfa, 0xf5, 255}, color.RGBA{0x1c, 0x1b, 0x18, 255}})
	at := func(sixteenths int) int { return sixteenths * size / 16 }
	bar := func(left, top, right, bottom int) {
		for y := top; y < bottom; y++ {
			for x := left; x < right; x++ {
				m.SetColorIndex(x, y, 1)
			}
		}
	}
	line := size / 32
	for _, y := range []int{4, 6, 12} { // the top, under the drawers, the bottom
		bar(at(3), at(y), at(13)+line, at(y)+line)
	}
	for _, x := range []int{3, 8, 13} {
		bar(at(x), at(4), at(x)+line, at(12)+line)
	}
	for _, x := range []int{4, 12} { // levelers
		bar(at(x), at(12), at(x)+line, at(13))
		bar(at(x)-line, at(13), at(x)+2*line, at(13)+line)
	}
	var b bytes.Buffer
	err := png.Encode(&b, m)
	return b.Bytes(), err
}
