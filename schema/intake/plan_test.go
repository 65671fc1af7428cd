package intake_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/intake"
	"setline.example/schema/table"
)

// TestReplannedIsTheTable takes over random tables, one after the other: units
// stand as the table has them, a unit that stands where it stood as what it was
// keeps its observations, and all others are in the history, none lost.
func TestReplannedIsTheTable(t *testing.T) {
	rng := chance.Source(t)
	rounds := 60
	if testing.Short() {
		rounds = 6
	}
	for range rounds {
		tags, parts := randomRow(rng)
		text := []byte(recordOf(tags, parts))
		for range 3 {
			rec, _, err := schema.Read("r.json", text)
			if err != nil {
				t.Fatal(err)
			}
			tags, parts := randomRow(rng)
			rows := "room,elevation,tag,part\n"
			for i, tag := range tags {
				rows += fmt.Sprintf("1,A,%s,%s\n", tag, parts[i])
			}
			units, err := table.Read("u.csv", []byte(rows), intake.UnitColumns())
			if err != nil {
				t.Fatal(err)
			}
			plan, err := intake.Replanned(intake.Base{Name: "r.json", Text: text, Record: rec}, intake.Replanning{Units: units})
			if err != nil {
				t.Fatalf("%v in\n%s\nwith\n%s", err, text, rows)
			}
			now, _, err := schema.Read("r.json", plan.Text)
			if err != nil {
				t.Fatal(err)
			}
			holdPlan(t, rec, now, tags, parts)
			text = plan.Text
		}
	}
}

func randomRow(rng *rand.Rand) (tags, parts []string) {
	all := strings.Fields("A1 A2 A3 A4 A5 A6 A7 A8")
	rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	if rng.IntN(2) == 0 {
		slices.Sort(all)
	}
	tags = slices.Delete(all, 0, rng.IntN(4))
	for range tags {
		parts = append(parts, []string{"B24", "B24", "B24", "B18"}[rng.IntN(4)])
	}
	return tags, parts
}

func recordOf(tags, parts []string) string {
	var units, seen []string
	for i, tag := range tags {
		units = append(units, fmt.Sprintf(`{"tag": %q, "part": %q}`, tag, parts[i]))
		seen = append(seen, fmt.Sprintf(`%q: {"remark": "of %s"}`, tag, tag))
	}
	return fmt.Sprintf(`{"setline": 1, "planned": {"project": {"name": "x"},
	"usual": {"height": "34 in", "depth": "22 in", "leveler": {"least": "1/2 in", "greatest": "2 in"}},
	"cabinets": {"B24": {"width": "24 in"}, "B18": {"width": "18 in"}},
	"rooms": [{"name": "1", "elevations": [{"name": "A", "units": [%s]}]}]},
	"measured": {"visits": [{"date": "2026-10-01", "people": [{"name": "Al"}], "rooms": {"1": {"cabinets": {%s}}}}]}}`,
		strings.Join(units, ", "), strings.Join(seen, ", "))
}

// lefts gives where each unit stands, and as what.
func lefts(rec *schema.Record) map[string]string {
	all, at := map[string]string{}, 0
	for _, u := range rec.Planned.Rooms[0].Elevations[0].Units {
		all[u.Tag] = fmt.Sprint(at, u.Part)
		at += map[string]int{"B24": 24, "B18": 18}[u.Part]
	}
	return all
}

func holdPlan(t *testing.T, was, now *schema.Record, tags, parts []string) {
	t.Helper()
	for i, u := range now.Planned.Rooms[0].Elevations[0].Units {
		if u.Tag != tags[i] || u.Part != parts[i] {
			t.Fatalf("unit %d is %s, %s, and the table has %s, %s", i, u.Tag, u.Part, tags[i], parts[i])
		}
	}
	before, after := lefts(was), lefts(now)
	v, old := now.Measured.Visits[0], was.Measured.Visits[0]
	for tag := range old.Rooms["1"].Cabinets {
		_, counts := v.Rooms["1"].Cabinets[tag]
		_, kept := v.Former["1"].Cabinets[tag]
		if stays := before[tag] == after[tag]; counts != stays || kept == stays {
			t.Errorf("%s stood at %s and stands at %q: counts %v, history %v", tag, before[tag], after[tag], counts, kept)
		}
	}
	for tag, seen := range old.Former["1"].Cabinets {
		if v.Former["1"].Cabinets[tag].Remark != seen.Remark {
			t.Errorf("the history of %s is lost", tag)
		}
	}
}
