package checks

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/chance/jobs"
	"setline.example/schema/merge"
)

// agreements is what is agreed in a job, time by time: permitted, withdrawn and
// permitted again, often in the same words.
func agreements(rng *rand.Rand, of string, room string, n int) []schema.Agreed {
	var now schema.Agreed
	back := &schema.Withdrawn{By: schema.Party{Name: "A. Lead"}, Date: "2026-11-20", Reason: "not needed"}
	all := make([]schema.Agreed, n)
	for k := range all {
		switch {
		case rng.IntN(2) == 0:
		case rng.IntN(4) == 0:
			now.OpenItems = append(now.OpenItems, schema.OpenItem{Room: room, What: "sweep"})
		case rng.IntN(2) == 0 && len(now.Concessions) > 0:
			c := now.Concessions[0]
			c.Withdrawn = back
			now.FormerConcessions, now.Concessions = append(now.FormerConcessions, c), nil
		case rng.IntN(2) == 0 && len(now.Reinspections) > 0:
			r := now.Reinspections[0]
			r.Withdrawn = back
			now.FormerReinspections, now.Reinspections = append(now.FormerReinspections, r), nil
		case len(now.Concessions) == 0:
			now.Concessions = []schema.Concession{{Rule: "fronts flush", Subject: of, Reason: "in no view", By: schema.Party{Name: "C. Builder"}, Date: "2026-11-19"}}
		case len(now.Reinspections) == 0:
			now.Reinspections = []schema.Reinspection{{Room: room, Date: "2027-01-10", Reason: "slab"}}
		}
		all[k] = jobs.Copy(&schema.Record{Agreed: now}).Agreed
	}
	return all
}

// ranked is a record whose places in the order of entry are counted without gaps.
func ranked(rec *schema.Record) string {
	of := regexp.MustCompile(`"entered":\d+`)
	text := string(toJSON(rec))
	all := of.FindAllString(text, -1)
	number := func(s string) int { n, _ := strconv.Atoi(s[len(`"entered":`):]); return n }
	slices.SortFunc(all, func(a, b string) int { return number(a) - number(b) })
	all = slices.Compact(all)
	return of.ReplaceAllStringFunc(text, func(s string) string { return fmt.Sprint(`"entered":#`, slices.Index(all, s)+1) })
}

// TestMergeGoesForward: a copy that only went on from where the other stands has
// all that both have, whichever is named first. Much is said again in the same
// words: taken back, undone and taken back, corrected to and fro, permitted twice.
func TestMergeGoesForward(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 3 {
		states := longJob(rng)
		last := states[len(states)-1]
		room := last.Planned.Rooms[0].Name
		for k, agreed := range agreements(rng, room+"/A1+A2", room, len(states)) {
			states[k].Agreed = agreed
		}
		for i := 0; i < len(states); i++ {
			j := i + rng.IntN(len(states)-i)
			holdForward(t, states[i], states[j])
		}
	}
}

// holdForward holds the merge of a copy with one that went on from it to that one.
func holdForward(t *testing.T, then, now *schema.Record) {
	t.Helper()
	want := ranked(now)
	for _, pair := range [][2]*schema.Record{{then, now}, {now, then}} {
		for _, base := range []*schema.Record{nil, then} {
			got, out := mergedOf(t, pair[0], pair[1], base, map[string]merge.Answer{})
			if len(out.All) > 0 {
				t.Fatalf("found contradictions %+v, expected none", out.All)
			}
			if found := ranked(got); found != want {
				k := 0
				for k < min(len(found), len(want)) && found[k] == want[k] {
					k++
				}
				k = max(0, k-400)
				t.Fatalf("merged with what it had become (ancestor given: %v), found\n%.900s\nexpected\n%.900s", base != nil, found[k:], want[k:])
			}
		}
	}
}
