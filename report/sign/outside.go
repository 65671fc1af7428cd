package sign

import (
	"crypto/x509"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"strconv"

	"setline.example/report/pdf/object"
)

// end is where a revision ends: the place of its table, and the mark.
var end = regexp.MustCompile(`startxref\r?\n(\d{1,10})\r?\n%%EOF(?:\r\n|\n|\r)?`)

// table is how a table begins, or a stream that may be one.
var table = regexp.MustCompile(`^(xref|\d{1,10} 0 obj\n)`)

// SoundPart returns the beginning of a file up to the last revision with which
// all of it holds: a report whose every signature is intact, and nothing else
// was changed. It is nil where there is none. What follows is not looked at.
func SoundPart(file []byte) []byte {
	var part []byte
	sound := soundness{}
	tried := 0
	for _, m := range end.FindAllSubmatchIndex(file, -1) {
		at, err := strconv.Atoi(string(file[m[2]:m[3]]))
		if err != nil || at > m[0] || !table.Match(file[at:min(at+20, len(file))]) {
			continue // not a table's, so not a revision's of a report
		}
		f, err := read(file[:m[1]:m[1]])
		if err == nil && sound.all(f) {
			part = f.Data
		} else if part != nil {
			break
		}
		if tried++; tried == object.MaxRevisions {
			break
		}
	}
	return part
}

// soundness tells, by the end of a revision, whether all holds up to there. What
// a revision is follows from the bytes before its end, so that each is looked at
// once, of however many files it is the beginning.
type soundness map[int]bool

// all reports whether f is signed and all of it holds.
func (known soundness) all(f *file) bool {
	sound := true
	for k, r := range f.Revisions {
		here, ok := known[r.End]
		if !ok {
			here = sound && f.sound(k)
			known[r.End] = here
		}
		sound = sound && here
	}
	return sound && len(f.Revisions) > 1
}

// sound reports whether revision k, from 0, is a report as it was made, or adds a
// signature that holds and nothing else.
func (f *file) sound(k int) bool {
	if k == 0 {
		return len(f.first(false)) == 0
	}
	c := f.later(k)
	if c.found == nil || len(c.problems) > 0 {
		return false
	}
	s := f.signature(k, c, nil)
	return s.Sound()
}

// Errors of a signature that other software made.
var (
	// ErrOutside is wrapped by the error of a signature that does not belong to
	// the bytes it is said to cover.
	ErrOutside = errors.New("it does not hold")
	// ErrUnread is wrapped by the error of one that cannot be checked here.
	ErrUnread = errors.New("not checked")
)

// Outside looks at a signature that other software added to a file: covered are
// the four numbers of its /ByteRange. It has to cover at least the first most
// bytes and leave out nothing but its own /Contents. The certificate is the
// signer's, nil where it cannot be read; whose it is, is not checked. The error
// wraps [ErrOutside] or [ErrUnread].
func Outside(file []byte, covered [4]int, most int) (*x509.Certificate, error) {
	from, to, past := covered[1], covered[2], covered[2]+covered[3]
	if covered[0] != 0 || from < most || to < from+2 || to > len(file) || covered[3] < 0 || past > len(file) || past < to {
		return nil, fmt.Errorf("%w: its /ByteRange is %v, in a file of %d bytes", ErrOutside, covered, len(file))
	}
	digits := file[from:to]
	if digits[0] != '<' || digits[len(digits)-1] != '>' {
		return nil, fmt.Errorf("%w: its /ByteRange leaves out something else than its /Contents", ErrOutside)
	}
	raw, err := hex.DecodeString(string(digits[1 : len(digits)-1]))
	if err != nil {
		return nil, fmt.Errorf("%w: its /Contents are no hexadecimal digits", ErrOutside)
	}
	cms, _, ok := definite(raw, 0)
	if !ok {
		return nil, fmt.Errorf("%w: %w", ErrUnread, errCMS)
	}
	d, err := readCMS(cms)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrUnread, err)
	}
	cert := d.named()
	switch {
	case cert == nil:
		return nil, fmt.Errorf("%w: its certificate is missing", ErrUnread)
	case !d.contentType.Equal(oidData) || d.content != nil:
		return cert, fmt.Errorf("%w: its content is not outside of it", ErrUnread)
	}
	if err := d.checkDigest(file[:from], file[to:past]); err != nil {
		return cert, fmt.Errorf("%w: %w", ErrOutside, err)
	}
	if err := checkKey(cert.PublicKey); err != nil {
		return cert, fmt.Errorf("%w: %w", ErrUnread, err)
	}
	if err := d.madeWith(cert); err != nil {
		return cert, fmt.Errorf("%w: %w", ErrOutside, err)
	}
	return cert, nil
}
