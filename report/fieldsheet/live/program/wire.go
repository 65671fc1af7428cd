package main

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
	"setline.example/report/fieldsheet/live"
)

// Requests and answers are read and written by token: what does that for any Go
// type is a tenth of a program that a page carries, and slow in a browser.

// readRequest reads a request, JSON (RFC 8259).
func readRequest(text []byte) (q request, err error) {
	d := jsontext.NewDecoder(bytes.NewReader(text))
	err = members(d, func(name string) (err error) {
		switch name {
		case "open":
			q.Open, err = word(d)
		case "judge":
			q.Judge = &live.Question{Entries: map[string]live.Entry{}}
			err = readQuestion(d, q.Judge)
		default:
			err = d.SkipValue()
		}
		return err
	})
	return q, err
}

func readQuestion(d *jsontext.Decoder, q *live.Question) error {
	return members(d, func(name string) (err error) {
		switch name {
		case "entries":
			return members(d, func(box string) (err error) {
				q.Entries[box], err = readEntry(d)
				return err
			})
		case "stands":
			q.Stands, err = words(d)
		case "today":
			q.Today, err = word(d)
		default:
			err = d.SkipValue()
		}
		return err
	})
}

func readEntry(d *jsontext.Decoder) (e live.Entry, err error) {
	err = members(d, func(name string) (err error) {
		switch name {
		case "text":
			e.Text, err = word(d)
		case "on":
			var on jsontext.Token
			on, err = d.ReadToken()
			e.On = err == nil && on.Kind() == 't'
		default:
			err = d.SkipValue()
		}
		return err
	})
	return e, err
}

// members reads an object, and lets each read its value by its name.
func members(d *jsontext.Decoder, each func(name string) error) error {
	if err := opens(d, '{'); err != nil {
		return err
	}
	for d.PeekKind() != '}' {
		name, err := word(d)
		if err == nil {
			err = each(name)
		}
		if err != nil {
			return err
		}
	}
	_, err := d.ReadToken()
	return err
}

func words(d *jsontext.Decoder) (all []string, err error) {
	if err := opens(d, '['); err != nil {
		return nil, err
	}
	for d.PeekKind() != ']' {
		one, err := word(d)
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	_, err = d.ReadToken()
	return all, err
}

func opens(d *jsontext.Decoder, kind jsontext.Kind) error {
	got, err := d.ReadToken()
	if err == nil && got.Kind() != kind {
		err = fmt.Errorf("found %s in a request, expected %s", got.Kind(), kind)
	}
	return err
}

func word(d *jsontext.Decoder) (string, error) {
	got, err := d.ReadToken()
	if err == nil && got.Kind() != '"' {
		err = errors.New("found " + got.Kind().String() + " in a request, expected a text")
	}
	if err != nil {
		return "", err
	}
	return got.String(), nil
}

// writer writes an answer.
type writer struct {
	out   []byte
	comma bool
}

// in writes what comes between two marks, with commas between its parts.
func (w *writer) in(marks string, write func()) {
	w.next()
	w.out, w.comma = append(w.out, marks[0]), false
	write()
	w.out, w.comma = append(w.out, marks[1]), true
}

func (w *writer) next() {
	if w.comma {
		w.out = append(w.out, ',')
	}
	w.comma = true
}

// name begins a member.
func (w *writer) name(name string) {
	w.next()
	w.out, w.comma = append(append(w.out, '"'), name+`":`...), false
}

// text writes a member that is a text, and nothing where it is empty and may be.
func (w *writer) text(name, text string, always bool) {
	if text == "" && !always {
		return
	}
	w.name(name)
	w.out, _ = jsontext.AppendQuote(w.out, strings.ToValidUTF8(text, "\ufffd")) // so that it can be written
	w.comma = true
}

func (w *writer) truth(name string, is bool) {
	w.name(name)
	w.out, w.comma = strconv.AppendBool(w.out, is), true
}

func (w *writer) boxes(name string, all []live.Box) {
	if len(all) == 0 {
		return
	}
	w.name(name)
	w.in("[]", func() {
		for _, b := range all {
			w.in("{}", func() {
				w.text("box", b.Name, true)
				w.text("found", b.Found, true)
				w.text("expected", b.Expected, true)
				w.text("mend", b.Mend, false)
			})
		}
	})
}

// results writes those that the page has already as their numbers.
func (w *writer) results(all []live.Result, had map[live.Result]int) {
	w.name("results")
	w.in("[]", func() {
		for i := range all {
			if at, ok := had[all[i]]; ok {
				w.next()
				w.out = strconv.AppendInt(w.out, int64(at), 10)
			} else {
				w.result(&all[i])
			}
		}
	})
}

func (w *writer) result(r *live.Result) {
	w.in("{}", func() {
		w.text("id", r.RuleID, true)
		w.text("rule", r.Rule, true)
		w.text("elevation", r.Elevation, false)
		w.text("kind", r.Kind, true)
		w.text("of", r.Of, true)
		w.text("name", r.Name, true)
		w.text("outcome", string(r.Outcome), true)
		w.text("finding", r.Finding, true)
		w.text("remedy", r.Remedy, false)
		w.text("at", r.At, false)
	})
}
