package checks

import (
	"testing"

	"setline.example/schema/length"
)

// TestMemoryOfRules: of a run that is right, the rules about top corners take no
// memory for each corner. What they take for each cabinet is for the result of it
// and its words; a piece of memory more for each of its four corners is beyond the
// bound. Lists that grow by doubling are why it is no whole number.
func TestMemoryOfRules(t *testing.T) {
	for _, c := range []struct {
		rule        *Rule
		eachCabinet float64
	}{
		{cabinetTwist, 3}, {topsInOnePlane, 0.5}, {levelAndPlumb, 15}, {setHeightHeld, 16},
	} {
		few, many := allocationsOf(t, c.rule, 20), allocationsOf(t, c.rule, 60)
		if each := (many - few) / 40; each > c.eachCabinet {
			t.Errorf("%s: found %v allocations for each cabinet, expected %v at most", c.rule.Name, each, c.eachCabinet)
		}
	}
}

// allocationsOf is how often a rule asks for memory to judge a level run.
func allocationsOf(t *testing.T, rule *Rule, cabinets int) float64 {
	t.Helper()
	rec := longRun(cabinets, func(int) length.Length { return 0 })
	limits, problems := contractLimits(rec, nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	f := judging(rec, limits, []int{0})
	f.rooms = append(f.rooms, f.room(0))
	room := make([]Result, 0, 10*cabinets)
	l := limitOf(limits, rule)
	b := &bench{}
	return testing.AllocsPerRun(5, func() {
		*b = bench{facts: f, rule: rule, limit: l.limit, source: l.source, results: room}
		rule.judge(b)
	})
}
