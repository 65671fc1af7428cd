package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"syscall"

	"github.com/spf13/cobra"
	"setline.example/schema/plaintext"
)

// writeFile writes what make gives to path, whole or not at all. It refuses
// to overwrite one of the inputs, and keeps what is there that was filled in,
// signed or written by others. What of a file that was there is lost is said to
// stderr.
func writeFile(stderr io.Writer, path string, inputs []string, make func(io.Writer) error) error {
	return writeBeside(stderr, path, inputs, notOurs(make), make)
}

// writeBeside is [writeFile] where keeps says what of a file that is there has to be
// kept, and "" where nothing has.
func writeBeside(stderr io.Writer, path string, inputs []string, keeps func(data []byte) string, make func(io.Writer) error) error {
	if err := mayWrite(path, inputs); err != nil {
		return err
	}
	if err := keepFormer(stderr, path, keeps); err != nil {
		return err
	}
	return put(stderr, whole{path: path, mode: 0o644, make: make})
}

// writeFresh writes a file that must not be there yet.
func writeFresh(stderr io.Writer, path string, mode fs.FileMode, data []byte) error {
	if here(path) {
		return outcome(stderr, whole{path: path}, nil, errThere)
	}
	return put(stderr, whole{path: path, mode: mode, fresh: true, make: these(data)})
}

// put writes a file and says what becomes of it.
func put(stderr io.Writer, w whole) error {
	if err := mayWrite(w.path, nil); err != nil {
		return err
	}
	notes, err := w.write()
	return outcome(stderr, w, notes, err)
}

// mayWrite refuses one of the inputs as output, and what is there and no file.
func mayWrite(path string, inputs []string) error {
	for _, input := range inputs {
		if sameFile(path, input) {
			return outputIsInput(path)
		}
	}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return hinted{fmt.Errorf("%s: found %s, expected a file to write", path, kindOfFile(info)), "name a file with -o"}
	}
	return nil
}

// outcome says what became of a file that was written.
func outcome(stderr io.Writer, w whole, notes []error, err error) error {
	for _, n := range notes {
		say(stderr, n)
	}
	switch {
	case errors.Is(err, errThere):
		return hinted{fmt.Errorf("%s: %w", w.path, err), "name another file"}
	case errors.Is(err, errOtherText):
		return hinted{fmt.Errorf("%s: %w", w.path, err), "see who else writes it, and run this again"}
	}
	return unwritable(w.path, err)
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

// afterDone is an error that came when all that was to be written had been: the
// exit code must not say that nothing was.
type afterDone struct{ err error }

func (e *afterDone) Error() string { return e.err.Error() }
func (e *afterDone) Unwrap() error { return e.err }

// told marks an error in telling what became of the file at path, which has
// been written.
func told(path string, err error) error {
	if err == nil {
		return nil
	}
	return &afterDone{hinted{
		fmt.Errorf("%s: is written, and telling so failed (%w)", path, failedWrite(err)),
		"do not run this again; look at the file, and see to where the output goes",
	}}
}

// unwritable says what to do about a file that could not be written. Other
// errors stay as they are.
func unwritable(path string, err error) error {
	var failed *writeError
	if done := (*afterDone)(nil); errors.As(err, &done) || !errors.As(err, &failed) {
		return err
	}
	return hinted{fmt.Errorf("%s: cannot be written: %w", path, failed.err), mendOf(runtime.GOOS, path, failed.err)}
}

// Errors of Windows by their numbers (System Error Codes, Win32).
const (
	winAccessDenied     = syscall.Errno(5)
	winWriteProtect     = syscall.Errno(19)
	winSharingViolation = syscall.Errno(32)
	winLockViolation    = syscall.Errno(33)
	winHandleDiskFull   = syscall.Errno(39)
	winDiskFull         = syscall.Errno(112)
	winUserMapped       = syscall.Errno(1224)
	winQuotaExceeded    = syscall.Errno(1295)
)

// mendOf says what to do about an error of a system in writing a file.
func mendOf(system, path string, err error) string {
	const (
		full = "make room on the disk; what was there before is as it was"
		open = "close the file in the program that shows it, and run this again; what was there before is as it was"
	)
	is := func(those ...syscall.Errno) bool {
		for _, e := range those {
			if errors.Is(err, e) {
				return true
			}
		}
		return false
	}
	switch windows := system == "windows"; {
	case errors.Is(err, errReadOnly):
		return "make it writable, or name another file"
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Sprintf("make the folder %s first", filepath.Dir(path))
	case windows && is(winDiskFull, winHandleDiskFull, winQuotaExceeded):
		return full
	case windows && is(winSharingViolation, winLockViolation, winUserMapped, winAccessDenied):
		return open
	case windows && is(winWriteProtect), !windows && is(syscall.EROFS):
		return "write to a disk that is not write-protected"
	case !windows && is(syscall.ENOSPC, syscall.EFBIG, syscall.EDQUOT):
		return full
	case errors.Is(err, fs.ErrPermission):
		return "ask for permission to write the file and its folder, or name another file"
	}
	return "see that the folder is there and can be written"
}

// replaceFile writes now over the file at path, which was read as was: for the
// commands of which an input is the output too, and which [hold] it meanwhile.
// It replaces the file whole or not at all, and refuses where the file changed
// since it was read, as by an editor that knows no lock. With backup it keeps
// what was there beside it and returns that file's name.
func replaceFile(stderr io.Writer, path string, was, now []byte, backup bool) (kept string, err error) {
	if _, err := os.Stat(path); err != nil {
		return "", fmt.Errorf("%s: cannot be written: %w", path, err)
	}
	if err := holds(path, was); err != nil {
		return "", outcome(stderr, whole{path: path}, nil, err)
	}
	if backup {
		kept = path + ".bak"
		if err := put(stderr, whole{path: kept, like: path, make: these(was)}); err != nil {
			return "", err
		}
	}
	return kept, put(stderr, whole{path: path, make: these(now), was: was})
}

// change replaces the file at path, and then tells what became of it.
func change(c *cobra.Command, path string, was, now []byte, backup bool, tell func(io.Writer) error) error {
	kept, err := replaceFile(c.ErrOrStderr(), path, was, now, backup)
	if err != nil {
		return err
	}
	hearClosedPipes()
	if kept != "" {
		if _, err := fmt.Fprintf(c.OutOrStdout(), "%s: what was there is kept as %s\n", plaintext.Visible(path), plaintext.Visible(kept)); err != nil {
			return told(path, err)
		}
	}
	return told(path, tell(c.OutOrStdout()))
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
