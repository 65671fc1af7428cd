package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/filledpdf"
	"setline.example/schema"
)

// largeJob is a record with so many units that its sheet has to be split: in
// rooms whose names no file system takes as they are, and one that is too
// large for one sheet by itself.
func largeJob(t *testing.T) (path string, rooms []string) {
	dir := t.TempDir()
	rooms = []string{"Prep", "PREP", "a:b", `a\b`, "..", "Žluť 1", "CON", strings.Repeat("x", 60), "large"}
	var units strings.Builder
	units.WriteString("room,elevation,tag,part,kind,width,front\n")
	for i, room := range rooms {
		n := 3
		if i == len(rooms)-1 {
			n = 400
		}
		for k := range n {
			fmt.Fprintf(&units, "%s,%d,U%d,B2,cabinet,24 in,2 drawers 6 in / 2 doors\n", room, k/25+1, k+1)
		}
	}
	path = filepath.Join(dir, "job.json")
	store(t, filepath.Join(dir, "units.csv"), []byte(units.String()))
	var said bytes.Buffer
	code := run([]string{"start", "-o", path, "--name", "Large", "--height", "34 in", "--depth", "22 in", "--gauge", "18", "--front-rail-depth", "7/8 in",
		"--leveler-least", "1/2 in", "--leveler-greatest", "2 in", "--threads", "16", "--units", filepath.Join(dir, "units.csv")}, strings.NewReader(""), &said, &said)
	if code != exitReady {
		t.Fatal(said.String())
	}
	return path, rooms
}

// TestSheetsOfALargeJob: a large job is split by room by itself, all that is
// written can be read back, and one collect takes all of it.
func TestSheetsOfALargeJob(t *testing.T) {
	if testing.Short() {
		t.Skip("it writes some 30,000 boxes twice, so this was not checked (-short)")
	}
	path, rooms := largeJob(t)
	for _, end := range []string{"pdf", "md"} {
		out := filepath.Join(filepath.Dir(path), "out-"+end)
		if err := os.Mkdir(out, 0o700); err != nil {
			t.Fatal(err)
		}
		var said bytes.Buffer
		code := run([]string{"sheet", path, "--all", "-o", filepath.Join(out, "sheet."+end)}, strings.NewReader(""), &said, &said)
		if code != exitReady || !strings.Contains(said.String(), "split by room") {
			t.Fatalf("exit code %d\n%s", code, said.String())
		}
		written, err := filepath.Glob(filepath.Join(out, "sheet-*."+end))
		if err != nil || len(written) < len(rooms)+1 {
			t.Fatalf("%q, %v", written, err)
		}
		if entries := beside(t, filepath.Join(out, "x")); len(entries) != len(written) {
			t.Errorf("%q is there", entries)
		}
		if end == "pdf" {
			readBack(t, written)
			continue
		}
		collectAll(t, path, written, rooms)
	}
}

func readBack(t *testing.T, written []string) {
	boxes := 0
	for _, name := range written {
		f, err := filledpdf.Read(name, fetch(t, name))
		if err != nil || f.Plan == "" {
			t.Errorf("%s cannot be read back: %v", name, err)
			continue
		}
		if boxes += len(f.Entries); len(f.Entries) > fieldsheet.MostBoxes {
			t.Errorf("%s has %d boxes", name, len(f.Entries))
		}
	}
	if boxes <= fieldsheet.MostBoxes {
		t.Errorf("only %d boxes in all, so that nothing was shown", boxes)
	}
}

func collectAll(t *testing.T, path string, written, rooms []string) {
	args := []string{"collect", path}
	for _, name := range written {
		text := string(fetch(t, name))
		text = strings.Replace(text, "- Date of the visit (YYYY-MM-DD): ___", "- Date of the visit (YYYY-MM-DD): 2026-10-01", 1)
		text = strings.Replace(text, "- Who, 1, name: ___", "- Who, 1, name: Ada Fitter", 1)
		before := strings.Count(text, "[x]")
		if text = strings.Replace(text, "works:\n  - [ ] yes", "works:\n  - [x] yes", 1); strings.Count(text, "[x]") == before {
			t.Fatalf("%s has nothing to tick:\n%.3000s", name, text)
		}
		store(t, name, []byte(text))
		args = append(args, name)
	}
	var said bytes.Buffer
	if code := run(args, strings.NewReader(""), &said, &said); code != exitReady {
		t.Fatalf("exit code %d\n%s", code, said.String())
	}
	rec, _, err := schema.Read(path, fetch(t, path))
	if err != nil {
		t.Fatal(err)
	}
	if v := rec.Measured.Visits; len(v) != 1 || len(v[0].Rooms) != len(rooms) {
		t.Errorf("%d visits, the first of %d rooms, want one of %d\n%s", len(v), len(v[0].Rooms), len(rooms), said.String())
	}
}

// TestSheetNames: whatever rooms are called, every sheet has a name that a file
// can have everywhere, in the folder of the output, and that no other has.
func TestSheetNames(t *testing.T) {
	var parts []fieldsheet.Part
	for _, room := range []string{"S-104", "s-104", "S-104_2", "a/b", `a\b`, "a:b", "..", ".", "../../x", "é", "e\u0301", "É", "", " ", "con", "x\x00y", strings.Repeat("ž", 300), strings.Repeat("ž", 301), "*?", "ﬁ", "fi", "ß", "SS"} {
		parts = append(parts, fieldsheet.Part{Room: room}, fieldsheet.Part{Room: room, Number: 2})
	}
	seen := map[string]string{}
	for i, path := range sheetNames(filepath.Join("out", "sheet.pdf"), parts) {
		dir, name := filepath.Split(path)
		if dir != "out"+string(filepath.Separator) || !strings.HasPrefix(name, "sheet-") || filepath.Ext(name) != ".pdf" || len(name) > 200 || strings.ContainsAny(name, "/\\:*?\"<>|\x00 ") {
			t.Errorf("%q for the room %q", path, parts[i].Room)
		}
		if other, twice := seen[folded(path)]; twice {
			t.Errorf("%q and %q", path, other)
		}
		seen[folded(path)] = path
	}
	// What it was is what it is: the names do not depend on anything else.
	if got := sheetNames("sheet.md", parts[:2]); got[0] != "sheet-S-104.md" || got[1] != "sheet-S-104-2.md" {
		t.Errorf("%q", got)
	}
}

// TestSheetsAllOrNone: where one sheet cannot be written, none is.
func TestSheetsAllOrNone(t *testing.T) {
	dir := t.TempDir()
	parts := make([]fieldsheet.Part, 5)
	for i := range parts {
		parts[i] = fieldsheet.Part{Room: fmt.Sprint("R", i)}
	}
	blocked := filepath.Join(dir, "sheet-R3.md")
	store(t, filepath.Join(dir, "sheet-R1.md"), []byte("old"))
	for name, block := range map[string]func() error{
		"a folder in its place": func() error { return os.Mkdir(blocked, 0o700) },
		"read-only":             func() error { return os.WriteFile(blocked, []byte("mine"), 0o400) },
	} {
		if err := block(); err != nil {
			t.Fatal(err)
		}
		if _, err := writeSheets(t.Output(), filepath.Join(dir, "sheet.md"), nil, parts, func([]byte) string { return "" }, func(_ fieldsheet.Part, w io.Writer) error { return these([]byte("new"))(w) }); err == nil {
			t.Errorf("%s: written", name)
		}
		if left := beside(t, blocked); len(left) != 1 || string(fetch(t, filepath.Join(dir, left[0]))) != "old" {
			t.Errorf("%s: %q is there", name, left)
		}
		if err := os.Remove(blocked); err != nil {
			t.Fatal(err)
		}
	}
}
