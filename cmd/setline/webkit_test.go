//go:build unix

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// webkit is WebKitGTK, the engine of the browsers of iPhones and iPads as it is on
// other systems, driven by WebDriver (a W3C recommendation).
type webkit struct {
	t       *testing.T
	session string // its address
}

// newWebKit starts it. Where it is missing the test is skipped, and fails where
// CI=true.
func newWebKit(t *testing.T) *webkit {
	t.Helper()
	long(t)
	for _, program := range []string{"WebKitWebDriver", "xvfb-run"} {
		if _, err := exec.LookPath(program); err == nil {
			continue
		}
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is missing; see .ci/run", program)
		}
		t.Skipf("%s is missing, so the sheet as a page was not tried in WebKit", program)
	}
	port := freePort(t)
	c := exec.Command("xvfb-run", "-a", "WebKitWebDriver", fmt.Sprintf("--port=%d", port))
	home := t.TempDir()
	c.Env = append(os.Environ(), "HOME="+home, "XDG_CACHE_HOME="+home, "XDG_DATA_HOME="+home, "LIBGL_ALWAYS_SOFTWARE=1")
	c.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	w := &webkit{t, fmt.Sprintf("http://127.0.0.1:%d/session", port)}
	t.Cleanup(func() {
		_ = syscall.Kill(-c.Process.Pid, syscall.SIGTERM) // with the display, which takes its files along
		_ = c.Wait()
	})
	var begun struct{ SessionID string }
	w.ask("POST", "", map[string]any{"capabilities": map[string]any{}}, &begun)
	w.session += "/" + begun.SessionID
	t.Cleanup(func() { w.ask("DELETE", "", nil, nil) })
	return w
}

func freePort(t *testing.T) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

// ask sends a command, again while the driver does not listen yet.
func (w *webkit) ask(method, path string, body, answer any) {
	w.t.Helper()
	text, err := json.Marshal(body)
	if err != nil {
		w.t.Fatal(err)
	}
	var r *http.Response
	for range 300 {
		var q *http.Request
		if q, err = http.NewRequest(method, w.session+path, bytes.NewReader(text)); err != nil {
			w.t.Fatal(err)
		}
		if r, err = http.DefaultClient.Do(q); !errors.Is(err, syscall.ECONNREFUSED) {
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	if err != nil {
		w.t.Fatal(err)
	}
	defer r.Body.Close()
	var said struct{ Value json.RawMessage }
	if err = json.NewDecoder(r.Body).Decode(&said); err == nil && r.StatusCode != http.StatusOK {
		err = fmt.Errorf("%.1000s", said.Value)
	}
	if err == nil && answer != nil {
		err = json.Unmarshal(said.Value, answer)
	}
	if err != nil {
		w.t.Fatalf("%s %s: %v", method, path, err)
	}
}

// TestPageInWebKit: opened from disk in the engine of iPhones and iPads, the sheet
// judges, keeps, fits the screen of a telephone, and gives the visit that the same
// answers give in Markdown.
func TestPageInWebKit(t *testing.T) {
	w, j := newWebKit(t), newPageJob(t)
	script := "const fill = " + string(j.read("../../testdata/clients/fill.js")) + ";\n" + string(j.read("../../testdata/clients/webkit.js"))
	w.ask("POST", "/timeouts", map[string]any{"script": 120000}, nil)
	w.ask("POST", "/window/rect", map[string]any{"width": 390, "height": 844}, nil)
	w.ask("POST", "/url", map[string]any{"url": "file://" + j.page}, nil)
	var a struct {
		Nowhere, Places                  []string
		State, Said, File, Alarm, Failed string
		Wide                             int
	}
	w.ask("POST", "/execute/async", map[string]any{"script": script, "args": []any{j.entries, "S-112, elevation A"}}, &a)
	if a.Failed != "" || len(a.Nowhere) > 0 || a.State != "kept" || a.Alarm != "" || a.Wide > 0 {
		t.Fatalf("%s; boxes that are nowhere: %q; %s; %q; wider than the screen by %d px", a.Failed, a.Nowhere, a.State, a.Alarm, a.Wide)
	}
	file := filepath.Join(t.TempDir(), "filled.html")
	store(t, file, []byte(a.File))
	if got, want := j.collected(file), j.collected(firstVisit); !bytes.Equal(got, want) {
		t.Errorf("it gives another record:\n%s", firstDifference(got, want))
	}
	store(t, j.record, j.collected(file))
	if want := j.outcomes("S-112", "A"); !strings.HasPrefix(a.Said, want) {
		t.Errorf("it says %.80q, want %q", a.Said, want)
	}
	if len(a.Places) < 8 || !strings.Contains(strings.Join(a.Places, "\n"), "does not") {
		t.Errorf("the drawing shows %q", a.Places)
	}
}
