package collect

import (
	"encoding/json"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/filledpdf"
)

// TestAllExcept: what is ticked of all of an elevation comes back as that, with
// what is excepted; a name that is none is refused at its box; and the sheet in
// Markdown reads back the same.
func TestAllExcept(t *testing.T) {
	j := newJob(t, "annex", oneElevation)
	const at = "rooms/S-104/elevations/A/all/"
	entries := map[string]fieldsheet.Entry{
		"date": {Text: "2026-10-01"}, "people/0/name": {Text: "Ingrid Sørlie"},
		at + "bearing=yes": {On: true}, at + "bearing/except": {Text: "A3; A5"},
		at + "works=yes": {On: true},
	}
	_, rec := j.add(Options{}, j.byHand("all.pdf", entries))
	said, err := json.Marshal(rec.Measured.Visits[0].Rooms["S-104"].Elevations["A"].All)
	if err != nil {
		t.Fatal(err)
	}
	const want = `[{"of":"bearing","answer":true,"except":["A3","A5"]},{"of":"works","answer":true}]`
	if string(said) != want {
		t.Errorf("%s, want %s", said, want)
	}

	entries[at+"bearing/except"] = fieldsheet.Entry{Text: "A3, A33"}
	problems := j.refused(Options{}, j.byHand("all.pdf", entries))
	if len(problems) != 1 || !strings.HasPrefix(problems[0].Box, at+"bearing") || !strings.Contains(problems[0].Found, `"A33"`) {
		t.Errorf("%+v", problems)
	}
	delete(entries, at+"bearing=yes")
	problems = j.refused(Options{}, j.byHand("all.pdf", entries))
	if len(problems) != 1 || !strings.Contains(problems[0].Found, "nothing there") {
		t.Errorf("excepted from nothing: %+v", problems)
	}
}

// TestClosedOutByNumbers: what closes an elevation out is excepted by the number
// that stands on the sheet, in Markdown as in a form; a number of none is refused at
// its box.
func TestClosedOutByNumbers(t *testing.T) {
	long(t)
	j := newJob(t, "annex", oneElevation)
	j.rec.Planned.ClosingOut = true
	j = emptied(t, j.rec, j.visit)
	j.short = true
	const at = "rooms/S-104/elevations/A/all/closing"
	entries := map[string]fieldsheet.Entry{
		"date": {Text: "2026-10-01"}, "people/0/name": {Text: "Ingrid Sørlie"},
		at + "=yes": {On: true}, at + "/except": {Text: "3, 7"},
	}
	markdown, err := ReadMarkdown("filled.md", []byte(j.markdown(entries)), Boxes{})
	if err != nil {
		t.Fatal(err)
	}
	form, err := filledpdf.Read("filled.pdf", j.filled(j.pdf(), entries))
	if err != nil {
		t.Fatal(err)
	}
	for name, f := range map[string]*fieldsheet.Filled{"by hand": j.byHand("all.pdf", entries), "Markdown": markdown, "form": form} {
		_, rec := j.add(Options{}, f)
		const want = `[{"of":"closing","answer":true,"except":["tops_released","protected"]}]`
		if said := asJSON(rec.Measured.Visits[0].Rooms["S-104"].Elevations["A"].All); said != want {
			t.Errorf("%s: %s, want %s", name, said, want)
		}
	}
	entries[at+"/except"] = fieldsheet.Entry{Text: "8"}
	if problems := j.refused(Options{}, j.byHand("all.pdf", entries)); len(problems) != 1 || !strings.HasPrefix(problems[0].Box, at) || !strings.Contains(problems[0].Found, `"8"`) {
		t.Errorf("%+v", problems)
	}
}

// TestSheetAsksOnce: a sheet asks what can be said of all once, and each by
// itself where that is wished.
func TestSheetAsksOnce(t *testing.T) {
	j := newJob(t, "annex", oneElevation)
	boxes := func(o fieldsheet.Options) (n, all int) {
		s, err := fieldsheet.New(j.rec, j.src, o)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range s.Fields() {
			n++
			if f.Ask.Covers > 0 {
				all++
			}
		}
		return n, all
	}
	once, all := boxes(fieldsheet.Options{})
	each, none := boxes(fieldsheet.Options{Each: true})
	if all == 0 || none != 0 || once*3 > each*2 {
		t.Errorf("%d boxes with %d of all, %d with %d where each is asked", once, all, each, none)
	}
	for _, a := range j.asks {
		if a.Covered && a.Blanks[0].Kind == checks.LengthKind && a.Thing.All != "alignment" {
			t.Errorf("%s is a measurement, and is not to be said of all", a.Name(nil))
		}
	}
}
