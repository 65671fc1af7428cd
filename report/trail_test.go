package report

import (
	"strings"
	"testing"
)

// TestTrailIsTold: what was withdrawn or corrected stands in the report, with
// who said so and why, and the numbers that it leaves empty stand below the
// punch list; a record without such has no word of it.
func TestTrailIsTold(t *testing.T) {
	edit := []string{`"date": "2026-09-16",
        "purpose"`, `"date": "2026-09-16",
        "withdrawn": {"by": {"name": "Rosa Ibáñez", "role": "installer"}, "date": "2026-09-16", "reason": "the other annex"},
        "purpose"`,
		`"date": "2026-09-22",
        "purpose"`, `"date": "2026-09-22",
        "corrections": [{"at": "/rooms/S-104/elevations/A/mark", "was": "11 1/8 in", "by": {"name": "Rosa Ibáñez"}, "date": "2026-09-23", "reason": "misread by an inch"}],
        "purpose"`}
	found, faults, data := findings(t, annex, edit...)
	r, err := New(found, faults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(markdown(t, r)), " ")
	for _, want := range []string{
		"the whole visit of", "| withdrawn | Rosa Ibáñez, installer | 2026-09-16 | the other annex |",
		"rooms S-104 elevations A mark | 11 1/8 in | 10 1/8 in | Rosa Ibáñez | 2026-09-23 | misread by an inch |",
		"Numbers that stay empty: ",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q", want)
		}
	}
	found, faults, data = findings(t, annex)
	if r, err = New(found, faults, data, options(nil)); err != nil {
		t.Fatal(err)
	}
	for _, not := range []string{"Taken back", "stay empty"} {
		if strings.Contains(markdown(t, r), not) {
			t.Errorf("%q is told of a record without", not)
		}
	}
}

// TestLongIsToldOnce: what is corrected as a whole room again and again makes a
// report of no room for each time.
func TestLongIsToldOnce(t *testing.T) {
	long := func(times int) int {
		one := `{"at": "/rooms", "was": {}, "by": {"name": "Rosa Ibáñez"}, "date": "2026-09-23", "reason": "all of it"}`
		found, faults, data := findings(t, annex, `"date": "2026-09-22",
        "purpose"`, `"date": "2026-09-22",
        "corrections": [`+strings.Repeat(one+",", times-1)+one+`],
        "purpose"`)
		r, err := New(found, faults, data, options(nil))
		if err != nil {
			t.Fatal(err)
		}
		return len(markdown(t, r))
	}
	if once, often := long(1), long(21); often-once > 20*600 {
		t.Errorf("20 corrections of the same make the report longer by %d bytes", often-once)
	}
}
