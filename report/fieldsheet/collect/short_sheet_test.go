package collect

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/filledpdf"
	"setline.example/schema"
	"setline.example/schema/length"
)

// onShortSheet is what somebody writes on a short sheet of an elevation of the
// example: beside places and lengths that are printed, on a place left open, and
// over another length than the one printed.
var onShortSheet = map[string]fieldsheet.Entry{
	"date": {Text: "2026-10-01"}, "people/0/name": {Text: "Marek Łuczak"},
	"rooms/S-104/elevations/A/floor/front/0/1":   {Text: "44 1/8"},
	"rooms/S-104/elevations/A/floor/front/2/1":   {Text: "44 1/16"},
	"rooms/S-104/elevations/A/all/top_on=yes":    {On: true},
	"rooms/S-104/elevations/A/all/comes_off=yes": {On: true},
	"rooms/S-104/cabinets/A2/plumb/front/off":    {Text: "1/64"},
	"rooms/S-104/cabinets/A3/plumb/front/off":    {Text: "1/64 over 24"},
	"rooms/S-104/cabinets/A4/plumb/left/off":     {Text: "0.5 mm over 60 cm"},
	"rooms/S-104/elevations/A/floor/back/0/1":    {Text: "44 1/4"},
}

// TestShortSheetReadsBack: what is printed on a sheet goes with what is written
// beside it, in a form, in Markdown and after the plan has changed, and says
// nothing alone.
func TestShortSheetReadsBack(t *testing.T) {
	long(t)
	j := newJob(t, "annex", oneElevation)
	j.short = true
	places, open := map[string]string{}, ""
	sheet := j.sheet()
	for _, f := range sheet.Fields() {
		line, isDown := strings.CutSuffix(f.Name, "/1")
		switch place, isPlace := strings.CutSuffix(f.Name, "/0"); {
		case isDown && strings.Contains(f.Name, "/floor/front/"):
			places[line] = strings.TrimPrefix(f.Blank.Words.String(), "at ")
		case isPlace && strings.Contains(f.Name, "/floor/front/") && open == "":
			open = place
		}
		if strings.HasSuffix(f.Name, "/over") {
			t.Errorf("%s has a box", f.Name)
		}
	}
	answers := maps.Clone(onShortSheet)
	answers[open+"/0"], answers[open+"/1"] = fieldsheet.Entry{Text: "30 1/2"}, fieldsheet.Entry{Text: "44"}

	markdown, err := ReadMarkdown("filled.md", []byte(j.markdown(answers)), Boxes{})
	if err != nil {
		t.Fatal(err)
	}
	form, err := filledpdf.Read("filled.pdf", j.filled(j.pdf(), answers))
	if err != nil {
		t.Fatal(err)
	}
	now := j
	for name, f := range map[string]*fieldsheet.Filled{"by hand": j.byHand("filled.pdf", answers), "Markdown": markdown, "form": form} {
		for _, grown := range []bool{false, true} {
			if grown { // the plan has changed since
				j = taller(t, now)
			}
			_, rec := j.add(Options{}, f)
			got := rec.Measured.Visits[0].Rooms["S-104"]
			front := got.Elevations["A"].Floor.Front
			const want = `{"front":{"off":"1/64 in","over":"34 in"}} {"front":{"off":"1/64 in","over":"24 in"}} {"left":{"off":"0.5 mm","over":"600 mm"}}`
			if said := asJSON(got.Cabinets["A2"].Plumb) + " " + asJSON(got.Cabinets["A3"].Plumb) + " " + asJSON(got.Cabinets["A4"].Plumb); said != want {
				t.Errorf("%s: plumb %s, want %s", name, said, want)
			}
			if len(got.Cabinets) != 3 {
				t.Errorf("%s: %d cabinets were seen, and three written down", name, len(got.Cabinets))
			}
			if len(front) != 3 || len(got.Elevations["A"].Floor.Back) != 1 {
				t.Fatalf("%s: floor %+v", name, got.Elevations["A"].Floor)
			}
			for _, at := range []string{places["rooms/S-104/elevations/A/floor/front/0"], places["rooms/S-104/elevations/A/floor/front/2"], "30 1/2 in"} {
				l, err := length.Parse(at)
				if err != nil {
					t.Fatal(err)
				}
				if found := slices.ContainsFunc(front, func(r schema.FloorReading) bool { return r.At() == l }); !found {
					t.Errorf("%s: nothing was read at %s: %+v", name, at, front)
				}
			}
			if all := asJSON(got.Elevations["A"].All); all != `[{"of":"top_on","answer":true},{"of":"comes_off","answer":true}]` {
				t.Errorf("%s: of all %s", name, all)
			}
		}
		j = now
	}
	nothing := j.byHand("empty.pdf", map[string]fieldsheet.Entry{"date": {Text: "2026-10-01"}, "people/0/name": {Text: "Marek Łuczak"}})
	if r, _ := j.add(Options{}, nothing); len(r.Added) != 0 {
		t.Error("what is printed alone became a visit")
	}
}

// taller is a job whose cabinets and widths have changed since.
func taller(t *testing.T, j *job) *job {
	t.Helper()
	var rec schema.Record
	if err := json.Unmarshal(j.data, &rec); err != nil {
		t.Fatal(err)
	}
	for part, c := range rec.Planned.Cabinets {
		c.Width += length.Inch
		rec.Planned.Cabinets[part] = c
	}
	h := 36 * length.Inch
	rec.Planned.Usual.Height = &h
	return emptied(t, &rec, j.visit)
}
