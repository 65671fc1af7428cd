//go:build unix

package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestNeverWaits: a pipe that nobody writes to, and a device without an end,
// are refused at once wherever a command reads a file.
func TestNeverWaits(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(passphraseVariable, "correct horse")
	at := func(name string) string { return filepath.Join(dir, name) }
	const job = "../../examples/metric/job.json"
	must := func(args ...string) {
		t.Helper()
		var said bytes.Buffer
		if code := run(args, strings.NewReader(""), &said, &said); code != exitReady {
			t.Fatalf("setline %s: exit code %d\n%s", strings.Join(args, " "), code, said.String())
		}
	}
	store(t, at("me.pem"), identityInPEM(t))
	must("report", job, "-o", at("r.pdf"), "--date", "2026-10-02")
	if err := syscall.Mkfifo(at("pipe"), 0o600); err != nil {
		t.Skipf("this system makes no pipes (%v), so this was not checked", err)
	}
	for _, folder := range []string{"letterhead", "empty"} {
		if err := os.Mkdir(at(folder), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	if err := syscall.Mkfifo(at("letterhead/turnover.md"), 0o600); err != nil {
		t.Fatal(err)
	}
	sign := func(more ...string) []string {
		return append([]string{"sign", at("r.pdf"), "-o", at("out.pdf"), "--as", "inspector"}, more...)
	}
	for _, tc := range []struct {
		name string
		args []string // FILE stands for the pipe, the device or the folder
		says string   // of the pipe
	}{
		{"identity", sign("--identity", "FILE"), "found a pipe, expected a file with an identity in PKCS#12 or PEM"},
		{"new passphrase", []string{"identity", "new", "-o", at("new.p12"), "--name", "X", "--passphrase-file", "FILE"}, "found nothing in the first line, expected a passphrase"},
		{"picture", sign("--identity", at("me.pem"), "--picture", "FILE"), "found a pipe, expected a file with a picture"},
		{"templates to sign", sign("--identity", at("me.pem"), "--templates", "FILE"), ""},
		{"trust", []string{"verify", at("r.pdf"), "--trust", "FILE"}, "found a pipe, expected a file with certificates in PEM"},
		{"templates", []string{"report", job, "-o", at("out.pdf"), "--templates", "FILE"}, "found a pipe, expected a folder"},
		{"template", []string{"report", job, "-o", at("out.pdf"), "--templates", at("letterhead")}, "turnover.md: found something that is not a file"},
		{"baseline", []string{"check", "--baseline", "FILE", job}, "found a pipe, expected a file with the findings of an earlier run"},
		{"sheet", []string{"collect", job, "FILE"}, "expected a filled sheet"},
		{"table", []string{"add", job, "--packing-list", "FILE"}, "found a pipe"},
	} {
		for file, says := range map[string]string{at("pipe"): tc.says, "/dev/zero": "", at("empty"): ""} {
			t.Run(tc.name+" "+filepath.Base(file), func(t *testing.T) {
				args := make([]string, len(tc.args))
				for i, a := range tc.args {
					args[i] = strings.Replace(a, "FILE", file, 1)
				}
				var said bytes.Buffer
				ended := make(chan int, 1)
				go func() { ended <- run(args, strings.NewReader(""), &said, &said) }()
				select {
				case code := <-ended:
					if code != exitInput || !strings.Contains(said.String(), says) || !strings.Contains(said.String(), "mend: ") {
						t.Errorf("exit code %d\n%s\nwant %q and a mend", code, said.String(), says)
					}
				case <-time.After(time.Minute):
					t.Fatal("it still waits")
				}
			})
		}
	}
	for _, name := range []string{"out.pdf", "new.p12"} {
		if _, err := os.Lstat(at(name)); err == nil {
			t.Errorf("%s is written", name)
		}
	}
}

// TestPassphraseFromAPipe: a program that keeps passphrases can write one.
func TestPassphraseFromAPipe(t *testing.T) {
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	go func() {
		time.Sleep(50 * time.Millisecond)
		_, _ = w.WriteString("correct horse\r\nwhat else it says\n")
		w.Close()
	}()
	path := "/dev/fd/" + strconv.Itoa(int(r.Fd()))
	if _, err := os.Stat(path); err != nil {
		t.Skipf("this system does not name open files (%v), so this was not checked", err)
	}
	if got, err := passphraseIn(path); err != nil || got != "correct horse" {
		t.Errorf("%q, %v", got, err)
	}
}

// TestOutOfTime: a program that is ended because the time of the tests is up
// is told from one that refuses a file.
func TestOutOfTime(t *testing.T) {
	var said bytes.Buffer
	c := exec.CommandContext(t.Context(), "setline", "check", "-")
	c.Stderr = &said
	in, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	// What it has read of this, it has read when its handlers of signals are there.
	for range 1 << 7 {
		if _, err := in.Write(bytes.Repeat([]byte(" "), 1<<10)); err != nil {
			t.Fatal(err)
		}
	}
	if err := c.Process.Signal(syscall.SIGQUIT); err != nil {
		t.Fatal(err)
	}
	_ = c.Wait() // it says 2
	if c.ProcessState.ExitCode() != exitInput || !outOfTime(said.String()) {
		t.Errorf("exit code %d\n%.300s", c.ProcessState.ExitCode(), said.String())
	}
	if outOfTime("setline: pipe: found a pipe\n") {
		t.Error("a refusal is taken for the end of time")
	}
}
