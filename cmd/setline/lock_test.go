package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"setline.example/report/sign"
	"setline.example/schema"
	"setline.example/schema/chance"
)

var pairs = flag.Int("pairs", 60, "how often to run two commands at once, of each kind; a tenth with -short")

func howManyPairs() int {
	if testing.Short() {
		return *pairs / 10
	}
	return *pairs
}

// small is a job of one filler in a folder, two tables and two filled sheets
// that add to it, and its report with a key to sign it.
type small struct {
	dir, setline          string
	record, report        string
	unchanged, unsigned   []byte
	instruments, screws   string
	ada, ben, identity    string
	holdsAda, holdsBen    string // what a record says with the sheet in it
	holdsLaser, holdsScrw string // and with the tables
}

func newSmall(t *testing.T) *small {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	s := &small{
		dir: dir, setline: process(t), record: at("job.json"), report: at("r.pdf"),
		instruments: at("instruments.csv"), screws: at("screws.csv"), ada: at("ada.md"), ben: at("ben.md"), identity: at("me.pem"),
		holdsAda: "Ada Fitter", holdsBen: "Ben Fitter", holdsLaser: "line laser", holdsScrw: "front screw",
	}
	t.Setenv(passphraseVariable, "")
	s.must(t, "start", "-o", s.record, "--name", "Store", "--room", "S-1", "--elevation", "A", "--tag", "A1", "--part", "F3", "--kind", "filler", "--width", "3 in")
	s.must(t, "sheet", s.record, "-o", s.ada, "--all")
	sheet := string(fetch(t, s.ada))
	for name, who := range map[string]string{s.ada: s.holdsAda, s.ben: s.holdsBen} {
		filled := strings.Replace(sheet, "- Date of the visit (YYYY-MM-DD): ___", "- Date of the visit (YYYY-MM-DD): 2026-10-01", 1)
		filled = strings.Replace(filled, "- Who, 1, name: ___", "- Who, 1, name: "+who, 1)
		filled = strings.Replace(filled, "- Slab cured:\n  - [ ] yes", "- Slab cured:\n  - [x] yes", 1)
		store(t, name, []byte(filled))
	}
	store(t, s.instruments, []byte("name,kind,reads\nline laser,laser,heights\n"))
	store(t, s.screws, []byte("name,size,length\nfront screw,#8,1 1/4 in\n"))
	store(t, s.identity, identityInPEM(t))
	s.must(t, "report", s.record, "-o", s.report, "--date", "2026-10-02")
	s.unchanged, s.unsigned = fetch(t, s.record), fetch(t, s.report)
	return s
}

// must runs a command, which may say that a room is not ready.
func (s *small) must(t *testing.T, args ...string) {
	t.Helper()
	if code, said := s.run(args...); code > exitNotReady {
		t.Fatalf("setline %s: exit code %d\n%s", strings.Join(args, " "), code, said)
	}
}

func (s *small) run(args ...string) (code int, said string) {
	c := exec.Command(s.setline, args...)
	out, _ := c.CombinedOutput()
	return c.ProcessState.ExitCode(), string(out)
}

// again puts record and report back as they were.
func (s *small) again(t *testing.T) {
	t.Helper()
	store(t, s.record, s.unchanged)
	store(t, s.report, s.unsigned)
}

func (s *small) signs(as string) []string {
	return []string{"sign", s.report, "--identity", s.identity, "--as", as, "--inspection"}
}

// recordHolds reports whether the record can be read and says all of this.
func (s *small) recordHolds(t *testing.T, words ...string) bool {
	t.Helper()
	data := fetch(t, s.record)
	if _, _, err := schema.Read(s.record, data); err != nil {
		t.Fatalf("the record cannot be read any more: %v", err)
	}
	return !slices.ContainsFunc(words, func(w string) bool { return !bytes.Contains(data, []byte(w)) })
}

// signatures counts those on the report that hold.
func (s *small) signatures(t *testing.T) int {
	t.Helper()
	v, err := sign.Verify(fetch(t, s.report), nil)
	if err != nil || len(v.Problems) > 0 {
		t.Fatalf("the report cannot be believed any more: %v %v", err, v.Problems)
	}
	return len(v.Signatures)
}

// TestTwoAtOnce: of two commands that change one file at the same time neither
// is lost: both end well and the file holds what both brought.
func TestTwoAtOnce(t *testing.T) {
	long(t)
	s := newSmall(t)
	instruments, screws := []string{"add", s.record, "--instruments", s.instruments}, []string{"add", s.record, "--screws", s.screws}
	ada, ben := []string{"collect", s.record, s.ada}, []string{"collect", s.record, s.ben, "--backup"}
	for _, c := range []struct {
		name  string
		pair  [2][]string
		holds func(t *testing.T) bool
	}{
		{"add beside add", [2][]string{instruments, screws}, func(t *testing.T) bool { return s.recordHolds(t, s.holdsLaser, s.holdsScrw) }},
		{"collect beside collect", [2][]string{ada, ben}, func(t *testing.T) bool { return s.recordHolds(t, s.holdsAda, s.holdsBen) }},
		{"add beside collect", [2][]string{screws, ben}, func(t *testing.T) bool { return s.recordHolds(t, s.holdsScrw, s.holdsBen) }},
		{"sign beside sign", [2][]string{s.signs("inspector"), s.signs("installer")}, func(t *testing.T) bool { return s.signatures(t) == 2 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			for i := range howManyPairs() {
				s.again(t)
				var both sync.WaitGroup
				var codes [2]int
				var said [2]string
				for k := range c.pair {
					both.Go(func() { codes[k], said[k] = s.run(c.pair[k]...) })
				}
				both.Wait()
				if codes != [2]int{} {
					t.Fatalf("pair %d ends with %v\n%s%s", i, codes, said[0], said[1])
				}
				if !c.holds(t) {
					t.Fatalf("pair %d: one of the two is lost", i)
				}
			}
			for _, e := range beside(t, s.record) {
				if strings.HasPrefix(e, ".") {
					t.Errorf("%s is left", e)
				}
			}
		})
	}
}

// TestBesideAnEditor: an editor that knows no lock saves at any moment. What it
// saved is never lost: the command works on it, or refuses, or was there before.
func TestBesideAnEditor(t *testing.T) {
	long(t)
	s := newSmall(t)
	random := chance.Source(t)
	add := []string{"add", s.record, "--screws", s.screws}
	began := time.Now()
	s.must(t, add...)
	usual := time.Since(began)
	edited := bytes.Replace(s.unchanged, []byte(`"Store"`), []byte(`"Edited"`), 1)
	if bytes.Equal(edited, s.unchanged) {
		t.Fatal("nothing is edited")
	}
	worked, refused, before := 0, 0, 0
	for i := range howManyPairs() {
		s.again(t)
		c := exec.Command(s.setline, add...)
		var said bytes.Buffer
		c.Stdout, c.Stderr = &said, &said
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		if i%2 == 0 {
			time.Sleep(time.Duration(random.Int64N(int64(usual))))
		} else { // while it writes
			waitForTemp(s.record, c.Process.Pid, usual*4)
		}
		saved := s.record + "~"
		store(t, saved, edited)
		if err := os.Rename(saved, s.record); err != nil {
			t.Fatal(err)
		}
		err := c.Wait()
		if !s.recordHolds(t, "Edited") {
			t.Fatalf("save %d is lost: %v\n%s", i, err, said.String())
		}
		switch {
		case err != nil && strings.Contains(said.String(), "found another text than was read a moment ago"):
			refused++
		case err != nil:
			t.Fatalf("save %d: %v\n%s", i, err, said.String())
		case s.recordHolds(t, s.holdsScrw):
			worked++
		default:
			before++
		}
	}
	t.Logf("%d worked on what was saved, %d refused, %d had ended before", worked, refused, before)
}

// TestHeld: a command that finds the file held for long says by whom, and
// leaves it; once it is free again, and after a process that was killed with
// the lock, the next one goes on.
func TestHeld(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.json")
	store(t, path, []byte("{}"))
	var said bytes.Buffer
	release, err := hold(t.Context(), path, "setline add", &said)
	if err != nil {
		t.Fatal(err)
	}
	soon, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	_, err = hold(soon, path, "setline collect", &said)
	for _, want := range []string{`job.json: found it held by "setline add", process `, fmt.Sprint(os.Getpid()), " since 2", "expected it to be free within 10s"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %q in it", err, want)
		}
	}
	if !here(lockName(path)) {
		t.Error("who waited in vain took the lock away")
	}
	release()
	if left := beside(t, path); len(left) > 0 {
		t.Errorf("%q is left", left)
	}
	// What a process that was killed leaves behind.
	store(t, lockName(path), []byte("\n\"setline add\", process 1 on nowhere\n"))
	again, err := hold(t.Context(), path, "setline sign", &said)
	if err != nil {
		t.Fatal(err)
	}
	if who := holder(lockName(path)); !strings.HasPrefix(who, `"setline sign", process `) || strings.Contains(who, "nowhere") {
		t.Errorf("held by %s", who)
	}
	again()
	if said.Len() > 0 {
		t.Errorf("said %s", said.String())
	}
}

// TestHeldByAProcess: the whole command waits its ten seconds, ends with 2 and
// leaves the record alone.
func TestHeldByAProcess(t *testing.T) {
	if testing.Short() {
		t.Skip("it waits for ten seconds, so this was not checked (-short)")
	}
	s := newSmall(t)
	release, err := hold(t.Context(), s.record, "setline add", t.Output())
	if err != nil {
		t.Fatal(err)
	}
	defer release()
	if code, said := s.run("collect", s.record, s.ada); code != exitInput || !strings.Contains(said, `found it held by "setline add"`) {
		t.Errorf("exit code %d\n%s", code, said)
	}
	if !bytes.Equal(fetch(t, s.record), s.unchanged) {
		t.Error("the record was changed")
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
