package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"syscall"
)

// writeFile writes what make gives to path, whole or not at all. It refuses
// to overwrite one of the inputs.
func writeFile(path string, inputs []string, make func(io.Writer) error) error {
	return writeFileMode(path, inputs, 0o644, make)
}

// writeFileMode is writeFile for a file with other permissions.
func writeFileMode(path string, inputs []string, mode os.FileMode, make func(io.Writer) error) error {
	for _, input := range inputs {
		if sameFile(path, input) {
			return outputIsInput(path)
		}
	}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return hinted{fmt.Errorf("%s: found %s, expected a file to write", path, kindOfFile(info)), "name a file with -o"}
	}
	return unwritable(path, writeWhole(path, mode, make))
}

// these is a file's content that is there already, for [writeFile] and its like.
func these(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

func outputIsInput(path string) error {
	return hinted{fmt.Errorf("%s: found the input as the output, expected another file", path), "name another file with -o"}
}

// unwritable says what to do about a file that could not be written. Other
// errors stay as they are.
func unwritable(path string, err error) error {
	var failed *writeError
	if !errors.As(err, &failed) {
		return err
	}
	mend := "see that the folder is there and can be written"
	switch {
	case errors.Is(err, os.ErrNotExist):
		mend = fmt.Sprintf("make the folder %s first", filepath.Dir(path))
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EFBIG):
		mend = "make room on the disk; what was there before is as it was"
	}
	return hinted{fmt.Errorf("%s: cannot be written: %w", path, failed.err), mend}
}

// replaceFile writes now over the file at path, which was read as was: for the
// commands of which an input is the output too. It replaces the file whole or not at
// all, and refuses where the file changed since it was read. With backup it
// keeps what was there beside it and returns that file's name.
func replaceFile(path string, was, now []byte, backup bool) (kept string, err error) {
	info, err := os.Stat(path)
	if err != nil {
		return "", fmt.Errorf("%s: cannot be written: %w", path, err)
	}
	if current, err := os.ReadFile(path); err != nil || !bytes.Equal(current, was) {
		return "", hinted{fmt.Errorf("%s: found another text than was read a moment ago, expected the same; nothing was written", path), "see who else writes it, and run this again"}
	}
	put := func(path string, data []byte) error {
		return unwritable(path, writeWhole(path, info.Mode().Perm(), these(data)))
	}
	if backup {
		kept = path + ".bak"
		if err := put(kept, was); err != nil {
			return "", err
		}
	}
	return kept, put(path, now)
}

func sameFile(a, b string) bool {
	if filepath.Clean(a) == filepath.Clean(b) {
		return true
	}
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}
