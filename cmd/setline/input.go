package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"syscall"

	"github.com/go-json-experiment/json/jsontext"
	"setline.example/checks"
	"setline.example/report"
	"setline.example/schema"
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
	data, err := readFile(path, "a job record")
	if err != nil {
		return nil, nil, err
	}
	return schema.Read(path, data)
}

// fileError is a file that cannot be read, or that is none.
type fileError struct {
	path string
	what string // all but the path
	err  error  // may be nil
	head []byte // the beginning of a file that is too large
}

func (e *fileError) Error() string { return e.path + ": " + e.what }
func (e *fileError) Unwrap() error { return e.err }

// headBytes is how much of a file that is too large is looked at.
const headBytes = 64 << 10

// readFile reads a file, in which what is expected, once and whole. What it returns is the file as it was
// at one time, as far as the file system tells: a file whose size or time of
// change is another after reading than before is refused. It never waits for
// what may never come, as a pipe would.
func readFile(path, what string) ([]byte, error) {
	f, err := os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, unreadable(path, err, what)
	}
	defer f.Close()
	return readOnce(path, what, f)
}

// readOnce is readFile for an open file.
func readOnce(path, what string, f interface {
	io.Reader
	Stat() (fs.FileInfo, error)
}) ([]byte, error) {
	before, err := f.Stat()
	if err != nil {
		return nil, unreadable(path, err, what)
	}
	if !before.Mode().IsRegular() {
		return nil, hinted{&fileError{path: path, what: "found " + kindOfFile(before) + ", expected a file with " + what}, "name the file itself"}
	}
	if before.Size() > schema.MaxBytes {
		head := make([]byte, headBytes)
		n, _ := io.ReadFull(f, head)
		large := fmt.Sprintf("found a file of %d MiB, expected %s of at most %d MiB", before.Size()>>20, what, schema.MaxBytes>>20)
		return nil, hinted{&fileError{path: path, what: large, head: head[:n]}, "check that this is the file you meant; split a job into one record per room"}
	}
	// One byte more than there is room for shows that the file has grown.
	var data bytes.Buffer
	data.Grow(int(before.Size()) + bytes.MinRead)
	if _, err := data.ReadFrom(io.LimitReader(f, schema.MaxBytes+1)); err != nil {
		return nil, unreadable(path, err, what)
	}
	after, err := f.Stat()
	if err != nil {
		return nil, unreadable(path, err, what)
	}
	if int64(data.Len()) != before.Size() || after.Size() != before.Size() || !after.ModTime().Equal(before.ModTime()) {
		return nil, hinted{&fileError{path: path, what: "found a file that changed while it was read, expected one that nobody is writing"}, "run again when it has been written"}
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
	return hinted{&fileError{path: path, what: fmt.Sprintf("cannot be read (%v), expected %s", err, expected), err: err}, mend}
}

// claims reports whether data claims to be a job record: an object with a
// top-level "setline". Of broken JSON all is believed that stands before the
// break; where that says nothing, the word in quotes is enough, since a record
// must not be passed over because it is broken.
func claims(data []byte) bool {
	dec := jsontext.NewDecoder(bytes.NewBuffer(data), jsontext.AllowDuplicateNames(true))
	token, err := dec.ReadToken()
	if err == nil && token.Kind() != '{' {
		return false
	}
	for err == nil {
		if token, err = dec.ReadToken(); err != nil {
			break
		}
		if token.Kind() == '}' {
			return false
		}
		if token.String() == "setline" {
			return true
		}
		err = dec.SkipValue()
	}
	// Without its zero bytes a text in UTF-16 shows its words too.
	return bytes.Contains(bytes.ReplaceAll(data, []byte{0}, nil), []byte(`"setline"`))
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

// visible shows characters that a terminal would act on.
func visible(s string) string { return report.Visible(s) }
