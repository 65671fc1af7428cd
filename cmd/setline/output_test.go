package main

import (
	"errors"
	"io"
	"io/fs"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
)

// TestMends: errors of each system get their own mend. The numbers are those
// of Win32 (System Error Codes) and of this system; Windows itself was not run.
func TestMends(t *testing.T) {
	const full, open, ask = "make room on the disk", "close the file in the program that shows it", "ask for permission"
	windows := []struct {
		code syscall.Errno
		want string
	}{
		{39, full}, {112, full}, {1295, full},
		{5, open}, {32, open}, {33, open}, {1224, open},
		{19, "not write-protected"},
	}
	for _, c := range windows {
		if got := mendOf("windows", "x", &fs.PathError{Err: c.code}); !strings.Contains(got, c.want) {
			t.Errorf("error %d of Windows: %q, want %q", c.code, got, c.want)
		}
	}
	if runtime.GOOS == "windows" {
		return
	}
	for code, want := range map[error]string{
		syscall.ENOSPC: full, syscall.EFBIG: full, syscall.EDQUOT: full,
		syscall.EROFS: "not write-protected", syscall.EACCES: ask, syscall.EPERM: ask,
		syscall.ENOENT: "make the folder", errReadOnly: "make it writable", syscall.EIO: "see that the folder is there",
	} {
		if got := mendOf(runtime.GOOS, "x/y", code); !strings.Contains(got, want) {
			t.Errorf("%v: %q, want %q", code, got, want)
		}
	}
}

// TestFreshFiles: a file that must not be there is never written over, though
// it comes at the last moment.
func TestFreshFiles(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new.json")
	w := whole{path: path, mode: 0o644, fresh: true, make: func(out io.Writer) error {
		store(t, path, []byte("theirs"))
		return these([]byte("mine"))(out)
	}}
	if err := put(t.Output(), w); !errors.Is(err, errThere) || string(fetch(t, path)) != "theirs" {
		t.Errorf("%v; %q", err, fetch(t, path))
	}
	if err := writeFresh(t.Output(), path, 0o644, nil); !errors.Is(err, errThere) {
		t.Errorf("%v", err)
	}
	if left := beside(t, path); len(left) > 0 {
		t.Errorf("%q is left", left)
	}
}
