package checks

import (
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
)

// TestSiteItemByItem: what a later visit does not mention of the building stays
// as it was, whatever else it says of it; and a date to look again permits what
// was seen not to be so, never what nobody looked at.
func TestSiteItemByItem(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 300 {
		rec := fixture()
		rec.Measured.Visits[0].Site = nil
		if rng.IntN(2) == 0 {
			rec.Agreed.Reinspections = []schema.Reinspection{{Room: "R1", Date: "2027-03-01"}}
		}
		first := rec.Measured.Visits[0]
		var known [3]*bool
		for day := range 1 + rng.IntN(3) {
			site := &schema.Site{Remark: "cold"}
			for i, to := range []**bool{&site.SlabCured, &site.ClosedIn, &site.FloorFinishKnown} {
				if rng.IntN(2) == 0 {
					answer := rng.IntN(3) > 0
					*to, known[i] = &answer, &answer
				}
			}
			if day == 0 {
				rec.Measured.Visits[0].Site = site
				continue
			}
			rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
				Date: []schema.Date{"2026-12-01", "2026-12-02"}[day-1], People: first.People, Site: site,
				Rooms: map[string]schema.RoomSeen{"R1": {Remarks: []string{"looked in"}}},
			})
		}
		want := Pass
		for _, k := range known {
			switch {
			case k == nil && want != Fail:
				want = NotObserved
			case k != nil && !*k && rec.Agreed.Reinspections == nil:
				want = Fail
			case k != nil && !*k && want == Pass:
				want = Notice
			}
		}
		if r := result(t, judge(t, rec), "site settled", "site"); r.Outcome != want {
			t.Fatalf("%s, want %s: %s", r.Outcome, want, r.Finding.String())
		}
	}
}
