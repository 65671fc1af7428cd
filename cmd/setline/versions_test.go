package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"setline.example/report"
)

// otherVersion builds Setline with words of its files exchanged, as another
// version of it has them, and returns the program.
func otherVersion(t *testing.T, name string, exchanged map[string][2]string) string {
	t.Helper()
	dir := t.TempDir()
	overlay := struct{ Replace map[string]string }{map[string]string{}}
	for file, words := range exchanged {
		path, err := filepath.Abs(filepath.Join("..", "..", file))
		if err != nil {
			t.Fatal(err)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(text, []byte(words[0])) {
			t.Fatalf("%s does not hold %q", file, words[0])
		}
		other := filepath.Join(dir, strings.ReplaceAll(file, "/", "-"))
		if err := os.WriteFile(other, bytes.Replace(text, []byte(words[0]), []byte(words[1]), 1), 0o600); err != nil {
			t.Fatal(err)
		}
		overlay.Replace[path] = other
	}
	text, err := json.Marshal(overlay)
	if err != nil {
		t.Fatal(err)
	}
	list, program := filepath.Join(dir, "overlay.json"), filepath.Join(dir, name)
	if err := os.WriteFile(list, text, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.CommandContext(t.Context(), "go", "build", "-overlay", list, "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	return program
}

// versionCalls are calls of two versions of the program in one folder.
type versionCalls struct {
	t     *testing.T
	dir   string
	other string // the program of the other version
}

// call runs this version, or the other one, and holds its exit code. It returns
// all that is printed.
func (v versionCalls) call(other bool, exit int, args ...string) string {
	v.t.Helper()
	var out bytes.Buffer
	code := 0
	if other {
		c := exec.CommandContext(v.t.Context(), v.other, args...)
		c.Stdout, c.Stderr = &out, &out
		c.Run()
		code = c.ProcessState.ExitCode()
	} else {
		code = run(args, strings.NewReader(""), &out, &out)
	}
	if code != exit {
		v.t.Fatalf("setline %s (the other version: %v) ends with %d, expected %d\n%s", strings.Join(args, " "), other, code, exit, out.String())
	}
	return out.String()
}

func (v versionCalls) path(name string) string { return filepath.Join(v.dir, name) }

// holds holds that all of the words stand in a text.
func (v versionCalls) holds(text string, words ...string) {
	v.t.Helper()
	for _, w := range words {
		if !strings.Contains(text, w) {
			v.t.Errorf("found no %q in\n%s", w, text)
		}
	}
}

// made makes a report of an example with one of the versions.
func (v versionCalls) made(other bool, name, record string, exit int) string {
	v.t.Helper()
	v.call(other, exit, "report", "../../examples/"+record+"/job.json", "-o", v.path(name), "--date", "2026-10-02")
	return v.path(name)
}

// sign signs in place with one of the versions.
func (v versionCalls) sign(other bool, exit int, report, as string, more ...string) string {
	v.t.Helper()
	return v.call(other, exit, append([]string{"sign", report, "--identity", v.path("me.p12"), "--as", as, "--passphrase-file", v.path("secret.txt")}, more...)...)
}

// withIdentity makes the folder in which two versions work.
func withIdentity(t *testing.T, other string) versionCalls {
	t.Helper()
	v := versionCalls{t, t.TempDir(), other}
	if err := os.WriteFile(v.path("secret.txt"), []byte("correct horse\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	v.call(false, 0, "identity", "new", "-o", v.path("me.p12"), "--name", "Ada", "--passphrase-file", v.path("secret.txt"))
	return v
}

// raised is the number of the next page format, in its file.
func raised() [2]string {
	return [2]string{fmt.Sprintf("%d\n", report.PageFormat()), fmt.Sprintf("%d\n", report.PageFormat()+1)}
}

// TestTwoVersions: of what another version of Setline made, signed and
// untouched, each says that nothing speaks against it and that it cannot draw
// its pages, and which version can; and either can countersign it.
func TestTwoVersions(t *testing.T) {
	long(t)
	v := withIdentity(t, otherVersion(t, "later", map[string][2]string{
		"report/pageformat.txt": raised(),
		"templates/turnover.md": {"## Results by room", "## What was found, by room"},
		// A rule that judges otherwise, too.
		"checks/flat.go": {"Limit:     LengthOf(length.Inch / 16),\n\tBothSides: true", "Limit:     LengthOf(length.Inch / 32),\n\tBothSides: true"},
	}))
	format := map[bool]int{false: report.PageFormat(), true: report.PageFormat() + 1}
	for _, by := range []bool{false, true} {
		t.Run(fmt.Sprintf("made by the other version %v", by), func(t *testing.T) {
			v.t = t
			file := v.made(by, fmt.Sprintf("%v.pdf", by), "metric", 0)
			// Nobody has signed it: nobody else can hold its pages against its record.
			v.holds(v.sign(!by, 2, file, "installer"), "found a report without a signature that is intact", "sign it first with that version")
			v.sign(by, 0, file, "inspector")
			v.holds(v.call(by, 0, "verify", file), "HOLDS; its answer is READY", "the same byte for byte")
			unclear := func() {
				t.Helper()
				text := v.call(!by, 3, "verify", file)
				first, _, _ := strings.Cut(text, "\n")
				v.holds(first, "INDETERMINATE; its pages are not proven; they are said to be by Setline "+version(), fmt.Sprintf("page format %d", format[by]))
				if strings.Contains(first, "READY") {
					t.Errorf("an answer that is not proven stands in the first line: %s", first)
				}
				v.holds(text, fmt.Sprintf("said to be of format %d by Setline %q, and this Setline, %s, draws format %d; verify with that version", format[by], version(), version(), format[!by]),
					"a result that is judged otherwise here", "cabinet-twist at ")
				v.holds(v.call(!by, 3, "verify", file, "--format", "json"), `"verdict": "indeterminate"`, `"holds": false`, `"answer": ""`)
			}
			unclear()
			// Countersigned by the version that cannot draw it, it is what it was.
			v.holds(v.sign(!by, 0, file, "installer"), fmt.Sprintf("its pages are of format %d", format[by]), "they were not held against the record; signatures intact: 1; results that this Setline judges otherwise: ")
			v.holds(v.call(by, 0, "verify", file, "--expect", "inspector,installer"), "HOLDS; its answer is READY")
			unclear()
			// With a signature that is broken it is signed by nobody, and does not hold.
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			at := bytes.LastIndex(data, []byte("/M (D:")) + len("/M (D:2")
			data[at] ^= 1
			broken := v.path("broken.pdf")
			if err := os.WriteFile(broken, data, 0o600); err != nil {
				t.Fatal(err)
			}
			v.holds(v.sign(!by, 2, broken, "contractor"), "found a report without a signature that is intact")
			v.holds(v.call(!by, 1, "verify", broken), "DOES NOT HOLD", "the bytes it covers were changed after signing")
			if after, err := os.ReadFile(broken); err != nil || !bytes.Equal(after, data) {
				t.Errorf("a refused report was changed: %v", err)
			}
		})
	}
}

// TestForgersVersion: a program made to print another answer is found out where
// it claims this page format, and where it claims another.
func TestForgersVersion(t *testing.T) {
	long(t)
	lie := [2]string{"> ## {{.Answer}}", "> ## READY"}
	for name, exchanged := range map[string]map[string][2]string{
		"claims this format":  {"report/fixed/answer.md": lie},
		"claims the next one": {"report/fixed/answer.md": lie, "report/pageformat.txt": raised()},
	} {
		t.Run(name, func(t *testing.T) {
			v := withIdentity(t, otherVersion(t, "forger", exchanged))
			file := v.made(true, "forged.pdf", "annex", 1)
			v.sign(true, 0, file, "inspector", "--inspection")
			text := v.call(false, 1, "verify", file)
			v.holds(text, "forged.pdf: DOES NOT HOLD\n")
			v.sign(false, 2, file, "installer", "--inspection")
		})
	}
}
