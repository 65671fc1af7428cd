package live

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"encoding/json"
	"errors"
	"flag"
	"maps"
	"math/rand/v2"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/collect"
	"setline.example/schema"
	"setline.example/schema/length"
)

var seed = flag.Uint64("seed", uint64(time.Now().UnixNano()), "of the random entries")

// TestEntryByEntry: after any sequence of entries, slips and takings back, judging
// only what changed says what is said where the same sheet is collected into the
// text of the record by the code of the command, and that text read and judged.
func TestEntryByEntry(t *testing.T) {
	t.Logf("-seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 1))
	rooms, steps := 5, 14
	if testing.Short() {
		rooms, steps = 1, 8
	}
	refused, doubted, passed := 0, 0, 0
	for range rooms {
		c := randomRoom(t, rng)
		for range steps {
			q := c.randomEntries(rng)
			got, err := c.room.Judge(q)
			if err != nil {
				t.Fatal(err)
			}
			want := c.fromTheBeginning(t)
			if !reflect.DeepEqual(got, want) {
				t.Fatalf("room %s, after %v of %d boxes:\n%s", c.name, q.Entries, len(c.entries), differs(t, got, want))
			}
			if changed := c.withChanges(t, got); !reflect.DeepEqual(changed, got) {
				t.Fatalf("room %s: what changed does not make the verdict:\n%s", c.name, differs(t, changed, got))
			}
			refused, doubted = refused+len(got.Refused), doubted+len(got.Doubted)
			for _, r := range got.Results {
				if r.Outcome == checks.Pass && r.At != "" {
					passed++
				}
			}
		}
	}
	t.Logf("%d refused, %d doubted, %d passed by what was entered", refused, doubted, passed)
	if refused == 0 || doubted == 0 || passed == 0 && !testing.Short() {
		t.Error("the entries try too little")
	}
}

// filledIn is a room that is being filled in, and all that was so far.
type filledIn struct {
	name    string
	room    *Room
	src     *schema.Source
	asks    []*checks.Ask
	plan    string
	entries map[string]fieldsheet.Entry
	stands  []string
	told    []Result // of the last verdict
}

// withChanges is a verdict as a page makes it of the last and of what changed.
func (c *filledIn) withChanges(t *testing.T, v *Verdict) *Verdict {
	t.Helper()
	var told struct {
		Verdict
		Results []json.RawMessage `json:"results"`
	}
	if err := json.Unmarshal(c.room.AppendChanges(nil, v), &told); err != nil {
		t.Fatal(err)
	}
	was := c.told
	c.told = make([]Result, len(told.Results))
	for i, text := range told.Results {
		if at, err := strconv.Atoi(string(text)); err == nil {
			c.told[i] = was[at]
		} else if err := json.Unmarshal(text, &c.told[i]); err != nil {
			t.Fatal(err)
		}
	}
	told.Verdict.Results = c.told
	return &told.Verdict
}

const day = "2026-10-06"

// randomRoom takes a room of an example, leaves out some of it, and lets it be
// judged by another rule or in other units at times.
func randomRoom(t *testing.T, rng *rand.Rand) *filledIn {
	t.Helper()
	rec, _ := example(t, []string{"annex", "metric", "soil"}[rng.IntN(3)])
	room := &rec.Planned.Rooms[rng.IntN(len(rec.Planned.Rooms))]
	if n := len(room.Elevations); n > 1 && rng.IntN(2) == 0 {
		i := rng.IntN(n)
		room.Elevations = room.Elevations[i : i+1]
		rec.Measured = schema.Measured{}
	}
	rec.Agreed = schema.Agreed{}
	if rng.IntN(3) > 0 {
		rec.Measured = schema.Measured{}
	}
	if rng.IntN(2) == 0 {
		rec.Planned.DecisionRule = "guarded"
	}
	if rng.IntN(3) == 0 {
		rec.Planned.LengthsIn = []length.System{length.InchSystem, length.Metric}[rng.IntN(2)]
	}
	text, err := OfRoom(rec, room.Name)
	if err != nil {
		t.Fatal(err)
	}
	c := &filledIn{name: room.Name, entries: map[string]fieldsheet.Entry{}}
	if c.room, err = Open(text); err != nil {
		t.Fatal(err)
	}
	if _, c.src, err = schema.Read("the room", text); err != nil {
		t.Fatal(err)
	}
	if c.asks, err = collect.Asked(c.room.rec, c.src); err != nil {
		t.Fatal(err)
	}
	c.plan = planWith(t, c.room, c.asks)
	return c
}

// planWith is what a short sheet carries that asks all asks, as sheets write it:
// JSON, deflated, in base64.
func planWith(t *testing.T, r *Room, asks []*checks.Ask) string {
	t.Helper()
	data, err := json.Marshal(struct {
		schema.Planned
		Printed map[string]string `json:"printed"`
	}{r.rec.Planned, fieldsheet.Printed(asks)})
	if err != nil {
		t.Fatal(err)
	}
	var packed bytes.Buffer
	w, err := flate.NewWriter(&packed, flate.BestSpeed)
	if err == nil {
		_, err = w.Write(data)
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return base64.StdEncoding.EncodeToString(packed.Bytes())
}

// randomEntries fills in a few boxes, or clears them, and says of some of what is
// doubted that it stands.
func (c *filledIn) randomEntries(rng *rand.Rand) Question {
	q := Question{Today: day, Entries: map[string]Entry{}}
	set := func(box string, e fieldsheet.Entry) {
		q.Entries[box] = Entry{e.Text, e.On}
		if c.entries[box] = e; e == (fieldsheet.Entry{}) {
			delete(c.entries, box)
		}
	}
	for range 1 + rng.IntN(12) {
		filled := slices.Sorted(maps.Keys(c.entries))
		if len(filled) > 0 && rng.IntN(5) == 0 {
			set(filled[rng.IntN(len(filled))], fieldsheet.Entry{})
			continue
		}
		a := c.asks[rng.IntN(len(c.asks))]
		if a.Thing != nil && a.Thing.Stands == checks.AsLine {
			for i := range 1 + rng.IntN(3) {
				for k := range 2 - rng.IntN(2) {
					b := checks.Blank{Steps: []string{strconv.Itoa(i), strconv.Itoa(1 - k)}}
					set(a.Name(&b), fieldsheet.Entry{Text: typed(rng, checks.LengthKind)})
				}
			}
			continue
		}
		for _, f := range fieldsheet.FieldsOf(a) {
			switch {
			case rng.IntN(4) == 0:
			case f.Tick:
				if rng.IntN(2) == 0 {
					set(f.Name, fieldsheet.Entry{On: true})
				}
			default:
				set(f.Name, fieldsheet.Entry{Text: typed(rng, f.Blank.Kind)})
			}
		}
	}
	if rng.IntN(12) == 0 {
		set("rooms/no-such-room/cabinets/X9/tops/FL", fieldsheet.Entry{Text: "1"})
	}
	if len(c.entries) > 0 && rng.IntN(4) == 0 {
		filled := slices.Sorted(maps.Keys(c.entries))
		c.stands = append(c.stands, filled[rng.IntN(len(filled))])
	}
	q.Stands = c.stands
	return q
}

// typed is what somebody may type into a box, a slip now and then.
func typed(rng *rand.Rand, k checks.Kind) string {
	if rng.IntN(25) == 0 {
		return []string{"x", "1 furlong", "-1", "2026-02-30", "1/0 in", "9999999999 km"}[rng.IntN(6)]
	}
	switch k {
	case checks.LengthKind:
		switch rng.IntN(8) {
		case 0:
			return strconv.Itoa(rng.IntN(900)) + " mm"
		case 1:
			return strconv.Itoa(rng.IntN(100)) + " in"
		case 2:
			return strconv.Itoa(1+2*rng.IntN(4)) + "/64 in"
		case 3:
			return "1/64 over " + strconv.Itoa(20+rng.IntN(4)) // where that is printed beside it
		}
		return "9 " + strconv.Itoa(1+2*rng.IntN(8)) + "/64 in"
	case checks.CountKind:
		return strconv.Itoa(rng.IntN(5))
	case checks.DateKind:
		return "2026-10-0" + strconv.Itoa(1+rng.IntN(9))
	case checks.Drawer:
		return []string{"1", "A2 1", "none"}[rng.IntN(3)]
	}
	return []string{"A1", "A2, A3", "B1+B2", "somebody", "laser"}[rng.IntN(5)]
}

// fromTheBeginning judges all that was filled in by collecting it.
func (c *filledIn) fromTheBeginning(t *testing.T) *Verdict {
	t.Helper()
	v := &Verdict{Ready: true, Results: []Result{}}
	rec, src, err := schema.Read("the room", c.collected(t, v))
	if err != nil {
		t.Fatal(err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	for i := range found.Results {
		if res := &found.Results[i]; res.Rule.ID != partsReceived && res.Outcome != checks.NotApplicable {
			v.Ready = v.Ready && res.Outcome.Holds()
			v.Results = append(v.Results, c.room.result(res))
		}
	}
	return v
}

// collected collects the sheet, without what is refused, as often as it takes.
func (c *filledIn) collected(t *testing.T, v *Verdict) []byte {
	t.Helper()
	entries, o := maps.Clone(c.entries), collect.Options{Another: true}
	for range 50 {
		for box, usual := range map[string]string{"date": day, "people/0/name": "-"} {
			if entries[box].Text == "" {
				entries[box] = fieldsheet.Entry{Text: usual}
			}
		}
		f := &fieldsheet.Filled{File: "sheet", Plan: c.plan, Entries: maps.Clone(entries)}
		result, err := collect.Add(c.room.rec, c.src, c.asks, []*fieldsheet.Filled{f}, o)
		if err == nil {
			return result.Record
		}
		var problems schema.Problems
		if !errors.As(err, &problems) {
			t.Fatal(err)
		}
		changed := false
		for _, p := range problems {
			switch {
			case p.Kind == schema.Doubted:
				if !slices.Contains(c.stands, p.Box) {
					v.Doubted = append(v.Doubted, Box{Name: p.Box, Found: p.Found, Expected: p.Expected})
				}
				o.AsRead = append(o.AsRead, "sheet:"+p.Box)
				changed = true
			default:
				box := Box{p.Box, p.Found, p.Expected, p.Mend}
				if !slices.Contains(v.Refused, box) {
					v.Refused = append(v.Refused, box)
				}
				changed = c.clear(entries, p.Box) || changed
			}
		}
		if !changed {
			break
		}
	}
	return c.src.Data
}

// clear clears a box with those below it; where it is empty those beside it, or all
// of its ask.
func (c *filledIn) clear(entries map[string]fieldsheet.Entry, box string) bool {
	for box != "" {
		n := len(entries)
		maps.DeleteFunc(entries, func(name string, _ fieldsheet.Entry) bool {
			return name == box || strings.HasPrefix(name, box+"/") || strings.HasPrefix(name, box+"=")
		})
		if len(entries) < n {
			return true
		}
		if slices.ContainsFunc(c.asks, func(a *checks.Ask) bool { return a.Name(nil) == box }) {
			return false
		}
		box = box[:max(0, strings.LastIndexByte(box, '/'))]
	}
	return false
}

// differs shows where two verdicts part.
func differs(t *testing.T, got, want *Verdict) string {
	t.Helper()
	lines := func(v *Verdict) (all []string) {
		for _, part := range []any{v.Refused, v.Doubted} {
			text, err := json.Marshal(part)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, string(text))
		}
		for _, r := range v.Results {
			text, err := json.Marshal(r)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, string(text))
		}
		return append(all, strconv.FormatBool(v.Ready))
	}
	a, b := lines(got), lines(want)
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return "got  " + a[i] + "\nwant " + b[i]
		}
	}
	return strconv.Itoa(len(a)) + " lines, want " + strconv.Itoa(len(b))
}
