package live

import (
	"testing"

	"setline.example/checks"
)

// TestHalfFilled: what is filled in by half keeps nothing beside it from being
// judged, and is said at its box.
func TestHalfFilled(t *testing.T) {
	joint := checks.PlaceName("rooms", "S-104", "joints", "A2+A3") + "/"
	cabinet := checks.PlaceName("rooms", "S-104", "cabinets", "A2") + "/"
	floor := checks.PlaceName("rooms", "S-104", "elevations", "A", "floor", "front") + "/"
	for name, half := range map[string]map[string]Entry{
		"how many screws, and not which":    {joint + "fastened/front/count": {Text: "2"}},
		"over what, and not how far off":    {cabinet + "level/FL-BR/over": {Text: "24"}},
		"how far off, and not over what":    {cabinet + "level/FL-BR/off": {Text: "1/64"}},
		"a firm, and nobody's name":         {"people/1/firm": {Text: "Halden Quality Services"}},
		"how far down, and not where":       {floor + "11/1": {Text: "44"}},
		"a two-peg test that has one sight": {"instruments/line%20laser/two_peg/midway/0": {Text: "44"}},
	} {
		r, _ := opened(t, "annex", 0)
		half[joint+"gap"] = Entry{Text: "1/4"}
		v, err := r.Judge(Question{Entries: half, Today: "2026-10-01"})
		if err != nil {
			t.Fatal(err)
		}
		if got := v.of("joint-gap", "A2+A3"); len(got) != 1 || got[0].Outcome != checks.Fail {
			t.Errorf("%s: %+v", name, got)
		}
		if len(v.Refused) == 0 {
			t.Errorf("%s: nothing is said of it", name)
		}
	}
}
