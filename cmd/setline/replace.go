package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
)

// A file that is changed in place is compared with what was read once more, and
// between that and its new name an editor can save yet. So the two names are
// swapped where the system does that at one moment: what was replaced is then
// at hand, and if it is not what was read it gets its name back.

// errOtherText says that a file is not what it was when it was read.
var errOtherText = errors.New("found another text than was read a moment ago, expected the same; it is as it was")

// holds refuses a file at path that is not what was read.
func holds(path string, was []byte) error {
	if current, err := os.ReadFile(path); err != nil || !bytes.Equal(current, was) {
		return errOtherText
	}
	return nil
}

// replace puts the file at temp in the place of the one at path, which is to
// hold was. It refuses with [errOtherText], and leaves at path what was saved
// there last. An error after which temp holds what another saved is a
// [*strandedError].
func replace(temp, path string, was []byte) error {
	if err := holds(path, was); err != nil {
		return err
	}
	reached(compared)
	ours, err := os.ReadFile(temp)
	if err != nil {
		return failedWrite(err)
	}
	err = swapNames(temp, path)
	if errors.Is(err, errors.ErrUnsupported) {
		err = os.Rename(temp, path)
	} else if err == nil {
		reached(swapped)
		return settle(temp, path, ours, was)
	}
	if err != nil {
		return failedWrite(err)
	}
	return nil
}

// settle looks at what came out of a swap that put ours at path, where was
// should have been, and gives what another saved there its name back.
func settle(temp, path string, ours, was []byte) error {
	in, under := ours, was
	for {
		out, err := os.ReadFile(temp)
		switch {
		case err != nil:
			return &strandedError{temp, err}
		case !bytes.Equal(out, under):
			if err := swapNames(temp, path); err != nil {
				return &strandedError{temp, err}
			}
			in, under = out, in
		case bytes.Equal(in, ours):
			os.Remove(temp)
			reached(oldRemoved)
			return nil
		default:
			return errOtherText
		}
	}
}

// strandedError is an error after which a file that another saved has a name
// that it should not have.
type strandedError struct {
	temp string
	err  error
}

func (e *strandedError) Error() string {
	return fmt.Sprintf("%v; what another program saved a moment ago is now %s", e.err, e.temp)
}
func (e *strandedError) Unwrap() error { return e.err }
