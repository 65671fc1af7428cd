package main

import (
	"bufio"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
)

// A file is written beside its target under a name of its own, brought to the
// disk, and renamed: whoever looks sees the old file or the new one, whole. The
// name holds machine and process, so that what a killed process left behind
// can be told from what another is writing, and is cleared by the next run.

// writeWhole makes what make gives the content of the file at path. A file that
// is there keeps its permissions; a new one gets mode. The error of make is
// passed on; any other is a [*writeError].
func writeWhole(path string, mode os.FileMode, make func(io.Writer) error) (err error) {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real // the file that a link leads to, not the link
	}
	info, noFile := os.Stat(path)
	if noFile == nil {
		mode = info.Mode().Perm()
	}
	clearLeft(path)
	temp := filepath.Join(filepath.Dir(path), tempPrefix(path)+strconv.Itoa(os.Getpid())+tempEnd)
	f, err := os.OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return failedWrite(err)
	}
	defer func() {
		if err != nil {
			f.Close() // a second time does no harm
			os.Remove(temp)
		}
	}()
	out := bufio.NewWriterSize(diskWriter{f}, 64<<10)
	if err := make(out); err != nil {
		return err
	}
	if err := out.Flush(); err != nil {
		return err
	}
	if noFile == nil && runtime.GOOS != "windows" { // where the permissions of a file were set otherwise
		if err := f.Chmod(mode); err != nil {
			return failedWrite(err)
		}
	}
	if err := f.Sync(); err != nil {
		return failedWrite(err)
	}
	if err := f.Close(); err != nil {
		return failedWrite(err)
	}
	if err := os.Rename(temp, path); err != nil {
		return failedWrite(err)
	}
	// The new name outlives a power cut once the folder is on the disk too. Not
	// every system can do that, and the file is there in any case.
	if folder, err := os.Open(filepath.Dir(path)); err == nil {
		_ = folder.Sync()
		folder.Close()
	}
	return nil
}

// diskWriter marks the errors of the disk among those of what is written.
type diskWriter struct{ f *os.File }

func (d diskWriter) Write(b []byte) (int, error) {
	n, err := d.f.Write(b)
	if err != nil {
		err = failedWrite(err)
	}
	return n, err
}

// writeError is an error in writing a file, without the name of the temporary
// file, which would tell the reader nothing.
type writeError struct{ err error }

func (e *writeError) Error() string { return e.err.Error() }
func (e *writeError) Unwrap() error { return e.err }

func failedWrite(err error) error {
	var pe *os.PathError
	var le *os.LinkError
	switch {
	case errors.As(err, &pe):
		err = pe.Err
	case errors.As(err, &le):
		err = le.Err
	}
	return &writeError{err}
}

const tempEnd = ".tmp"

// tempPrefix begins the names of temporary files of path on this machine.
func tempPrefix(path string) string {
	base := filepath.Base(path)
	if len(base) > 120 { // names have a limit
		base = base[:120]
	}
	host, _ := os.Hostname()
	sum := sha256.Sum256([]byte(host))
	return fmt.Sprintf(".%s.setline-%x-", base, sum[:3])
}

// clearLeft removes what processes that are no more left behind of path.
func clearLeft(path string) {
	folder, prefix := filepath.Dir(path), tempPrefix(path)
	entries, err := os.ReadDir(folder)
	if err != nil {
		return // writing will say what is wrong
	}
	for _, e := range entries {
		rest, ok := strings.CutPrefix(e.Name(), prefix)
		number, end := strings.CutSuffix(rest, tempEnd)
		pid, err := strconv.Atoi(number)
		if ok && end && err == nil && !alive(pid) {
			os.Remove(filepath.Join(folder, e.Name()))
		}
	}
}

// alive reports whether a process of this machine runs, or may run. Our own
// number on a file can only come from one before us.
func alive(pid int) bool {
	if pid == os.Getpid() {
		return false
	}
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	if runtime.GOOS == "windows" {
		return true // there, finding it says so
	}
	return !errors.Is(p.Signal(syscall.Signal(0)), os.ErrProcessDone)
}
