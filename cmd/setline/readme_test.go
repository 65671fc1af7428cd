package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

var exitComment = regexp.MustCompile(`# exit (\d)`)

// TestReadmeCommands runs every command of README.md, word for word, in a
// folder that has the examples. A comment "# exit 1" says how it must end.
func TestReadmeCommands(t *testing.T) {
	long(t)
	if runtime.GOOS == "windows" {
		t.Skip("the commands of README.md are for a POSIX shell")
	}
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	dir, bin := t.TempDir(), t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "examples"), os.DirFS("../../examples")); err != nil {
		t.Fatal(err)
	}
	build := exec.CommandContext(t.Context(), "go", "build", "-o", filepath.Join(bin, "setline"), ".")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	commands := shellLines(readme)
	if len(commands) < 10 {
		t.Fatalf("README.md has %d commands; were its fences found?", len(commands))
	}
	var said strings.Builder
	for _, line := range commands {
		t.Run(line, func(t *testing.T) {
			if line == "go test ./..." {
				t.Skip("this is that command")
			}
			want := 0
			if m := exitComment.FindStringSubmatch(line); m != nil {
				want, _ = strconv.Atoi(m[1])
			}
			// go run builds from the repository and gives the program's exit code as its own 1.
			line := strings.Replace(line, "go run ./cmd/setline", "setline", 1)
			c := exec.CommandContext(t.Context(), "sh", "-c", line)
			c.Dir = dir
			c.Env = append(os.Environ(), "PATH="+bin+string(os.PathListSeparator)+os.Getenv("PATH"))
			out, err := c.CombinedOutput()
			said.Write(out)
			code := 0
			var ee *exec.ExitError
			switch {
			case errors.As(err, &ee):
				code = ee.ExitCode()
			case err != nil:
				t.Fatal(err)
			}
			if code != want {
				t.Errorf("exit code %d, want %d:\n%s", code, want, out)
			}
		})
	}
	for _, shown := range blocks(readme, "text") {
		if !strings.Contains(said.String(), shown) {
			t.Errorf("no command prints\n%s", shown)
		}
	}
	if pdf, err := os.ReadFile(filepath.Join(dir, "turnover.pdf")); err != nil || !bytes.HasPrefix(pdf, []byte("%PDF-1.7")) {
		t.Errorf("the first command left no PDF: %v", err)
	}
}

// blocks gives the fenced blocks marked so.
func blocks(markdown []byte, mark string) (all []string) {
	for i, part := range strings.Split(string(markdown), "```") {
		if text, is := strings.CutPrefix(part, mark+"\n"); is && i%2 == 1 {
			all = append(all, text)
		}
	}
	return all
}

// shellLines gives the lines of the fenced blocks marked sh.
func shellLines(markdown []byte) []string {
	var lines []string
	in := false
	for line := range strings.Lines(string(markdown)) {
		line = strings.TrimSpace(line)
		switch {
		case line == "```sh":
			in = true
		case strings.HasPrefix(line, "```"):
			in = false
		case in && line != "":
			lines = append(lines, line)
		}
	}
	return lines
}
