//go:build !js

package main

import (
	"bytes"
	"encoding/json"
	"reflect"
	"testing"

	"setline.example/report/fieldsheet/live"
)

// TestAnswersAreVerdicts: what the program writes is what a general writer makes of
// the verdict, once results that were told before stand for themselves again.
func TestAnswersAreVerdicts(t *testing.T) {
	var out bytes.Buffer
	asked := requests(t, "annex")
	if err := serve(bytes.NewReader(asked), &out); err != nil {
		t.Fatal(err)
	}
	answers := bytes.Split(bytes.TrimSpace(out.Bytes()), []byte("\n"))
	var room *live.Room
	var told []live.Result
	again := 0
	for i, line := range bytes.Split(bytes.TrimSpace(asked), []byte("\n")) {
		var q request
		if err := json.Unmarshal(line, &q); err != nil {
			t.Fatal(err)
		}
		if mine, err := readRequest(line); err != nil || q.Judge == nil && !reflect.DeepEqual(mine, q) {
			t.Fatalf("request %d is read as %+v, %v", i, mine, err)
		}
		var err error
		if q.Judge == nil {
			if room, err = live.Open([]byte(q.Open)); err != nil {
				break // the last is not a record
			}
			told = nil
			continue
		}
		want, err := room.Judge(*q.Judge)
		if err != nil {
			t.Fatal(err)
		}
		var got struct {
			Verdict struct {
				Refused, Doubted []live.Box
				Results          []json.RawMessage
				Ready            bool
			}
		}
		if err := json.Unmarshal(answers[i], &got); err != nil {
			t.Fatal(err)
		}
		v := live.Verdict{Refused: got.Verdict.Refused, Doubted: got.Verdict.Doubted, Results: []live.Result{}, Ready: got.Verdict.Ready}
		for _, text := range got.Verdict.Results {
			var r live.Result
			var n int
			if json.Unmarshal(text, &n) == nil {
				r, again = told[n], again+1
			} else if err := json.Unmarshal(text, &r); err != nil {
				t.Fatal(err)
			}
			v.Results = append(v.Results, r)
		}
		if !reflect.DeepEqual(&v, want) {
			t.Errorf("answer %d is not the verdict:\n%.400s", i, answers[i])
		}
		told = want.Results
	}
	if again == 0 {
		t.Error("no result was told by its number")
	}
}

// TestBrokenRequests: what is no request is answered by an error.
func TestBrokenRequests(t *testing.T) {
	for _, text := range []string{"", "{", "[]", "1", `{"open":1}`, `{"judge":{}}`, `{"judge":{"entries":[]}}`, `{"judge":{"stands":{}}}`, `{"judge":{"entries":{"a":{"text":1}}}}`, `{"open":"{}"}`, "{}"} {
		var a struct{ Error string }
		if out := (&rules{}).ask([]byte(text)); json.Unmarshal(out, &a) != nil || a.Error == "" {
			t.Errorf("%s: %s", text, out)
		}
	}
}
