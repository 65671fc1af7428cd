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

// TestTurnsKeepTravelByBothMeans: where an extension was recorded beside a top, and
// the two do not quite agree, what to turn leaves the leveler within its travel by
// either, as the rule judges both. The sums are made here: a corner that stands at
// its mark stands out as far as it may.
func TestTurnsKeepTravelByBothMeans(t *testing.T) {
	const sixtyFourth = length.Inch / 64
	for up := length.Length(5); up <= 9; up++ {
		for more := length.Length(-2); more <= 2; more++ {
			rec := fixture()
			l := rec.Planned.Usual.Leveler
			l.Greatest, l.Least, l.ThreadsPerInch = l.Least, *in("1/4 in"), 13
			implied, recorded := l.Greatest+up*sixtyFourth, l.Greatest+(up+more)*sixtyFourth
			written := recorded
			alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) {
				*c.Tops.BR -= up * sixtyFourth
				c.Extension = schema.CornerLengths{BR: &written}
			})
			lists := judge(t, rec).Rooms[0].Turns
			if len(lists) != 1 || len(lists[0].Turns) == 0 {
				t.Fatalf("%d/64 in up, recorded as %d more: %+v", up, more, lists)
			}
			for _, one := range lists[0].Turns {
				alter(seen(rec).Cabinets, one.Unit, func(c *schema.CabinetSeen) {
					*lengthAt(&c.Tops, one.Key) -= one.Rise
					if e := lengthAt(&c.Extension, one.Key); e != nil {
						*e += one.Rise
					}
				})
				if one.Unit == "C2" && one.Key == "BR" {
					implied, recorded = implied+one.Rise, recorded+one.Rise
				}
			}
			if implied > l.Greatest || recorded > l.Greatest {
				t.Errorf("%d/64 in up, recorded as %d more: after %+v it stands out by %v by its top and %v as recorded, of %v", up, more, lists[0].Turns, implied, recorded, l.Greatest)
			}
			if r := result(t, judge(t, rec), "floor within travel", "elevation A"); r.Outcome != Pass {
				t.Errorf("%d/64 in up, recorded as %d more: after %+v: %s %s", up, more, lists[0].Turns, r.Outcome, r.Finding.String())
			}
		}
	}
}
