package checks

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// Properties that hold whatever was observed. Each is tried on random rooms
// that are neither good nor bad: faults, readings near their limits, fine and
// coarse instruments, both decision rules, and much that nobody looked at.

// doubtful makes such a room, with one visit.
func doubtful(rng *rand.Rand) *schema.Record {
	rec := withFaults(rng)
	if rng.IntN(2) == 0 {
		rec.Planned.DecisionRule = Guarded
	}
	for _, name := range slices.Sorted(maps.Keys(rec.Planned.Instruments)) {
		alter(rec.Planned.Instruments, name, func(in *schema.Instrument) {
			in.Resolution = of(length.Inch / length.Length(int64(1)<<(3+rng.IntN(8))))
			if rng.IntN(8) == 0 {
				in.Resolution = nil
			}
		})
	}
	for _, room := range slices.Sorted(maps.Keys(rec.Measured.Visits[0].Rooms)) {
		seen := rec.Measured.Visits[0].Rooms[room]
		for _, tag := range slices.Sorted(maps.Keys(seen.Cabinets)) {
			alter(seen.Cabinets, tag, func(c *schema.CabinetSeen) { nudge(rng, c) })
		}
	}
	return rec
}

// nudge moves some readings of a cabinet to either side of a limit, and lays a
// level where nobody did.
func nudge(rng *rand.Rand, c *schema.CabinetSeen) {
	some := func() length.Length { return length.Length(rng.IntN(17)-8) * length.Inch / 64 }
	for _, top := range []*length.Length{c.Tops.FL, c.Tops.FR, c.Tops.BL, c.Tops.BR} {
		if rng.IntN(5) == 0 {
			*top += some()
		}
	}
	for _, line := range []**schema.Deviation{&c.Level.Front, &c.Level.Back, &c.Level.Left, &c.Level.Right, &c.Level.FLBR, &c.Level.FRBL} {
		if rng.IntN(4) == 0 {
			*line = &schema.Deviation{Off: some() / 2, Over: 24 * length.Inch}
		}
	}
	if rng.IntN(6) == 0 {
		c.Plumb.Right = &schema.Deviation{Off: some(), Over: 30 * length.Inch}
	}
	if c.FrontOffset != nil && rng.IntN(4) == 0 {
		*c.FrontOffset = some()
	}
}

// observation is one thing that a visit saw; it is there as a whole or not.
type observation struct {
	steps []string
	value any
}

func (o observation) String() string { return strings.Join(o.steps, "/") }

// aside are what says how other observations are meant; it stays as it is.
var aside = []string{
	"date", "people", "purpose", "instruments", "photos", "remark", "remarks", "where", "laser",
	"mark", "mark_at", "reference", "top_on", "packing", "gap_length",
}

// takenApart takes a visit apart into what stays and what can be left out.
func takenApart(t *testing.T, v *schema.Visit) (stays, all []observation) {
	var walk func(steps []string, value any)
	walk = func(steps []string, value any) {
		o := observation{slices.Clone(steps), value}
		last := ""
		if len(steps) > 0 {
			last = steps[len(steps)-1]
		}
		object, inner := value.(map[string]any)
		switch {
		case slices.Contains(aside, last):
			stays = append(stays, o)
		case inner && last != "label" && object["off"] == nil && object["fastener"] == nil:
			for _, key := range slices.Sorted(maps.Keys(object)) {
				walk(append(steps, key), object[key])
			}
		default:
			all = append(all, o)
		}
	}
	walk(nil, visitTree(v))
	if len(all) == 0 {
		t.Fatal("a visit that saw nothing")
	}
	return stays, all
}

// putTogether makes a visit of observations.
func putTogether(t *testing.T, rooms map[string]schema.RoomSeen, parts ...[]observation) schema.Visit {
	t.Helper()
	tree := map[string]any{"rooms": map[string]any{}}
	for name := range rooms {
		tree["rooms"].(map[string]any)[name] = map[string]any{} // the room was visited
	}
	for _, part := range parts {
		for _, o := range part {
			put(tree, o.steps, o.value)
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
	return v
}

// someOf takes each observation with the same chance.
func someOf(rng *rand.Rand, all []observation, chance float64) (taken, left []observation) {
	for _, o := range all {
		if rng.Float64() < chance {
			taken = append(taken, o)
		} else {
			left = append(left, o)
		}
	}
	return taken, left
}

// byKey gives the results of a record, by rule and subject, of which each has
// one: a concession, a fault and a baseline know them by these.
func byKey(t *testing.T, rec *schema.Record) map[resultKey]Result {
	t.Helper()
	all := map[resultKey]Result{}
	for _, r := range judge(t, rec).Results {
		if _, twice := all[resultKey{r.Rule.Name, r.Subject.String()}]; twice {
			t.Fatalf("%s says two things of %s", r.Rule.Name, r.Subject)
		}
		all[resultKey{r.Rule.Name, r.Subject.String()}] = r
	}
	return all
}

// ownLimit are the rules whose limit is an uncertainty: a coarser reading, or
// one less, allows more.
func ownLimit(rule *Rule) bool { return rule == movement || rule == extensionAgrees }

func sortedKeys(results map[resultKey]Result) []resultKey {
	return slices.SortedFunc(maps.Keys(results), func(a, b resultKey) int {
		return strings.Compare(a.rule+a.subject, b.rule+b.subject)
	})
}

// TestMoreNeverHidesAFault: what fails by some of the observations of a visit
// fails by more of them; and what does not hold by all of them does not pass by
// some, but where a second reading of the same line is what does not hold.
func TestMoreNeverHidesAFault(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	fails, lapses := 0, 0
	for range 60 {
		rec := doubtful(rng)
		visit := rec.Measured.Visits[0]
		stays, all := takenApart(t, &visit)
		more, _ := someOf(rng, all, 0.75+rng.Float64()/4)
		less, left := someOf(rng, more, 0.6+rng.Float64()*0.4)
		with := func(some []observation) map[resultKey]Result {
			one := *rec
			one.Measured.Visits = []schema.Visit{putTogether(t, visit.Rooms, stays, some)}
			return byKey(t, &one)
		}
		before, after := with(less), with(more)
		for _, key := range sortedKeys(before) {
			r, now := before[key], after[key]
			if ownLimit(r.Rule) || r.Rule.Advises {
				continue
			}
			switch {
			case r.Outcome == Fail:
				fails++
				if now.Outcome != Fail {
					t.Errorf("%s %s fails: %s\nand with more observed is %s: %s\nadded: %v",
						key.rule, key.subject, r.Finding.String(), now.Outcome, now.Finding.String(), near(left, key))
				}
			case r.Outcome == Pass && now.Outcome != Pass && !readTwice(now):
				t.Errorf("%s %s is %s: %s\nand with less observed passes: %s\nleft out: %v",
					key.rule, key.subject, now.Outcome, now.Finding.String(), r.Finding.String(), near(left, key))
			case now.Outcome == Pass && r.Outcome == NotObserved:
				lapses++
			}
		}
		if t.Failed() {
			return
		}
	}
	if fails < 100 || lapses < 100 {
		t.Errorf("only %d faults and %d lapses were tried", fails, lapses)
	}
}

// readTwice reports whether a result may rest on a second reading of a line
// that another one shows to be right: level is read from the tops and by a
// level, and plumb on either side.
func readTwice(r Result) bool { return r.Rule == levelAndPlumb }

// near are the observations that are of the subject of a result.
func near(all []observation, key resultKey) []string {
	_, item, _ := strings.Cut(key.subject, "/")
	var some []string
	for _, o := range all {
		if strings.HasPrefix(item, "run ") && slices.Contains(o.steps, "tops") || slices.Contains(o.steps, item) ||
			strings.HasPrefix(item, "elevation ") && slices.Contains(o.steps, "elevations") {
			some = append(some, o.String())
		}
	}
	return some
}

// TestOneLessNeverImproves leaves out one observation at a time: the answer
// gets no better, and a fault that goes is one that rested on it.
func TestOneLessNeverImproves(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 12 {
		rec := doubtful(rng)
		visit := rec.Measured.Visits[0]
		stays, all := takenApart(t, &visit)
		before := byKey(t, rec)
		for range 25 {
			i := rng.IntN(len(all))
			one := *rec
			one.Measured.Visits = []schema.Visit{putTogether(t, visit.Rooms, stays, all[:i], all[i+1:])}
			for key, now := range byKey(t, &one) {
				was := before[key]
				if ownLimit(was.Rule) || was.Rule.Advises {
					continue
				}
				if was.Outcome != Pass && now.Outcome == Pass && !readTwice(was) {
					t.Errorf("without %s, %s of %s passes: %s\nwas %s: %s", all[i], key.rule, key.subject, now.Finding.String(), was.Outcome, was.Finding.String())
				}
				if was.Outcome == Fail && now.Outcome != Fail && !restsOn(was, all[i]) {
					t.Errorf("without %s, %s of %s is %s: %s\nwas fail: %s", all[i], key.rule, key.subject, now.Outcome, now.Finding.String(), was.Finding.String())
				}
			}
		}
		if t.Failed() {
			return
		}
	}
}

// restsOn reports whether an observation may be what a result rests on: its
// pointer leads there, or the result is of several heights and it is one.
func restsOn(r Result, o observation) bool {
	at := schema.Pointer("/measured/visits/0", anySteps(o.steps)...)
	if strings.HasPrefix(r.Pointer, at) || strings.HasPrefix(at, r.Pointer) {
		return true
	}
	if r.Rule == fillerFirst && slices.Contains(o.steps, "set_first") {
		return true // of two exposed ends one is enough, so that a fault is of both
	}
	heights := slices.Contains(o.steps, "tops") || slices.Contains(o.steps, "floor") || slices.Contains(o.steps, "opening")
	return heights && (r.Rule.Family == Floor || r.Rule.Family == Setting)
}

func anySteps(steps []string) []any {
	all := make([]any, len(steps))
	for i, s := range steps {
		all[i] = s
	}
	return all
}

// TestCoarserDecidesNothing: with coarser instruments nothing that fails or is
// undecided passes, and nothing undecided is decided.
func TestCoarserDecidesNothing(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	undecided := 0
	for range 60 {
		rec := doubtful(rng)
		before := byKey(t, rec)
		for _, name := range slices.Sorted(maps.Keys(rec.Planned.Instruments)) {
			alter(rec.Planned.Instruments, name, func(in *schema.Instrument) { coarser(rng, in) })
		}
		after := byKey(t, rec)
		for _, key := range sortedKeys(before) {
			was, now := before[key], after[key]
			if ownLimit(was.Rule) || was.Rule == instrumentChecked || was.Rule.Advises {
				continue
			}
			if was.Outcome == Undecided {
				undecided++
			}
			if (was.Outcome == Fail || was.Outcome == Undecided) && now.Outcome == Pass || was.Outcome == Undecided && now.Outcome == Fail {
				t.Errorf("%s of %s was %s: %s\nand by coarser instruments is %s: %s", key.rule, key.subject, was.Outcome, was.Finding.String(), now.Outcome, now.Finding.String())
			}
			if rec.Planned.DecisionRule != Guarded && was.Outcome != now.Outcome {
				t.Errorf("%s of %s: %s became %s under the simple rule", key.rule, key.subject, was.Outcome, now.Outcome)
			}
		}
		if t.Failed() {
			return
		}
	}
	if undecided < 20 {
		t.Errorf("only %d undecided results were tried", undecided)
	}
}

func coarser(rng *rand.Rand, in *schema.Instrument) {
	worse := func(l *length.Length) *length.Length { return of(*l + length.Length(rng.IntN(int(length.Inch/16)))) }
	if in.Resolution != nil {
		in.Resolution = worse(in.Resolution)
		if rng.IntN(6) == 0 {
			in.Resolution = nil
		}
	}
	if in.Accuracy != nil {
		in.Accuracy = worse(in.Accuracy)
	}
}

// TestOrderDoesNotMatter: neither the order of names in the file nor that of
// two visits on one day that saw different things changes anything that is said.
func TestOrderDoesNotMatter(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 30 {
		rec := doubtful(rng)
		want := summary(judge(t, rec))
		data, err := json.Marshal(rec)
		if err != nil {
			t.Fatal(err)
		}
		again, src, err := schema.Read("shuffled.json", shuffled(t, rng, data))
		if err != nil {
			t.Fatal(err)
		}
		found, err := Run(again, src)
		if err != nil {
			t.Fatal(err)
		}
		if got := summary(found); got != want {
			t.Fatalf("names in another order:%s", difference(got, want))
		}
		one, other := split(t, rng, &rec.Measured.Visits[0])
		rec.Measured.Visits = []schema.Visit{one, other}
		byKey(t, rec)
		want = sortedLines(summary(judge(t, rec)))
		rec.Measured.Visits = []schema.Visit{other, one}
		if got := sortedLines(summary(judge(t, rec))); got != want {
			t.Fatalf("visits of one day in the other order:%s", difference(got, want))
		}
	}
}

// difference lists the lines that only one of two texts has.
func difference(got, want string) string {
	var b strings.Builder
	for _, side := range []struct{ word, lines, others string }{{"got", got, want}, {"want", want, got}} {
		others := strings.Split(side.others, "\n")
		for line := range strings.SplitSeq(side.lines, "\n") {
			if !slices.Contains(others, line) {
				fmt.Fprintf(&b, "\n%s %s", side.word, line)
			}
		}
	}
	return b.String()
}

// sortedLines sorts lines: what is of a visit itself stands in the order of visits.
func sortedLines(lines string) string {
	all := strings.Split(lines, "\n")
	slices.Sort(all)
	return strings.Join(all, "\n")
}

// split makes two visits of one: each observation is of one of them. Heights of
// an elevation stay together, since what ties two visits is the mark.
func split(t *testing.T, rng *rand.Rand, v *schema.Visit) (one, other schema.Visit) {
	stays, all := takenApart(t, v)
	// What hangs together is of one visit: whether a filler comes off with the
	// top on, and whether the top was on.
	isHeight := func(o observation) bool {
		return slices.Contains(o.steps, "tops") || slices.Contains(o.steps, "floor") || slices.Contains(o.steps, "comes_off")
	}
	var heights, rest []observation
	for _, o := range all {
		if isHeight(o) || o.steps[0] == "site" {
			heights = append(heights, o)
		} else {
			rest = append(rest, o)
		}
	}
	a, b := someOf(rng, rest, 0.5)
	shared := slices.DeleteFunc(slices.Clone(stays), func(o observation) bool { return len(o.steps) > 2 })
	return putTogether(t, v.Rooms, stays, heights, a), putTogether(t, v.Rooms, shared, b)
}

// shuffled writes JSON again with the members of every object in random order.
func shuffled(t *testing.T, rng *rand.Rand, data []byte) []byte {
	t.Helper()
	var tree any
	if err := json.Unmarshal(data, &tree); err != nil {
		t.Fatal(err)
	}
	var write func(v any) string
	write = func(v any) string {
		var parts []string
		switch v := v.(type) {
		case map[string]any:
			keys := slices.Sorted(maps.Keys(v))
			rng.Shuffle(len(keys), func(i, j int) { keys[i], keys[j] = keys[j], keys[i] })
			for _, k := range keys {
				parts = append(parts, fmt.Sprintf("%q: %s", k, write(v[k])))
			}
			return "{" + strings.Join(parts, ",\n") + "}"
		case []any:
			for _, item := range v {
				parts = append(parts, write(item))
			}
			return "[" + strings.Join(parts, ",\n") + "]"
		}
		plain, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		return string(plain)
	}
	return []byte(write(tree))
}
