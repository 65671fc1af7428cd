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

// WithVisit gives the record with one more visit, whose JSON text is given, at
// the end of its list: what [Read] makes of the record's text with that visit in
// it, without reading again what is read already. ok is false where that is no
// right record; then Read says what is wrong with it.
func (r *Record) WithVisit(text []byte) (with *Record, ok bool) {
	forms := visitForms()
	if len(r.Measured.Visits) >= forms.most {
		return nil, false
	}
	var v Visit
	d := decoder{Decoder: jsontext.NewDecoder(bytes.NewBuffer(text), jsontext.AllowDuplicateNames(true))}
	if !d.value(forms.of, reflect.ValueOf(&v).Elem()) {
		return nil, false
	}
	if _, err := d.ReadToken(); !errors.Is(err, io.EOF) {
		return nil, false
	}
	whole := *r
	whole.Measured.Visits = append(slices.Clip(r.Measured.Visits), v)
	return &whole, len(meaning(NewSource("", nil), &whole)) == 0
}

// visitForms is the form of the list of visits, as the form of a record has it.
var visitForms = sync.OnceValue(func() *form { return recordForm().member("measured").member("visits") })

// member is the form of a member of an object.
func (f *form) member(name string) *form { return f.members[f.fields[name]].form }
