package checks

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// runAsks is [AsksOf] of a record that nothing has judged yet.
func runAsks(rec *schema.Record, src *schema.Source) ([]Ask, error) {
	found, err := Run(rec, src)
	if err != nil {
		return nil, err
	}
	return AsksOf(rec, src, found), nil
}

// put sets the value at the steps of a tree, and makes the objects on the way.
func put(tree map[string]any, steps []string, value any) {
	for _, s := range steps[:len(steps)-1] {
		next, ok := tree[s].(map[string]any)
		if !ok {
			next = map[string]any{}
			tree[s] = next
		}
		tree = next
	}
	tree[steps[len(steps)-1]] = value
}

// answered gives the visit of somebody who answers the asks that want wants
// with what the visit complete saw, and nothing else.
func answered(t *testing.T, complete *schema.Visit, asks []Ask, want func(*Ask) bool) schema.Visit {
	t.Helper()
	whole := visitTree(complete)
	tree := map[string]any{"date": complete.Date, "people": complete.People, "rooms": map[string]any{}}
	for i := range asks {
		if value, ok := schema.Lookup(whole, asks[i].Place); ok && want(&asks[i]) {
			put(tree, asks[i].Place, value)
		}
	}
	data, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	var v schema.Visit
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatal(err)
	}
	// Who was there is known also where nothing was seen.
	for name := range complete.Rooms {
		if _, ok := v.Rooms[name]; !ok {
			v.Rooms[name] = schema.RoomSeen{}
		}
	}
	return v
}

// asksOf gives the asks of rec with the visits given in place of its own.
func asksOf(t *testing.T, rec *schema.Record, visits ...schema.Visit) (*schema.Record, []Ask) {
	t.Helper()
	with := *rec
	with.Measured.Visits = visits
	again, src := source(t, &with)
	asks, err := runAsks(again, src)
	if err != nil {
		t.Fatal(err)
	}
	return again, asks
}

func everyAsk(*Ask) bool  { return true }
func openAsk(a *Ask) bool { return a.Open }

// TestAsksAreEnough: who answers every ask of a room that nobody has seen, as
// the complete record does, has the complete record's results; and what the
// open ones leave out decides nothing.
func TestAsksAreEnough(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 25 {
		rec := withFaults(rng)
		complete := judge(t, rec)
		_, asks := asksOf(t, rec)
		for i := range asks {
			if a := &asks[i]; a.Open == a.Optional || a.SeenOn != "" {
				t.Errorf("%s of a room nobody saw: open %t, optional %t, seen %q", a.Name(nil), a.Open, a.Optional, a.SeenOn)
			}
		}
		with := *rec
		with.Measured.Visits = []schema.Visit{answered(t, &rec.Measured.Visits[0], asks, everyAsk)}
		found := judge(t, &with)
		if got, want := summary(found), summary(complete); got != want {
			t.Fatalf("every ask answered:\n%s\nwant\n%s", got, want)
		}
		with.Measured.Visits = []schema.Visit{answered(t, &rec.Measured.Visits[0], asks, openAsk)}
		was := outcomesOf(complete)
		for key := range was {
			if strings.HasPrefix(key, extensionAgrees.Name) {
				delete(was, key) // where nobody records an extension, nothing is claimed
			}
		}
		sameOutcomes(t, "open asks answered", was, outcomesOf(judge(t, &with)))
	}
}

// TestNoAskTooMany: an open ask left blank leaves every rule that needs it
// without an answer, but where this test names why it does not.
func TestNoAskTooMany(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 4 {
		rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 2, Cabinets: 3})
		visit := &rec.Measured.Visits[0]
		_, asks := asksOf(t, rec)
		whole := visitTree(visit)
		for i := range asks {
			a := &asks[i]
			if !a.Open {
				continue
			}
			with := *rec
			with.Measured.Visits = []schema.Visit{answered(t, visit, asks, func(x *Ask) bool { return x.Open && x != a })}
			if _, ok := schema.Lookup(whole, a.Place); !ok && !narrows(a) {
				t.Errorf("%s is not in a record in which everything was observed", a.Name(nil))
			}
			found := judge(t, &with)
			for _, rule := range a.Rules {
				if why := doesWithout(rec, a, rule); why != "" {
					continue
				}
				if !slices.ContainsFunc(found.Results, func(r Result) bool { return r.Rule == rule && r.Outcome == NotObserved }) {
					t.Errorf("without %s nothing of %q is not observed", a.Name(nil), rule.Name)
				}
			}
		}
	}
}

// narrows says of an ask that it tells closer what the visit tells else: who
// released a run, and which, and on what day a room was handed over.
func narrows(a *Ask) bool {
	last := a.Place[len(a.Place)-1]
	return last == "released_by" || last == "released_runs" || slices.Equal(a.Place[len(a.Place)-2:], []string{"handover", "on"})
}

// doesWithout says why a rule may have its answer without one of its asks.
func doesWithout(rec *schema.Record, a *Ask, rule *Rule) string {
	switch {
	case rule.Advises:
		return "a notice is given where there is something to notice"
	case a.Place[len(a.Place)-1] == "mark":
		return "the set height is computed from the floor read on the same visit"
	case a.Place[0] == "instruments" && rec.Planned.Instruments[a.Place[1]].Kind == "rule":
		return "a rule needs no check; its resolution gives the uncertainty of what was read with it"
	case a.Place[len(a.Place)-1] == "top_on":
		return "where nobody says that the top is on it is not"
	case narrows(a):
		return "without it the visit says it: its people released all that stands there, its day is that of handing over"
	case rule == fillerFirst:
		return "of two exposed ends one is where the run began"
	}
	return ""
}

// TestAsksAfterAVisit: after a visit that saw some of a room, with or without
// the mark, what is still open is enough: a second visit from another reference
// line that answers it leaves nothing not observed.
func TestAsksAfterAVisit(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 40 {
		rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1 + rng.IntN(2)})
		_, asks := asksOf(t, rec)
		part := rng.Float64()
		some := func(a *Ask) bool {
			return !a.Optional && (a.Place[0] == "instruments" || rng.Float64() < part)
		}
		first := answered(t, &rec.Measured.Visits[0], asks, some)
		again, asks := asksOf(t, rec, first)
		firstSaw := visitTree(&first)
		for i := range asks {
			a := &asks[i]
			if _, seen := schema.Lookup(firstSaw, a.Place); seen != (a.SeenOn != "") && a.Place[0] != "instruments" {
				t.Fatalf("%s: seen %q", a.Name(nil), a.SeenOn)
			}
		}
		moved := moveLine(t, rec.Measured.Visits[0], length.Length(rng.IntN(int(length.Foot))))
		second := answered(t, &moved, asks, openAsk)
		with := *again
		with.Measured.Visits = []schema.Visit{first, second}
		found := judge(t, &with)
		for _, r := range found.Results {
			if !r.Outcome.Holds() {
				t.Errorf("%s %s: %s: %s", r.Outcome, r.Subject, r.Rule.Name, r.Finding.String())
			}
		}
		// Then nothing is left to ask.
		if _, asks := asksOf(t, rec, first, second); slices.ContainsFunc(asks, func(a Ask) bool { return a.Open }) {
			t.Error("a room that is ready has open asks")
		}
	}
}

// moveLine gives the visit as read from a reference line higher by up.
func moveLine(t *testing.T, v schema.Visit, up length.Length) schema.Visit {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var moved schema.Visit
	if err := json.Unmarshal(data, &moved); err != nil {
		t.Fatal(err)
	}
	moved.Date = "2026-09-11"
	for _, room := range moved.Rooms {
		for _, e := range room.Elevations {
			*e.Mark += up
			for _, line := range [][]schema.FloorReading{e.Floor.Front, e.Floor.Back} {
				for i := range line {
					line[i][1] += up
				}
			}
		}
		for _, c := range room.Cabinets {
			for _, top := range []*length.Length{c.Tops.FL, c.Tops.FR, c.Tops.BL, c.Tops.BR} {
				*top += up
			}
		}
	}
	return moved
}

// TestFaultsAreAskedAgain: what a rule found wrong is open, with what was seen.
func TestFaultsAreAskedAgain(t *testing.T) {
	rec := fixture()
	alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = in("3/32 in") })
	again, src := source(t, rec)
	asks, err := runAsks(again, src)
	if err != nil {
		t.Fatal(err)
	}
	var open []string
	for _, a := range asks {
		if a.Open && a.Place[0] != "instruments" {
			open = append(open, fmt.Sprintf("%s (%s): %s", a.Name(nil), a.Limit, a.SeenOn))
		}
	}
	want := "rooms/R1/joints/C1%2BC2/front_offset (at most 1/16 in): 2026-09-10"
	if strings.Join(open, "\n") != want {
		t.Errorf("open:\n%s\nwant\n%s", strings.Join(open, "\n"), want)
	}
}

// TestContractLimitIsAsked: a limit that the contract changes stands with the ask.
func TestContractLimitIsAsked(t *testing.T) {
	rec := fixture()
	rec.Planned.Limits = map[string]schema.LimitChange{
		"joint gap":       {Limit: "0.8 mm", Source: "contract"},
		"survey coverage": {Limit: "12 in", Source: "contract"},
	}
	_, asks := asksOf(t, rec)
	limits, rows := map[string]string{}, map[string]int{}
	for _, a := range asks {
		limits[a.Name(nil)], rows[a.Name(nil)] = a.Limit.String(), len(a.Blanks)/2
	}
	if got := limits["rooms/R1/joints/C1%2BC2/gap"]; got != "at most ≈ 1/32 in" {
		t.Errorf("gap: %q", got)
	}
	// 75 in with levelers at 3, 27, 51 and 75 in, and one more in each 24 in
	// between: eight places, four to spare.
	if got := rows["rooms/R1/elevations/A/floor/front"]; got != 12 {
		t.Errorf("floor: %d rows", got)
	}
}

// TestEveryRuleAsks: a rule asks for something, but those named here.
func TestEveryRuleAsks(t *testing.T) {
	for _, rule := range All() {
		without := rule == partsReceived || // counted on receipt, not on a visit
			rule == movement || rule == readingsPlausible // look at what others ask for
		if (rule.observe == nil) != without {
			t.Errorf("%q: asks %t", rule.Name, rule.observe != nil)
		}
	}
}

// TestWalkingOrder: rooms, elevations and units come as drawn, a joint between
// its units, and in a cabinet the top before the joint's work before its fronts.
func TestWalkingOrder(t *testing.T) {
	_, asks := asksOf(t, fixture())
	var order []string
	for _, a := range asks {
		if n := len(order); !a.Optional && (n == 0 || order[n-1] != a.Subject.Item) {
			order = append(order, a.Subject.Item)
		}
	}
	if got, want := strings.Join(order, " "), "laser level rule site elevation A F1 F1+C1 C1 C1+C2 C2 C2+C3 C3 room R1"; got != want {
		t.Errorf("order %s, want %s", got, want)
	}
	rank := func(part string) int {
		return slices.IndexFunc(asks, func(a Ask) bool { return strings.HasPrefix(a.Name(nil), "rooms/R1/cabinets/C1/"+part) })
	}
	for _, pair := range [][2]string{{"tops/FL", "bearing"}, {"bearing", "front_offset"}, {"front_offset", "works"}} {
		if rank(pair[0]) > rank(pair[1]) {
			t.Errorf("%s comes after %s", pair[0], pair[1])
		}
	}
}

func TestPlaceNames(t *testing.T) {
	for _, c := range []struct {
		steps []string
		want  string
	}{
		{[]string{"rooms", "S-104", "cabinets", "A3", "tops", "FL"}, "rooms/S-104/cabinets/A3/tops/FL"},
		{[]string{"rooms", "1.12", "joints", "N1+N2", "gap"}, "rooms/1%2E12/joints/N1%2BN2/gap"},
		{[]string{"rooms", "Küche-1", "works", "door 1"}, "rooms/K%C3%BCche-1/works/door%201"},
	} {
		if got := PlaceName(c.steps...); got != c.want {
			t.Errorf("%q: %s, want %s", c.steps, got, c.want)
		}
	}
}

func BenchmarkAsks(b *testing.B) {
	rec := rooms.New(rand.New(rand.NewPCG(1, 2)), rooms.Size{Rooms: 40, Elevations: 2, Cabinets: 6})
	rec.Measured.Visits = nil
	data, err := json.Marshal(rec)
	if err != nil {
		b.Fatal(err)
	}
	again, src, err := schema.Read("bench.json", data)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := runAsks(again, src); err != nil {
			b.Fatal(err)
		}
	}
}

// openNames lists what is open of rooms, by name, with the places of a line of
// which not all is asked.
func openNames(t *testing.T, rec *schema.Record) []string {
	t.Helper()
	again, src := source(t, rec)
	asks, err := runAsks(again, src)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, a := range asks {
		if a.Open && a.Place[0] == "rooms" {
			name := strings.TrimPrefix(a.Name(nil), "rooms/R1/")
			if a.Again != nil {
				name += fmt.Sprint(suggested(a.Again))
			}
			names = append(names, name)
		}
	}
	return names
}

// TestAlternatives: of two sides of a cabinet the one that was read is asked
// for again; what was recorded though no rule needs it is asked again with all
// that it is held against.
func TestAlternatives(t *testing.T) {
	rec := fixture()
	alter(seen(rec).Cabinets, "C1", func(c *schema.CabinetSeen) {
		c.Plumb.Left, c.Plumb.Right = nil, &schema.Deviation{Off: *in("1/4 in"), Over: *in("30 in")}
	})
	if got := openNames(t, rec); !slices.Contains(got, "cabinets/C1/plumb/right") || slices.Contains(got, "cabinets/C1/plumb/left") {
		t.Errorf("open %q", got)
	}
	rec = fixture()
	alter(seen(rec).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Extension.FL = in("1 in") })
	got := openNames(t, rec)
	want := []string{"elevations/A/floor/front[3 in]", "elevations/A/mark", "cabinets/C1/tops/FL", "cabinets/C1/extension/FL"}
	if !slices.Equal(got, want) {
		t.Errorf("open %q, want %q", got, want)
	}
}

// TestConcededIsNotAsked: what is handed over by permission needs no second look.
func TestConcededIsNotAsked(t *testing.T) {
	rec := fixture()
	alter(seen(rec).Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = in("3/32 in") })
	rec.Agreed.Concessions = []schema.Concession{{Rule: "fronts flush", Subject: "R1/C1+C2", Reason: "out of view", By: schema.Party{Name: "G. Contractor"}, Date: "2026-09-11"}}
	if got := openNames(t, rec); len(got) != 0 {
		t.Errorf("open %q", got)
	}
}
