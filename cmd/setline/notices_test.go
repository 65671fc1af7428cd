package main

import (
	"cmp"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var updateNotices = flag.Bool("update-notices", false, "write notices.txt anew")

// systems are those for which the program is handed out; each has modules of its own.
var systems = []string{"linux/amd64", "linux/arm64", "darwin/amd64", "darwin/arm64", "windows/amd64", "windows/arm64"}

// TestNotices: what "version --notices" prints is the licence of the program, and
// every licence that the modules inside it, the fonts and the Go library carry.
func TestNotices(t *testing.T) {
	long(t)
	want := noticesOf(t, modulesInside(t))
	if *updateNotices {
		if err := os.WriteFile("notices.txt", []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if notices != want {
		t.Error("notices.txt is stale: run this test with -update-notices")
	}
	for _, words := range []string{"Apache License", "SIL OPEN FONT LICENSE Version 1.1", "Bitstream Vera", "Copyright 2009 The Go Authors"} {
		if !strings.Contains(notices, words) {
			t.Errorf("no %q in the notices", words)
		}
	}
}

// inside is a module whose packages are inside the program.
type inside struct{ path, version, dir string }

func modulesInside(t *testing.T) []inside {
	t.Helper()
	var all []inside
	for _, system := range systems {
		goos, goarch, _ := strings.Cut(system, "/")
		list := exec.CommandContext(t.Context(), "go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Version}}\t{{.Dir}}{{end}}{{end}}", ".")
		list.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS="+goos, "GOARCH="+goarch)
		out, err := list.Output()
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(string(out)) {
			if part := strings.Split(strings.TrimSpace(line), "\t"); len(part) == 3 {
				all = append(all, inside{part[0], part[1], part[2]})
			}
		}
	}
	slices.SortFunc(all, func(a, b inside) int { return cmp.Compare(a.path, b.path) })
	return slices.Compact(all)
}

// licenceFile is how modules name the files that have to travel with them.
var licenceFile = regexp.MustCompile(`(?i)^(licen[sc]e|copying|notice|patents|authors)`)

// noticesOf writes the licences of modules, each text once with all that have it.
func noticesOf(t *testing.T, modules []inside) string {
	t.Helper()
	root, err := exec.CommandContext(t.Context(), "go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	modules = append(modules, inside{"the Go library", "", strings.TrimSpace(string(root))})
	texts, users := map[string]string{}, map[string][]string{}
	var order []string
	ours := ""
	for _, m := range modules {
		names := licencesIn(t, m)
		for _, name := range names {
			b, err := os.ReadFile(filepath.Join(m.dir, name))
			if err != nil {
				t.Fatal(err)
			}
			text := strings.TrimSpace(strings.ReplaceAll(string(b), "\r\n", "\n"))
			key := strings.Join(strings.Fields(text), " ")
			if _, ok := texts[key]; !ok {
				texts[key], order = text, append(order, key)
			}
			users[key] = append(users[key], strings.TrimSpace(m.path+" "+m.version)+" ("+name+")")
			if strings.HasPrefix(key, "Apache License Version 2.0, January 2004") && strings.HasSuffix(key, "limitations under the License.") {
				ours = text
			}
		}
	}
	if ours == "" {
		t.Fatal("no module carries the Apache License 2.0 whole")
	}
	var out strings.Builder
	fmt.Fprintf(&out, "Setline is licensed under the Apache License 2.0 (SPDX: Apache-2.0):\n\n%s\n", indented(ours))
	fmt.Fprintf(&out, "\nThe program holds what others wrote, under these licences:\n")
	for _, key := range order {
		fmt.Fprintf(&out, "\n%s\n\n%s\n", strings.Join(users[key], "\n"), indented(texts[key]))
	}
	return out.String()
}

func licencesIn(t *testing.T, m inside) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(m.dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if licenceFile.MatchString(e.Name()) && !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	if len(names) == 0 {
		t.Errorf("%s %s carries no licence", m.path, m.version)
	}
	return names
}

// indented sets a text apart from what is said of it.
func indented(text string) string {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		lines[i] = strings.TrimRight("    "+line, " \t")
	}
	return strings.Join(lines, "\n")
}
