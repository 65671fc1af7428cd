package checks

import (
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// A gap that is so long is somewhere wide: a width of nothing read with it, or
// before it, is no reading of the width.
func TestGapOfNoWidthThatIsLong(t *testing.T) {
	for _, tc := range []struct {
		name                string
		gap, long           string
		laterGap, laterLong string
		want                Outcome
	}{
		{name: "no gap", gap: "0 in", long: "0 in", want: Pass},
		{name: "no width, over too much", gap: "0 in", long: "12 in", want: Fail},
		{name: "no width, over little", gap: "0 in", long: "4 in", want: NotObserved},
		{name: "no width, and later over too much", gap: "0 in", laterLong: "12 in", want: Fail},
		{name: "no width, and later over little", gap: "0 in", laterLong: "4 in", want: NotObserved},
		{name: "drawn up since", gap: "1/32 in", long: "12 in", laterGap: "0 in", want: Pass},
		{name: "touching all along since", gap: "1/8 in", long: "12 in", laterLong: "0 in", want: Pass},
		{name: "narrow, over little", gap: "1/32 in", long: "4 in", want: Pass},
		{name: "narrow, over too much", gap: "1/32 in", long: "12 in", want: Fail},
	} {
		t.Run(tc.name, func(t *testing.T) {
			length := func(s string) *length.Length {
				if s == "" {
					return nil
				}
				return in(s)
			}
			rec := fixture()
			alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.Gap, j.GapLength = length(tc.gap), length(tc.long) })
			rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
				Date: "2026-09-20", People: []schema.Party{{Name: "I. Looker"}},
				Rooms: map[string]schema.RoomSeen{"R1": {
					Joints: map[string]schema.JointSeen{"C1+C2": {Gap: length(tc.laterGap), GapLength: length(tc.laterLong)}},
				}},
			})
			if r := result(t, judge(t, rec), "joint gap", "C1+C2"); r.Outcome != tc.want {
				t.Errorf("%s, want %s: %s", r.Outcome, tc.want, r.Finding.String())
			}
		})
	}
}
