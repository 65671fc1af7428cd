//go:build unix

package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// A file that is replaced keeps what it had, and so does the copy of it.
func TestReplacedKeeps(t *testing.T) {
	for _, mode := range []fs.FileMode{0o600, 0o640, 0o664, 0o2664 &^ 0o2000, 0o664 | fs.ModeSetgid, 0o755 | fs.ModeSetuid, 0o644 | fs.ModeSticky} {
		t.Run(mode.String(), func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "job.json")
			store(t, path, []byte("one"))
			owner, group := os.Getuid(), os.Getgid()
			if owner == 0 {
				owner, group = 12345, 54321
			}
			if err := errors.Join(os.Chown(path, owner, group), os.Chmod(path, mode)); err != nil {
				t.Fatal(err)
			}
			attribute := unix.Setxattr(path, "user.origin", []byte("survey"), 0) == nil
			// A copy that is there already had another mode.
			store(t, path+".bak", []byte("older"))
			var said bytes.Buffer
			if _, err := replaceFile(&said, path, []byte("one"), []byte("two"), true); err != nil || said.Len() > 0 {
				t.Fatalf("%v\n%s", err, said.String())
			}
			for name, text := range map[string]string{path: "two", path + ".bak": "one"} {
				info, err := os.Stat(name)
				if err != nil {
					t.Fatal(err)
				}
				if info.Mode() != mode || string(fetch(t, name)) != text {
					t.Errorf("%s: %v, want %v; %q", name, info.Mode(), mode, fetch(t, name))
				}
				if s := info.Sys().(*syscall.Stat_t); int(s.Uid) != owner || int(s.Gid) != group {
					t.Errorf("%s: belongs to %d:%d, want %d:%d", name, s.Uid, s.Gid, owner, group)
				}
				if value := make([]byte, 10); attribute {
					if n, err := unix.Getxattr(name, "user.origin", value); err != nil || string(value[:n]) != "survey" {
						t.Errorf("%s: extended attribute %q, %v", name, value[:n], err)
					}
				}
			}
			if !attribute {
				t.Log("this disk has no extended attributes, so they were not checked")
			}
		})
	}
}

// A file marked as read-only is not written over, by whatever command, though
// the folder would allow it, and though an administrator may write anything.
func TestReadOnlyStays(t *testing.T) {
	long(t)
	s := newSmall(t)
	for _, c := range []struct {
		target string
		args   []string
	}{
		{s.record, []string{"add", s.record, "--screws", s.screws}},
		{s.record, []string{"collect", s.record, s.ada, "--backup"}},
		{s.report, s.signs("inspector")},
		{s.report, []string{"report", s.record, "-o", s.report}},
		{s.ada, []string{"sheet", s.record, "-o", s.ada}},
	} {
		s.again(t)
		old := fetch(t, c.target)
		if err := os.Chmod(c.target, 0o444); err != nil {
			t.Fatal(err)
		}
		code, said := s.run(c.args...)
		if code != exitInput || !strings.Contains(said, "cannot be written: it is read-only") || !strings.Contains(said, "mend: make it writable, or name another file") {
			t.Errorf("%s: exit code %d\n%s", strings.Join(c.args, " "), code, said)
		}
		if !bytes.Equal(fetch(t, c.target), old) {
			t.Errorf("%s: written over", strings.Join(c.args, " "))
		}
		if err := os.Chmod(c.target, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// Other names of a file still hold what it was, and that is said.
func TestHardLinksAreSaid(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.json")
	store(t, path, []byte("one"))
	if err := os.Link(path, path+".also"); err != nil {
		t.Skipf("this disk makes no hard links (%v), so this was not checked", err)
	}
	var said bytes.Buffer
	if _, err := replaceFile(&said, path, []byte("one"), []byte("two"), false); err != nil {
		t.Fatal(err)
	}
	if want := "had 1 other name as hard links, which still hold what was there before"; !strings.Contains(said.String(), want) {
		t.Errorf("%q, want %q in it", said.String(), want)
	}
	if string(fetch(t, path)) != "two" || string(fetch(t, path+".also")) != "one" {
		t.Error("not as it says")
	}
}

// A link given as output stays one: what it leads to is written, be it there
// or not.
func TestOutputThroughLinks(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	if err := os.Mkdir(at("sub"), 0o700); err != nil {
		t.Fatal(err)
	}
	store(t, at("there"), []byte("old"))
	for _, c := range []struct{ link, to, real string }{
		{"a", "there", "there"},
		{"b", "new", "new"},
		{"c", filepath.Join("sub", "new"), "sub/new"},
		{"d", "c", "sub/new"},
		{"e", at("absolute"), "absolute"},
		{"sub/f", "../up", "up"},
	} {
		if err := os.Symlink(c.to, at(c.link)); err != nil {
			t.Fatal(err)
		}
		if err := writeFile(t.Output(), at(c.link), nil, these([]byte(c.link))); err != nil {
			t.Errorf("%s: %v", c.link, err)
		}
		if info, err := os.Lstat(at(c.link)); err != nil || info.Mode()&fs.ModeSymlink == 0 {
			t.Errorf("%s is a link no more: %v", c.link, err)
		}
		if info, err := os.Lstat(at(c.real)); err != nil || !info.Mode().IsRegular() || string(fetch(t, at(c.real))) != c.link {
			t.Errorf("%s: %s is not what was written: %v", c.link, c.real, err)
		}
	}
	if err := os.Symlink("round", at("round")); err != nil {
		t.Fatal(err)
	}
	if err := writeFile(t.Output(), at("round"), nil, these(nil)); err == nil {
		t.Error("a link to itself was written")
	}
	if err := os.Symlink("no/where", at("lost")); err != nil {
		t.Fatal(err)
	}
	var h hinted
	if err := writeFile(t.Output(), at("lost"), nil, these(nil)); !errors.As(err, &h) || !strings.Contains(h.mend, "make the folder") {
		t.Errorf("%v", err)
	}
}

// Ctrl-C and its like end the program as they would any other, and leave
// neither a temporary file nor a lock.
func TestInterruptedLeavesNothing(t *testing.T) {
	long(t)
	setline := process(t)
	all := writings(t, setline)
	for _, s := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP} {
		if signal.Ignored(s) { // and so it is by what is begun here, as under nohup
			t.Logf("%v is ignored where this test runs, so it was not sent", s)
			continue
		}
		for _, w := range all {
			t.Run(fmt.Sprint(s, " ", w.name), func(t *testing.T) {
				caught := 0
				for i := 0; i < 200 && caught < 3; i++ {
					w.prepare(t)
					old := fetch(t, w.target)
					cmd := exec.Command(setline, w.args...)
					if err := cmd.Start(); err != nil {
						t.Fatal(err)
					}
					waitForTemp(w.target, cmd.Process.Pid, time.Second)
					_ = cmd.Process.Signal(s)
					_ = cmd.Wait()
					if status := cmd.ProcessState.Sys().(syscall.WaitStatus); status.Signaled() && status.Signal() == s {
						caught++
					} else if cmd.ProcessState.ExitCode() != exitReady {
						t.Fatalf("ended with %v", cmd.ProcessState)
					}
					if now := fetch(t, w.target); !bytes.Equal(now, old) && !w.whole(now) {
						t.Fatalf("%d bytes, neither the old file nor the new", len(now))
					}
					if left := beside(t, w.target); len(left) > 0 {
						t.Fatalf("%q is left", left)
					}
				}
				if caught == 0 {
					t.Error("it was never in time, so nothing was shown")
				}
			})
		}
	}
}

// When the record is changed and only telling it fails, the exit code is not
// that of a command that has written nothing.
func TestToldInVain(t *testing.T) {
	long(t)
	s := newSmall(t)
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skipf("this system has no /dev/full (%v), so this was not checked", err)
	}
	defer full.Close()
	closed := func() *os.File {
		r, w, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		r.Close()
		return w
	}
	for _, c := range []struct {
		args  []string
		holds string
	}{
		{[]string{"add", s.record, "--screws", s.screws}, s.holdsScrw},
		{[]string{"collect", s.record, s.ada, "--backup"}, s.holdsAda},
	} {
		for name, out := range map[string]*os.File{"full": full, "closed": closed()} {
			s.again(t)
			var said bytes.Buffer
			cmd := exec.Command(s.setline, c.args...)
			cmd.Stdout, cmd.Stderr = out, &said
			_ = cmd.Run()
			if cmd.ProcessState.ExitCode() != exitAfter || !strings.Contains(said.String(), "job.json: is written, and telling so failed") || !strings.Contains(said.String(), "mend: do not run this again") {
				t.Errorf("%s, %s: %v\n%s", c.args[0], name, cmd.ProcessState, said.String())
			}
			if !s.recordHolds(t, c.holds) {
				t.Errorf("%s, %s: the record was not changed", c.args[0], name)
			}
		}
	}
}
