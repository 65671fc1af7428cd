package checks

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
)

// drawerFixture is the fixture with one cabinet of n drawers, of which
// drawer[i] (from 1) stands in slot i+1.
func drawerFixture(drawer []int) *schema.Record {
	rec := fixture()
	front := make([]schema.FrontRow, len(drawer))
	found := map[string]string{}
	for i, d := range drawer {
		front[i].Drawers = 1
		found[strconv.Itoa(i+1)] = strconv.Itoa(d)
	}
	c := rec.Planned.Cabinets["BD24"]
	c.Front = front
	rec.Planned.Cabinets["BD24"] = c
	for _, tag := range []string{"C1", "C2", "C3"} {
		alter(seen(rec).Cabinets, tag, func(c *schema.CabinetSeen) { c.Drawers, c.Alignment, c.Works = nil, nil, nil })
	}
	alter(seen(rec).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Drawers = found })
	return rec
}

// fewest finds the fewest exchanges that sort a permutation by trying all,
// breadth first: slow, and sure.
func fewest(drawer []int) int {
	key := func(p []int) string { return fmt.Sprint(p) }
	goal := slices.Sorted(slices.Values(drawer))
	level, seen := [][]int{drawer}, map[string]bool{key(drawer): true}
	for n := 0; ; n++ {
		var next [][]int
		for _, p := range level {
			if slices.Equal(p, goal) {
				return n
			}
			for i := range p {
				for j := range i {
					q := slices.Clone(p)
					q[i], q[j] = q[j], q[i]
					if k := key(q); !seen[k] {
						seen[k] = true
						next = append(next, q)
					}
				}
			}
		}
		level = next
	}
}

// TestFewestExchanges tries every order of up to five drawers: the exchanges
// named are as few as a search over all orders finds, and carried out one
// after the other they put every drawer home.
func TestFewestExchanges(t *testing.T) {
	long(t)
	for n := 1; n <= 5; n++ {
		drawer := make([]int, n)
		for i := range drawer {
			drawer[i] = i + 1
		}
		permute(drawer, 0, func(p []int) {
			plan := planOf(t, drawerFixture(p))
			now, swaps := slices.Clone(p), 0
			done := map[int]bool{}
			for i := range p {
				if done[i] || p[i] == i+1 {
					continue
				}
				round := plan.cycle(i)
				for _, s := range round {
					done[s] = true
				}
				for _, pair := range exchanges(round) {
					now[pair[0]], now[pair[1]] = now[pair[1]], now[pair[0]]
					swaps++
				}
			}
			if !slices.IsSorted(now) {
				t.Errorf("%v: after the exchanges %v", p, now)
			}
			if want := fewest(p); swaps != want {
				t.Errorf("%v: %d exchanges, want %d", p, swaps, want)
			}
		})
	}
}

// TestFollowTheList: who carries out what a room's remedies say, from first to
// last and word for word, puts every drawer home, by the fewest exchanges.
func TestFollowTheList(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	pair := regexp.MustCompile(`([\w.-]+(?:/\d+)?) and ([\w.-]+(?:/\d+)?)(?:,| \()`)
	for range 60 {
		rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1 + rng.IntN(2)})
		cabinets := rec.Measured.Visits[0].Rooms["R101"].Cabinets
		var slots []string
		for _, tag := range slices.Sorted(maps.Keys(cabinets)) {
			for _, n := range slices.Sorted(maps.Keys(cabinets[tag].Drawers)) {
				slots = append(slots, tag+"/"+n)
			}
		}
		stands := map[string]string{} // the drawer in each slot, by its home
		for i, home := range shuffledSome(rng, slots) {
			stands[slots[i]] = home
			tag, n, _ := strings.Cut(slots[i], "/")
			cabinets[tag].Drawers[n] = home
		}
		least := len(slots) - cyclesOf(slots, stands)
		swaps := 0
		for _, r := range judge(t, rec).Results {
			if r.Rule != drawersHome {
				continue
			}
			for _, m := range pair.FindAllStringSubmatch(r.Remedy.String(), -1) {
				for i := range m {
					if !strings.Contains(m[i], "/") {
						m[i] = r.Subject.Item + "/" + m[i]
					}
				}
				stands[m[1]], stands[m[2]] = stands[m[2]], stands[m[1]]
				swaps++
			}
		}
		for _, s := range slots {
			if stands[s] != s {
				t.Errorf("in slot %s stands drawer %s once the list was followed", s, stands[s])
			}
		}
		if swaps != least {
			t.Errorf("%d exchanges, %d would do", swaps, least)
		}
	}
}

// shuffledSome gives the items with a few of them in other places.
func shuffledSome(rng *rand.Rand, items []string) []string {
	out := slices.Clone(items)
	if len(out) == 0 {
		return out // a room without drawers
	}
	for range rng.IntN(6) {
		i, j := rng.IntN(len(out)), rng.IntN(len(out))
		out[i], out[j] = out[j], out[i]
	}
	return out
}

// cyclesOf counts cycles, also those of one, by following each from its start.
func cyclesOf(slots []string, stands map[string]string) (n int) {
	seen := map[string]bool{}
	for _, s := range slots {
		if !seen[s] {
			n++
		}
		for ; !seen[s]; s = stands[s] {
			seen[s] = true
		}
	}
	return n
}

func planOf(t *testing.T, rec *schema.Record) *drawerPlan {
	t.Helper()
	rec, _ = source(t, rec)
	return newDrawerPlan(newFacts(rec, rec.Measured.VisitsInTime()).rooms[0])
}

func permute(p []int, k int, visit func([]int)) {
	if k == len(p) {
		visit(slices.Clone(p))
		return
	}
	for i := k; i < len(p); i++ {
		p[k], p[i] = p[i], p[k]
		permute(p, k+1, visit)
		p[k], p[i] = p[i], p[k]
	}
}

// TestPublishedCycles compares with worked permutations of textbooks, from
// memory: the cycle decomposition used to introduce cycle notation,
// 1 2 3 4 5 6 -> 2 4 1 3 6 5, is (1 2 4 3)(5 6); and 1 2 3 4 5 -> 2 5 4 3 1
// is (1 2 5)(3 4).
func TestPublishedCycles(t *testing.T) {
	for _, tc := range []struct {
		drawer []int
		cycles [][]int
	}{
		{[]int{2, 4, 1, 3, 6, 5}, [][]int{{1, 2, 4, 3}, {5, 6}}},
		{[]int{2, 5, 4, 3, 1}, [][]int{{1, 2, 5}, {3, 4}}},
	} {
		plan := planOf(t, drawerFixture(tc.drawer))
		for _, want := range tc.cycles {
			got := plan.cycle(want[0] - 1)
			for i := range got {
				got[i]++
			}
			if !slices.Equal(got, want) {
				t.Errorf("%v: cycle %v, want %v", tc.drawer, got, want)
			}
		}
	}
}

func TestDrawerRemedies(t *testing.T) {
	for _, tc := range []struct {
		name string
		edit func(c1, c2 map[string]string)
		item string
		want string
	}{
		{"three in a round", func(c1, _ map[string]string) { c1["1"], c1["2"], c1["3"] = "2", "3", "1" }, "C1",
			"Exchange the drawers of slots 1 and 2, then 1 and 3 (2 exchanges, the fewest that put this room right)"},
		{"across two cabinets", func(c1, c2 map[string]string) { c1["1"], c2["3"] = "C2/3", "C1/1" }, "C1",
			"Exchange the drawers of slots 1 and C2/3 (1 exchange, the fewest that put this room right)"},
		{"across two cabinets, from the other", func(c1, c2 map[string]string) { c1["1"], c2["3"] = "C2/3", "C1/1" }, "C2",
			"Exchange drawers in the order that stands at R1/C1"},
		{"a cycle that begins further on", func(c1, c2 map[string]string) {
			c1["2"], c1["3"] = "3", "2"
			c2["1"], c2["2"] = "2", "1"
		}, "C1", "Exchange the drawers of slots 2 and 3, then C2/1 and C2/2 (2 exchanges, the fewest that put this room right)"},
		{"a cycle beside an empty slot", func(c1, c2 map[string]string) { c1["1"], c1["2"], c2["1"] = "2", "1", "none" }, "C1",
			"Exchange the drawers of slots 1 and 2 (1 exchange, the fewest for the drawers that were found)"},
		{"a way that ends at an empty slot", func(c1, _ map[string]string) { c1["1"], c1["2"] = "2", "none" }, "C1",
			"Find the missing drawer or look at the slots not observed, then put each drawer in its home slot"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			tc.edit(seen(rec).Cabinets["C1"].Drawers, seen(rec).Cabinets["C2"].Drawers)
			r := result(t, judge(t, rec), "drawers home", tc.item)
			if r.Outcome != Fail || r.Remedy.String() != tc.want {
				t.Errorf("%s: %q, want %q", r.Outcome, r.Remedy.String(), tc.want)
			}
		})
	}
}

// TestDrawerSeenElsewhereSince: an earlier sighting of a drawer that a later
// visit saw in another slot says nothing any more of the slot it was in.
func TestDrawerSeenElsewhereSince(t *testing.T) {
	rec := fixture()
	seen(rec).Cabinets["C1"].Drawers["1"], seen(rec).Cabinets["C1"].Drawers["2"] = "2", "1"
	rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{Date: "2026-09-20", People: []schema.Party{{Name: "I"}}, Rooms: map[string]schema.RoomSeen{
		"R1": {Cabinets: map[string]schema.CabinetSeen{"C1": {Drawers: map[string]string{"1": "1"}}}},
	}})
	r := result(t, judge(t, rec), "drawers home", "C1")
	if r.Outcome != NotObserved || r.Finding.String() != "Slot 2 not observed; the others hold their own drawers" {
		t.Errorf("%s %q", r.Outcome, r.Finding.String())
	}
}

// TestRandomDrawers: over random rooms, outcome by outcome as a plain count says.
func TestRandomDrawers(t *testing.T) {
	rng := chance.Source(t)
	for range 50 {
		p := rng.Perm(3)
		away := 0
		for i := range p {
			p[i]++
			if p[i] != i+1 {
				away++
			}
		}
		r := result(t, judge(t, drawerFixture(p)), "drawers home", "C1")
		if (r.Outcome == Pass) != (away == 0) || r.Value.N != int64(away) {
			t.Errorf("%v: %s, %d away, want %d", p, r.Outcome, r.Value.N, away)
		}
	}
}
