package schema

import (
	"bytes"
	"errors"
	"io"
	"reflect"
	"slices"
	"sync"

	"github.com/go-json-experiment/json/jsontext"
)

// Adding gives a record that is right with one more visit, again and again while
// that visit is filled in: what of it has not changed is not read again. It is for
// one goroutine at a time.
type Adding struct {
	rec  *Record
	plan *meaningCheck // that looked at what was planned
	kept keptItems
}

// NewAdding is for rec, which [Read] gave.
func NewAdding(rec *Record) *Adding {
	return &Adding{rec, planChecked(rec), keptItems{}}
}

// With gives the record with one more visit, whose JSON text is given, at the end
// of its list: what [Read] makes of the record's text with that visit in it. It
// shares with the record, and with what was given before, what is the same in both.
// ok is false where that is no right record; then Read says what is wrong with it.
func (a *Adding) With(text []byte) (with *Record, ok bool) {
	forms := visitForms()
	if len(a.rec.Measured.Visits) >= forms.most {
		return nil, false
	}
	var v Visit
	d := decoder{Decoder: newTokens(text), kept: a.kept}
	if !d.value(forms.of, reflect.ValueOf(&v).Elem()) {
		return nil, false
	}
	if _, err := d.ReadToken(); !errors.Is(err, io.EOF) {
		return nil, false
	}
	whole := *a.rec
	whole.Measured.Visits = append(slices.Clip(a.rec.Measured.Visits), v)
	return &whole, a.plan.agreesWithLast(&whole)
}

// newTokens reads the tokens of a text in which names may stand twice.
func newTokens(text []byte) *jsontext.Decoder {
	return jsontext.NewDecoder(bytes.NewBuffer(text), jsontext.AllowDuplicateNames(true))
}

// visitForms is the form of the list of visits, as the form of a record has it.
var visitForms = sync.OnceValue(func() *form { return recordForm().member("measured").member("visits") })

// member is the form of a member of an object.
func (f *form) member(name string) *form { return f.members[f.fields[name]].form }

// keptItems are the items of dictionaries as they were read last: cabinets,
// joints. The same text is the same value.
type keptItems map[itemOf]keptItem

type itemOf struct {
	form *form
	name string
}

type keptItem struct {
	text  []byte
	value reflect.Value
}

// item reads the next value as [decoder.value] does, or finds that it was read.
// Rooms are not kept, since hardly ever nothing in a room has changed.
func (d *decoder) item(f *form, name string, v reflect.Value) bool {
	if d.kept == nil || f.is != objectKind || v.Type() == roomSeenType {
		return d.value(f, v)
	}
	text, err := d.ReadValue()
	if err != nil {
		return false
	}
	kept, ok := d.kept[itemOf{f, name}]
	if ok && bytes.Equal(kept.text, text) {
		v.Set(kept.value)
		return true
	}
	within := decoder{Decoder: newTokens(text)}
	if !within.value(f, v) {
		return false
	}
	value := reflect.New(v.Type()).Elem()
	value.Set(v)
	d.kept[itemOf{f, name}] = keptItem{bytes.Clone(text), value}
	return true
}

var roomSeenType = reflect.TypeFor[RoomSeen]()
