package schema

import (
	"os"
	"reflect"
	"strings"
	"testing"
)

// TestAdding: a visit that is read after others, of which parts are the same, is
// what it is where it is read first; and what is wrong is refused whatever was read.
func TestAdding(t *testing.T) {
	data, err := os.ReadFile("../examples/annex/job.json")
	if err != nil {
		t.Fatal(err)
	}
	rec, _, err := Read("annex", data)
	if err != nil {
		t.Fatal(err)
	}
	const visit = `{"date": "2026-12-01", "people": [{"name": "R. Okafor", "role": "inspector"}], "rooms": {"S-104": {
		"cabinets": {"A2": {"tops": {"FL": "9 1/2 in"}}, "A3": {"tops": {"FL": "9 1/2 in"}, "level": {"FL-BR": {"off": "1/64 in", "over": "24 in"}}}},
		"joints": {"A2+A3": {"gap": "1/32 in"}}}}}`
	again := NewAdding(rec)
	right := 0
	for _, change := range [][2]string{
		{}, {`"9 1/2 in"}},`, `"9 3/8 in"}},`}, {`"9 1/2 in"}},`, `"nine"}},`}, {}, {`"1/32 in"`, `"-1/32 in"`}, {`"1/32 in"`, `"1/16 in"`}, {`"A2": {`, `"A3": {`},
		{`"A2+A3"`, `"A3+A2"`}, {`"gap"`, `"gab"`}, {`{"off": "1/64 in", `, `{`}, {`"A3": {"tops": {"FL": "9 1/2 in"}, `, `"A3": {`}, {"}}}}}", "}}}}}}"}, {"}}}}}", "}}}}"}, {},
	} {
		text := []byte(strings.Replace(visit, change[0], change[1], 1))
		want, wanted := NewAdding(rec).With(text)
		got, ok := again.With(text)
		if ok != wanted || ok && !reflect.DeepEqual(got, want) {
			t.Errorf("%v: %v, read first %v", change, ok, wanted)
		}
		if ok {
			right++
			if _, _, err := Read("with it", added(t, data, text)); err != nil {
				t.Errorf("%v: %v", change, err)
			}
		} else if _, _, err := Read("with it", added(t, data, text)); err == nil {
			t.Errorf("%v is refused, and right", change)
		}
	}
	if right < 5 || right > 7 {
		t.Errorf("%d are right", right)
	}
}

// added is a record's text with one more visit, put in as text.
func added(t *testing.T, record, visit []byte) []byte {
	t.Helper()
	at := strings.Index(string(record), `"visits": [`) + len(`"visits": [`)
	if at < len(`"visits": [`) {
		t.Fatal("found no visits")
	}
	return []byte(string(record[:at]) + string(visit) + "," + string(record[at:]))
}
