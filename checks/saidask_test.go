package checks

import (
	"slices"
	"testing"

	"setline.example/schema"
)

// TestAllAreOffered: of an elevation nobody has seen everything that is a yes is
// asked at once, and who says so, with what is still asked by itself, leaves
// nothing open; what is excepted is asked by itself next.
func TestAllAreOffered(t *testing.T) {
	whole := saidAtOnce(nil)
	visit := whole.Measured.Visits[0]
	_, asks := asksOf(t, whole)
	var all []schema.SaidOfAll
	covered := 0
	for _, a := range asks {
		switch {
		case a.Covers > 0:
			all = append(all, schema.SaidOfAll{Of: a.Key, Answer: true})
			covered += a.Covers
		case a.Covered != (a.Open && a.Thing.All != "") && a.Thing != theTopOn.Thing && a.Thing != theComesOff.Thing:
			t.Errorf("%s: covered %t, open %t", a.Name(nil), a.Covered, a.Open)
		case a.Covered:
			covered--
		}
	}
	// Whether the top is on and whether the one filler comes off take no more boxes
	// by themselves.
	if len(all) != 8 || covered != 0 {
		t.Fatalf("%d are offered, %d covered more than there are: %+v", len(all), covered, all)
	}
	said := answered(t, &visit, asks, func(a *Ask) bool { return a.Open && !a.Covered })
	room := said.Rooms["R1"]
	alter(room.Elevations, "A", func(e *schema.ElevationSeen) { e.All = all })
	alter(room.Fillers, "F1", func(f *schema.FillerSeen) { f.HeldFrom = []string{"inside"} })
	_, asks = asksOf(t, whole, said)
	for _, a := range asks {
		if a.Open {
			t.Errorf("%s is open when all is said", a.Name(nil))
		}
	}
	for i := range all {
		all[i].Except = []string{"C2"}
	}
	_, asks = asksOf(t, whole, said)
	for _, a := range asks {
		if a.Open && a.Subject.Item != "C2" && a.Thing.Of != OfInstrument {
			t.Errorf("%s is open, and only C2 is excepted", a.Name(nil))
		}
	}
	if !slices.ContainsFunc(asks, func(a Ask) bool { return a.Open && a.Subject.Item == "C2" && a.Thing == theBearing.Thing }) {
		t.Error("whether the levelers of C2 bear is not asked, though it is excepted")
	}
}
