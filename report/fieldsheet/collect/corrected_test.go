package collect

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"setline.example/report/fieldsheet"
	"setline.example/schema"
	"setline.example/schema/chance"
)

const (
	inA       = "rooms/S-104/elevations/A/"
	allOfA    = inA + "all/"
	corrector = "Ingrid Sørlie"
)

// corrects says that sheets correct the visit that the record has.
var corrects = Options{Correction: &Correction{By: schema.Party{Name: corrector}, Date: "2026-10-02", Reason: "wrote it wrong"}}

// facts are what a visit says, each thing by itself: what is said of all by what it
// is said of, and the floor by its places.
func facts(t *testing.T, v *schema.Visit) map[string]string {
	t.Helper()
	data, err := json.Marshal(v.Rooms)
	if err != nil {
		t.Fatal(err)
	}
	var rooms any
	if err := json.Unmarshal(data, &rooms); err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	factsOf(all, "", rooms)
	return all
}

func factsOf(all map[string]string, at string, value any) {
	list, _ := value.([]any)
	switch v := value.(type) {
	case map[string]any:
		for name, inner := range v {
			factsOf(all, at+"/"+name, inner)
		}
		return
	case []any:
		switch {
		case strings.HasSuffix(at, "/all"):
			for _, e := range list {
				all[at+"/"+e.(map[string]any)["of"].(string)] = asJSON(e)
			}
			return
		case strings.Contains(at, "/floor/"):
			for _, e := range list {
				all[at+" "+e.([]any)[0].(string)] = e.([]any)[1].(string)
			}
			return
		case strings.HasSuffix(at, "/photos"):
			for _, e := range list {
				all[at+"/"+e.(map[string]any)["file"].(string)] = asJSON(e)
			}
			return
		}
	}
	all[at] = asJSON(value)
}

// TestCorrectedSheetChangesWhatItSays: of a visit that the record has, a corrected
// sheet changes what it says, and nothing that it does not.
func TestCorrectedSheetChangesWhatItSays(t *testing.T) {
	r := rand.New(chance.Source(t))
	rounds := 24
	if testing.Short() {
		rounds = 4
	}
	j := newJob(t, "annex", oneElevation)
	j.short = true
	corrected := 0
	for range rounds {
		first := partOf(r, j)
		_, rec := j.add(Options{}, first)
		before := facts(t, &rec.Measured.Visits[0])
		later := emptied(t, rec, j.visit)
		again := partOf(r, j)
		again.File = "again.pdf"
		_, alone := j.add(Options{}, again)
		want := maps.Clone(before)
		contradicts, adds := false, false
		for at, value := range facts(t, &alone.Measured.Visits[0]) {
			was, there := before[at]
			contradicts, adds = contradicts || there && was != value, adds || !there
			want[at] = value
		}
		result, rec := later.add(corrects, again)
		switch n := len(rec.Measured.Visits); {
		case contradicts && n != 1, !contradicts && adds && n != 2, !contradicts && !adds && len(result.Nothing) != 1:
			t.Fatalf("contradicts: %t, adds: %t, %d visits, %v", contradicts, adds, n, result.Nothing)
		case !contradicts:
			continue
		}
		corrected++
		if got := facts(t, &rec.Measured.Visits[0]); !maps.Equal(got, want) {
			for _, at := range slices.Sorted(maps.Keys(want)) {
				if got[at] != want[at] {
					t.Errorf("%s: %s, want %s", at, got[at], want[at])
				}
			}
			t.Fatalf("%d facts, want %d", len(got), len(want))
		}
		if again, _ := emptied(t, rec, j.visit).add(corrects, again); len(again.Nothing) != 1 {
			t.Fatalf("handed in once more: %+v", again)
		}
	}
	if corrected < rounds/4 {
		t.Errorf("%d of %d sheets corrected something", corrected, rounds)
	}
}

// TestReadingsStayBesideOthers: a reading at a place that the visit has not goes
// beside those that it has, and it is told that they stay.
func TestReadingsStayBesideOthers(t *testing.T) {
	j := newJob(t, "annex", oneElevation)
	line := inA + "floor/front/"
	answers := map[string]fieldsheet.Entry{
		"date": {Text: "2026-10-01"}, "people/0/name": {Text: corrector},
		line + "0/0": {Text: "12"}, line + "0/1": {Text: "44"},
		line + "1/0": {Text: "24"}, line + "1/1": {Text: "44 1/16"},
	}
	_, rec := j.add(Options{}, j.byHand("filled.pdf", answers))
	j = emptied(t, rec, j.visit)
	answers[line+"0/1"] = fieldsheet.Entry{Text: "44 1/32"}
	answers[line+"1/0"] = fieldsheet.Entry{Text: "25"}
	result, rec := j.add(corrects, j.byHand("again.pdf", answers))
	const want = `[["12 in","44 1/32 in"],["24 in","44 1/16 in"],["25 in","44 1/16 in"]]`
	if got := asJSON(rec.Measured.Visits[0].Rooms["S-104"].Elevations["A"].Floor.Front); got != want {
		t.Errorf("%s, want %s", got, want)
	}
	const told = `S-104/A/floor/front: kept what was read at 24 in, of which the sheet says nothing; where that was read at 25 in instead, take it out: "setline correct --at S-104/A/floor/front/N --remove", N counted from 0`
	if kept := result.Corrected[0].Kept; len(kept) != 1 || kept[0] != told {
		t.Errorf("%q", kept)
	}
}

// TestCorrectedSheetRefusedAtItsBox: what is wrong on a corrected sheet is told at
// its box, though in the record it stands behind what others said.
func TestCorrectedSheetRefusedAtItsBox(t *testing.T) {
	j := newJob(t, "annex", oneElevation)
	line := inA + "floor/front/"
	head := map[string]fieldsheet.Entry{"date": {Text: "2026-10-01"}, "people/0/name": {Text: corrector}}
	_, rec := j.add(Options{}, j.byHand("filled.pdf", with(head, map[string]fieldsheet.Entry{
		allOfA + "labels=yes": {On: true}, allOfA + "works=yes": {On: true}, inA + "mark": {Text: "9 1/2"},
		line + "0/0": {Text: "12"}, line + "0/1": {Text: "44"}, line + "1/0": {Text: "24"}, line + "1/1": {Text: "44 1/16"},
	})))
	j = emptied(t, rec, j.visit)
	said := with(head, map[string]fieldsheet.Entry{
		inA + "mark": {Text: "9 17/32"}, allOfA + "works=yes": {On: true}, allOfA + "works/except": {Text: "A33"},
	})
	if p := j.refused(corrects, j.byHand("again.pdf", said)); len(p) != 1 || p[0].Box != allOfA+"works" || p[0].File != "again.pdf" {
		t.Errorf("%+v", p)
	}
	read := with(head, map[string]fieldsheet.Entry{
		inA + "mark": {Text: "9 17/32"}, line + "0/0": {Text: "36"}, line + "0/1": {Text: "4 1/16"},
	})
	if p := j.refused(corrects, j.byHand("again.pdf", read)); len(p) != 1 || p[0].Box != line+"0/1" {
		t.Errorf("%+v", p)
	}
}

// partOf is a sheet with some of the boxes filled in, of them some otherwise.
func partOf(r *rand.Rand, j *job) *fieldsheet.Filled {
	answers := map[string]fieldsheet.Entry{}
	whole := func(name string) string { // boxes that say nothing without each other
		for _, end := range []string{"/off", "/over", "/except"} {
			name = strings.TrimSuffix(name, end)
		}
		if line, n := pairIn(name); n >= 0 {
			return line
		}
		return name
	}
	drawn := map[string]bool{}
	for _, name := range slices.Sorted(maps.Keys(j.answers)) {
		some, there := drawn[whole(name)]
		if !there {
			some = r.IntN(3) == 0
			drawn[whole(name)] = some
		}
		if e := j.answers[name]; strings.HasPrefix(name, inA) && some {
			answers[name] = e
		}
	}
	someReadings(r, answers)
	for _, of := range []string{"labels", "bearing", "fastened", "works"} {
		if r.IntN(2) == 0 {
			answers[allOfA+of+"=yes"] = fieldsheet.Entry{On: true}
			answers[allOfA+of+"/except"] = fieldsheet.Entry{Text: []string{"", "A2", "A3, A2"}[r.IntN(3)]}
		}
	}
	answers["date"] = fieldsheet.Entry{Text: "2026-10-01"}
	answers["people/0/name"] = fieldsheet.Entry{Text: corrector}
	answers["people/0/role=inspector"] = fieldsheet.Entry{On: true}
	f := j.byHand("filled.pdf", answers)
	for _, name := range []string{"a.jpg", "b.jpg"} {
		if r.IntN(2) == 0 {
			f.Photos = append(f.Photos, fieldsheet.Photo{File: name, SHA256: strings.Repeat("a", 64), Caption: []string{"", "a dent"}[r.IntN(2)], Room: "S-104"})
		}
	}
	return f
}

// someReadings takes some readings out of the floor, and reads others otherwise.
func someReadings(r *rand.Rand, answers map[string]fieldsheet.Entry) {
	for _, name := range slices.Sorted(maps.Keys(answers)) {
		down, isDown := strings.CutSuffix(name, "/1")
		if _, n := pairIn(name); n < 0 || !isDown {
			continue
		}
		switch r.IntN(4) {
		case 0, 1:
			delete(answers, name)
			delete(answers, down+"/0")
		case 2:
			answers[name] = fieldsheet.Entry{Text: "44 1/8"}
		}
	}
}
