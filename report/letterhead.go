package report

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/report/pdf/pixels"
	"setline.example/schema"
	"setline.example/templates"
)

// Limits on a template and a logo; a larger one is a slip, or meant to take the
// machine down.
const (
	maxTemplateBytes = 4 << 20
	maxLogoBytes     = 8 << 20
	maxLogoPixels    = 16 << 20
)

// logoHeight is how high a logo stands on the page, in points.
const logoHeight = 42

func logoWidth(w, h int) float64 { return logoHeight * float64(w) / float64(h) }

// logoNames are the files of a letterhead folder that can hold the logo.
var logoNames = [...]string{"logo.png", "logo.jpg", "logo.jpeg"}

// Letterhead is a folder of a firm's own templates, and its logo. A template
// that the folder does not have is Setline's own.
type Letterhead struct {
	templates map[string]string // by file name
	logo      *pdf.Bitmap       // nil where there is none
}

// NewLetterhead reads the folder. The error names the file that is wrong.
func NewLetterhead(folder fs.FS) (*Letterhead, error) {
	l := &Letterhead{templates: map[string]string{}}
	for _, name := range []string{templates.Turnover, templates.Layout} {
		text, err := readTemplate(folder, name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		l.templates[name] = string(text)
	}
	found := len(l.templates) > 0
	for _, name := range logoNames {
		f, err := openFile(folder, name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		defer f.Close()
		if l.logo, err = readLogo(f); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		found = true
		break
	}
	if !found {
		return nil, fmt.Errorf("found none of %s, %s, logo.png and logo.jpg, expected at least one", templates.Turnover, templates.Layout)
	}
	return l, nil
}

func readTemplate(folder fs.FS, name string) ([]byte, error) {
	f, err := openFile(folder, name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, maxTemplateBytes+1))
	if err == nil && len(text) > maxTemplateBytes {
		err = fmt.Errorf("found more than %d MiB, expected a template, which is far smaller", maxTemplateBytes>>20)
	}
	return text, err
}

// errNoFile is the error of a folder, a pipe or a device.
var errNoFile = errors.New("found something that is not a file")

// openFile opens a file of a folder, and nothing but a file: opening a pipe
// would wait for whoever writes to it.
func openFile(folder fs.FS, name string) (fs.File, error) {
	info, err := fs.Stat(folder, name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errNoFile
	}
	return folder.Open(name)
}

func readLogo(f fs.File) (*pdf.Bitmap, error) {
	data, err := io.ReadAll(io.LimitReader(f, maxLogoBytes+1))
	if err != nil {
		return nil, err
	}
	if len(data) > maxLogoBytes {
		return nil, fmt.Errorf("found more than %d MiB, expected a logo, which is far smaller", maxLogoBytes>>20)
	}
	img, _, err := pixels.Decode(data, pixels.Limits{Pixels: maxLogoPixels, Side: maxPhotoSide})
	var large *pixels.SizeError
	switch {
	case errors.As(err, &large):
		return nil, fmt.Errorf("found %w, expected a logo, which is far smaller", large)
	case err != nil:
		return nil, fmt.Errorf("found %w, expected PNG or JPEG", err)
	}
	size := img.Bounds().Size()
	return pdf.NewBitmap(img, logoWidth(size.X, size.Y))
}

// What of a letterhead travels in a report, so that whoever receives it can
// make it again.
const (
	templateFile = "template-" + templates.Turnover
	logoFile     = "template-logo.jpg"
	maxLogoJPEG  = 4 * maxLogoBytes // as it is written, which is not as it came
)

// attachments are template and logo as they travel in a turnover report.
func (l *Letterhead) attachments() []pdf.Attachment {
	if l == nil {
		return nil
	}
	var all []pdf.Attachment
	if text, ok := l.templates[templates.Turnover]; ok {
		all = append(all, pdf.Attachment{Name: templateFile, Description: "The template in whose words the body is", Content: []byte(text), Relation: pdf.Source})
	}
	if l.logo != nil {
		all = append(all, pdf.Attachment{Name: logoFile, Description: "The logo", Content: l.logo.JPEG(), Relation: pdf.Source})
	}
	return all
}

// letterheadIn reads back what travels in a PDF; nil where nothing does.
func letterheadIn(back *pdf.Back) (*Letterhead, error) {
	l := &Letterhead{templates: map[string]string{}}
	if back.Has(templateFile) {
		text, err := back.Attachment(templateFile, maxTemplateBytes)
		if err != nil {
			return nil, err
		}
		l.templates[templates.Turnover] = string(text)
	}
	if back.Has(logoFile) {
		file, err := back.Attachment(logoFile, maxLogoJPEG)
		if err != nil {
			return nil, err
		}
		if l.logo, err = pdf.BitmapOfJPEG(file, logoWidth); err != nil {
			return nil, err
		}
	}
	if len(l.templates) == 0 && l.logo == nil {
		return nil, nil
	}
	return l, nil
}

// sum is the SHA-256 of a template; "" where it is Setline's own.
func (l *Letterhead) sum(template string) string {
	if l == nil {
		return ""
	}
	text, ok := l.templates[template]
	if !ok {
		return ""
	}
	return fmt.Sprintf("%x", sha256.Sum256([]byte(text)))
}

// templateBy says whose template the body is of, by the record: that of the firm
// whose work it is. "" where it is Setline's own.
func templateBy(rec *schema.Record, l *Letterhead, template string) say.Text {
	switch installer := rec.Planned.Project.Installer; {
	case l.sum(template) == "":
		return say.Text{}
	case installer == "":
		return say.That("the installer")
	default:
		return say.Name(installer).Text()
	}
}

// body makes the body: by the firm's template, within the limits of a record of
// so many bytes, else by ours.
func (l *Letterhead) body(w say.Writer, name string, data any, record int) ([]byte, error) {
	if l != nil {
		if own, ok := l.templates[name]; ok {
			text, err := executeBounded(name, own, data, record)
			if err != nil {
				return nil, err
			}
			return text, refuseHTML(name, text)
		}
	}
	source, err := templates.FS.ReadFile(name)
	if err != nil {
		return nil, err
	}
	return execute(name, w.Page(string(source)), data)
}
