package checks

import (
	"slices"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// TestDrillsAreBetweenRootAndCrest: a hole is wider than the root of the thread
// that is formed in it and narrower than its crest (ISO 1478: greatest d2 and
// least d1 of ST 3.5, 4.2, 4.8 and 5.5).
func TestDrillsAreBetweenRootAndCrest(t *testing.T) {
	for size, d := range map[string]struct{ root, crest length.Length }{
		"#6": {2_640_000, 3_350_000}, "#8": {3_100_000, 4_040_000}, "#10": {3_580_000, 4_620_000}, "#12": {4_170_000, 5_280_000},
	} {
		last := length.Length(0)
		for _, p := range pilotDrills[size] {
			if p.drill <= d.root || p.drill >= d.crest || p.drill < last {
				t.Errorf("%s up to %d nm: drill %d nm", size, p.sheet, p.drill)
			}
			last = p.drill
		}
	}
}

// TestTakeoffOfTheFixture counts by hand: two joints, each with a front and an
// upper rear; one filler of another gauge.
func TestTakeoffOfTheFixture(t *testing.T) {
	rec := fixture()
	rec.Planned.Fillers["F3"] = schema.Filler{Width: *in("3 in"), Gauge: 16}
	rec.Planned.Fasteners = map[string]schema.Fastener{
		"a": {Size: "#8", Length: *in("1/2 in"), Point: "self-tapping", Use: []string{"front of drawer cabinet", "upper rear", "filler"}, Each: 3},
		"b": {Size: "#8", Length: *in("1/2 in"), Point: "self-drilling", PointNumber: 2, Use: []string{"filler"}},
	}
	eighteen, _ := sheetThickness(18)
	sixteen, _ := sheetThickness(16)
	want := []Takeoff{
		{"a", rec.Planned.Fasteners["a"], 5, 15, 2, []Pilot{{eighteen, 3_300_000, 12}, {sixteen, 3_500_000, 3}}},
		{"b", rec.Planned.Fasteners["b"], 1, 0, 0, nil},
	}
	got := newFacts(rec, nil).takeoffs(nil)
	for i := range want {
		if got[i].Name != want[i].Name || got[i].Places != want[i].Places || got[i].Count != want[i].Count || got[i].Spare != want[i].Spare || !slices.Equal(got[i].Pilots, want[i].Pilots) {
			t.Errorf("%+v, want %+v", got[i], want[i])
		}
	}
}
