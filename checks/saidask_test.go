package checks

import (
	"slices"
	"testing"

	"setline.example/schema"
)

// TestClosedOutAtOnce: what is said of all that closes an elevation out is said of
// each but what is excepted; what is said of one by itself on that visit goes before,
// and what a later visit says before both.
func TestClosedOutAtOnce(t *testing.T) {
	no := false
	for _, tc := range []struct {
		name   string
		except []string
		beside *bool // whether it is clean, said by itself
		want   Outcome
	}{
		{"all", nil, nil, Pass},
		{"excepted", []string{"clean"}, nil, NotObserved},
		{"excepted, and said by itself", []string{"clean"}, &no, Fail},
		{"said by itself", nil, &no, Fail},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) {
				e.Closing = schema.ClosingSeen{Instructions: "revision C", AnchorDrawing: "S-501", Clean: tc.beside}
				e.All = append(e.All, schema.SaidOfAll{Of: saidClosing, Answer: true, Except: tc.except})
			})
			again, src := source(t, rec)
			found, err := Run(again, src)
			if err != nil {
				t.Fatal(err)
			}
			judged := 0
			for _, r := range found.Rooms[0].Results {
				if r.Rule.Family != ClosingOut || r.Subject.Item != "elevation A" {
					continue
				}
				want := Pass
				if r.Rule == clean {
					want = tc.want
				}
				if judged++; r.Outcome != want {
					t.Errorf("%s: %s (%s), want %s", r.Rule.Name, r.Outcome, r.Finding, want)
				}
			}
			if judged != len(schema.ClosesOut())+1 {
				t.Errorf("%d rules judged, want one for each that closes out, and the instructions", judged)
			}
		})
	}
}

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
		case a.Thing == theHandedOn.Thing || a.Thing == theReleasedBy.Thing: // the visit has the day and the people
			if !a.Covered {
				t.Errorf("%s has a box", a.Name(nil))
			}
		case a.Covered != (a.Open && a.Thing.All != "") && a.Thing != theTopOn.Thing && a.Thing != theComesOff.Thing:
			t.Errorf("%s: covered %t, open %t", a.Name(nil), a.Covered, a.Open)
		case a.Covered:
			covered--
		}
	}
	// Whether the top is on and whether the one filler comes off take no more boxes
	// by themselves.
	if len(all) != 9 || covered != 0 {
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
		if all[i].Of == saidClosing {
			all[i].Except = []string{"clean"}
		}
	}
	_, asks = asksOf(t, whole, said)
	for _, a := range asks {
		if a.Open && a.Subject.Item != "C2" && a.Thing.Of != OfInstrument && a.Thing != theClean.Thing {
			t.Errorf("%s is open, and only C2 is excepted, and that it is clean", a.Name(nil))
		}
	}
	if !slices.ContainsFunc(asks, func(a Ask) bool { return a.Open && a.Thing == theClean.Thing }) {
		t.Error("whether it is clean is not asked, though it is excepted")
	}
	if !slices.ContainsFunc(asks, func(a Ask) bool { return a.Open && a.Subject.Item == "C2" && a.Thing == theBearing.Thing }) {
		t.Error("whether the levelers of C2 bear is not asked, though it is excepted")
	}
}
