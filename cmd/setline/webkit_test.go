//go:build unix

package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// needsWebKit looks for what runs and drives it. Where it is missing the test is
// skipped, and fails where CI=true.
func needsWebKit(t *testing.T) {
	t.Helper()
	long(t)
	for _, program := range []string{"node", "WebKitWebDriver", "xvfb-run"} {
		if _, err := exec.LookPath(program); err == nil {
			continue
		}
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is missing; see .ci/run", program)
		}
		t.Skipf("%s is missing, so the sheet as a page was not tried in WebKit", program)
	}
}

// TestPageInWebKit: opened from disk in the engine of iPhones and iPads, the sheet
// judges, keeps, fits the screen of a telephone, and gives the visit that the same
// answers give in Markdown; so does every other sheet that the examples fill in, and
// of those that fill in none every box comes back.
func TestPageInWebKit(t *testing.T) {
	needsWebKit(t)
	j := newPageJob(t)
	more := j.moreSheets()
	type filled struct {
		Nowhere             []string
		State, Block, Alarm string
	}
	var a struct {
		filled
		Places     []string
		Said, File string
		Wide       int
		More       []filled
	}
	j.askOf("webkit.cjs", pageQuestion{"url": "file://" + j.page, "entries": j.entries, "where": "S-112, elevation A", "more": more}, &a)
	if len(a.Nowhere) > 0 || a.State != "kept" || a.Alarm != "" || a.Wide > 0 {
		t.Fatalf("boxes that are nowhere: %q; %s; %q; wider than the screen by %d px", a.Nowhere, a.State, a.Alarm, a.Wide)
	}
	file := filepath.Join(t.TempDir(), "filled.html")
	store(t, file, []byte(a.File))
	if got, want := j.collected(file), j.collected(firstVisit); !bytes.Equal(got, want) {
		t.Errorf("it gives another record:\n%s", firstDifference(got, want))
	}
	if len(a.More) != len(more) {
		t.Fatalf("%d sheets came back, want %d", len(a.More), len(more))
	}
	for i, m := range a.More {
		if len(m.Nowhere) > 0 || m.State != "kept" || m.Alarm != "" {
			t.Errorf("%s: boxes that are nowhere: %q; %s; %q", more[i].URL, m.Nowhere, m.State, m.Alarm)
		}
		more[i].cameBack(t, j, m.Block)
	}
	store(t, j.record, j.collected(file))
	if want := j.outcomes("S-112", "A"); !strings.HasPrefix(a.Said, want) {
		t.Errorf("it says %.80q, want %q", a.Said, want)
	}
	if len(a.Places) < 8 || !strings.Contains(strings.Join(a.Places, "\n"), "does not") {
		t.Errorf("the drawing shows %q", a.Places)
	}
}
