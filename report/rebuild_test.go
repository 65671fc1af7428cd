package report

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"setline.example/report/pdf/object"
)

// pdfOf writes a report, and holds that it is in the form of reports: whoever
// finds the same bytes relies on it.
func pdfOf(t *testing.T, r *Report) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := r.PDF(&out); err != nil {
		t.Fatal(err)
	}
	f, err := object.Read(out.Bytes())
	if err == nil {
		err = f.Canonical()
	}
	if err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestRebuild(t *testing.T) {
	long(t)
	for path, ready := range map[string]bool{annex: false, "../examples/metric/job.json": true} {
		found, faults, data := findings(t, path)
		r, err := New(found, faults, data, options(nil))
		if err != nil {
			t.Fatal(err)
		}
		again, err := Rebuild(pdfOf(t, r))
		if err != nil {
			t.Fatal(err)
		}
		if again.Differs != "" || again.Ready != ready || !bytes.Equal(again.Record, data) || again.Version != "v1.0.0" {
			t.Errorf("%s: %s, ready %v, version %q", path, again.Differs, again.Ready, again.Version)
		}
	}
}

// TestRebuildFindsForgery: pages made from a record that was made to look
// better than the one that travels with them.
func TestRebuildFindsForgery(t *testing.T) {
	long(t)
	found, _, data := findings(t, annex)
	better, betterFaults, _ := findings(t, annex, `"FL": true, "FR": true, "BL": false, "BR": true`, `"FL": true, "FR": true, "BL": true, "BR": true`)
	if len(better.Rooms[1].Reasons()) >= len(found.Rooms[1].Reasons()) {
		t.Fatal("the record was not made to look better")
	}
	r, err := New(better, betterFaults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	again, err := Rebuild(pdfOf(t, r))
	if err != nil {
		t.Fatal(err)
	}
	if again.Differs == "" {
		t.Error("taken for the report that its record gives")
	}
}

func TestRebuildRefuses(t *testing.T) {
	found, _, data := findings(t, annex)
	sheet, err := NewLayout(found, data, options(nil), LayoutOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for name, file := range map[string][]byte{"no PDF": []byte("text"), "a layout sheet": pdfOf(t, sheet)} {
		if _, err := Rebuild(file); !errors.Is(err, ErrRebuild) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// A record that is none: the report of a broken record cannot have been made by Setline.
	r, err := New(found, nil, []byte("{}"), options(nil))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Rebuild(pdfOf(t, r)); !errors.Is(err, ErrRebuild) || !strings.Contains(err.Error(), "no format version") {
		t.Errorf("%v", err)
	}
}
