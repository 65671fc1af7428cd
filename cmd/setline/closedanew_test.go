package main

import (
	"bytes"
	"os"
	"slices"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/schema"
	"setline.example/schema/amend"
)

// TestClosedOutWithoutWhatIsNew: a unit that comes in after an elevation was closed
// out was not there when its anchors were seen, so that all of it is asked anew, at
// once; what was not so stays known, and other elevations stay closed out.
func TestClosedOutWithoutWhatIsNew(t *testing.T) {
	path := clinic(t)
	must := func(args ...string) string {
		t.Helper()
		var said bytes.Buffer
		if code := run(args, strings.NewReader(""), &said, &said); code != exitReady {
			t.Fatalf("%q: %s", args, said.String())
		}
		return said.String()
	}
	must("agree", "closing-out", path)
	for _, tc := range []struct{ name, seen, anew string }{
		{"said of all", `{"all": [{"of": "closing", "answer": true, "except": ["clean"]}]}`, ""},
		{"seen by itself", `{"closing": {"services_clear": true, "anchored": true, "anchor_drawing": "LH-A601", "clean": false}}`, "clean"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			visit := `{"date": "2026-10-06", "people": [{"name": "Tovah Lindqvist"}], "rooms": {"L-110": {"elevations": {"A": ` + tc.seen + `, "N": ` + tc.seen + `}}}}`
			text, err := amend.AddWithParents(fetch(t, path), "/measured/visits/-", []byte(visit))
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(path, text, 0o600); err != nil {
				t.Fatal(err)
			}
			said := must("plan", path, "--units", "../../examples/clinic/csv/units-revised.csv", "--apply", "--date", "2026-10-09", "--by", "Tovah Lindqvist", "--reason", "addendum 2")
			if !strings.Contains(said, "L-110/A: what was observed") || strings.Contains(said, "L-110/N") {
				t.Errorf("told: %s", said)
			}
			rec, src, err := schema.Read(path, fetch(t, path))
			if err != nil {
				t.Fatal(err)
			}
			found, err := checks.Run(rec, src)
			if err != nil {
				t.Fatal(err)
			}
			for _, a := range checks.AsksOf(rec, src, found) {
				of, last := a.Place, a.Place[len(a.Place)-1]
				if len(of) < 5 || of[3] != "A" && of[3] != "N" || of[4] != "closing" || !slices.Contains(schema.ClosesOut(), last) {
					continue
				}
				stays := of[3] == "N" && last != "clean" && (tc.anew == "" || last == "anchored" || last == "services_clear")
				if a.Open == stays {
					t.Errorf("%v is asked: %t", of, a.Open)
				}
			}
		})
		path = clinic(t)
		must("agree", "closing-out", path)
	}
}
