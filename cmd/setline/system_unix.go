//go:build unix

package main

import (
	"io/fs"
	"os"
	"os/signal"
	"syscall"
)

// endings are the signals that end a program unless it says otherwise.
var endings = []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}

// hearClosedPipes makes writing to a pipe that nobody reads an error like any
// other, where it would end the program without a word.
func hearClosedPipes() { signal.Ignore(syscall.SIGPIPE) }

// hardLinks counts the names of a file, 0 where that is not known.
func hardLinks(info fs.FileInfo) uint64 {
	if info == nil {
		return 0
	}
	s, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return 0
	}
	return uint64(s.Nlink)
}

// keepOwner gives f the owner and the group that info has.
func keepOwner(f *os.File, info fs.FileInfo) error {
	now, err := f.Stat()
	if err != nil {
		return err
	}
	is, ok1 := now.Sys().(*syscall.Stat_t)
	was, ok2 := info.Sys().(*syscall.Stat_t)
	if !ok1 || !ok2 || is.Uid == was.Uid && is.Gid == was.Gid {
		return nil
	}
	return f.Chown(int(was.Uid), int(was.Gid))
}
