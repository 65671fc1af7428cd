package checks

import (
	"strings"
	"testing"

	"setline.example/schema"
)

// TestHandedOver: what was said last counts, piece by piece; the day is that of the
// visit where none is written down; without closing out nothing is said of it.
func TestHandedOver(t *testing.T) {
	no := false
	later := func(h schema.HandoverSeen) func(*schema.Record) {
		return func(r *schema.Record) {
			r.Measured.Visits = append(r.Measured.Visits, schema.Visit{
				Date: "2026-12-24", People: []schema.Party{{Name: "C. Keeper"}}, Rooms: map[string]schema.RoomSeen{"R1": {Handover: h}}})
		}
	}
	for name, c := range map[string]struct {
		change  func(*schema.Record)
		outcome Outcome
		finding string
	}{
		"on the day of the visit": {func(*schema.Record) {}, Pass, "Handed over to P. Keeper, Tarn Builders on " + string(fixture().Measured.Visits[0].Date) + ", warranty from 2026-10-01, papers and spare parts received"},
		"on another day":          {handing(func(h *schema.HandoverSeen) { h.On = "2026-10-03" }), Pass, " on 2026-10-03, warranty from 2026-10-01"},
		"papers came later": {func(r *schema.Record) {
			handing(func(h *schema.HandoverSeen) { h.Papers = nil })(r)
			later(schema.HandoverSeen{Papers: yes()})(r)
		}, Pass, "papers and spare parts received"},
		"papers were taken back": {later(schema.HandoverSeen{Papers: &no}), Fail, "Not received: papers"},
		"to somebody else":       {later(schema.HandoverSeen{To: "Q. Warden"}), Pass, "Handed over to Q. Warden on 2026-12-24"},
		"neither came":           {later(schema.HandoverSeen{Papers: &no, SpareParts: &no}), Fail, "Not received: papers and spare parts"},
	} {
		t.Run(name, func(t *testing.T) {
			rec := fixture()
			c.change(rec)
			r := result(t, judge(t, rec), "handed over", "room R1")
			if r.Outcome != c.outcome || !strings.Contains(r.Finding.String(), c.finding) {
				t.Errorf("found %s: %s; expected %s: %s", r.Outcome, r.Finding, c.outcome, c.finding)
			}
		})
	}
	rec := fixture()
	rec.Planned.ClosingOut = false
	rec.Measured.Visits[0].Rooms = map[string]schema.RoomSeen{"R1": seen(rec)}
	for _, r := range judge(t, rec).Results {
		if r.Rule == handedOver {
			t.Errorf("found %s: %s, expected nothing where the contract does not ask", r.Outcome, r.Finding)
		}
	}
}
