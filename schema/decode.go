package schema

import (
	"bytes"
	"errors"
	"io"
	"reflect"
	"slices"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"
	"setline.example/schema/length"
)

// decode reads a record that is right in a single pass: every value is held
// against its form as it is read. It stops at the first thing that is not
// right, says no more than that, and leaves it to the slower way to find
// everything and say what it is.
func decode(data []byte) (*Record, bool) {
	// Names that stand twice are found here, by field and by key.
	d := decoder{Decoder: newTokens(data)}
	rec := new(Record)
	if !d.value(recordForm(), reflect.ValueOf(rec).Elem()) {
		return nil, false
	}
	_, err := d.ReadToken()
	return rec, errors.Is(err, io.EOF)
}

type decoder struct {
	*jsontext.Decoder
	plain []byte    // room for a text without its escapes
	kept  keptItems // what was read before, nil where nothing is kept
}

// value reads the next value into v, which is zero, and reports whether it is
// as f says.
func (d *decoder) value(f *form, v reflect.Value) bool {
	if f.optional {
		v.Set(reflect.New(v.Type().Elem()))
		v = v.Elem()
	}
	switch f.is {
	case objectKind:
		return d.object(f, v)
	case dictionaryKind:
		return d.dictionary(f, v)
	case listKind:
		return d.list(f, v)
	case pairKind:
		return d.pair(f, v)
	case numberKind:
		return d.number(f, v)
	case answerKind:
		return d.answer(v)
	case anyKind:
		return d.anything(v)
	}
	raw, ok := d.text()
	if !ok {
		return false
	}
	switch f.is {
	case lengthKind:
		// What can be read as a length fits the pattern of one too, see [length.Pattern].
		l, err := length.Parse(string(raw))
		v.SetInt(int64(l))
		return err == nil
	case dateKind:
		s := string(raw)
		v.SetString(s)
		_, ok := Date(s).Day()
		return ok
	}
	return f.text(raw, v)
}

func (f *form) text(raw []byte, v reflect.Value) bool {
	if f.words != nil {
		for _, word := range f.words {
			if string(raw) == word {
				v.SetString(word)
				return true
			}
		}
		return false
	}
	s := string(raw)
	v.SetString(s)
	// No text has more characters than bytes.
	if len(s) > f.most || f.least > 0 {
		if n := utf8.RuneCountInString(s); n < f.least || n > f.most {
			return false
		}
	}
	return f.matches == nil || f.matches(s)
}

// text reads a text, without its quotation marks and escapes. It is good until
// the next one is read.
func (d *decoder) text() ([]byte, bool) {
	if d.PeekKind() != '"' {
		return nil, false
	}
	raw, err := d.ReadValue()
	if err != nil {
		return nil, false
	}
	if bytes.IndexByte(raw, '\\') < 0 {
		return raw[1 : len(raw)-1], true
	}
	d.plain, err = jsontext.AppendUnquote(d.plain[:0], raw)
	return d.plain, err == nil
}

// opens reads the beginning of an object or list.
func (d *decoder) opens(kind jsontext.Kind) bool {
	if d.PeekKind() != kind {
		return false
	}
	_, err := d.ReadToken()
	return err == nil
}

// closes reads the end of an object or list.
func (d *decoder) closes() bool {
	_, err := d.ReadToken()
	return err == nil
}

func (d *decoder) object(f *form, v reflect.Value) bool {
	if !d.opens('{') {
		return false
	}
	var seen uint64
	for d.PeekKind() != '}' {
		name, ok := d.text()
		if !ok {
			return false
		}
		at, known := f.fields[string(name)]
		if !known || seen&(1<<at) != 0 {
			return false
		}
		seen |= 1 << at
		m := &f.members[at]
		if !d.value(m.form, v.FieldByIndex(m.index)) {
			return false
		}
	}
	return seen&f.required == f.required && d.closes()
}

func (d *decoder) dictionary(f *form, v reflect.Value) bool {
	if !d.opens('{') {
		return false
	}
	t := v.Type()
	all, key, item := reflect.MakeMap(t), reflect.New(t.Key()).Elem(), reflect.New(t.Elem()).Elem()
	for n := 1; d.PeekKind() != '}'; n++ {
		name, ok := d.text()
		if !ok {
			return false
		}
		key.SetString(string(name))
		item.SetZero()
		if !d.item(f.of, key.String(), item) {
			return false
		}
		if all.SetMapIndex(key, item); all.Len() != n {
			return false // the name stood there before
		}
	}
	v.Set(all)
	return d.closes()
}

func (d *decoder) list(f *form, v reflect.Value) bool {
	if !d.opens('[') {
		return false
	}
	v.Set(reflect.MakeSlice(v.Type(), 0, 0)) // an empty list is not the same as none
	n := 0
	for ; d.PeekKind() != ']'; n++ {
		if n == f.most {
			return false
		}
		v.Grow(1)
		v.SetLen(n + 1)
		item := v.Index(n)
		item.SetZero()
		if !d.value(f.of, item) {
			return false
		}
		for i := range n {
			if f.unique && v.Index(i).Equal(item) {
				return false
			}
		}
	}
	return n >= f.least && d.closes()
}

func (d *decoder) pair(f *form, v reflect.Value) bool {
	if !d.opens('[') {
		return false
	}
	for i := range v.Len() {
		if !d.value(f.of, v.Index(i)) {
			return false
		}
	}
	return d.PeekKind() == ']' && d.closes()
}

func (d *decoder) number(f *form, v reflect.Value) bool {
	if d.PeekKind() != '0' {
		return false
	}
	raw, err := d.ReadValue()
	if err != nil || len(raw) > mostDigits {
		return false
	}
	n, ok := whole(string(raw))
	if !ok || n < int64(f.least) || n > int64(f.most) {
		return false
	}
	v.SetInt(n)
	return f.numbers == nil || slices.Contains(f.numbers, int(n))
}

// anything keeps a value as it is written. It has to be right in itself: no
// name stands twice in it, and no number is longer than any is.
func (d *decoder) anything(v reflect.Value) bool {
	depth := d.StackDepth()
	raw, err := d.ReadValue()
	if err != nil {
		return false
	}
	v.SetBytes(bytes.Clone(raw))
	b := newTreeBuilder(&Source{Data: raw})
	_, err = b.value(depth)
	return err == nil && len(b.twice) == 0
}

func (d *decoder) answer(v reflect.Value) bool {
	tok, err := d.ReadToken()
	if err != nil || tok.Kind() != 't' && tok.Kind() != 'f' {
		return false
	}
	v.SetBool(tok.Bool())
	return true
}
