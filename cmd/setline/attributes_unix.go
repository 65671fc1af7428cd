//go:build linux || darwin

package main

import (
	"bytes"
	"os"
	"strings"

	"golang.org/x/sys/unix"
)

// keepAttributes gives f the extended attributes of the file at path, among
// them access control lists, and names those that it could not. What the system
// itself keeps there, such as a security label, it sets as it sees fit.
func keepAttributes(f *os.File, path string) (lost []string) {
	names := attributeNames(path)
	for _, name := range names {
		err := keepAttribute(f, path, name)
		if err != nil && !strings.HasPrefix(name, "security.") && !strings.HasPrefix(name, "trusted.") {
			lost = append(lost, name)
		}
	}
	return lost
}

func attributeNames(path string) (names []string) {
	size, err := unix.Listxattr(path, nil)
	if err != nil || size == 0 {
		return nil
	}
	list := make([]byte, size)
	if size, err = unix.Listxattr(path, list); err != nil {
		return nil
	}
	for name := range bytes.SplitSeq(bytes.TrimRight(list[:size], "\x00"), []byte{0}) {
		names = append(names, string(name))
	}
	return names
}

func keepAttribute(f *os.File, path, name string) error {
	size, err := unix.Getxattr(path, name, nil)
	if err != nil {
		return err
	}
	value := make([]byte, size)
	if size, err = unix.Getxattr(path, name, value); err != nil {
		return err
	}
	return unix.Fsetxattr(int(f.Fd()), name, value[:size], 0)
}
