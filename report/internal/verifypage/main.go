// Command verifypage makes the page that verifies: one file that a browser opens
// from disk, takes a signed report, and says what "setline verify" says of it.
// The program in it is built by the Go that runs this, for js/wasm, and packed;
// the same source, version and Go make the same bytes.
//
//	go run ./report/internal/verifypage -o verify.html
package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"text/template"

	"setline.example/report"
)

//go:embed page.html
var html string

//go:embed page.css
var style string

//go:embed engine.js
var engine string

//go:embed page.js
var script string

func main() {
	output := flag.String("o", "verify.html", "page to write")
	flag.Parse()
	if err := write(*output); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
}

// write makes the page and writes it whole.
func write(path string) error {
	program, err := build()
	if err != nil {
		return err
	}
	runs, err := support()
	if err != nil {
		return err
	}
	licences, err := licences()
	if err != nil {
		return err
	}
	page, err := page(program, runs, licences)
	if err != nil {
		return err
	}
	part := path + ".part"
	if err := os.WriteFile(part, page, 0o644); err != nil {
		return err
	}
	return os.Rename(part, path)
}

// program is what the page runs.
const program = "setline.example/report/internal/verifypage/program"

// build builds it. What the environment says of flags is left out, so that only
// source, version and Go decide the bytes.
func build() ([]byte, error) {
	folder, err := os.MkdirTemp("", "verifypage")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	name := filepath.Join(folder, "program.wasm")
	c := exec.Command("go", "build", "-trimpath", "-buildvcs="+stamped(), "-ldflags=-s -w", "-o", name, program)
	c.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOFLAGS=", "GOWASM=", "GOEXPERIMENT=", "CGO_ENABLED=0")
	if said, err := c.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("the program of the page cannot be built: %w\n%s", err, said)
	}
	return os.ReadFile(name)
}

// stamped is whether the program is to know its version: where this one does,
// which is built with -buildvcs=true for a release.
func stamped() string {
	if version() == "devel" {
		return "false"
	}
	return "true"
}

// version is that of the source, as it was built.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "devel"
}

// support is the script with which Go's programs run in browsers, from the Go
// that builds them, which it has to be of.
func support() (string, error) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return "", fmt.Errorf("go env GOROOT: %w", err)
	}
	text, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	return string(text), err
}

// licences are those of all that is inside, as "setline version --notices"
// prints them: who hands the page out hands them out.
func licences() (string, error) {
	root, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}").Output()
	if err != nil {
		return "", fmt.Errorf("go list -m: %w", err)
	}
	text, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "cmd", "setline", "notices.txt"))
	return string(text), err
}

// page puts the page together.
func page(program []byte, runs, licences string) ([]byte, error) {
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(program); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	engine := runs + "\n" + engine
	for _, part := range []string{engine, script, style} {
		if strings.Contains(part, "</") {
			return nil, fmt.Errorf("a script or style has %q, which ends it", "</")
		}
	}
	var out bytes.Buffer
	err = template.Must(template.New("page").Parse(html)).Execute(&out, map[string]any{
		"Policy": policy(engine, script, style), "Style": style, "Engine": engine, "Script": script,
		"Program": pieces(base64.StdEncoding.EncodeToString(packed.Bytes())),
		"Version": version(), "PageFormat": report.PageFormat(), "Licences": template.HTMLEscapeString(licences),
	})
	return out.Bytes(), err
}

// piece is the most that one element holds of the program. WebKit reads an element of
// 10 MB for ten seconds, and as much in pieces in less than one.
const piece = 64 << 10

func pieces(text string) (all []string) {
	for part := range slices.Chunk([]byte(text), piece) {
		all = append(all, string(part))
	}
	return all
}

// policy is what the page allows itself: its own scripts, its own style, a
// worker made of its own text, and no request to anybody.
func policy(engine, script, style string) string {
	hash := func(text string) string {
		sum := sha256.Sum256([]byte(text))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return "default-src 'none'; script-src " + hash(engine) + " " + hash(script) + " 'wasm-unsafe-eval'; worker-src blob:; style-src " +
		hash(style) + "; base-uri 'none'; form-action 'none'"
}
