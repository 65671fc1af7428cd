package main

import (
	"bufio"
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"setline.example/schema"
)

// TestAsked takes the questions of start as a person at a terminal does, with
// answers that do not serve among them, and reads the record.
func TestAsked(t *testing.T) {
	job := filepath.Join(t.TempDir(), "job.json")
	c := newStart()
	flags := startFlags{output: job, body: map[string]*string{}, firstUnit: map[string]*string{}}
	for _, f := range bodyFlags {
		flags.body[f.name] = new(string)
	}
	for _, f := range unitFlags {
		flags.firstUnit[f.name] = new(string)
	}
	answers := strings.Join([]string{
		"", " Marrow Ridge College ", // the name is needed
		"MR-118", "", "Fennick & Dole", "", "feet", "in",
		"S-112", "A", "A1", "B30", "shelf", "Cabinet", "30", "30 in",
		"drawer / 2 doors", "34 in", "22 in", "1/2 in", "2 in",
	}, "\n") + "\n"
	var asked bytes.Buffer
	if err := flags.ask(bufio.NewReader(strings.NewReader(answers)), &asked); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"name of the job: ", "a record needs this", `found "feet", expected one of in, mm`, `found "shelf", expected one of cabinet, filler`, "no unit", "greatest leveler extension: "} {
		if !strings.Contains(asked.String(), want) {
			t.Errorf("no %q in what was asked:\n%s", want, asked.String())
		}
	}
	c.SetOut(&asked)
	if err := flags.run(c); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(job)
	if err != nil {
		t.Fatal(err)
	}
	rec, _, err := schema.Read(job, data)
	if err != nil {
		t.Fatal(err)
	}
	p := rec.Planned
	if p.Project != (schema.Project{Name: "Marrow Ridge College", Number: "MR-118", Installer: "Fennick & Dole"}) || p.LengthsIn != "in" ||
		p.Rooms[0].Elevations[0].Units[0].Tag != "A1" || p.Cabinets["B30"].Doors() != 2 || p.Cabinets["B30"].Drawers() != 1 || p.Usual.Leveler == nil {
		t.Errorf("%s", data)
	}
}

// TestAskedInVain: where the answers end, nothing is written.
func TestAskedInVain(t *testing.T) {
	flags := startFlags{body: map[string]*string{}, firstUnit: map[string]*string{}}
	err := flags.ask(bufio.NewReader(strings.NewReader("Annex\n")), new(bytes.Buffer))
	if err == nil || !strings.Contains(err.Error(), "the end of the answers") {
		t.Error(err)
	}
}

func TestReplaceFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "job.json")
	text := func(path string) string {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	if err := os.WriteFile(path, []byte("one"), 0o600); err != nil {
		t.Fatal(err)
	}
	kept, err := replaceFile(t.Output(), path, []byte("one"), []byte("two"), true)
	if err != nil || kept != path+".bak" || text(path) != "two" || text(kept) != "one" {
		t.Errorf("%q %v", kept, err)
	}
	if info, err := os.Stat(path); err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("permissions %v, want those it had; %v", info.Mode(), err)
	}
	// Someone else wrote it meanwhile: their text stays, and so does the copy.
	if _, err := replaceFile(t.Output(), path, []byte("one"), []byte("three"), true); err == nil || text(path) != "two" || text(kept) != "one" {
		t.Errorf("another's text was overwritten: %v", err)
	}
	if runtime.GOOS != "windows" {
		link := filepath.Join(dir, "link.json")
		if err := os.Symlink("job.json", link); err != nil {
			t.Fatal(err)
		}
		if _, err := replaceFile(t.Output(), link, []byte("two"), []byte("four"), false); err != nil || text(path) != "four" {
			t.Errorf("through a link: %q %v", text(path), err)
		}
		if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
			t.Error("the link was replaced by a file")
		}
	}
	if _, err := replaceFile(t.Output(), filepath.Join(dir, "gone.json"), nil, nil, false); err == nil {
		t.Error("a file that is not there was replaced")
	}
	left, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil || len(left) > 3 {
		t.Errorf("files left: %v", left)
	}
}
