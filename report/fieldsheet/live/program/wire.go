package main

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/go-json-experiment/json/jsontext"
	"setline.example/report/fieldsheet/live"
)

// Requests are read by token: what does that for any Go type is a tenth of a
// program that a page carries, and slow in a browser.

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
