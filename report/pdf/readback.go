package pdf

import (
	"errors"
	"fmt"
	"regexp"
	"time"

	"setline.example/report/pdf/object"
)

// Back is what can be read back from a file that this package wrote: enough
// to write it again from its attachments.
type Back struct {
	Title, Creator string
	Date           time.Time
	Paper          Paper

	file  *object.File
	names []string
	files map[string]object.Object
	left  int // bytes that may still be unpacked
}

// Names returns the names of the attachments, in their order.
func (b *Back) Names() []string { return b.names }

// Has reports whether there is an attachment of a name.
func (b *Back) Has(name string) bool {
	_, ok := b.files[name]
	return ok
}

// Limits on attachments, which are held before they are unpacked or while they
// are: together they unpack to no more than [object.MostUnpackedAll].
const mostAttachments = 20000

var (
	errBack       = errors.New("it is not laid out as Setline lays files out")
	errAttachment = errors.New("found no such attachment")
)

var backDate = regexp.MustCompile(`^D:\d{14}\+00'00$`)

// ReadBack reads a file that [Write] wrote, and wraps [ErrDocument] for one that
// it cannot have written. What it takes for one is that only if writing it
// again gives the same bytes. Attachments are found, and not unpacked.
func ReadBack(file []byte) (*Back, error) {
	b, err := readBack(file)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrDocument, err)
	}
	return b, nil
}

func readBack(file []byte) (*Back, error) {
	f, err := object.Read(file)
	if err != nil {
		return nil, err
	}
	if len(f.Revisions) > 1 {
		return nil, errBack
	}
	b := &Back{file: f, files: map[string]object.Object{}, left: object.MostUnpackedAll}
	trailer := f.Revisions[0].Trailer
	info := f.Resolve(trailer.Get("Info"), 0)
	b.Title, b.Creator = object.DecodeText(info.Get("Title").Text), object.DecodeText(info.Get("Creator").Text)
	if date := info.Get("CreationDate").Text; backDate.MatchString(date) {
		if b.Date, err = time.Parse("D:20060102150405+00'00", date); err != nil {
			return nil, err
		}
	}
	catalog := f.Resolve(trailer.Get("Root"), 0)
	switch box := f.Resolve(catalog.Get("Pages"), 0).Get("MediaBox").Source(); box {
	case "[0 0 612.00 792.00]":
		b.Paper = Letter
	case "[0 0 595.28 841.89]":
		b.Paper = A4
	}
	if b.Creator == "" || b.Paper == "" || b.Date.IsZero() {
		return nil, errors.New("it does not say what made it, when, or on what paper")
	}
	return b, b.attached(catalog.Get("Names").Get("EmbeddedFiles").Get("Names").Items)
}

// attached finds the attachments in a list of keys and file specifications (7.9.6, 7.11.3).
func (b *Back) attached(list []object.Value) error {
	if len(list)%2 != 0 || len(list)/2 > mostAttachments {
		return fmt.Errorf("found %d attachments, expected at most %d: %w", len(list)/2, mostAttachments, errBack)
	}
	used, keys := map[int64]string{}, map[string]bool{}
	for i := 1; i < len(list); i += 2 {
		spec := b.file.Resolve(list[i], 0)
		name, at := object.DecodeText(spec.Get("UF").Text), spec.Get("EF").Get("F")
		key, second := object.DecodeText(list[i-1].Text), object.DecodeText(spec.Get("F").Text) // by which other readers may go
		o, ok := b.file.Find(at.Int, 0)
		switch other := used[at.Int]; {
		case !ok || at.Kind != object.Ref || !o.Stream || !o.Get("Filter").IsName("FlateDecode") || name == "":
			return fmt.Errorf("attachment %d: %w", i/2+1, errBack)
		case other != "":
			return fmt.Errorf("attachments %q and %q are one stream, expected each its own: %w", other, name, errBack)
		case b.Has(name):
			return fmt.Errorf("two attachments are called %q: %w", name, errBack)
		case keys[key]:
			return fmt.Errorf("two attachments stand under %q: %w", key, errBack)
		case second != "" && second != name:
			return fmt.Errorf("attachment %q has a second name, %q: %w", name, second, errBack)
		}
		keys[key] = true
		used[at.Int] = name
		b.names, b.files[name] = append(b.names, name), o
	}
	return nil
}

// Attachment unpacks an attachment of at most so many bytes.
func (b *Back) Attachment(name string, most int) ([]byte, error) {
	o, ok := b.files[name]
	if !ok {
		return nil, fmt.Errorf("%w: %w %q", ErrDocument, errAttachment, name)
	}
	content, err := object.Unpack(b.file.Data[o.From:o.To], min(most, b.left))
	if err != nil {
		return nil, fmt.Errorf("%w: attachment %q: %w", ErrDocument, name, err)
	}
	b.left -= len(content)
	return content, nil
}
