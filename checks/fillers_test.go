package checks

import (
	"testing"

	"setline.example/schema"
)

// TestFillerBeforeAndAfterTheTop: before the top is on a filler is judged as
// held; after, only by whether it was seen to come off since.
func TestFillerBeforeAndAfterTheTop(t *testing.T) {
	inside := []string{"inside"}
	no := func() *bool { return new(bool) }
	for _, tc := range []struct {
		name          string
		first, second schema.FillerSeen
		want          Outcome
		finding       string
	}{
		{"nothing said of the top", schema.FillerSeen{HeldFrom: inside}, schema.FillerSeen{}, Pass, "Held from inside only, as held before the top is on"},
		{"the top not on", schema.FillerSeen{HeldFrom: inside, TopOn: no()}, schema.FillerSeen{}, Pass, "Held from inside only, as held before the top is on"},
		{"came off before the top", schema.FillerSeen{HeldFrom: inside, ComesOff: yes()}, schema.FillerSeen{}, Pass, "Held from inside only and comes off; the top is not on"},
		{"came off before the top, which is on since", schema.FillerSeen{HeldFrom: inside, ComesOff: yes()}, schema.FillerSeen{TopOn: yes()},
			NotObserved, "Held from inside, but whether it comes off with the top on was not observed"},
		{"came off on a visit that says that the top is on", schema.FillerSeen{HeldFrom: inside}, schema.FillerSeen{TopOn: yes(), ComesOff: yes()},
			Pass, "Held from inside only and comes off with the top on"},
		{"came off on a visit after the one that says so", schema.FillerSeen{HeldFrom: inside, TopOn: yes()}, schema.FillerSeen{ComesOff: yes()},
			Pass, "Held from inside only and comes off with the top on"},
		{"did not come off before the top", schema.FillerSeen{HeldFrom: inside, ComesOff: no()}, schema.FillerSeen{TopOn: yes()}, Fail, "Does not come off"},
		{"did not come off, and does since", schema.FillerSeen{HeldFrom: inside, TopOn: yes(), ComesOff: no()}, schema.FillerSeen{ComesOff: yes()},
			Pass, "Held from inside only and comes off with the top on"},
		{"the top taken off again", schema.FillerSeen{HeldFrom: inside, TopOn: yes()}, schema.FillerSeen{TopOn: no()}, Pass, "Held from inside only, as held before the top is on"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			seen(rec).Fillers["F1"] = tc.first
			sawMore(rec, schema.ElevationSeen{}, nil)
			rec.Measured.Visits[1].Rooms["R1"] = schema.RoomSeen{Fillers: map[string]schema.FillerSeen{"F1": tc.second}}
			if r := result(t, judge(t, rec), "fillers removable", "F1"); r.Outcome != tc.want || r.Finding.String() != tc.finding {
				t.Errorf("%s %q, want %s %q", r.Outcome, r.Finding.String(), tc.want, tc.finding)
			}
		})
	}
}

// TestScrewsAsPlanned: another screw than the one planned by name, but like it,
// is as good; fewer are not.
func TestScrewsAsPlanned(t *testing.T) {
	for _, tc := range []struct {
		name  string
		screw schema.Fastener
		count int
		want  Outcome
	}{
		{"alike", schema.Fastener{Size: "#8", Length: *in("13 mm"), Point: "self-tapping"}, 2, Pass},
		{"alike, one", schema.Fastener{Size: "#8", Length: *in("13 mm"), Point: "self-tapping"}, 1, Fail},
		{"longer by a nanometre too much", schema.Fastener{Size: "#8", Length: *in("1/2 in") + nominal + 1, Point: "self-tapping"}, 2, Fail},
		{"of another size", schema.Fastener{Size: "#10", Length: *in("1/2 in"), Point: "self-tapping"}, 2, Fail},
		{"none", schema.Fastener{Size: "#8", Length: *in("13 mm"), Point: "self-tapping"}, 0, Fail},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			rec.Planned.Fasteners["short"] = schema.Fastener{Size: "#8", Length: *in("1/2 in"), Point: "self-tapping", Use: []string{"filler", "upper rear"}, Each: 2}
			rec.Planned.Fasteners["other"] = tc.screw
			f := &schema.Fastening{Fastener: "other", Count: tc.count, Through: "side", TipShows: new(bool)}
			alter(seen(rec).Fillers, "F1", func(s *schema.FillerSeen) { s.Fastening = f })
			alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.Fastened.UpperRear = f })
			found := judge(t, rec)
			if r := result(t, found, "joint fastened", "F1"); r.Outcome != tc.want {
				t.Errorf("filler: %s, want %s: %s", r.Outcome, tc.want, r.Finding.String())
			}
			// At a joint the length is that of common practice, and the count as planned.
			if r := result(t, found, "joint fastened", "C1+C2"); tc.count < 2 && r.Outcome != Fail {
				t.Errorf("joint: %s: %s", r.Outcome, r.Finding.String())
			}
		})
	}
}
