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
	told map[live.Result]int // the results of the last verdict, by their positions
}

// ask answers one request, both JSON (RFC 8259).
func (r *rules) ask(text []byte) []byte {
	q, err := readRequest(text)
	w := &writer{}
	w.in("{}", func() {
		if err == nil {
			err = r.answer(w, q)
		}
		if err != nil {
			w.text("error", err.Error(), true)
		}
	})
	return w.out
}

func (r *rules) answer(w *writer, q request) (err error) {
	if q.Open != "" {
		r.told = nil
		if r.room, err = live.Open([]byte(q.Open)); err == nil {
			w.truth("opened", true)
		}
		return err
	}
	if q.Judge == nil || r.room == nil {
		return errors.New("found nothing to judge, expected a room that is open and a question")
	}
	v, err := r.room.Judge(*q.Judge)
	if err != nil {
		return err
	}
	w.name("verdict")
	w.in("{}", func() {
		w.boxes("refused", v.Refused)
		w.boxes("doubted", v.Doubted)
		w.results(v.Results, r.told)
		w.truth("ready", v.Ready)
	})
	r.told = make(map[live.Result]int, len(v.Results))
	for i := range v.Results {
		r.told[v.Results[i]] = i
	}
	return nil
}
