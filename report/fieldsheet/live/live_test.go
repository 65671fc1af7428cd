package live

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/schema"
)

func example(t *testing.T, name string) (*schema.Record, *schema.Source) {
	t.Helper()
	data, err := os.ReadFile("../../../examples/" + name + "/job.json")
	if err != nil {
		t.Fatal(err)
	}
	rec, src, err := schema.Read(name, data)
	if err != nil {
		t.Fatal(err)
	}
	return rec, src
}

// said is what of a result does not hang on what else the record holds.
func said(room string, r *checks.Result) string {
	return strings.Join([]string{room, r.Rule.ID, r.Subject.String(), string(r.Outcome)}, " ")
}

// TestRoomAlone: a room that is cut out of a job is judged as it is in the job.
func TestRoomAlone(t *testing.T) {
	for _, name := range []string{"annex", "metric"} {
		rec, src := example(t, name)
		whole, err := checks.Run(rec, src)
		if err != nil {
			t.Fatal(err)
		}
		for i, room := range rec.Planned.Rooms {
			text, err := OfRoom(rec, room.Name)
			if err != nil {
				t.Fatal(err)
			}
			cut, from, err := schema.Read("room", text)
			if err != nil {
				t.Fatal(err)
			}
			alone, err := checks.Run(cut, from)
			if err != nil {
				t.Fatal(err)
			}
			var got, want []string
			for n := range alone.Results {
				got = append(got, said(room.Name, &alone.Results[n]))
			}
			for n := range whole.Rooms[i].Results {
				want = append(want, said(room.Name, &whole.Rooms[i].Results[n]))
			}
			ofJob := func(s string) bool { return strings.Contains(s, " "+partsReceived+" ") }
			got, want = slices.DeleteFunc(got, ofJob), slices.DeleteFunc(want, ofJob)
			if !slices.Equal(got, want) {
				t.Errorf("%s %s: %d results alone, %d in the job", name, room.Name, len(got), len(want))
				for _, s := range got {
					if !slices.Contains(want, s) {
						t.Log("only alone:", s)
					}
				}
				for _, s := range want {
					if !slices.Contains(got, s) {
						t.Log("only in the job:", s)
					}
				}
			}
		}
	}
	rec, _ := example(t, "metric")
	if _, err := OfRoom(rec, "no such room"); err == nil {
		t.Error("a room that is not planned was cut out")
	}
}

// opened is a room of an example of which nobody observed anything.
func opened(t *testing.T, name string, room int) (*Room, *schema.Record) {
	t.Helper()
	rec, _ := example(t, name)
	rec.Measured, rec.Agreed = schema.Measured{}, schema.Agreed{}
	text, err := OfRoom(rec, rec.Planned.Rooms[room].Name)
	if err != nil {
		t.Fatal(err)
	}
	r, err := Open(text)
	if err != nil {
		t.Fatal(err)
	}
	return r, rec
}

// of gives the results of a rule at a thing.
func (v *Verdict) of(id, of string) []Result {
	var all []Result
	for _, r := range v.Results {
		if r.RuleID == id && r.Of == of {
			all = append(all, r)
		}
	}
	return all
}

// TestJudge: what is filled in is judged at once; what is no value, or likely a
// slip, is said at its box and keeps nothing else from being judged.
func TestJudge(t *testing.T) {
	r, _ := opened(t, "annex", 0)
	joint := checks.PlaceName("rooms", "S-104", "joints", "A2+A3") + "/"
	judge := func(entries map[string]Entry, stands ...string) *Verdict {
		t.Helper()
		v, err := r.Judge(Question{Entries: entries, Stands: stands, Today: "2026-10-01"})
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for _, c := range []struct {
		name             string
		text             string
		want             checks.Outcome
		refused, doubted bool
	}{
		{"holds", "1/32", checks.Pass, false, false},
		{"in another unit", "1.5 mm", checks.Pass, false, false},
		{"does not", "1/4", checks.Fail, false, false},
		{"blank", "", checks.NotObserved, false, false},
		{"no value", "1 furlong", checks.NotObserved, true, false},
		{"likely a slip", "12", checks.Fail, false, true},
	} {
		v := judge(map[string]Entry{joint + "gap": {Text: c.text}, joint + "top_offset": {Text: "1/64"}})
		got := v.of("joint-gap", "A2+A3")
		if len(got) != 1 || got[0].Outcome != c.want || got[0].Finding == "" {
			t.Errorf("%s: %+v, want %s", c.name, got, c.want)
		}
		if (len(v.Refused) > 0) != c.refused || (len(v.Doubted) > 0) != c.doubted {
			t.Errorf("%s: refused %+v, doubted %+v", c.name, v.Refused, v.Doubted)
		}
		if beside := v.of("tops-flush", "A2+A3"); len(beside) != 1 || beside[0].Outcome != checks.Pass {
			t.Errorf("%s: beside it %+v", c.name, beside)
		}
		if v.Ready {
			t.Errorf("%s: the room is ready", c.name)
		}
	}
	v := judge(map[string]Entry{joint + "gap": {Text: "12"}}, joint+"gap") // the rest stands
	if len(v.Doubted) > 0 {
		t.Errorf("what stands as read is doubted: %+v", v.Doubted)
	}
	if got := v.of("joint-gap", "A2+A3"); len(got) != 1 || got[0].At != joint+"gap" {
		t.Errorf("what decided is not named: %+v", got)
	}
	if _, err := json.Marshal(v); err != nil {
		t.Error(err)
	}
}
