package main

import (
	"bufio"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"

	"setline.example/schema/plaintext"
)

// A file is written beside its target under a name of its own, brought to the
// disk, and renamed: whoever looks sees the old file or the new one, whole. The
// name holds machine and process, so that what a killed process left behind
// can be told from what another is writing, and is cleared by the next run. A
// process that is interrupted clears it itself.

// whole is a file to be written whole or not at all.
type whole struct {
	path string
	mode fs.FileMode // of a file that is not there yet
	// like names the file whose permissions and attributes the new one gets; ""
	// for what is there under its own name.
	like  string
	fresh bool                  // nothing may be there yet
	was   []byte                // what must be there to the last moment; nil for whatever is
	make  func(io.Writer) error // gives what is to be written
}

// step is a step in the writing of a file, behind which a process may be killed.
type step string

// The steps, in their order. Some are of one way to give a file its name only.
const (
	madeBeside step = "made beside its place"
	written    step = "something is written"
	likeOld    step = "permissions and attributes of the old file are set"
	onDisk     step = "it is on the disk"
	compared   step = "the old file is still what was read"
	swapped    step = "its name and that of the old file are swapped"
	oldRemoved step = "the old file is removed"
	renamed    step = "it has the name of the old file"
	linked     step = "it has a second name in its place"
	unlinked   step = "it has lost the first one"
	folderToo  step = "its folder is on the disk"
)

// reached is told every step that is done. A test ends the process at one.
var reached = func(step) {}

// errThere says that a file is there where none may be.
var errThere = errors.New("found a file that came while this was at work, expected none")

// write writes the file. The errors of make are passed on, one that comes when
// the file is in place is a [*afterDone], and any other is [errThere],
// [errOtherText] or a [*writeError]. The notes say what of the old file the new one has not.
func (w whole) write() (notes []error, err error) {
	s, err := w.stage()
	if err != nil {
		return nil, err
	}
	defer s.discard()
	return s.finish()
}

// staged is a file that is on the disk whole, and not yet in its place.
type staged struct {
	whole
	to, temp string
	old      fs.FileInfo // that it replaces; nil where there is none
	notes    []error
	done     func()
}

// stage writes the file beside its place. What it gives must be discarded,
// which does nothing to a file that is in its place.
func (w whole) stage() (_ *staged, err error) {
	path, err := destination(w.path)
	if err != nil {
		return nil, failedWrite(err)
	}
	s := &staged{whole: w, to: path}
	if s.old, err = replaced(path); err != nil {
		return nil, err
	}
	clearLeft(path)
	s.temp = filepath.Join(filepath.Dir(path), tempPrefix(path)+strconv.Itoa(os.Getpid())+tempEnd)
	s.done = interrupts.removes(s.temp)
	defer func() {
		if err != nil {
			s.discard()
		}
	}()
	like, model := w.model(path, s.old)
	mode := w.mode
	if model != nil {
		mode = model.Mode().Perm()
	}
	f, err := os.OpenFile(s.temp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return nil, failedWrite(err)
	}
	reached(madeBeside)
	defer f.Close() // a second time does no harm
	if err := w.fill(f); err != nil {
		return nil, err
	}
	if model != nil {
		if s.notes, err = keep(f, like, model); err != nil {
			return nil, failedWrite(err)
		}
		reached(likeOld)
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return nil, failedWrite(err)
	}
	reached(onDisk)
	return s, nil
}

// discard removes a file that is not in its place.
func (s *staged) discard() {
	if s.temp != "" {
		os.Remove(s.temp)
		s.temp = ""
		s.done()
	}
}

// finish puts the file in its place.
func (s *staged) finish() ([]error, error) {
	err := interrupts.undisturbed(func() error { return s.place(s.temp, s.to) })
	if stranded := (*strandedError)(nil); err != nil && !errors.As(err, &stranded) {
		return nil, err
	}
	s.temp = ""
	s.done()
	if err != nil {
		return nil, err
	}
	return append(s.notes, brokenLinks(s.to, s.old)...), syncFolder(s.path, filepath.Dir(s.to))
}

// fill writes what is to be written.
func (w whole) fill(f *os.File) error {
	out := bufio.NewWriterSize(diskWriter{f}, 64<<10)
	if err := w.make(out); err != nil {
		return err
	}
	return out.Flush()
}

// model gives the file whose permissions the new one gets, if there is one.
func (w whole) model(path string, old fs.FileInfo) (string, fs.FileInfo) {
	if w.like == "" {
		return path, old
	}
	info, err := os.Stat(w.like)
	if err != nil {
		return "", nil
	}
	return w.like, info
}

// place gives the file its name.
func (w whole) place(temp, path string) error {
	if w.was != nil {
		return replace(temp, path, w.was)
	}
	if !w.fresh {
		if err := os.Rename(temp, path); err != nil {
			return failedWrite(err)
		}
		reached(renamed)
		return nil
	}
	// A link is never put over a file, and a rename is.
	switch err := os.Link(temp, path); {
	case err == nil:
		reached(linked)
		os.Remove(temp)
		reached(unlinked)
		return nil
	case errors.Is(err, fs.ErrExist), here(path):
		return errThere
	}
	if err := os.Rename(temp, path); err != nil { // a file system without hard links
		return failedWrite(err)
	}
	return nil
}

// mostLinks is how many links one after the other are followed.
const mostLinks = 40

// destination gives the file that a name leads to through links, whether it is
// there or not: a link stays one, and what it leads to is written.
func destination(path string) (string, error) {
	for range mostLinks {
		if real, err := filepath.EvalSymlinks(path); err == nil {
			return real, nil
		}
		to, err := os.Readlink(path)
		if err != nil {
			return path, nil // no link; writing will say what is wrong
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(path), to)
		}
		path = to
	}
	return "", &fs.PathError{Op: "open", Path: path, Err: syscall.ELOOP}
}

// replaced looks at the file that is replaced, if there is one. One that is not
// to be written is refused, though a rename could do it.
func replaced(path string) (fs.FileInfo, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, nil // writing will say what is wrong
	}
	if info.Mode().Perm()&0o222 == 0 {
		return nil, &writeError{errReadOnly}
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return nil, failedWrite(err)
	}
	return info, f.Close()
}

// errReadOnly says that a file is there and marked as not to be written.
var errReadOnly = errors.New("it is read-only")

// kept are the bits of a file's mode that the file in its place gets.
const kept = fs.ModePerm | fs.ModeSetuid | fs.ModeSetgid | fs.ModeSticky

// keep gives f owner, permissions and extended attributes of the file at path,
// as far as the system lets us, and says what it does not.
func keep(f *os.File, path string, info fs.FileInfo) (lost []error, err error) {
	if runtime.GOOS == "windows" {
		return nil, nil // where the permissions of a file are set otherwise
	}
	mode := info.Mode() & kept
	if err := keepOwner(f, info); err != nil {
		// Rights that came with the owner must not go to another.
		mode &^= fs.ModeSetuid | fs.ModeSetgid
		lost = append(lost, fmt.Errorf("%s: is yours now, since only an administrator can leave it to its owner and group", path))
	}
	if err := f.Chmod(mode); err != nil {
		return nil, err
	}
	if names := keepAttributes(f, path); len(names) > 0 {
		lost = append(lost, fmt.Errorf("%s: has lost its extended attributes %s, which the system does not let us set", path, strings.Join(names, ", ")))
	}
	return lost, nil
}

// brokenLinks says that other names of the file lead to what it was.
func brokenLinks(path string, old fs.FileInfo) []error {
	n := hardLinks(old)
	if n < 2 {
		return nil
	}
	return []error{hinted{
		fmt.Errorf("%s: had %s as hard links, which still hold what was there before", path, plaintext.Count(int(n-1), "other name")),
		"remove them, or link them again (ln -f)",
	}}
}

// syncFolder brings a new name to the disk, so that it outlives a power cut.
// Not every system can do that, and the file is there in any case.
func syncFolder(path, folder string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	f, err := os.Open(folder)
	if err != nil {
		return nil // it can be written and not read
	}
	defer f.Close()
	err = f.Sync()
	reached(folderToo)
	if err == nil || errors.Is(err, syscall.EINVAL) || errors.Is(err, errors.ErrUnsupported) {
		return nil
	}
	return &afterDone{hinted{
		fmt.Errorf("%s: is written, and its folder could not be brought to the disk (%w), expected both to outlive a power cut", path, failedWrite(err)),
		"keep a copy on another disk, and see to this one",
	}}
}

// diskWriter marks the errors of the disk among those of what is written.
type diskWriter struct{ f *os.File }

func (d diskWriter) Write(b []byte) (int, error) {
	n, err := d.f.Write(b)
	reached(written)
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

// shortBase is the name of a file, cut so that others can be made of it: names
// have a limit.
func shortBase(path string) string {
	base := filepath.Base(path)
	if len(base) > 120 {
		base = strings.ToValidUTF8(base[:120], "")
	}
	return base
}

// tempPrefix begins the names of temporary files of path on this machine.
func tempPrefix(path string) string {
	host, _ := os.Hostname()
	sum := sha256.Sum256([]byte(host))
	return fmt.Sprintf(".%s.setline-%x-", shortBase(path), sum[:3])
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
