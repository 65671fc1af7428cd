// Package lenient reads PDFs as anybody's program may have written them: filled
// field sheets, and reports that other software has added to. It takes
// cross-reference streams, object streams and tables that are not quite right.
//
// [Read] keeps a hostile or broken file from taking the machine with it. What it
// reads is one reading of the file, and another program may read another:
// nothing is proven by it. Reports are proven by package object.
package lenient

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"regexp"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// Limits on a file.
const (
	MaxObjects = 100_000
	MaxStream  = 32 << 20 // one stream, unpacked
	MaxTime    = 20 * time.Second
)

// Errors of files that are not read.
var (
	ErrTime      = errors.New("it takes too long to read") // longer than [MaxTime]
	ErrPassword  = errors.New("it asks for a password")
	ErrEncrypted = errors.New("it is encrypted; save it without a password")
)

// Read reads a file of at most mostBytes and hands it to use, which may be left
// running when time is up, and has to end soon after its context does.
func Read(data []byte, mostBytes int64, use func(context.Context, *model.Context) error) error {
	return readWith(data, mostBytes, func(ctx context.Context, file *model.Context) error {
		if file.Encrypt != nil {
			return ErrEncrypted
		}
		return use(ctx, file)
	})
}

// ReadDecrypted is [Read], and reads files too that are encrypted and open without a
// password: their owner's alone limits what other programs let people do.
func ReadDecrypted(data []byte, mostBytes int64, use func(context.Context, *model.Context) error) error {
	return readWith(data, mostBytes, use)
}

func readWith(data []byte, mostBytes int64, use func(context.Context, *model.Context) error) error {
	ctx, cancel := context.WithTimeout(context.Background(), MaxTime)
	defer cancel()
	done := make(chan error, 1)
	go func() {
		// The library reads files that others wrote, and panics on some.
		defer func() {
			if r := recover(); r != nil {
				done <- errors.New("its structure is broken")
			}
		}()
		file, err := read(ctx, data, mostBytes)
		if err == nil {
			err = use(ctx, file)
		}
		done <- err
	}()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return ErrTime
	}
}

func read(ctx context.Context, data []byte, mostBytes int64) (*model.Context, error) {
	if err := bounded(data); err != nil {
		return nil, err
	}
	limits := model.DefaultResourceLimits()
	limits.MaxStreamBytes, limits.MaxDecodeBytes = mostBytes, MaxStream
	limits.MaxObjectCount, limits.MaxXRefEntries, limits.MaxObjectStreamCount = MaxObjects, MaxObjects, MaxObjects
	limits.MaxObjectStreamFirst = MaxStream
	if encrypted.Match(data) {
		if directly.Match(data) {
			return nil, fmt.Errorf("%w: its /Encrypt stands in the trailer itself", ErrEncrypted)
		}
		// What is packed in it cannot be looked at before it is unpacked.
		if bytes.Count(data, []byte("/ObjStm")) > mostLocked {
			return nil, fmt.Errorf("%w: it has more than %d streams of objects", ErrEncrypted, mostLocked)
		}
		limits.MaxDecodeBytes = maxPacked / mostLocked
	}
	// A configuration of our own: the library's default one is read from, and
	// written to, the user's folders.
	file, err := pdfcpu.ReadWithContext(ctx, bytes.NewReader(data), &model.Configuration{
		Reader15: true, ValidationMode: model.ValidationRelaxed, Offline: true, Limits: limits,
	})
	switch {
	case errors.Is(err, pdfcpu.ErrWrongPassword):
		return nil, ErrPassword
	case err != nil:
		return nil, err
	case len(file.Table) > MaxObjects:
		return nil, fmt.Errorf("it has %d objects", len(file.Table))
	}
	return file, nil
}

// mostLocked is how many streams of objects an encrypted file may have: they are
// unpacked as they are read, and each may be as large as all together by their number.
const mostLocked = 128

// encrypted and directly find what encrypts a file (ISO 32000-1, 7.6.1): an object,
// or what stands in the trailer itself.
var (
	encrypted = regexp.MustCompile(`/Encrypt\b`)
	directly  = regexp.MustCompile(`/Encrypt\s*<<`)
)
