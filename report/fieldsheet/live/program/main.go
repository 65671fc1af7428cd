// Command program is what a sheet as a page runs: it judges one room after every
// entry. Built for js/wasm it gives the page one function, "setlineRules"; built
// for another system it reads requests from standard input and writes answers,
// a line each, so that both can be held against each other.
//
// A request {"open": "the record of a room"} opens a room, and {"judge": {...}}
// asks, as [live.Question]. An answer is {"opened": true}, {"verdict": {...}} as
// [live.Verdict], or {"error": "..."}.
package main

import (
	"encoding/json"
	"errors"

	"setline.example/report/fieldsheet/live"
)

// request is what the page sends.
type request struct {
	Open  string         `json:"open,omitempty"`
	Judge *live.Question `json:"judge,omitempty"`
}

// answer is what it gets.
type answer struct {
	Opened  bool          `json:"opened,omitempty"`
	Verdict *live.Verdict `json:"verdict,omitempty"`
	Error   string        `json:"error,omitempty"`
}

// rules holds the room that is open.
type rules struct{ room *live.Room }

// ask answers one request, both JSON (RFC 8259).
func (r *rules) ask(text []byte) []byte {
	var q request
	var a answer
	err := json.Unmarshal(text, &q)
	switch {
	case err != nil:
	case q.Open != "":
		r.room, err = live.Open([]byte(q.Open))
		a.Opened = err == nil
	case q.Judge == nil || r.room == nil:
		err = errors.New("found nothing to judge, expected a room that is open and a question")
	default:
		a.Verdict, err = r.room.Judge(*q.Judge)
	}
	if err != nil {
		a.Error = err.Error()
	}
	out, err := json.Marshal(a)
	if err != nil {
		panic(err) // it is made of strings and yes and no
	}
	return out
}
