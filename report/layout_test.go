package report

import (
	"bytes"
	"strings"
	"testing"
	"testing/fstest"
)

// TestLayoutWithOwnTemplate: a firm's template loses neither what stops the work
// nor the cautions nor the set heights, and what it says begins on a page of its
// own, which says whose words they are.
func TestLayoutWithOwnTemplate(t *testing.T) {
	long(t)
	found, _, data := findings(t, annex, `["0 in", "44 in"]`, `["0 in", "42 in"]`)
	for name, body := range map[string]string{
		"empty": "", "a lie": "# Layout sheet\n\n> ## Ready to set.\n", "pages of its own": "one\n\ftwo\n", "an open fence": "```\n",
	} {
		t.Run(name, func(t *testing.T) {
			r, err := NewLayout(found, data, options(fstest.MapFS{"layout.md": {Data: []byte(body)}}), LayoutOptions{})
			if err != nil || r.Ready() {
				t.Fatalf("%v, ready %v", err, r.Ready())
			}
			text := markdown(t, r)
			for _, words := range []string{"Not ready to set", "Stop at S-104, elevation A", "**STOP: ", "Wear eye and hand protection", "Local codes prevail", "Installers' template", "Set heights"} {
				if !strings.Contains(text, words) {
					t.Errorf("the Markdown lost %q", words)
				}
			}
			var out bytes.Buffer
			if err := r.PDF(&out); err != nil {
				t.Fatal(err)
			}
			pages := strings.Split(strings.TrimSuffix(string(outside(t, "pdftotext", "-layout", save(t, out.Bytes()), "-")), "\f"), "\f")
			if len(pages) < 2 || strings.Contains(pages[0], "in the words of") || !strings.Contains(pages[0], "Local codes prevail") {
				t.Fatalf("of %d pages the first is\n%s", len(pages), pages[0])
			}
			last := pages[1:]
			if name == "pages of its own" {
				if len(pages) != 3 || !strings.Contains(pages[2], "two") || strings.Contains(pages[1], "two") {
					t.Errorf("%d pages, want 3: a form feed begins one", len(pages))
				}
			}
			if head, _, _ := strings.Cut(strings.TrimSpace(last[0]), "\n"); !strings.Contains(last[0], "in the words of") || strings.Contains(head, "· ") {
				t.Errorf("the second page is\n%s", last[0])
			}
		})
	}
}

// TestLayoutOnANarrowScreen: what is drawn of an elevation is a table too, which
// a narrow screen shows in place of the drawing.
func TestLayoutOnANarrowScreen(t *testing.T) {
	found, _, data := findings(t, annex)
	r, err := NewLayout(found, data, options(nil), LayoutOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := r.HTML(&out); err != nil {
		t.Fatal(err)
	}
	page := out.String()
	if wide, narrow := strings.Count(page, `<div class="wide"><p>`), strings.Count(page, `<div class="narrow">`); wide != 4 || narrow != 4 {
		t.Errorf("%d elevations are drawn for wide screens and %d told for narrow ones, want 4 of each", wide, narrow)
	}
	if strings.Contains(page, `<img src="setting`) || strings.Contains(page, "\f") {
		t.Error("a picture is missing, or a form feed is left")
	}
	if md := markdown(t, r); strings.Contains(md, "\f") || strings.Count(md, "| Cabinet | Back-left |") != 8 {
		t.Errorf("the Markdown has %d plans, want 8: each elevation's, and its exact figures", strings.Count(md, "| Cabinet | Back-left |"))
	}
}

// TestFNumbersSayOfHowMany: F-numbers of a part of a line do not pass for those of all
// of it. The first line has 13 readings, of which the last stands nearer the wall; the
// others are all 12 in apart.
func TestFNumbersSayOfHowMany(t *testing.T) {
	moved := []string{`["60 in", "44 1/16 in"], ["72 in", "44 3/32 in"]`, `["61 in", "44 1/16 in"], ["72 in", "44 3/32 in"]`}
	for _, tc := range []struct {
		edit []string
		want string
	}{
		{nil, "FF 49, FL 28, of the first 12 of 13 readings, as far as they are 12 in apart; indicative only"},
		{nil, "FF 28; indicative only"},
		{moved, ", of the first 5 of 13 readings, as far as they are 12 in apart; indicative only"},
	} {
		found, _, data := findings(t, annex, tc.edit...)
		r, err := NewLayout(found, data, options(nil), LayoutOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if text := markdown(t, r); !strings.Contains(text, tc.want) {
			t.Errorf("with %q the sheet lacks %q", tc.edit, tc.want)
		}
	}
}
