package checks

import (
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// TestTurnsBringBackIntoTravel: a top that stands too high on a leveler run out
// beyond its greatest extension comes down until the leveler is within it, not
// only as near to the mark as eighths of a turn go.
func TestTurnsBringBackIntoTravel(t *testing.T) {
	for up := length.Length(1); up <= 12; up++ {
		rec := fixture()
		l := rec.Planned.Usual.Leveler
		l.Greatest, l.Least, l.ThreadsPerInch = l.Least, *in("1/4 in"), 13
		alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) {
			*c.Tops.BR -= up * length.Inch / 64
			c.Extension = schema.CornerLengths{}
		})
		if up >= 5 { // beyond what the set height allows: listed by its rule
			lists := judge(t, rec).Rooms[0].Turns
			if len(lists) != 1 || len(lists[0].Turns) == 0 {
				t.Fatalf("%d/64 in: %+v", up, lists)
			}
			for _, one := range lists[0].Turns {
				alter(seen(rec).Cabinets, one.Unit, func(c *schema.CabinetSeen) { *c.Tops.BR -= one.Rise })
			}
			if r := result(t, judge(t, rec), "floor within travel", "elevation A"); r.Outcome != Pass {
				t.Errorf("%d/64 in, after %+v: %s %s", up, lists[0].Turns, r.Outcome, r.Finding.String())
			}
		} else if r := result(t, judge(t, rec), "floor within travel", "elevation A"); r.Outcome != Fail || !strings.Contains(r.Finding.String(), "C2 back-right too much") {
			t.Errorf("%d/64 in: %s %s", up, r.Outcome, r.Finding.String())
		}
	}
}
