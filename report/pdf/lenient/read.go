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

// ErrTime is the error of a file that takes longer than [MaxTime].
var ErrTime = errors.New("it takes too long to read")

// Read reads a file of at most mostBytes and hands it to use, which may be left
// running when time is up, and has to end soon after its context does.
func Read(data []byte, mostBytes int64, use func(context.Context, *model.Context) error) error {
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
	// A configuration of our own: the library's default one is read from, and
	// written to, the user's folders.
	file, err := pdfcpu.ReadWithContext(ctx, bytes.NewReader(data), &model.Configuration{
		Reader15: true, ValidationMode: model.ValidationRelaxed, Offline: true, Limits: limits,
	})
	switch {
	case err != nil:
		return nil, err
	case file.Encrypt != nil:
		return nil, errors.New("it is encrypted; save it without a password")
	case len(file.Table) > MaxObjects:
		return nil, fmt.Errorf("it has %d objects", len(file.Table))
	}
	return file, nil
}
