package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"

	"github.com/bep/imagemeta"
	"setline.example/report/pdf"
	"setline.example/report/pdf/pixels"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// Limits on a photograph. Pixels are counted before they are made.
const (
	maxPhotoBytes  = 64 << 20
	maxPhotoPixels = 120 << 20
	maxPhotoSide   = 32 << 10
)

// A photograph is shown this wide, in points, with so many pixels on its long side.
const (
	photoWidth  = 260
	photoPixels = 1100
)

// Photo is a photograph that a record names, as it was found beside the record.
type Photo struct {
	Picture *pdf.Bitmap // upright and scaled down; nil where there is none to show
	Problem string      // what is wrong with it; "" where it is the file that was recorded
}

// What can be wrong with a photograph. A report says nothing else of one: these
// words stand on its pages and are not computed from the record, so that a
// verifier holds them against this list.
const (
	leadsOut      = "its name leads out of the record's folder"
	missing       = "the file is missing"
	noFile        = "it is not a file"
	unreadable    = "the file cannot be read"
	otherFile     = "it is not the file that was recorded: its SHA-256 differs"
	noPicture     = "it is no PNG or JPEG picture"
	brokenPicture = "the picture in it is broken"
	notLooked     = "nobody looked for it; the record came without its folder"
)

// With a number in them.
var (
	tooLarge       = fmt.Sprintf("the file is larger than %d MiB", maxPhotoBytes>>20)
	problemsOfSize = regexp.MustCompile(fmt.Sprintf(`^it has [1-9][0-9]{0,9} by [1-9][0-9]{0,9} pixels, more than (%d million|%d on a side)$`,
		maxPhotoPixels>>20, maxPhotoSide))
)

// knownProblem reports whether s is among what can be wrong with a photograph.
func knownProblem(s string) bool {
	return slices.Contains([]string{
		leadsOut, missing, noFile, unreadable, otherFile, noPicture, brokenPicture, notLooked, tooLarge,
	}, s) || problemsOfSize.MatchString(s)
}

// Held is how a photograph that a report shows compares with its file.
type Held struct {
	File    string
	Problem string // "" where the report shows what is in the file that was recorded
	Other   bool   // the file is the one that was recorded, and the report shows another picture
}

// notShown is the problem of a photograph of which the report shows another.
const notShown = "the report shows another picture than this file holds"

// HoldPhotos holds the photographs that a report shows against their files in a
// folder: each has the SHA-256 that the record names, and scaled down it is what
// the report shows. A picture that travels is not the file whose SHA-256 was
// recorded, so that nothing else holds it to that.
func (r *Rebuilt) HoldPhotos(folder fs.FS) []Held {
	var all []Held
	for _, p := range r.shown {
		found := loadPhoto(folder, p)
		held := Held{File: p.File, Problem: found.Problem}
		if found.Problem == "" && !sameShown(found.Picture, r.photos[p.File].Picture) {
			held.Problem, held.Other = notShown, true
		}
		all = append(all, held)
	}
	return all
}

// Shown is how many photographs the report shows.
func (r *Rebuilt) Shown() int { return len(r.shown) }

// mostOff is how many greys of 255 two pictures may be apart on average, in any
// tile of 16 by 16 pixels: another Go may pack and scale a picture a little
// otherwise.
const mostOff = 6

// sameShown reports whether two pictures show the same.
func sameShown(a, b *pdf.Bitmap) bool {
	if bytes.Equal(a.JPEG(), b.JPEG()) {
		return true
	}
	x, err1 := jpeg.Decode(bytes.NewReader(a.JPEG()))
	y, err2 := jpeg.Decode(bytes.NewReader(b.JPEG()))
	if err1 != nil || err2 != nil || x.Bounds() != y.Bounds() {
		return false
	}
	tiles := map[image.Point]int{}
	for py := range x.Bounds().Dy() {
		for px := range x.Bounds().Dx() {
			tiles[image.Pt(px/16, py/16)] += apart(x.At(px, py), y.At(px, py))
		}
	}
	for at, sum := range tiles {
		w, h := min(16, x.Bounds().Dx()-16*at.X), min(16, x.Bounds().Dy()-16*at.Y)
		if sum > mostOff*w*h {
			return false
		}
	}
	return true
}

// apart is how far two colours are from each other, the mean of three parts of 255.
func apart(a, b color.Color) int {
	r1, g1, b1, _ := a.RGBA()
	r2, g2, b2, _ := b.RGBA()
	sum := 0
	for _, d := range [...]int{int(r1>>8) - int(r2>>8), int(g1>>8) - int(g2>>8), int(b1>>8) - int(b2>>8)} {
		sum += max(d, -d)
	}
	return sum / 3
}

// Photos are the photographs of a record, by file name. Nil says that nobody
// looked for them.
type Photos map[string]Photo

// LoadPhotos looks for every photograph of a record in its folder. A file that
// is missing, is not the one whose SHA-256 was recorded, or is no picture is a
// Photo with a problem, not an error.
func LoadPhotos(rec *schema.Record, folder fs.FS) Photos {
	photos := Photos{}
	for _, p := range photosNamed(rec, nil) {
		photos[p.File] = loadPhoto(folder, p)
	}
	return photos
}

// PhotoProblem says why a report could not show a photograph that lies in a
// folder, "" where it can.
func PhotoProblem(folder fs.FS, p schema.Photo) string { return loadPhoto(folder, p).Problem }

func loadPhoto(folder fs.FS, p schema.Photo) Photo {
	bad := func(problem string) Photo { return Photo{Problem: problem} }
	// "p/./in.png" is in the folder all the same.
	name := path.Clean(p.File)
	if !fs.ValidPath(name) {
		return bad(leadsOut)
	}
	if strings.HasSuffix(p.File, "/") {
		return bad(noFile)
	}
	f, err := openFile(folder, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return bad(missing)
	case errors.Is(err, errNoFile):
		return bad(noFile)
	case err != nil:
		return bad(unreadable)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxPhotoBytes+1))
	if err != nil {
		return bad(unreadable)
	}
	if len(data) > maxPhotoBytes {
		return bad(tooLarge)
	}
	if sum := sha256.Sum256(data); !strings.EqualFold(hex.EncodeToString(sum[:]), p.SHA256) {
		return bad(otherFile)
	}
	shown, err := upright(data)
	if err != nil {
		return bad(err.Error())
	}
	return Photo{Picture: shown}
}

// upright decodes a photograph, scales it down and turns it as its camera
// says it was held. Nothing else of what the file holds is kept.
func upright(data []byte) (*pdf.Bitmap, error) {
	img, kind, err := pixels.Decode(data, pixels.Limits{Pixels: maxPhotoPixels, Side: maxPhotoSide})
	var large *pixels.SizeError
	switch {
	case errors.Is(err, pixels.ErrNone):
		return nil, errors.New(noPicture)
	case errors.As(err, &large):
		return nil, fmt.Errorf("it has %w", large)
	case err != nil:
		return nil, errors.New(brokenPicture)
	}
	img = turned(scaled(img), orientation(data, kind))
	return pdf.NewBitmap(img, shownWidth(img.Bounds().Dx(), img.Bounds().Dy()))
}

// shownWidth is how wide a picture of so many pixels is shown, in points: no
// side is longer than another picture's, but for a panorama, which is as wide as
// the page.
func shownWidth(w, h int) float64 {
	switch {
	case h > w:
		return photoWidth * float64(w) / float64(h)
	case w >= panorama*h:
		return drawingWidth
	}
	return photoWidth
}

// panorama is how many times as wide as it is high a picture is that would be a
// strip in half the page.
const panorama = 3

// of returns the photograph that a record names.
func (ps Photos) of(p schema.Photo) Photo {
	if photo, ok := ps[p.File]; ok {
		return photo
	}
	return Photo{Problem: notLooked}
}

// Photographs travel in the PDF beside the record, scaled down as they are
// shown, so that whoever receives the report can make it again. The name says
// which file of the record it is.
const (
	photoPrefix  = "photograph-"
	photoShown   = ".jpg"
	photoProblem = ".txt" // says why it is not shown
)

// attachments are the photographs as they travel.
func (ps Photos) attachments(rec *schema.Record, c *Coverage) []pdf.Attachment {
	var all []pdf.Attachment
	for _, p := range photosNamed(rec, c) {
		a := pdf.Attachment{Name: photoName(p), Description: "Photograph " + plaintext.Visible(p.File), Relation: pdf.Data}
		if photo := ps.of(p); photo.Picture != nil {
			a.Name, a.Content = a.Name+photoShown, photo.Picture.JPEG()
		} else {
			a.Name, a.Content = a.Name+photoProblem, []byte(photo.Problem)
		}
		all = append(all, a)
	}
	return all
}

// photosNamed lists the photographs that a record names of the rooms covered, each
// once, in the order of visits and rooms.
func photosNamed(rec *schema.Record, c *Coverage) []schema.Photo {
	var all []schema.Photo
	seen := map[string]bool{}
	for _, v := range rec.Measured.Visits {
		for _, name := range slices.Sorted(maps.Keys(v.Rooms)) {
			if !c.has(name) {
				continue
			}
			for _, p := range v.Rooms[name].Photos {
				if !seen[p.File] {
					seen[p.File] = true
					all = append(all, p)
				}
			}
		}
	}
	return all
}

// photoName names a photograph by its file name, which is one of a kind in a
// record, in letters that every system takes.
func photoName(p schema.Photo) string {
	sum := sha256.Sum256([]byte(p.File))
	return photoPrefix + hex.EncodeToString(sum[:8])
}

// Limits on what travels of a photograph; both are far above what is written.
const (
	maxShownBytes   = 8 << 20
	maxProblemBytes = 1 << 10
)

// photosIn reads back what travels in a PDF.
func photosIn(rec *schema.Record, c *Coverage, back *pdf.Back) (Photos, error) {
	photos := Photos{}
	for _, p := range photosNamed(rec, c) {
		photo, err := photoIn(photoName(p), back)
		if err != nil {
			return nil, err
		}
		photos[p.File] = photo
	}
	return photos, nil
}

// shownIn lists the photographs that are shown, each once, by their names.
func (ps Photos) shownIn(rec *schema.Record, c *Coverage) []schema.Photo {
	all := slices.DeleteFunc(photosNamed(rec, c), func(p schema.Photo) bool { return ps.of(p).Picture == nil })
	slices.SortFunc(all, func(a, b schema.Photo) int { return strings.Compare(a.File, b.File) })
	return all
}

func photoIn(name string, back *pdf.Back) (Photo, error) {
	if !back.Has(name + photoShown) {
		problem, err := back.Attachment(name+photoProblem, maxProblemBytes)
		if err == nil && !knownProblem(string(problem)) {
			err = fmt.Errorf("found %q said of a photograph, expected what Setline says of one", plaintext.Cut(string(problem), 80))
		}
		return Photo{Problem: string(problem)}, err
	}
	file, err := back.Attachment(name+photoShown, maxShownBytes)
	if err != nil {
		return Photo{}, err
	}
	b, err := pdf.BitmapOfJPEG(file, shownWidth)
	if err != nil {
		return Photo{}, err
	}
	return Photo{Picture: b}, nil
}

func scaled(img image.Image) image.Image {
	b := img.Bounds()
	long := max(b.Dx(), b.Dy())
	if long <= photoPixels {
		return img
	}
	return shrunk(img, max(1, b.Dx()*photoPixels/long), max(1, b.Dy()*photoPixels/long))
}

// orientation reads how the camera was held (Exif 2.32, tag 0x0112): 1 to 8,
// 1 where the file does not say.
func orientation(data []byte, kind string) int {
	found, format := 1, imagemeta.JPEG
	if kind == pixels.PNG {
		format = imagemeta.PNG
	}
	_, err := imagemeta.Decode(imagemeta.Options{
		R:           bytes.NewReader(data),
		ImageFormat: format,
		Sources:     imagemeta.EXIF,
		ShouldHandleTag: func(t imagemeta.TagInfo) bool {
			return t.Tag == "Orientation" && t.Namespace == "IFD0"
		},
		HandleTag: func(t imagemeta.TagInfo) error {
			if v, ok := t.Value.(uint16); ok && v >= 1 && v <= 8 {
				found = int(v)
			}
			return nil
		},
	})
	if err != nil {
		return 1
	}
	return found
}

// turned makes upright an image of the given orientation. For 5 to 8 rows and
// columns change places.
func turned(img image.Image, orientation int) image.Image {
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	if orientation == 1 {
		return img
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	if orientation > 4 {
		out = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range h {
		for x := range w {
			tx, ty := x, y
			switch orientation {
			case 2:
				tx = w - 1 - x
			case 3:
				tx, ty = w-1-x, h-1-y
			case 4:
				ty = h - 1 - y
			case 5:
				tx, ty = y, x
			case 6:
				tx, ty = h-1-y, x
			case 7:
				tx, ty = h-1-y, w-1-x
			case 8:
				tx, ty = y, w-1-x
			}
			out.Set(tx, ty, img.At(b.Min.X+x, b.Min.Y+y))
		}
	}
	return out
}
