package main

import (
	"strings"
	"testing"
	"time"

	"golang.org/x/text/unicode/norm"
)

// TestTableAligns: the second column begins at the same column of a terminal
// in every row. Widths by hand, from Unicode UAX #11: the ideographs, kana and
// full-width letters are wide, two columns each; a combining mark has none.
func TestTableAligns(t *testing.T) {
	for _, tc := range []struct {
		name, cell string
		width      int
	}{
		{"Latin", "S-104", 5},
		{"composed", "Žofie", 5},
		{"combining", norm.NFD.String("Žofie"), 5},
		{"two marks on one letter", "o\u0308\u0304x", 2},
		{"Chinese", "化学室", 6},
		{"Japanese", "カナ1", 5},
		{"full width", "Ａ１", 4},
		{"Greek", "Αίθουσα", 7},
		{"Cyrillic", "Зал", 3},
		{"empty", "", 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tab := aligned{right: map[int]bool{1: true}}
			tab.row("twelve_wide_", "1")
			tab.row(tc.cell, "22")
			lines := strings.Split(tab.text(), "\n")
			if want := "twelve_wide_   1"; lines[0] != want {
				t.Errorf("%q, want %q", lines[0], want)
			}
			if want := tc.cell + strings.Repeat(" ", 12-tc.width) + "  22"; lines[1] != want {
				t.Errorf("%q, want %q", lines[1], want)
			}
		})
	}
}

// TestProgress: nothing within a second, then the numbers in place, and in the
// end a clean line.
func TestProgress(t *testing.T) {
	var out strings.Builder
	clock := time.Unix(0, 0)
	p := &progress{w: &out, now: func() time.Time { return clock }, start: clock, all: 120}
	for range 37 {
		clock = clock.Add(time.Second / 36)
		p.step()
	}
	if want := "\r37 of 120 files"; out.String() != want {
		t.Errorf("after a second %q, want %q", out.String(), want)
	}
	p.step() // too soon to draw again
	clock = clock.Add(pace)
	p.step()
	if want := "\r37 of 120 files\r39 of 120 files"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
	p.clear()
	p.clear()
	if want := "\r37 of 120 files\r39 of 120 files\r" + strings.Repeat(" ", 15) + "\r"; out.String() != want {
		t.Errorf("in the end %q, want %q", out.String(), want)
	}

	out.Reset()
	quiet := newProgress(&out, 2) // no terminal
	quiet.start = quiet.start.Add(-time.Hour)
	quiet.step()
	quiet.clear()
	if out.Len() > 0 {
		t.Errorf("%q on no terminal", out.String())
	}
}
