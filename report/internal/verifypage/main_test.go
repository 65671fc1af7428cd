package main

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"setline.example/report/sign"
	"setline.example/report/trust"
	"setline.example/report/verify"
)

// inBrowser is a question for testdata/clients/verifypage.cjs.
type inBrowser struct {
	Report string   `json:"report,omitempty"`
	Drop   []string `json:"drop,omitempty"` // names of files dropped at once instead
	Trust  string   `json:"trust,omitempty"`
	Expect []string `json:"expect,omitempty"`
	Day    string   `json:"day"`
	Save   bool     `json:"save,omitempty"`

	says string // what the page says to do about a file that is none
}

// shown is what the page shows for one.
type shown struct {
	Shown          bool
	State, Verdict string
	Answer         string
	Signatures     []string
	Checks         [][]string // result, what, found
	Wide           bool       // wider than the window
	Small          []string   // too small to touch
	Asked, Wrong   []string   // requests that left; errors that a script made, what axe-core finds
}

// TestPage gives reports to the page in a real browser, from disk and with no
// network: it shows what "setline verify" finds, of reports that hold, that were
// changed, that a former version made, and of what is none; with a worker and
// without; on a telephone and on a tablet; in Chromium, and some of them in Firefox
// and in WebKit. It asks nobody anything, and the record that it gives out is that of
// the report (in WebKit, what it asks and what it gives out is not seen).
func TestPage(t *testing.T) {
	outside(t)
	folder := t.TempDir()
	page := filepath.Join(folder, "verify.html")
	if err := write(page); err != nil {
		t.Fatal(err)
	}
	const signed = "../../../testdata/signed/"
	newest := fmt.Sprintf("%sformat-%d/", signed, newestSigned(t, signed))
	report, list := absolute(t, newest+"report.pdf"), absolute(t, newest+"trust.json")
	data, err := os.ReadFile(report)
	if err != nil {
		t.Fatal(err)
	}
	other := slices.Clone(data)
	other[len(other)/3] ^= 1
	changed := filepath.Join(folder, "changed.pdf")
	if err := os.WriteFile(changed, other, 0o644); err != nil {
		t.Fatal(err)
	}
	questions := []inBrowser{
		{Report: report, Day: "2026-11-26"},
		{Report: report, Trust: list, Day: "2026-11-26", Expect: []string{"inspector", "installer"}, Save: true},
		{Report: absolute(t, "../../../README.md"), Day: "2026-11-26"},
		{Report: changed, Trust: list, Day: "2026-11-26"},
		{Report: absolute(t, signed+"format-6/report.pdf"), Day: "2049-01-01", Expect: []string{"contractor"}},
	}
	wrong := wrongFiles(t, folder, data, list)
	for _, device := range []struct {
		name, browser, program string
		width, height          int
		workers                bool
		questions              []inBrowser
	}{
		{"telephone", "chrome", "chromium", 390, 844, true, slices.Concat(questions, wrong)},
		{"tablet without workers", "chrome", "chromium", 1024, 768, false, questions},
		{"Firefox", "firefox", "firefox-esr", 1024, 768, true, questions[1:2]},
		{"WebKit", "webkit", "WebKitWebDriver", 390, 844, true, questions[1:4]},
	} {
		questions := device.questions
		shots := filepath.Join(folder, device.name)
		if err := os.Mkdir(shots, 0o755); err != nil {
			t.Fatal(err)
		}
		answers := drive(t, map[string]any{
			"browser": device.browser, "program": browserAt(t, device.program), "page": page, "width": device.width, "height": device.height,
			"shots": shots, "workers": device.workers, "questions": questions, "axe": device.name == "telephone",
		})
		if len(answers) != len(questions) {
			t.Fatalf("%s: %d answers to %d questions", device.name, len(answers), len(questions))
		}
		for i, s := range answers {
			s.holds(t, device.name, questions[i])
		}
		if device.browser == "webkit" {
			continue
		}
		record, err := os.ReadFile(filepath.Join(shots, "record.json"))
		found := native(t, questions[slices.IndexFunc(questions, func(q inBrowser) bool { return q.Save })])
		if err != nil || !bytes.Equal(record, found.Record) {
			t.Errorf("%s: the record taken out has %d bytes, want the %d of the report's (%v)", device.name, len(record), len(found.Record), err)
		}
	}
}

// newestSigned is the last page format of which a signed report is kept: that of now,
// whose pages are drawn again and compared, until it is raised.
func newestSigned(t *testing.T, folder string) (newest int) {
	t.Helper()
	all, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range all {
		if n, err := strconv.Atoi(strings.TrimPrefix(f.Name(), "format-")); err == nil {
			newest = max(newest, n)
		}
	}
	return newest
}

// wrongFiles are those that are chosen by mistake, each with what the page says to do,
// a report that nobody signed, and one of whose signatures the last was changed.
func wrongFiles(t *testing.T, folder string, report []byte, list string) (all []inBrowser) {
	t.Helper()
	const day = "2026-11-26"
	put := func(name string, data []byte) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	for _, c := range []struct{ name, data, says string }{
		{"photo.jpg", "\xff\xd8\xff\xe0\x00\x10JFIF", "It is a picture. Choose the signed turnover report"},
		{"reports.zip", "PK\x03\x04\x14\x00", "Unpack it."},
		{"record.json", `{"setline": 1}`, "It is data (JSON)"},
		{"nothing.pdf", "", "The file is empty"},
		{"words.txt", "hello", "as it was sent"},
	} {
		all = append(all, inBrowser{Report: put(c.name, []byte(c.data)), Day: day, says: c.says})
	}
	all = append(all, inBrowser{Drop: []string{"first.pdf", "list.json", "second.pdf"}, Day: day, says: "first.pdf and second.pdf at once. Drop one"})
	whole := put("whole.pdf", report)
	all = append(all, inBrowser{Report: whole, Trust: all[0].Report, Day: day, says: "go on without one"})
	end := []byte("%%EOF\n")
	unsigned := report[:bytes.Index(report, end)+len(end)]
	badly := slices.Clone(report)
	last := bytes.LastIndex(badly, []byte("/Contents <")) + 1500 // within the signature
	badly[last] = "01"[1-badly[last]&1]
	return append(all, inBrowser{Report: put("unsigned.pdf", unsigned), Day: day}, inBrowser{Report: put("badly.pdf", badly), Trust: list, Day: day})
}

// holds holds what the page shows against what is found without it.
func (s *shown) holds(t *testing.T, device string, q inBrowser) {
	t.Helper()
	if len(s.Asked) > 0 || len(s.Wrong) > 0 || len(s.Small) > 0 || s.Wide {
		t.Errorf("%s: asked for %q, said %q, too small %q, wider than the page %t", device, s.Asked, s.Wrong, s.Small, s.Wide)
	}
	if q.says != "" {
		if s.Shown || !strings.HasPrefix(s.State, "Cannot be read: ") || !strings.Contains(s.State, q.says) {
			t.Errorf("%s: %s with %s is told as %q, %q", device, q.Report, q.Trust, s.Verdict, s.State)
		}
		return
	}
	found := native(t, q)
	if found == nil {
		if s.Shown || !strings.HasPrefix(s.State, "Cannot be read: "+filepath.Base(q.Report)) {
			t.Errorf("%s: %s is told as %q, %q", device, q.Report, s.Verdict, s.State)
		}
		return
	}
	var text bytes.Buffer
	if err := found.Text(&text, filepath.Base(q.Report)); err != nil {
		t.Fatal(err)
	}
	headline, _, _ := strings.Cut(text.String(), "\n")
	if _, said, _ := strings.Cut(s.Verdict, " "); said != headline || !s.Shown {
		t.Errorf("%s: the page says %q, want %q", device, said, headline)
	}
	if len(s.Signatures) != max(1, len(found.Signatures)) || len(s.Checks) != len(found.Checks) {
		t.Fatalf("%s: %d signatures and %d checks, want %d and %d", device, len(s.Signatures), len(s.Checks), len(found.Signatures), len(found.Checks))
	}
	if found.Answer != "" && s.Answer != found.Answer {
		t.Errorf("%s: the answer is %q, want %q", device, s.Answer, found.Answer)
	}
	for i, signed := range found.Signatures {
		intact := map[bool]string{true: "intact", false: "NOT INTACT"}[signed.Intact]
		if got := s.Signatures[i]; !strings.HasPrefix(got, signed.Name) || !strings.Contains(got, ": "+intact+", "+signed.Trust.Standing+"; ") {
			t.Errorf("%s: signature %d is %q, want %s, %s, %s", device, i+1, got, signed.Name, intact, signed.Trust.Standing)
		}
	}
	words := map[verify.Result]string{verify.Good: "✓ holds", verify.Remark: "! remark", verify.Open: "? not proven", verify.Bad: "✗ does not hold", verify.NotChecked: "– not checked"}
	for i, c := range found.Checks {
		if want := []string{words[c.Result], c.What, onPage.Replace(c.Found)}; !slices.Equal(s.Checks[i], want) {
			t.Errorf("%s: check %d is %q, want %q", device, i+1, s.Checks[i], want)
		}
	}
	if all := fmt.Sprint(s); commandFlag.MatchString(all) {
		t.Errorf("%s: the page names the flag %s, which it has not", device, commandFlag.FindString(all))
	}
}

// commandFlag is one of a command.
var commandFlag = regexp.MustCompile(`--[a-z][a-z-]+`)

// onPage are the words of the page for what a command has flags for.
var onPage = strings.NewReplacer(
	"name a trust list with --trust", "choose above whom you trust",
	"name the folder of the files with --photos", `this page looks at no photographs outside the report; ask who took them, or "setline verify" with their folder`,
	"say which you expect with --room", "look whether it is the rooms that you expect",
	"--extract-report gives", `"Save the part that holds" saves`,
)

// native is what is found without a page; nil where the file is no report.
func native(t *testing.T, q inBrowser) *verify.Found {
	t.Helper()
	day, err := time.Parse(time.DateOnly, q.Day)
	if err != nil {
		t.Fatal(err)
	}
	o := verify.Options{At: day.Add(24*time.Hour - time.Second), Version: version()}
	for _, role := range q.Expect {
		o.Expect = append(o.Expect, sign.Role(role))
	}
	if q.Trust != "" {
		data, err := os.ReadFile(q.Trust)
		if err != nil {
			t.Fatal(err)
		}
		if o.Trust, err = trust.Read(q.Trust, data); err != nil {
			t.Fatal(err)
		}
	}
	data, err := os.ReadFile(q.Report)
	if err != nil {
		t.Fatal(err)
	}
	found, err := verify.Report(data, o)
	if err != nil {
		return nil
	}
	return found
}

// drive asks the browser.
func drive(t *testing.T, ask map[string]any) (all []shown) {
	t.Helper()
	text, err := json.Marshal(ask)
	if err != nil {
		t.Fatal(err)
	}
	c := exec.CommandContext(t.Context(), "node", "../../../testdata/clients/verifypage.cjs")
	c.Stdin = bytes.NewReader(text)
	var said bytes.Buffer
	c.Stderr = &said
	out, err := c.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, said.String())
	}
	lines := bufio.NewScanner(bytes.NewReader(out))
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var s shown
		if err := json.Unmarshal(lines.Bytes(), &s); err != nil {
			t.Fatalf("%v in %s", err, lines.Bytes())
		}
		all = append(all, s)
	}
	return all
}

// outside sees to it that the browsers are there, and what drives them.
func outside(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("it builds a program and starts a browser, so this was not checked (-short)")
	}
	if err := exec.Command("node", "-e", `require.resolve("puppeteer-core")`).Run(); err != nil {
		missing(t, "node with puppeteer-core in NODE_PATH")
	}
	browserAt(t, "chromium")
	browserAt(t, "firefox-esr")
	browserAt(t, "WebKitWebDriver")
	browserAt(t, "xvfb-run")
}

// browserAt finds a browser, or what drives it.
func browserAt(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		missing(t, name)
	}
	return path
}

func missing(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s: not there; .ci/run installs it", what)
	}
	t.Skipf("%s: not there; .ci/run installs it", what)
}

func absolute(t *testing.T, path string) string {
	t.Helper()
	all, err := filepath.Abs(path)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// TestPolicy: the page runs its own scripts and style, by their hashes, and
// nothing else; what could end a script early is refused.
func TestPolicy(t *testing.T) {
	made, err := page([]byte("program"), "// runs", "licence <of> all")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"default-src 'none'", "base-uri 'none'", "form-action 'none'", "licence &lt;of&gt; all", policy("// runs\n"+engine, script, style)} {
		if !bytes.Contains(made, []byte(want)) {
			t.Errorf("the page does not say %s", want)
		}
	}
	for _, no := range []string{"unsafe-inline", "'unsafe-eval'", "http:", "https:", " src=", "<link"} {
		if bytes.Contains(made, []byte(no)) {
			t.Errorf("the page has %s", no)
		}
	}
	if _, err := page(nil, "</script>", ""); err == nil {
		t.Error("a script that ends itself is taken")
	}
}

// TestProgramInPieces: no element of the page is as long as WebKit takes seconds for,
// and all of them together are the program.
func TestProgramInPieces(t *testing.T) {
	program := make([]byte, 1<<20)
	rand.NewChaCha8([32]byte{}).Read(program) // which packs badly
	made, err := page(program, "", "")
	if err != nil {
		t.Fatal(err)
	}
	var packed strings.Builder
	for _, m := range regexp.MustCompile(`class="program">([^<]*)<`).FindAllSubmatch(made, -1) {
		if len(m[1]) > piece {
			t.Errorf("a piece has %d bytes, expected at most %d", len(m[1]), piece)
		}
		packed.Write(m[1])
	}
	raw, err := base64.StdEncoding.DecodeString(packed.String())
	if err != nil {
		t.Fatal(err)
	}
	r, err := gzip.NewReader(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	if got, err := io.ReadAll(r); err != nil || !bytes.Equal(got, program) {
		t.Errorf("the pieces hold %d bytes, want the %d of the program (%v)", len(got), len(program), err)
	}
}
