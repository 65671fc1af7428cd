package checks

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/chance/jobs"
	"setline.example/schema/length"
	"setline.example/schema/merge"
)

func copyNamed(t *testing.T, name string, rec *schema.Record) merge.Copy {
	t.Helper()
	text, err := json.Marshal(rec)
	if err != nil {
		t.Fatal(err)
	}
	return merge.Copy{Name: name, Text: text, Record: jobs.Copy(rec)}
}

func mergedOf(t *testing.T, a, b, base *schema.Record, decided map[string]merge.Answer) (*schema.Record, *merge.Outcome) {
	t.Helper()
	var third *merge.Copy
	if base != nil {
		c := copyNamed(t, "base", base)
		third = &c
	}
	out, err := merge.Copies(copyNamed(t, "a", a), copyNamed(t, "b", b), third, decided, merge.Decision{By: schema.Party{Name: "A. Lead"}, Date: "2026-11-25", Reason: "asked both"})
	if err != nil {
		t.Fatal(err)
	}
	rec := new(schema.Record)
	if err := json.Unmarshal(out.Text, rec); err != nil {
		t.Fatal(err)
	}
	return rec, out
}

func TestMergeWithItselfIsItself(t *testing.T) {
	rng := chance.Source(t)
	for range fewer(2, 1) {
		for _, state := range longJob(rng) {
			a := copyNamed(t, "a", state)
			out, err := merge.Copies(a, a, nil, nil, merge.Decision{})
			if err != nil || string(out.Text) != string(a.Text) || len(out.All)+len(out.Added) > 0 {
				t.Fatalf("found %v, %v, %v and\n%s\nexpected\n%s", err, out.All, out.Added, out.Text, a.Text)
			}
		}
	}
}

// story is what is entered into a job after the copies part: each thing by
// itself, so that it can be entered into one copy, the other, or both in turn.
func story(rng *rand.Rand, rec *schema.Record) (all []func(*schema.Record, int)) {
	clean := rec.Measured.Visits[0]
	days := rng.Perm(27)
	room := rec.Planned.Rooms[0].Name
	joints := sortedNames(clean.Rooms[room].Joints)
	for k := range 4 + rng.IntN(4) {
		v := jobs.CopyVisit(clean)
		v.Date = schema.Date(fmt.Sprintf("2026-10-%02d", 2+days[k]))
		v.People = []schema.Party{{Name: fmt.Sprintf("Reader %d", k%2)}}
		jobs.Spoil(rng, &v)
		v.Corrections = nil
		all = append(all, func(r *schema.Record, n int) {
			v := jobs.CopyVisit(v)
			v.Entered = n
			r.Measured.Visits = append(r.Measured.Visits, v)
		})
	}
	for k, name := range joints {
		all = append(all, func(r *schema.Record, n int) {
			seen := r.Measured.Visits[k%2].Rooms[room].Joints
			was, _ := json.Marshal(seen[name].FrontOffset)
			alter(seen, name, func(j *schema.JointSeen) { j.FrontOffset = in("3/16 in") })
			v := &r.Measured.Visits[k%2]
			v.Corrections = append(v.Corrections, schema.Correction{
				At: schema.Pointer("/rooms", room, "joints", name, "front_offset"), Was: was,
				By: schema.Party{Name: "A. Lead"}, Date: "2026-11-20", Reason: "misread " + name, Entered: n,
			})
		})
	}
	all = append(all, func(r *schema.Record, n int) {
		r.Measured.Visits[2].Withdrawn = &schema.Withdrawn{By: schema.Party{Name: "A. Lead"}, Date: "2026-11-20", Reason: "another room", Entered: n}
	}, func(r *schema.Record, _ int) {
		r.Agreed.OpenItems = append(r.Agreed.OpenItems, schema.OpenItem{Room: room, What: "touch up"})
	}, func(r *schema.Record, _ int) {
		r.Agreed.OpenItems[0].Closed = &schema.Closing{By: "A. Lead", Date: "2026-11-20"}
	}, func(r *schema.Record, _ int) {
		seen := r.Measured.Visits[0].Rooms[room]
		seen.Photos = append(seen.Photos, schema.Photo{File: "a.jpg", SHA256: strings.Repeat("a", 64)})
		r.Measured.Visits[0].Rooms[room] = seen
	}, func(r *schema.Record, n int) {
		r.Planned.Rooms[0].Use = "wet chemistry"
		r.Planned.Changes = append(r.Planned.Changes, schema.PlanChange{Date: "2026-11-01", By: &schema.Party{Name: "A. Lead"}, Reason: "revision",
			What: []schema.Replanned{{Of: room, Change: "otherwise", Field: "use"}}, Entered: n})
	}, func(r *schema.Record, n int) {
		c := r.Arrived.Receipts[0]
		c.Date, c.Entered = "2026-11-02", n
		c.Lines = map[string]schema.Received{}
		for _, line := range sortedNames(r.Arrived.PackingLists[c.PackingList].Lines)[:1] {
			c.Lines[line] = schema.Received{Damaged: 1}
		}
		r.Arrived.Receipts = append(r.Arrived.Receipts, c)
	})
	rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	return all
}

// TestMergeOfSplitHistories lets a job go two ways, each with part of what
// happens, and holds what is merged to the job that had it all.
func TestMergeOfSplitHistories(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 5 {
		start := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 3})
		clean := start.Measured.Visits[0]
		start.Measured.Visits = nil
		for k := range 3 {
			v := jobs.CopyVisit(clean)
			v.Date, v.Entered = schema.Date(fmt.Sprintf("2026-09-%02d", 10+k)), k+1
			if k == 2 {
				jobs.Spoil(rng, &v)
			}
			start.Measured.Visits = append(start.Measured.Visits, v)
		}
		start.Agreed.OpenItems = []schema.OpenItem{{Room: start.Planned.Rooms[0].Name, What: "sweep"}}
		whole, a, b := jobs.Copy(start), jobs.Copy(start), jobs.Copy(start)
		for _, happens := range story(rng, start) {
			happens(whole, whole.NextEntry())
			side := []*schema.Record{a, b}[rng.IntN(2)]
			happens(side, side.NextEntry())
		}
		for _, base := range []*schema.Record{nil, start} {
			holdMerged(t, whole, a, b, base)
			holdMerged(t, whole, b, a, base)
		}
	}
}

// holdMerged holds the merge of two copies to the job that had everything.
func holdMerged(t *testing.T, whole, a, b, base *schema.Record) {
	t.Helper()
	got, out := mergedOf(t, a, b, base, nil)
	if len(out.All) > 0 {
		t.Fatalf("found contradictions %+v, expected none", out.All)
	}
	want, err := Run(whole, nil)
	if err != nil {
		t.Fatal(err)
	}
	found, err := Run(got, nil)
	if err != nil {
		t.Fatal(err)
	}
	if w, f := withoutVisits(want), withoutVisits(found); w != f {
		t.Fatalf("found\n%s\nexpected\n%s", f, w)
	}
	if n := len(got.Measured.Visits); n != len(whole.Measured.Visits) {
		t.Fatalf("found %d visits, expected %d", n, len(whole.Measured.Visits))
	}
	if s := string(toJSON(got.Agreed)); s != string(toJSON(whole.Agreed)) && len(got.Agreed.OpenItems) != len(whole.Agreed.OpenItems) {
		t.Fatalf("found agreed %s", s)
	}
	if got.NextEntry() != whole.NextEntry() {
		t.Fatalf("found the next entry %d, expected %d", got.NextEntry(), whole.NextEntry())
	}
	numbers := numbersOf(t, got)
	for number, of := range numbersOf(t, a) {
		if numbers[number] != of {
			t.Fatalf("found fault %d of %q, expected %q as the first copy has it", number, numbers[number], of)
		}
	}
	for j, i := range out.Visits {
		if b.Measured.Visits[j].Date != got.Measured.Visits[i].Date {
			t.Fatalf("found visit %d of the second as %d, of another day", j, i)
		}
	}
}

func toJSON(v any) []byte {
	text, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return text
}

// TestNoContradictionIsSilent changes a value in one copy, or in both: without
// an ancestor it is a contradiction, with one only where both changed it.
func TestNoContradictionIsSilent(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 10 {
		states := longJob(rng)
		state := states[len(states)-1]
		var tree any
		if err := json.Unmarshal(toJSON(state), &tree); err != nil {
			t.Fatal(err)
		}
		var at []string
		leaves(tree, nil, func(steps []string) { at = append(at, strings.Join(steps, "\n")) })
		slices.Sort(at)
		steps := strings.Split(at[rng.IntN(len(at))], "\n")
		a, b := changedAt(t, state, steps, 1), changedAt(t, state, steps, 2)
		if string(toJSON(a)) == string(toJSON(b)) { // yes or no has two values
			b = state
		}
		// What is only in one of them is taken, and told.
		if _, out := mergedOf(t, a, b, nil, nil); len(out.Open)+len(out.Added) == 0 && len(toJSON(a)) >= len(toJSON(b)) {
			t.Fatalf("%v: found no contradiction", steps)
		}
		got, out := mergedOf(t, state, a, state, nil)
		if len(out.Open) > 0 || string(toJSON(got)) != string(toJSON(a)) {
			t.Fatalf("%v: found %v, expected what one copy changed", steps, out.Open)
		}
		if b == state {
			continue
		}
		_, out = mergedOf(t, a, b, state, nil)
		if len(out.Open) == 0 {
			t.Fatalf("%v: found no contradiction where both changed it", steps)
		}
		// Decided, nothing of either is lost.
		for _, answer := range []merge.Answer{merge.First, merge.Second} {
			decided := map[string]merge.Answer{}
			for _, x := range out.Open {
				decided[x.Place] = answer
			}
			got, again := mergedOf(t, a, b, state, decided)
			if len(again.Open) > 0 {
				t.Fatalf("%v: found %v open", steps, again.Open)
			}
			text := string(toJSON(got))
			for _, x := range out.Open {
				for _, said := range []string{x.First, x.Second} {
					if !strings.Contains(text, said) && !strings.Contains(text, strings.Trim(string(toJSON(said)), `"`)) {
						t.Fatalf("%v: found %s nowhere in what is merged", steps, said)
					}
				}
			}
		}
	}
}

// byName are the members by which elements are known: with another one it is
// another element.
var byName = []string{"name", "tag", "of", "rule", "subject", "what", "date", "sha256", "packing_list", "by", "entered", "$schema", "setline", "corrections", "withdrawn", "people", "lines"}

// leaves goes through the values of a record that are no names.
func leaves(v any, steps []string, do func([]string)) {
	switch v := v.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			if !slices.Contains(byName, name) {
				leaves(v[name], append(slices.Clone(steps), name), do)
			}
		}
	case []any:
		for i := range v {
			if _, distance := v[i].(string); distance && i == 0 && len(v) == 2 { // of a floor reading
				continue
			}
			leaves(v[i], append(slices.Clone(steps), strconv.Itoa(i)), do)
		}
	default:
		do(steps)
	}
}

// changedAt is a record with another value at a place; k tells two of them apart.
func changedAt(t *testing.T, rec *schema.Record, steps []string, k int) *schema.Record {
	t.Helper()
	var tree any
	if err := json.Unmarshal(toJSON(rec), &tree); err != nil {
		t.Fatal(err)
	}
	above, _ := schema.Lookup(tree, steps[:len(steps)-1])
	last := steps[len(steps)-1]
	old, _ := schema.Lookup(above, []string{last})
	now := old
	switch v := old.(type) {
	case bool:
		now = !v
	case float64:
		now = v + float64(k)
	case string:
		now = fmt.Sprintf("other %d", k)
		if l, err := length.Parse(v); err == nil {
			now = (l + length.Length(k)*length.Inch).String()
		}
	}
	switch v := above.(type) {
	case map[string]any:
		v[last] = now
	case []any:
		i, _ := strconv.Atoi(last)
		v[i] = now
	}
	out := new(schema.Record)
	if err := json.Unmarshal(toJSON(tree), out); err != nil {
		t.Fatal(err)
	}
	return out
}
