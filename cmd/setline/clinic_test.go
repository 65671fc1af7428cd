package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"setline.example/report/fieldsheet"
	"setline.example/schema"
)

// clinic makes the record of the clinic from its tables, as README.md does.
func clinic(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "clinic.json")
	tables := "../../examples/clinic/csv/"
	var said bytes.Buffer
	code := run([]string{"start", "-o", path, "--name", "Larch Hollow Clinic", "--height", "34 in", "--depth", "22 in", "--gauge", "18", "--front-rail-depth", "7/8 in",
		"--leveler-least", "1/2 in", "--leveler-greatest", "2 in", "--threads", "16", "--units", tables + "units.csv", "--instruments", tables + "instruments.csv",
		"--screws", tables + "screws.csv", "--packing-list", tables + "packing-list.csv"}, strings.NewReader(""), &said, &said)
	if code != exitReady {
		t.Fatal(said.String())
	}
	return path
}

// TestFewBoxes: the sheet for 29 units in three rooms, with all that closes them
// out, has fewer than 500 boxes, and of one room that is well fewer than 40 have to
// be filled in beside what is measured there.
func TestFewBoxes(t *testing.T) {
	path := clinic(t)
	var said bytes.Buffer
	if code := run([]string{"agree", "closing-out", path}, strings.NewReader(""), &said, &said); code != exitReady {
		t.Fatal(said.String())
	}
	boxes := func(o fieldsheet.Options) (all, toFill int) {
		rec, src, err := schema.Read(path, fetch(t, path))
		if err != nil {
			t.Fatal(err)
		}
		s, err := fieldsheet.New(rec, src, o)
		if err != nil {
			t.Fatal(err)
		}
		asked := map[string]bool{}
		for _, f := range s.Fields() {
			all++
			switch of := f.Ask.Name(f.Blank); {
			case asked[of], f.Blank.Kind == "length", strings.HasSuffix(of, "/except"), strings.HasSuffix(of, "/remark"), strings.Contains(of, "/remarks/"):
			default:
				asked[of] = true // one of its boxes is ticked, or it is written
				toFill++
			}
		}
		return all, toFill
	}
	whole, _ := boxes(fieldsheet.Options{})
	each, _ := boxes(fieldsheet.Options{Each: true})
	if whole >= 500 || each < 3*whole {
		t.Errorf("%d boxes, %d where each thing has its own", whole, each)
	}
	room, toFill := boxes(fieldsheet.Options{Keep: func(room, _ string) bool { return room == "E-101" }})
	t.Logf("%d boxes for 29 units, %d where each has its own; %d for one room, of which %d are filled in beside what is measured", whole, each, room, toFill)
	if toFill >= 40 {
		t.Errorf("%d boxes have to be filled in for a room in which all is well, beside what is measured", toFill)
	}
}
