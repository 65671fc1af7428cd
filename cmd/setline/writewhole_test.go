package main

import (
	"bytes"
	crand "crypto/rand"
	"crypto/x509"
	"encoding/pem"
	"flag"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"setline.example/report/sign"
	"setline.example/schema"
)

var (
	seed  = flag.Uint64("seed", uint64(time.Now().UnixNano()), "of the random tests")
	kills = flag.Int("kills", 200, "how often to kill a writing process")
)

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
}

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
	report, signed := filepath.Join(dir, "r", "r.pdf"), filepath.Join(dir, "s", "s.pdf")
	collected, added := filepath.Join(dir, "c", "c.json"), filepath.Join(dir, "a", "a.json")
	for _, name := range []string{report, signed, collected, added} {
		if err := os.Mkdir(filepath.Dir(name), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	// A record as the README makes one, before its parts are counted, before its
	// floor is read, and before its first sheet is collected.
	const annex = "../../examples/annex"
	uncounted, unread := filepath.Join(dir, "uncounted.json"), filepath.Join(dir, "unread.json")
	run("start", "-o", uncounted, "--name", "Marrow Ridge College, Science Annex", "--number", "MR-118",
		"--installer", "Fennick & Dole Casework Installers", "--contractor", "Tarn Valley Builders",
		"--height", "34 in", "--depth", "22 in", "--gauge", "18", "--front-rail-depth", "7/8 in",
		"--leveler-least", "1/2 in", "--leveler-greatest", "2 in", "--threads", "16",
		"--units", annex+"/csv/units.csv", "--instruments", annex+"/csv/instruments.csv", "--screws", annex+"/csv/screws.csv")
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
		}, isPDF},
		{"sign", []string{"sign", signed, "--identity", identity, "--as", "inspector"}, signed, func(t *testing.T) {
			store(t, signed, fetch(t, unsigned))
		}, isPDF},
		{"collect", []string{"collect", collected, annex + "/sheets/first-visit.md"}, collected, func(t *testing.T) {
			store(t, collected, fetch(t, unread))
		}, isRecord},
		{"add", add(added), added, func(t *testing.T) {
			store(t, added, fetch(t, uncounted))
		}, isRecord},
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

func store(t *testing.T, name string, data []byte) {
	t.Helper()
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

func fetch(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// A process killed at any moment leaves the old file or the new one, whole, and
// nothing that the next run does not clear. Half of the moments are random, half
// lie in the writing itself: as soon as there is a file beside the target.
func TestKilled(t *testing.T) {
	setline := process(t)
	t.Logf("seed %d", *seed)
	random := rand.New(rand.NewPCG(*seed, 0))
	all := writings(t, setline)
	for _, w := range all {
		t.Run(w.name, func(t *testing.T) {
			w.prepare(t)
			began := time.Now()
			if out, err := exec.Command(setline, w.args...).CombinedOutput(); err != nil {
				t.Fatalf("%v\n%s", err, out)
			}
			usual := time.Since(began)
			before, after, littered := 0, 0, 0
			for i := range *kills / len(all) {
				w.prepare(t)
				old := fetch(t, w.target)
				cmd := exec.Command(setline, w.args...)
				if err := cmd.Start(); err != nil {
					t.Fatal(err)
				}
				if i%2 == 0 {
					time.Sleep(time.Duration(random.Int64N(int64(usual) * 3 / 2)))
				} else {
					waitForTemp(w.target, cmd.Process.Pid, usual*4)
					time.Sleep(time.Duration(random.Int64N(int64(4 * time.Millisecond))))
				}
				_ = cmd.Process.Kill()
				_ = cmd.Wait()
				switch now := fetch(t, w.target); {
				case bytes.Equal(now, old):
					before++
				case w.whole(now):
					after++
				default:
					t.Fatalf("kill %d left %d bytes, neither the old file nor the new", i, len(now))
				}
				if len(beside(t, w.target)) > 0 {
					littered++
				}
			}
			w.prepare(t)
			if out, err := exec.Command(setline, w.args...).CombinedOutput(); err != nil {
				t.Fatalf("%v\n%s", err, out)
			}
			if left := beside(t, w.target); len(left) > 0 {
				t.Errorf("the next run left %q there", left)
			}
			t.Logf("%d kills: %d left the old file, %d the new; %d left something beside it, which the next run cleared", *kills/len(all), before, after, littered)
		})
	}
}

// waitForTemp waits for the file that a process writes beside the target, but
// not for ever. It asks the system itself: package os notes every file that a
// test looks at, and "go test" then looks at each again.
func waitForTemp(target string, pid int, most time.Duration) {
	temp := filepath.Join(filepath.Dir(target), tempPrefix(target)+strconv.Itoa(pid)+tempEnd)
	for until := time.Now().Add(most); time.Now().Before(until); {
		if f, err := syscall.Open(temp, syscall.O_RDONLY, 0); err == nil {
			_ = syscall.Close(f)
			return
		}
		time.Sleep(20 * time.Microsecond)
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
