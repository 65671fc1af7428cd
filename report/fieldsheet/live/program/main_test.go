//go:build !js

package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/report/fieldsheet/live"
	"setline.example/schema"
)

// most is how large the program may be where it is sent over a network: what
// judges takes nearly all of it.
const most = 2_400_000

// built builds the program with the tag onepass for a system.
func built(t *testing.T, env []string, flags ...string) string {
	t.Helper()
	if testing.Short() {
		t.Skip("it builds a program, so this was not checked (-short)")
	}
	name := filepath.Join(t.TempDir(), "program.exe")
	build := exec.Command("go", append(append([]string{"build", "-tags", "onepass"}, flags...), "-o", name, ".")...)
	build.Env = append(os.Environ(), env...)
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return name
}

// TestSmall: the program is small for a page in a browser.
func TestSmall(t *testing.T) {
	program, err := os.ReadFile(built(t, []string{"GOOS=js", "GOARCH=wasm"}, "-trimpath", "-ldflags=-s -w"))
	if err != nil {
		t.Fatal(err)
	}
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(program); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	t.Logf("%d bytes for js/wasm, %d packed by gzip -9", len(program), packed.Len())
	if packed.Len() > most {
		t.Errorf("%d bytes packed, expected at most %d", packed.Len(), most)
	}
}

// requests opens every room of an example and asks about it, with answers and without.
func requests(t *testing.T, example string) []byte {
	t.Helper()
	data, err := os.ReadFile("../../../../examples/" + example + "/job.json")
	if err != nil {
		t.Fatal(err)
	}
	rec, _, err := schema.Read(example, data)
	if err != nil {
		t.Fatal(err)
	}
	var all bytes.Buffer
	line := func(q request) {
		text, err := json.Marshal(q)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(append(text, '\n'))
	}
	for _, room := range rec.Planned.Rooms {
		text, err := live.OfRoom(rec, room.Name)
		if err != nil {
			t.Fatal(err)
		}
		line(request{Open: string(text)})
		line(request{Judge: &live.Question{Today: "2026-12-01"}})
		units := room.Elevations[0].Units
		gap := checks.PlaceName("rooms", room.Name, "joints", units[0].Tag+"+"+units[1].Tag, "gap")
		line(request{Judge: &live.Question{Today: "2026-12-01", Entries: map[string]live.Entry{gap: {Text: "1/4 in"}, "date": {Text: "soon"}}}})
	}
	line(request{Open: strings.Replace(string(data), `"tag"`, `"teg"`, 1)})
	return all.Bytes()
}

// TestOnePassJudgesTheSame: without the general validator the program answers the
// same, and refuses a record that does not fit by the place of what does not.
func TestOnePassJudgesTheSame(t *testing.T) {
	program := built(t, nil)
	for _, name := range []string{"annex", "metric"} {
		asked := requests(t, name)
		var want bytes.Buffer
		if err := serve(bytes.NewReader(asked), &want); err != nil {
			t.Fatal(err)
		}
		run := exec.Command(program)
		run.Stdin = bytes.NewReader(asked)
		got, err := run.Output()
		if exit := (*exec.ExitError)(nil); errors.As(err, &exit) {
			t.Logf("%s", exit.Stderr)
		}
		if err != nil {
			t.Fatal(err)
		}
		same, wanted := strings.Split(string(got), "\n"), strings.Split(want.String(), "\n")
		if len(same) != len(wanted) {
			t.Fatalf("%s: %d answers, want %d", name, len(same), len(wanted))
		}
		last := len(same) - 2 // what refuses a record is worded by each
		for i := range same[:last] {
			if same[i] != wanted[i] {
				t.Errorf("%s: answer %d is not that of the program with a validator:\n%.300s\n%.300s", name, i, same[i], wanted[i])
			}
			if strings.HasPrefix(same[i], `{"error"`) {
				t.Errorf("%s: answer %d: %.300s", name, i, same[i])
			}
		}
		if !strings.Contains(same[last], "/planned/rooms/0/elevations/0/units/0/teg: found") {
			t.Errorf("%s: a field that is none: %s", name, same[last])
		}
	}
}
