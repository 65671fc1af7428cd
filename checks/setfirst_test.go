package checks

import (
	"fmt"
	"testing"

	"setline.example/schema"
)

// setFirstByHand is what becomes of an elevation F1 C1 C2 C3 F2 by the page of the
// trade: where a run begins at an exposed end the filler there is set before the
// first cabinet. A run with two exposed ends begins at one of them. was is "yes",
// "no" or "" of each end, "-" where the end is not exposed.
func setFirstByHand(was [2]string, apart bool) (o Outcome, judged bool) {
	runs := [][]string{{was[0], was[1]}}
	if apart {
		runs = [][]string{{was[0]}, {was[1]}}
	}
	o = Pass
	for _, run := range runs {
		count := map[string]int{}
		for _, said := range run {
			count[said]++
		}
		exposed := len(run) - count["-"]
		judged = judged || exposed > 0
		switch {
		case exposed == 0 || count["yes"] > 0:
		case count["no"] == exposed:
			o = Fail
		case o == Pass:
			o = NotObserved
		}
	}
	return o, judged
}

// TestEachRunBeginsWithItsFiller tries everything that can be said of the fillers at
// the two ends of an elevation, in one run and in two. A concession of what was
// known of one run permits nothing of the other.
func TestEachRunBeginsWithItsFiller(t *testing.T) {
	said := map[string]*bool{"yes": yes(), "no": new(bool), "": nil, "-": nil}
	for _, apart := range []bool{false, true} {
		for _, left := range []string{"yes", "no", "", "-"} {
			for _, right := range []string{"yes", "no", "", "-"} {
				rec := fixture()
				e := &rec.Planned.Rooms[0].Elevations[0]
				e.Units = append(e.Units, schema.Unit{Tag: "F2", Part: e.Units[0].Part})
				if apart {
					e.Units[2].SpaceBefore = in("12 in")
				}
				e.Left, e.Right = "exposed", "exposed"
				if left == "-" {
					e.Left = "wall"
				}
				if right == "-" {
					e.Right = "wall"
				}
				seen(rec).Fillers["F2"] = schema.FillerSeen{}
				alter(seen(rec).Fillers, "F1", func(f *schema.FillerSeen) { f.SetFirst = said[left] })
				alter(seen(rec).Fillers, "F2", func(f *schema.FillerSeen) { f.SetFirst = said[right] })
				if apart { // the two are no neighbours now
					delete(seen(rec).Joints, schema.JointName(e.Units[1].Tag, e.Units[2].Tag))
				}
				name := fmt.Sprintf("left %q, right %q, apart %v", left, right, apart)
				want, judged := setFirstByHand([2]string{left, right}, apart)
				var got []Outcome
				for _, r := range judge(t, rec).Results {
					if r.Rule == fillerFirst {
						got = append(got, r.Outcome)
					}
				}
				if judged != (len(got) == 1) || judged && got[0] != want {
					t.Errorf("%s: found %v, expected %s, judged %v", name, got, want, judged)
				}
				if want != Fail {
					continue
				}
				// Permission for the one run is none for what the other shows later.
				rec.Agreed.Concessions = []schema.Concession{{Rule: "filler before first cabinet", Subject: "R1/elevation A", Reason: "lies in a corner", By: schema.Party{Name: "GC"}, Date: rec.Measured.Visits[0].Date}}
				permitted := result(t, judge(t, rec), "filler before first cabinet", "elevation A")
				if full := left != "" && right != ""; apart && (permitted.Outcome == Conceded) != full || !apart && permitted.Outcome != Conceded {
					t.Errorf("%s: permitted, found %s (%s)", name, permitted.Outcome, permitted.Finding)
				}
				if apart && left == "no" && right == "yes" {
					rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{Date: "2027-01-04", People: []schema.Party{{Name: "I"}}, Rooms: map[string]schema.RoomSeen{"R1": {Fillers: map[string]schema.FillerSeen{"F2": {SetFirst: new(bool)}}}}})
					if r := result(t, judge(t, rec), "filler before first cabinet", "elevation A"); r.Outcome != Fail {
						t.Errorf("%s: permitted for F1, then F2 was set last too: found %s, expected fail", name, r.Outcome)
					}
				}
			}
		}
	}
}
