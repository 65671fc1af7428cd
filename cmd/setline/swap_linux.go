package main

import (
	"errors"

	"golang.org/x/sys/unix"
)

// swapNames gives two files of one folder each the other's name at one moment.
// It returns [errors.ErrUnsupported] where the file system cannot do that.
func swapNames(a, b string) error {
	err := unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOSYS) {
		return errors.ErrUnsupported
	}
	return err
}
