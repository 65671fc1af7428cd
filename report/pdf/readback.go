package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"time"
	"unicode/utf16"
)

// Back is what can be read back from a file that this package wrote: enough
// to write it again from its attachment.
type Back struct {
	Title, Creator string
	Date           time.Time
	Paper          Paper
	Attachments    []Attachment // without descriptions
}

var (
	backDate  = regexp.MustCompile(`/CreationDate \(D:(\d{14})(?:Z|\+00'00'?)\)`)
	backPaper = regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`)
	backFile  = regexp.MustCompile(`/EF << /F (\d+) 0 R >>`)
)

// ReadBack reads a file that [Write] wrote, and no other: it wraps
// [ErrDocument] for any file it would not itself have laid out so.
func ReadBack(file []byte) (Back, error) {
	objects, _, err := split(file)
	if err != nil {
		return Back{}, fmt.Errorf("%w: %w", ErrDocument, err)
	}
	b := Back{}
	for _, o := range objects {
		body := afterLine(o)
		switch {
		case bytes.HasPrefix(body, []byte("<< /Type /Filespec")):
			a, err := readAttachment(objects, body)
			if err != nil {
				return Back{}, fmt.Errorf("%w: %w", ErrDocument, err)
			}
			b.Attachments = append(b.Attachments, a)
		case backDate.Match(body) && !bytes.Contains(body, []byte("stream\n")):
			b.Title, b.Creator = textAfter(body, "/Title "), textAfter(body, "/Creator ")
			if b.Date, err = time.Parse("20060102150405", string(backDate.FindSubmatch(body)[1])); err != nil {
				return Back{}, fmt.Errorf("%w: %w", ErrDocument, err)
			}
		}
		if m := backPaper.FindSubmatch(body); m != nil && b.Paper == "" {
			b.Paper = Letter
			if string(m[1]) != "612.00" {
				b.Paper = A4
			}
		}
	}
	if b.Creator == "" || b.Paper == "" {
		return Back{}, fmt.Errorf("%w: it does not say what made it, or on what paper", ErrDocument)
	}
	return b, nil
}

// readAttachment follows a file specification to the file.
func readAttachment(objects [][]byte, spec []byte) (Attachment, error) {
	m := backFile.FindSubmatch(spec)
	if m == nil {
		return Attachment{}, errLayout
	}
	n, err := strconv.Atoi(string(m[1]))
	if err != nil || n < 1 || n > len(objects) {
		return Attachment{}, errLayout
	}
	_, packed, ok := bytes.Cut(objects[n-1], []byte("stream\n"))
	if !ok {
		return Attachment{}, errLayout
	}
	r, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		return Attachment{}, err
	}
	defer r.Close()
	content, err := io.ReadAll(io.LimitReader(r, mostDecoded+1))
	if err != nil {
		return Attachment{}, err
	}
	if len(content) > mostDecoded {
		return Attachment{}, fmt.Errorf("an attachment of more than %d MiB", mostDecoded>>20)
	}
	return Attachment{Name: textAfter(spec, "/UF "), Content: content}, nil
}

// textAfter reads the string behind a key as fpdf writes it: UTF-16 with its
// mark, in parentheses (ISO 32000-1, 7.9.2.2), or plain.
func textAfter(dict []byte, key string) string {
	_, rest, ok := bytes.Cut(dict, []byte(key+"("))
	if !ok {
		return ""
	}
	var raw []byte
	for i := 0; i < len(rest) && rest[i] != ')'; i++ {
		if rest[i] == '\\' && i+1 < len(rest) {
			i++
			if rest[i] == 'r' {
				raw = append(raw, '\r')
				continue
			}
		}
		raw = append(raw, rest[i])
	}
	if !bytes.HasPrefix(raw, []byte{0xfe, 0xff}) {
		return string(raw)
	}
	units := make([]uint16, 0, len(raw)/2)
	for i := 2; i+1 < len(raw); i += 2 {
		units = append(units, uint16(raw[i])<<8|uint16(raw[i+1]))
	}
	return string(utf16.Decode(units))
}
