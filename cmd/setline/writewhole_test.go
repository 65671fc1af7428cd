package main

import (
	"bytes"
	crand "crypto/rand"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"setline.example/report/sign"
	"setline.example/schema"
)

// killVariable names in the environment of a process the step at which it kills
// itself, as an outside power would: at once, with nothing cleared.
const killVariable = "SETLINE_TEST_KILL_AT"

func killAt(at string) {
	if at == "" {
		return
	}
	reached = func(s step) {
		if string(s) == at {
			if self, err := os.FindProcess(os.Getpid()); err == nil && self.Kill() == nil {
				select {} // it comes
			}
		}
	}
}

// process returns this test program as the command, which runs as another process.
func process(t *testing.T) string {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("Windows has no SIGKILL, so this was not checked")
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "setline") // TestMain goes by this name
	if err := os.Symlink(self, name); err != nil {
		t.Fatal(err)
	}
	return name
}

// writing is a command that writes a file in a folder of its own.
type writing struct {
	name    string
	args    []string
	target  string
	prepare func(t *testing.T) // puts things back before each run
	whole   func([]byte) bool  // whether this is the new file, and all of it
	steps   []step             // of its writing
}

// The steps of the three ways to give a file its name.
var (
	stepsOver    = []step{madeBeside, written, likeOld, onDisk, renamed, folderToo}
	stepsInPlace = []step{madeBeside, written, likeOld, onDisk, compared, swapped, oldRemoved, folderToo}
	stepsFresh   = []step{madeBeside, written, onDisk, linked, unlinked, folderToo}
)

func writings(t *testing.T, setline string) []writing {
	dir := t.TempDir()
	t.Setenv("SETLINE_PASSPHRASE", "correct horse")
	run := func(args ...string) {
		t.Helper()
		cmd := exec.Command(setline, args...)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("setline %s: %v\n%s", strings.Join(args, " "), err, out)
		}
	}
	identity, unsigned := filepath.Join(dir, "me.pem"), filepath.Join(dir, "unsigned.pdf")
	store(t, identity, identityInPEM(t))
	run("report", "../../examples/metric/job.json", "-o", unsigned, "--date", "2026-10-02")
	in := func(folder, name string) string {
		if err := os.Mkdir(filepath.Join(dir, folder), 0o700); err != nil {
			t.Fatal(err)
		}
		return filepath.Join(dir, folder, name)
	}
	report, signed, started := in("r", "r.pdf"), in("s", "s.pdf"), in("n", "n.json")
	collected, added := in("c", "c.json"), in("a", "a.json")
	// A record as the README makes one, before its parts are counted, before its
	// floor is read, and before its first sheet is collected.
	const annex = "../../examples/annex"
	uncounted, unread := filepath.Join(dir, "uncounted.json"), filepath.Join(dir, "unread.json")
	start := func(record string) []string {
		return []string{"start", "-o", record, "--name", "Marrow Ridge College, Science Annex", "--number", "MR-118",
			"--installer", "Fennick & Dole Casework Installers", "--contractor", "Tarn Valley Builders",
			"--height", "34 in", "--depth", "22 in", "--gauge", "18", "--front-rail-depth", "7/8 in",
			"--leveler-least", "1/2 in", "--leveler-greatest", "2 in", "--threads", "16",
			"--units", annex + "/csv/units.csv", "--instruments", annex + "/csv/instruments.csv", "--screws", annex + "/csv/screws.csv"}
	}
	run(start(uncounted)...)
	add := func(record string) []string {
		return []string{"add", record, "--packing-list", annex + "/csv/packing-list.csv"}
	}
	store(t, unread, fetch(t, uncounted))
	run(add(unread)...)
	run("add", unread, "--floor", annex+"/csv/floor.csv", "--date", "2026-10-05", "--by", "Marek Łuczak", "--role", "installer",
		"--instrument", "line laser checked 2026-10-01")

	isPDF := func(b []byte) bool {
		return bytes.HasPrefix(b, []byte("%PDF-1.7")) && bytes.HasSuffix(b, []byte("%%EOF\n")) && len(b) > 50_000
	}
	isRecord := func(b []byte) bool {
		_, _, err := schema.Read("record", b)
		return err == nil
	}
	return []writing{
		{"report", []string{"report", "../../examples/metric/job.json", "-o", report, "--date", "2026-10-02"}, report, func(t *testing.T) {
			store(t, report, []byte("the old report\n"))
		}, isPDF, stepsOver},
		{"sign", []string{"sign", signed, "--identity", identity, "--as", "inspector"}, signed, func(t *testing.T) {
			store(t, signed, fetch(t, unsigned))
		}, isPDF, stepsInPlace},
		{"collect", []string{"collect", collected, annex + "/sheets/first-visit.md"}, collected, func(t *testing.T) {
			store(t, collected, fetch(t, unread))
		}, isRecord, stepsInPlace},
		{"add", add(added), added, func(t *testing.T) {
			store(t, added, fetch(t, uncounted))
		}, isRecord, stepsInPlace},
		{"start", start(started), started, func(t *testing.T) {
			os.Remove(started)
		}, isRecord, stepsFresh},
	}
}

// identityInPEM is an identity that takes no time to open, since no passphrase
// protects it.
func identityInPEM(t *testing.T) []byte {
	t.Helper()
	id, err := sign.NewIdentity("Ada Fitter", "", time.Now(), crand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	key, err := x509.MarshalPKCS8PrivateKey(id.Key)
	if err != nil {
		t.Fatal(err)
	}
	file := pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: key})
	return append(file, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: id.Certificate.Raw})...)
}

func store(t testing.TB, name string, data []byte) {
	t.Helper()
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

// fetch reads a file, nothing where there is none.
func fetch(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	return data
}

// A process killed behind any step of its writing leaves the old file or the new
// one, whole, and nothing that the next run does not clear. A step that is not
// reached fails.
func TestKilled(t *testing.T) {
	long(t)
	setline := process(t)
	for _, w := range writings(t, setline) {
		if testing.Short() && w.name != "add" {
			continue
		}
		t.Run(w.name, func(t *testing.T) {
			for _, at := range w.steps {
				killedAt(t, setline, w, at)
			}
		})
	}
}

// newStands are the steps behind which the new file stands in its place.
var newStands = []step{swapped, oldRemoved, renamed, linked, unlinked, folderToo}

func killedAt(t *testing.T, setline string, w writing, at step) {
	t.Helper()
	w.prepare(t)
	old := fetch(t, w.target)
	cmd := exec.Command(setline, w.args...)
	cmd.Env = append(os.Environ(), killVariable+"="+string(at))
	out, err := cmd.CombinedOutput()
	if exit := (*exec.ExitError)(nil); !errors.As(err, &exit) || exit.Exited() {
		t.Fatalf("%q was not reached: %v\n%s", at, err, out)
	}
	now := fetch(t, w.target)
	if slices.Contains(newStands, at) {
		if !w.whole(now) {
			t.Errorf("killed when %s: left %d bytes, not the new file", at, len(now))
		}
	} else if !bytes.Equal(now, old) {
		t.Errorf("killed when %s: left %d bytes, not the old file", at, len(now))
	}
	w.prepare(t)
	if out, err := exec.Command(setline, w.args...).CombinedOutput(); err != nil {
		t.Fatalf("after a kill when %s: %v\n%s", at, err, out)
	}
	if left := beside(t, w.target); len(left) > 0 {
		t.Errorf("after a kill when %s the next run left %q there", at, left)
	}
}

// beside names what is in the target's folder beside it.
func beside(t *testing.T, target string) []string {
	t.Helper()
	var left []string
	entries, err := os.ReadDir(filepath.Dir(target))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.Name() != filepath.Base(target) {
			left = append(left, e.Name())
		}
	}
	return left
}

// With no room on the disk there is a message, and the old file is as it was.
// The room is taken away by a limit on the size of files (ulimit, POSIX).
func TestDiskFull(t *testing.T) {
	long(t)
	setline := process(t)
	for _, w := range writings(t, setline) {
		t.Run(w.name, func(t *testing.T) {
			w.prepare(t)
			old := fetch(t, w.target)
			out, err := exec.Command("sh", append([]string{"-c", `ulimit -f 1; exec "$0" "$@"`, setline}, w.args...)...).CombinedOutput()
			if err == nil || !strings.Contains(string(out), "mend: make room on the disk; what was there before is as it was") {
				t.Errorf("%v\n%s", err, out)
			}
			if !bytes.Equal(fetch(t, w.target), old) {
				t.Error("the old file is not as it was")
			}
			if left := beside(t, w.target); len(left) > 0 {
				t.Errorf("%q is left", left)
			}
		})
	}
}

func TestWriteWholeKeeps(t *testing.T) {
	dir := t.TempDir()
	name, link := filepath.Join(dir, "a.txt"), filepath.Join(dir, "link")
	store(t, name, []byte("old"))
	if err := os.Symlink(name, link); err != nil {
		t.Skipf("this system makes no links (%v), so this was not checked", err)
	}
	if _, err := (whole{path: link, mode: 0o644, make: these([]byte("new"))}).write(); err != nil {
		t.Fatal(err)
	}
	info, err := os.Lstat(link)
	if err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link is one no more: %v, %v", info.Mode(), err)
	}
	if info, err = os.Stat(name); err != nil || info.Mode().Perm() != 0o600 || string(fetch(t, name)) != "new" {
		t.Errorf("%v, %v, %q", err, info.Mode(), fetch(t, name))
	}
	if left := beside(t, name); len(left) != 1 {
		t.Errorf("%q is left", left)
	}
}
