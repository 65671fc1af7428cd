// Command program is what a sheet as a page runs: it judges one room after every
// entry. Built for js/wasm it gives the page one function, "setlineRules"; built
// for another system it reads requests from standard input and writes answers,
// a line each, so that both can be held against each other.
//
// A request {"open": "the record of a room"} opens a room, and {"judge": {...}}
// asks, as [live.Question]. An answer is {"opened": true}, {"verdict": {...}} as
// [live.Verdict], or {"error": "..."}. Of the results of a verdict those that the
// verdict before held already, of the same room, stand as their positions in it.
package main

import (
	"errors"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
	"setline.example/report/fieldsheet/live"
)

// request is what the page sends.
type request struct {
	Open  string         `json:"open,omitempty"`
	Judge *live.Question `json:"judge,omitempty"`
}

// rules holds the room that is open.
type rules struct {
	room *live.Room
}

// ask answers one request, both JSON (RFC 8259).
func (r *rules) ask(text []byte) []byte {
	q, err := readRequest(text)
	if err == nil {
		var answer []byte
		if answer, err = r.answer(q); err == nil {
			return answer
		}
	}
	said, _ := jsontext.AppendQuote([]byte(`{"error":`), strings.ToValidUTF8(err.Error(), "\ufffd")) // so that it can be written
	return append(said, '}')
}

func (r *rules) answer(q request) (_ []byte, err error) {
	if q.Open != "" {
		r.room, err = live.Open([]byte(q.Open))
		return []byte(`{"opened":true}`), err
	}
	if q.Judge == nil || r.room == nil {
		return nil, errors.New("found nothing to judge, expected a room that is open and a question")
	}
	v, err := r.room.Judge(*q.Judge)
	if err != nil {
		return nil, err
	}
	return append(r.room.AppendChanges([]byte(`{"verdict":`), v), '}'), nil
}
