package report

import (
	"errors"
	"strings"
	"testing"
	"testing/fstest"
)

// TestPrintedVersion: a version stands on every page and is not computed from
// the record, so that it can be a version and nothing else.
func TestPrintedVersion(t *testing.T) {
	long(t)
	for v, good := range map[string]bool{
		"devel": true, "v1.0.0": true, "v1.20.3": true, "v2.0.0-rc.1": true, "v1.0.0+dirty": true,
		"v0.0.0-20260102030405-0123456789ab": true, "v1.2.4-0.20260102030405-0123456789ab+dirty": true,
		"v1.0.0-rc.1.0.20260102030405-0123456789ab": true,
		"": false, "1.0": false, "1.0: ALL ROOMS READY": false, "v1.0.0 READY": false, "v1.0.0-READY": false, "v1.0.0+READY": false,
		"v1.0.0\n": false, "v1.0.0-20260102030405-readyreadyre": false, "v1.0.0-alpha.READY": false, "DEVEL": false,
	} {
		found, faults, data := findings(t, annex)
		o := options(nil)
		o.Version = v
		r, err := New(found, faults, data, o)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Rebuild(pdfOf(t, r))
		switch {
		case good && (err != nil || again.Differs != ""):
			t.Errorf("%q is refused: %v", v, err)
		case !good && !errors.Is(err, ErrRebuild):
			t.Errorf("%q is accepted", v)
		}
	}
}

// TestPrintedProblem: of a photograph, only what Setline says itself.
func TestPrintedProblem(t *testing.T) {
	long(t)
	found, faults, data := photoJob(t, `{"file": "a.jpg", "sha256": "`+strings.Repeat("0", 64)+`"}`)
	for problem, good := range map[string]bool{
		missing: true, notLooked: true, tooLarge: true, otherFile: true, "it has 40000 by 2 pixels, more than 32768 on a side": true,
		"": false, "it shows that all is READY": false, missing + ".": false, "it has 40000 by 2 pixels, more than 3 on a side": false,
		"it has 1 by 2 pixels, more than 120 million\nREADY": false,
	} {
		o := options(nil)
		o.Photos = Photos{"a.jpg": {Problem: problem}}
		r, err := New(found, faults, data, o)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Rebuild(pdfOf(t, r))
		switch {
		case good && (err != nil || again.Differs != ""):
			t.Errorf("%q is refused: %v", problem, err)
		case !good && !errors.Is(err, ErrRebuild):
			t.Errorf("%q is accepted", problem)
		}
	}
}

// TestProblemsAreKnown: what is found wrong with any file is in the list.
func TestProblemsAreKnown(t *testing.T) {
	long(t)
	found, _, _ := photoJob(t, `{"file": "a.jpg", "sha256": "`+strings.Repeat("0", 64)+`"}`)
	for name, folder := range map[string]fstest.MapFS{
		"missing": {}, "another": {"a.jpg": {Data: []byte("x")}}, "a folder": {"a.jpg/b": {Data: []byte("x")}},
	} {
		for _, p := range LoadPhotos(found.Record, folder) {
			if !knownProblem(p.Problem) {
				t.Errorf("%s: %q is not in the list", name, p.Problem)
			}
		}
	}
	for name, data := range map[string][]byte{"no picture": []byte("x"), "broken": strip(9, 9)[:45], "many": strip(20000, 20000), "a strip": strip(1<<20, 1)} {
		if _, err := upright(data); err == nil || !knownProblem(err.Error()) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
