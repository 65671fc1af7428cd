package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
	"setline.example/schema/table"
)

// stdinName stands for standard input, as a file argument and in messages.
const stdinName = "-"

// load reads the record named path, or standard input, and holds it against
// the rules.
func load(path string, stdin io.Reader) (*checks.Findings, *schema.Source, error) {
	rec, src, err := read(path, stdin)
	if err != nil {
		return nil, src, err
	}
	found, err := checks.Run(rec, src)
	return found, src, err
}

func read(path string, stdin io.Reader) (*schema.Record, *schema.Source, error) {
	if path == stdinName {
		return schema.ReadFrom(path, stdin)
	}
	data, err := readFile(path, recordFile)
	if err != nil {
		return nil, nil, err
	}
	return schema.Read(path, data)
}

// fileError is a file that cannot be read, or that is none.
type fileError struct {
	schema.Problem
	err  error  // may be nil
	head []byte // the beginning of a file that is too large
}

func (e *fileError) Unwrap() error { return e.err }

// headBytes is how much of a file that is too large is looked at.
const headBytes = 64 << 10

// fileKind is a kind of file that the program reads.
type fileKind struct {
	what  string // as messages call it
	most  int64  // bytes, far above what a real one has
	large string // what to do about a file that has more
}

const otherFile = "check that this is the file you meant"

var (
	recordFile   = fileKind{"a job record", schema.MaxBytes, otherFile + "; split a job into one record per room"}
	tableFile    = fileKind{"a table", table.MaxBytes, otherFile}
	sheetFile    = fileKind{"a filled sheet", fieldsheet.MaxFilled, otherFile}
	reportFile   = fileKind{"a report in PDF", 256 << 20, otherFile}
	baselineFile = fileKind{"the findings of an earlier run", 1 << 30, otherFile}
	identityFile = fileKind{"an identity in PKCS#12 or PEM", 1 << 20, otherFile}
	trustFile    = fileKind{"certificates in PEM, or a trust list in JSON", 16 << 20, otherFile}
	pictureFile  = fileKind{"a picture", 64 << 20, otherFile}
)

// readFile reads a file, in which a file of this kind is expected, once and
// whole. What it returns is the file as it was at one time, as far as the file
// system tells: a file whose size or time of change is another after reading
// than before is refused. It never waits for what may never come, as a pipe
// would. The error is a [*fileError].
func readFile(path string, kind fileKind) ([]byte, error) {
	f, err := os.OpenFile(path, os.O_RDONLY|nonBlocking, 0)
	if err != nil {
		return nil, unreadable(path, err, kind.what)
	}
	defer f.Close()
	return readOnce(path, kind, f)
}

// readOnce is readFile for an open file.
func readOnce(path string, kind fileKind, f interface {
	io.Reader
	Stat() (fs.FileInfo, error)
}) ([]byte, error) {
	before, err := f.Stat()
	if err != nil {
		return nil, unreadable(path, err, kind.what)
	}
	if !before.Mode().IsRegular() {
		return nil, noFile(path, kindOfFile(before), "a file with "+kind.what, "name the file itself", nil)
	}
	if before.Size() > kind.most {
		head := make([]byte, headBytes)
		n, _ := io.ReadFull(f, head)
		large := schema.Problem{Kind: schema.TooLarge, File: path, Found: fmt.Sprintf("a file of %d MiB", before.Size()>>20),
			Expected: fmt.Sprintf("%s of at most %d MiB", kind.what, kind.most>>20), Mend: kind.large}
		return nil, &fileError{large, nil, head[:n]}
	}
	// One byte more than there is room for shows that the file has grown.
	var data bytes.Buffer
	data.Grow(int(before.Size()) + bytes.MinRead)
	if _, err := data.ReadFrom(io.LimitReader(f, kind.most+1)); err != nil {
		return nil, unreadable(path, err, kind.what)
	}
	after, err := f.Stat()
	if err != nil {
		return nil, unreadable(path, err, kind.what)
	}
	if int64(data.Len()) != before.Size() || after.Size() != before.Size() || !after.ModTime().Equal(before.ModTime()) {
		return nil, noFile(path, "a file that changed while it was read", "one that nobody is writing", "run again when it has been written", nil)
	}
	return data.Bytes(), nil
}

func unreadable(path string, err error, expected string) error {
	mend := "check the name and the folder"
	if errors.Is(err, fs.ErrPermission) {
		mend = "ask for permission to read it"
	}
	var pe *fs.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	return noFile(path, fmt.Sprintf("a file that cannot be read (%v)", err), expected, mend, err)
}

func noFile(path, found, expected, mend string, err error) error {
	return &fileError{Problem: schema.Problem{Kind: schema.Unreadable, File: path, Found: found, Expected: expected, Mend: mend}, err: err}
}

// claims reports whether data claims to be a job record: an object with a
// top-level "setline", however its letters are written, or with two of the four
// parts of a record, of which the reader says what is missing. Of broken JSON all is believed that stands before the
// break; where that says nothing, the word in quotes is enough, since a record
// must not be passed over because it is broken. A file in which nothing is left,
// as after a crash, may have been one too.
func claims(data []byte) bool {
	if len(bytes.Trim(data, "\x00 \t\r\n")) == 0 {
		return true
	}
	dec := jsontext.NewDecoder(bytes.NewBuffer(data), jsontext.AllowDuplicateNames(true))
	token, err := dec.ReadToken()
	if err == nil && token.Kind() != '{' {
		return false
	}
	parts := map[string]bool{}
	for err == nil {
		if token, err = dec.ReadToken(); err != nil {
			break
		}
		if token.Kind() == '}' {
			return false
		}
		switch name := strings.ToLower(token.String()); name {
		case "setline":
			return true
		case "planned", "arrived", "measured", "agreed":
			if parts[name] = true; len(parts) > 1 {
				return true
			}
		}
		err = dec.SkipValue()
	}
	// Without its zero bytes a text in UTF-16 shows its words too.
	return bytes.Contains(bytes.ReplaceAll(data, []byte{0}, nil), []byte(`"setline"`))
}

// kindOfEntry is kindOfFile where a file is not what was expected either.
func kindOfEntry(info fs.FileInfo) string {
	if info.Mode().IsRegular() {
		return "a file"
	}
	return kindOfFile(info)
}

func kindOfFile(info fs.FileInfo) string {
	switch mode := info.Mode(); {
	case mode.IsDir():
		return "a folder"
	case mode&fs.ModeNamedPipe != 0:
		return "a pipe"
	}
	return "something that is not a file"
}
