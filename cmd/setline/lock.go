package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"time"

	"github.com/gofrs/flock"
)

// A command that changes a file in place holds a lock on it from before it
// reads it until it has written it, so that of two at once the second works on
// what the first has made. The lock is one of the system on a hidden file beside
// the file, and ends with the process whatever becomes of it; the file says who
// holds it, and is removed with the lock.

const (
	lockPatience = 10 * time.Second // that a command waits for another
	lockPace     = 10 * time.Millisecond
)

// lockName is the name of the lock file of the file at path.
func lockName(path string) string {
	return filepath.Join(filepath.Dir(path), "."+shortBase(path)+".setline-lock")
}

// hold locks the file at path for a command until release is called. It waits
// for another that holds it, and refuses where that takes too long. Where the
// disk knows no locks it says so to stderr, and what is compared before a file
// is replaced has to do.
func hold(ctx context.Context, path, command string, stderr io.Writer) (release func(), err error) {
	real, err := destination(path)
	if err != nil {
		real = path // reading it will say what is wrong
	}
	name := lockName(real)
	lock, err := acquire(ctx, name)
	switch {
	case err == nil:
		done := interrupts.removes(name)
		signLock(name, command)
		return func() {
			releaseLock(lock, name)
			done()
		}, nil
	case errors.Is(err, context.DeadlineExceeded):
		return nil, hinted{fmt.Errorf("%s: found it held by %s, expected it to be free within %v", path, holder(name), lockPatience), "wait until that has ended, and run this again"}
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, fs.ErrPermission) && !here(name), errors.Is(err, syscall.EROFS):
		// There is no such folder, or nobody can write there: reading or writing
		// the file will say so.
		return func() {}, nil
	case errors.Is(err, fs.ErrPermission):
		return nil, hinted{fmt.Errorf("%s: found %s, which cannot be locked (%w), expected one that can", path, name, failedWrite(err)), "ask its owner to remove it when nobody is at work on the file"}
	}
	os.Remove(name) // nobody can hold it
	say(stderr, hinted{fmt.Errorf("%s: cannot be locked (%w), expected a disk that knows locks", path, failedWrite(err)), "let nothing else change the file until this has ended"})
	return func() {}, nil
}

// acquire takes the lock, and makes sure that it is the one that others see.
func acquire(ctx context.Context, name string) (*flock.Flock, error) {
	ctx, cancel := context.WithTimeout(ctx, lockPatience)
	defer cancel()
	for {
		lock := flock.New(name, flock.SetPermissions(0o644))
		got, err := lock.TryLockContext(ctx, lockPace)
		if errors.Is(err, syscall.EINTR) {
			continue
		}
		if err != nil || !got {
			lock.Close()
			return nil, err
		}
		own, err1 := lock.Stat()
		seen, err2 := os.Stat(name)
		if err1 == nil && err2 == nil && os.SameFile(own, seen) {
			return lock, nil
		}
		lock.Close() // whoever held it before has removed the file
	}
}

// releaseLock removes the lock file and ends the lock, in the order in which no
// other can lose its own: Windows removes no open file, and elsewhere the name
// may be another's once the lock has ended.
func releaseLock(lock *flock.Flock, name string) {
	if runtime.GOOS == "windows" {
		lock.Close()
		os.Remove(name)
		return
	}
	os.Remove(name)
	lock.Close()
}

// signLock writes into the lock file who holds it, from its second byte on: Windows
// lets nobody else read the first while it is locked. That it cannot be written
// does no harm.
func signLock(name, command string) {
	f, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return
	}
	defer f.Close()
	host, _ := os.Hostname()
	text := fmt.Sprintf("%q, process %d on %s, since %s\n", command, os.Getpid(), host, time.Now().UTC().Format("2006-01-02 15:04:05 UTC"))
	_, _ = f.WriteAt([]byte(text), 1)
	_ = f.Truncate(int64(len(text)) + 1)
}

// holder reads who holds a lock.
func holder(name string) string {
	const unknown = "another process, which does not say who it is"
	f, err := os.Open(name)
	if err != nil {
		return unknown
	}
	defer f.Close()
	text := make([]byte, 512)
	n, _ := f.ReadAt(text, 1)
	if who := strings.TrimSpace(string(text[:n])); who != "" {
		return who
	}
	return unknown
}
