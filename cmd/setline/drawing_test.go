package main

import (
	"flag"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
)

var updateDrawing = flag.Bool("update-drawing", false, "draw anew in DEVELOPERS.md who imports whom")

// The drawing stands in DEVELOPERS.md between these lines.
const (
	drawingBegins = "Who imports whom"
	drawingFence  = "```"
)

// importsOfFolders are the folders of ours that the code of each folder imports,
// tests aside.
func importsOfFolders(t *testing.T) map[string][]string {
	t.Helper()
	all := map[string]map[string]bool{}
	for _, f := range goFiles(t) {
		if f.test || below(f.folder, "testdata") {
			continue
		}
		if all[f.folder] == nil {
			all[f.folder] = map[string]bool{}
		}
		for _, i := range f.imports {
			if to, ours := strings.CutPrefix(i, module); ours {
				all[f.folder][to] = true
			}
		}
	}
	sorted := map[string][]string{}
	for folder, to := range all {
		sorted[folder] = slices.Sorted(maps.Keys(to))
	}
	return sorted
}

// drawn draws them: floor above floor, what imports nothing of ours at the
// bottom. What a package imports by way of another one that it imports is left out.
func drawn(imports map[string][]string) string {
	floor := map[string]int{}
	var height func(string) int
	height = func(folder string) int {
		if n, known := floor[folder]; known {
			return n
		}
		n := 0
		for _, to := range imports[folder] {
			n = max(n, height(to)+1)
		}
		floor[folder] = n
		return n
	}
	folders := slices.Sorted(maps.Keys(imports))
	top, widest := 0, 0
	for _, f := range folders {
		top, widest = max(top, height(f)), max(widest, len(f))
	}
	var reaches func(from, to string) bool
	reaches = func(from, to string) bool {
		return from == to || slices.ContainsFunc(imports[from], func(i string) bool { return reaches(i, to) })
	}
	var b strings.Builder
	for n := top; n >= 0; n-- {
		for _, f := range folders {
			if floor[f] != n {
				continue
			}
			direct := slices.DeleteFunc(slices.Clone(imports[f]), func(to string) bool {
				return slices.ContainsFunc(imports[f], func(other string) bool { return other != to && reaches(other, to) })
			})
			line := f
			if len(direct) > 0 {
				line += strings.Repeat(" ", widest-len(f)) + " -> " + strings.Join(direct, ", ")
			}
			b.WriteString(line + "\n")
		}
		if n > 0 {
			b.WriteString("\n")
		}
	}
	return b.String()
}

// TestDrawingOfImports: the drawing in DEVELOPERS.md is of the code as it is.
func TestDrawingOfImports(t *testing.T) {
	const name = "../../DEVELOPERS.md"
	page, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok := strings.Cut(string(page), drawingBegins)
	intro, rest, ok2 := strings.Cut(rest, drawingFence+"\n")
	old, after, ok3 := strings.Cut(rest, drawingFence+"\n")
	if !ok || !ok2 || !ok3 {
		t.Fatalf("DEVELOPERS.md has no drawing behind %q", drawingBegins)
	}
	now := drawn(importsOfFolders(t))
	if strings.Count(now, "\n") < 25 {
		t.Fatalf("too few packages are drawn:\n%s", now)
	}
	if old == now {
		return
	}
	if *updateDrawing {
		text := before + drawingBegins + intro + drawingFence + "\n" + now + drawingFence + "\n" + after
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Errorf("the drawing in DEVELOPERS.md is not of the code as it is; draw it anew with\n\tgo test ./cmd/setline -run TestDrawingOfImports -update-drawing\nthe code is\n%s", now)
}
