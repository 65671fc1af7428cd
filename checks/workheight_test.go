package checks

import (
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// TestEverySurfaceIsDecided: under the guarded rule the highest top corner need
// not decide how high an accessible surface stands. It was read with a coarse
// laser; one a little lower that was read finely is beyond the limit for certain,
// and one within the limit for certain is no answer for one that was read coarsely.
func TestEverySurfaceIsDecided(t *testing.T) {
	for _, tc := range []struct {
		name         string
		coarse, fine string // by how much a corner stands above 33 1/2 in
		want         Outcome
	}{
		{"a coarse one near the limit", "17/32 in", "1/4 in", Undecided},
		{"a fine one beyond it and lower", "9/16 in", "17/32 in", Fail},
		{"a coarse one near it, and a fine one higher and within it", "7/16 in", "29/64 in", Undecided},
		{"both within it", "1/4 in", "29/64 in", Pass},
	} {
		rec := fixture()
		rec.Planned.DecisionRule = Guarded
		surface(rec, length.InchSystem, *in("33 1/2 in"))
		topUp(rec, *in(tc.fine))
		rec.Planned.Instruments["coarse"] = schema.Instrument{Kind: "laser", Resolution: in("1/4 in")}
		rec.Planned.Instruments["laser"] = schema.Instrument{Kind: "laser", Resolution: in("1/64 in")}
		again(rec, 0)
		last := &rec.Measured.Visits[1]
		last.Instruments = map[string]schema.InstrumentUse{"coarse": {}}
		last.Rooms["R1"].Cabinets["C1"] = schema.CabinetSeen{Tops: schema.CornerLengths{BL: of(*in("13 in") - *in(tc.coarse))}}
		delete(last.Rooms["R1"].Cabinets, "C2")
		if r := result(t, judge(t, rec), "accessible height", "elevation A"); r.Outcome != tc.want {
			t.Errorf("%s: %s, want %s: %s, U %g", tc.name, r.Outcome, tc.want, r.Finding.String(), r.Uncertainty)
		}
	}
}
